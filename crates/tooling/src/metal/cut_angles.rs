//! Bevel-angle and tang-slot gauges of sheet steel.

use blade::Stage;
use design::Design;
use glam::DVec2;

use crate::gauge::bevel_gauge::{self, Angle};
use crate::gauge::rack::{Column, Notch, Rack, WALL};
use crate::gauge::relief::Relief;
use crate::gauge::tang_gauge;
use crate::metal::corners::soft;
use crate::metal::cut_gauge::{About, CutGauge, Form};
use crate::metal::cutting::{Cutting, CuttingFault};
use crate::metal::strokes::{HEIGHTS, Strokes};
use crate::metal::words::{self, EDGES};
use crate::slab::corner::Corner;

/// Radius of a gauge's outer corners, mm: no corner that stabs a hand.
const SOFT: f64 = 2.0;
/// Least flank that a notch must show, mm: over less no light gap can be judged (common practice, no source).
const LEAST_FLANK: f64 = 0.5;
/// The most of a slot's lesser side that a relief's radius takes: two fifths are left for the tang to bear on.
const RELIEF_SHARE: f64 = 0.3;

/// The gauge of the ground bevel's angles and of the sharpened edge; none when there is no angle to gauge.
///
/// # Errors
/// A notch too narrow for the kerf.
pub(crate) fn cut_bevels(design: &Design, cutting: &Cutting) -> Result<Option<CutGauge>, CuttingFault> {
    let angles = bevel_gauge::angles(design);
    let (shown, hidden): (Vec<&Angle>, Vec<&Angle>) =
        angles.iter().partition(|a| flank(design, a) - lost(a, cutting.neck()) >= LEAST_FLANK);
    if shown.is_empty() {
        return Ok(None);
    }
    let column = |a: &&Angle| Column {
        above: Some(wedge(a, cutting)),
        below: None,
        words: [format!("{:.1}°", a.angle.to_degrees()), a.at.clone()],
    };
    let heading = ["GROUND", "BEVEL", "AT", ""].map(str::to_owned);
    let rack = Rack { columns: shown.iter().map(column).collect(), heading };
    let (outline, marks) = rack.plate(&Strokes(HEIGHTS[0]), WALL, design.slug());
    let about = About {
        name: "bevel-angles".to_owned(),
        title: "Bevel-angle gauge (cold)".to_owned(),
        note: words::bevels(design, cutting, hidden.is_empty()) + EDGES,
        stage: Stage::Ground,
        hot: None,
    };
    let form = Form { outline: soft(&outline, SOFT), holes: Vec::new(), marks };
    CutGauge::new(about, &form, cutting).map(Some)
}

/// Length of flank, mm, that an angle is seen on: a secondary bevel has no more than what the finished edge was thick.
fn flank(design: &Design, angle: &Angle) -> f64 {
    let keen = angle.edge <= 0.0;
    let thick = design.blade().spec().stages.finished_edge;
    if keen { 0.5 * thick / (0.5 * angle.angle).tan() } else { bevel_gauge::DEPTH }
}

/// How far above the edge the flanks are as wide apart as the neck, mm: below it the notch shows nothing.
fn lost(angle: &Angle, neck: f64) -> f64 {
    (0.5 * (neck - angle.edge) / (0.5 * angle.angle).tan()).max(0.0)
}

/// The notch of an angle: its flanks from the neck up, and under it a round in which the edge lies free.
fn wedge(angle: &Angle, cutting: &Cutting) -> Notch {
    let slope = (0.5 * angle.angle).tan();
    let lost = lost(angle, cutting.neck());
    let depth = (bevel_gauge::DEPTH + lost).min(0.5 * (bevel_gauge::WIDEST - angle.edge) / slope);
    let half = |above: f64| 0.5 * angle.edge + slope * above;
    let neck = DVec2::new(half(lost), lost - depth);
    let radius = cutting.relief().max(neck.x);
    // The round meets the flanks in the neck, its middle below it.
    let drop = (radius * radius - neck.x * neck.x).max(0.0).sqrt();
    let relief = Relief { centre: DVec2::new(0.0, neck.y - drop), radius };
    let (mouth, left) = (half(depth), DVec2::new(-neck.x, neck.y));
    let mut corners = vec![Corner::sharp(DVec2::new(mouth, 0.0))];
    corners.extend(relief.arc(neck, left));
    corners.extend([left, DVec2::new(-mouth, 0.0)].map(Corner::sharp));
    Notch { width: 2.0 * mouth.max(radius), depth: -relief.bottom(), corners }
}

/// The gauge of the slots that guard or grip needs to pass over the tang.
///
/// # Errors
/// A slot too narrow for the kerf.
pub(crate) fn cut_tang(design: &Design, cutting: &Cutting) -> Result<CutGauge, CuttingFault> {
    let relief = |slot: DVec2| {
        // The way into a round about a corner is √2 of its radius wide: at least so wide that the jet passes.
        let passable = cutting.neck() * std::f64::consts::FRAC_1_SQRT_2;
        cutting.relief().min(RELIEF_SHARE * slot.min_element()).max(passable)
    };
    let tang_gauge::Plate { outline, holes, marks } = tang_gauge::plate(design, &Strokes(HEIGHTS[0]), relief);
    let about = About {
        name: "tang-slot".to_owned(),
        title: "Tang-slot gauge (cold)".to_owned(),
        note: words::tang(design) + EDGES,
        stage: Stage::Finished,
        hot: None,
    };
    CutGauge::new(about, &Form { outline: soft(&outline, SOFT), holes, marks }, cutting)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::{profile, profiles};

    fn cutting(kerf: f64) -> Cutting {
        Cutting { kerf, ..Cutting::default() }
    }

    /// The flanks include the angle, and are as far apart where the edge would be as it is thick; no place of the notch is
    /// narrower than the jet.
    #[test]
    fn notches_include_the_angle_and_let_the_jet_in() {
        for (degrees, edge, kerf) in [(7.7, 1.0, 0.2), (7.7, 1.0, 1.0), (30.0, 0.0, 0.2), (2.0, 0.6, 0.0)] {
            let angle = Angle { angle: f64::to_radians(degrees), edge, at: String::new() };
            let notch = wedge(&angle, &cutting(kerf));
            let (mouth, neck) = (notch.corners[0].at, notch.corners[1].at);
            let flank = mouth - neck;
            assert!((2.0 * (flank.x / flank.y).atan().to_degrees() - degrees).abs() < 1e-9, "{degrees}");
            assert!(flank.y > 9.9 && 2.0 * neck.x >= 1.25 * kerf - 1e-9 && 2.0 * neck.x >= edge - 1e-9);
            // Run on, the flanks are `edge` apart as far below the mouth as the notch shows and loses.
            let below = lost(&angle, cutting(kerf).neck());
            assert!((neck.x - flank.x / flank.y * below - 0.5 * edge).abs() < 1e-9, "{degrees} {kerf}");
            assert!(notch.depth > below + 9.9 && notch.corners.iter().all(|c| c.at.y > -notch.depth - 1e-9));
        }
    }

    #[test]
    fn every_profile_has_both_and_a_wide_jet_no_notch_for_the_edge() {
        for (name, design) in profiles() {
            let angles = bevel_gauge::angles(&design).len();
            let fine = cut_bevels(&design, &cutting(0.2)).unwrap().unwrap();
            let slots = cut_tang(&design, &cutting(0.2)).unwrap();
            assert_eq!(slots.holes.len(), tang_gauge::slots(&design).len(), "{name}");
            for (hole, slot) in slots.holes.iter().zip(tang_gauge::slots(&design)) {
                let over = hole.area() - slot.x * slot.y;
                // Three quarters of four discs of at most 1 mm.
                assert!(over > 0.1 && over < 3.0 * std::f64::consts::PI + 1e-9, "{name}: {over}");
            }
            let notches =
                |gauge: &CutGauge| gauge.outline.corners.iter().filter(|c| c.bulge < 0.0).count() / 4;
            assert_eq!(notches(&fine), angles, "{name}");
        }
        let design = profile("landing-seax");
        let wide = cut_bevels(&design, &cutting(1.2)).unwrap().unwrap();
        assert!(wide.note.contains("EDGE is left out"), "{}", wide.note);
        assert!(!cut_bevels(&design, &cutting(0.2)).unwrap().unwrap().note.contains("left out"));
    }
}
