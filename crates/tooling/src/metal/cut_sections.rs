//! Combs, section gauges and the tip's cut line of sheet steel.

use blade::Stage;
use design::{Design, Problem};
use glam::DVec2;

use crate::gauge::comb;
use crate::gauge::preform_plate::Tip;
use crate::gauge::rack::{Notch, Rack, WALL};
use crate::gauge::relief::Relief;
use crate::gauge::section_gauge::{self, negative, negative_with_neck, station_names};
use crate::metal::corners::soft;
use crate::metal::cut_gauge::{About, CutGauge, Form};
use crate::metal::cutting::{Cutting, CuttingFault};
use crate::metal::strokes::{HEIGHTS, Stroke, Strokes};
use crate::metal::words::{self, EDGES};
use crate::paper::preform::is_straight;
use crate::slab::contour::Contour;
use crate::slab::corner::{Corner, QUARTER};
use crate::slab::label;

/// Radius of a gauge's outer corners, mm: no corner that stabs a hand.
const SOFT: f64 = 2.0;

/// Least floor between the rounds in a slot's corners, mm: the back rests on it.
const FLOOR: f64 = 1.0;

/// The comb of a stage in one piece; none without stations.
///
/// # Errors
/// A slot too narrow to refuse the blade, or for the kerf.
pub(crate) fn cut_comb(
    design: &Design,
    stage: Stage,
    cutting: &Cutting,
) -> Result<Option<CutGauge>, CuttingFault> {
    let relief = cutting.relief();
    let problem = |problem: Problem| CuttingFault::Design(vec![problem]);
    let columns = comb::columns(design, stage, |width, depth| slot(width, depth, relief)).map_err(problem)?;
    if columns.is_empty() {
        return Ok(None);
    }
    let rack = Rack { columns, heading: comb::heading(stage, "COLD".to_owned()) };
    let (outline, marks) = rack.plate(&Strokes(HEIGHTS[0]), WALL, design.slug());
    let about = About {
        name: format!("comb-{stage}"),
        title: format!("Thickness comb ({stage}, cold)"),
        note: words::comb(design.figures(), design.shop().press, relief) + EDGES,
        stage,
        hot: None,
    };
    CutGauge::new(about, &plain(outline, marks), cutting).map(Some)
}

/// The section gauges of a stage, in order of the stations.
///
/// # Errors
/// A notch too narrow for the kerf.
pub(crate) fn cut_sections(
    design: &Design,
    stage: Stage,
    cutting: &Cutting,
) -> Result<Vec<CutGauge>, CuttingFault> {
    let stations = &design.gauges().stations;
    let names = station_names(stations, design.figures());
    let made = stations.iter().zip(names);
    made.filter_map(|(&at, name)| cut_section(design, stage, at, &name, cutting).transpose()).collect()
}

/// The section gauge at a station; none where the printed one has no place either.
fn cut_section(
    design: &Design,
    stage: Stage,
    at: f64,
    name: &str,
    cutting: &Cutting,
) -> Result<Option<CutGauge>, CuttingFault> {
    let (figures, gap) = (design.figures(), design.shop().press);
    let name = format!("section-{stage}-{name}");
    let (blade, loft) = (design.blade(), design.blade().loft(stage));
    let passable = negative_with_neck(blade, &loft, at, gap, cutting.passage());
    let negative = match passable {
        Some(negative) => negative,
        None if cutting.kerf > 0.0 => return Err(CuttingFault::Kerf { gauge: name, kerf: cutting.kerf }),
        // How fine the cut is, only the cutter knows.
        None => match negative(blade, &loft, at, gap) {
            Some(negative) => negative,
            None => return Ok(None),
        },
    };
    let words = section_gauge::words(design, stage, at, &negative);
    let (outline, marks) = section_gauge::plate(&Strokes(HEIGHTS[0]), design.slug(), words, &negative);
    let about = About {
        name,
        title: format!("Section gauge at {} from the shoulder ({stage}, cold)", figures.size(at)),
        note: words::section(figures, gap, negative.relief.radius) + EDGES,
        stage,
        hot: None,
    };
    CutGauge::new(about, &plain(outline, marks), cutting).map(Some)
}

/// The tip's cut line, as large as the bar's end under the hammer; `None` where the point is not forged up from a
/// straight piece.
///
/// # Errors
/// Temperature or kerf.
pub(crate) fn cut_tip(design: &Design, cutting: &Cutting) -> Result<Option<CutGauge>, CuttingFault> {
    let Some(Ok(preform)) = design.preform() else { return Ok(None) };
    let (scale, figures) = (cutting.growth()?, design.figures());
    let outline = Contour::of_pieces(preform.outline()).scaled(scale);
    let hot = cutting.heat();
    let tip = Tip { preform: &preform, figures, outline: &outline, scale };
    let groups = [
        vec![words::heat(figures, hot)],
        vec!["EDGE".to_owned()],
        vec!["TIP".to_owned()],
        label::names(design.slug()),
    ];
    let (marks, left) = lettered(&tip, &groups);
    let missing = words::missing(&[0, 2, 3].map(|i| left.contains(&i)));
    let about = About {
        name: format!("tip-preform{}", if hot.is_some() { "-hot" } else { "" }),
        title: format!("Tip-preform gauge (forged{})", words::told_heat(figures, hot)),
        note: words::tip(design, cutting, hot.map(|celsius| (celsius, scale)), is_straight(&preform))
            + &missing
            + EDGES,
        stage: Stage::Forged,
        hot,
    };
    let form = Form { outline: outline.clone(), holes: Vec::new(), marks };
    CutGauge::new(about, &form, cutting).map(Some)
}

/// The tip's marks in the largest letters with which all have room, or else the most.
fn lettered(tip: &Tip<'_>, groups: &[Vec<String>]) -> (Vec<Stroke>, Vec<usize>) {
    let mut tries = HEIGHTS.iter().map(|&height| tip.marks(&Strokes(height), groups));
    let first = tries.next().unwrap_or_default();
    tries.fold(first, |best, next| if next.1.len() < best.1.len() { next } else { best })
}

/// A plate without holes, its outer corners round.
fn plain(outline: Contour, marks: Vec<Stroke>) -> Form {
    Form { outline: soft(&outline, SOFT), holes: Vec::new(), marks }
}

/// A slot with parallel sides whose corners are cut free by rounds about them; a narrow one ends in a single round.
fn slot(width: f64, depth: f64, radius: f64) -> Notch {
    let half = 0.5 * width;
    let sharp = |x: f64, y: f64| Corner::sharp(DVec2::new(x, y));
    let turn = |x: f64, y: f64| Corner { at: DVec2::new(x, y), bulge: -QUARTER };
    if width < 2.0 * radius + FLOOR {
        let round = Relief { centre: DVec2::new(0.0, -depth), radius: radius.max(half) };
        let rise = (round.radius * round.radius - half * half).max(0.0).sqrt() - depth;
        let [right, left] = [half, -half].map(|x| DVec2::new(x, rise));
        let mut corners = vec![sharp(half, 0.0)];
        corners.extend(round.arc(right, left));
        corners.extend([Corner::sharp(left), sharp(-half, 0.0)]);
        return Notch { width: 2.0 * round.radius, depth: -round.bottom(), corners };
    }
    let right =
        [(half, radius - depth), (half + radius, -depth), (half, -depth - radius)].map(|(x, y)| turn(x, y));
    let left = [(radius - half, -depth), (-half, -depth - radius), (-half - radius, -depth)]
        .map(|(x, y)| turn(x, y));
    let mut corners = vec![sharp(half, 0.0)];
    corners.extend(right);
    corners.push(sharp(half - radius, -depth));
    corners.extend(left);
    corners.extend([sharp(-half, radius - depth), sharp(-half, 0.0)]);
    Notch { width: width + 2.0 * radius, depth: depth + radius, corners }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    fn area(notch: &Notch) -> f64 {
        Contour { corners: notch.corners.clone() }.reversed().area()
    }

    #[test]
    fn slots_are_rectangles_with_rounds() {
        // A rectangle, and three quarters of a disc outside each lower corner.
        let wide = slot(6.1, 8.0, 1.0);
        assert!((area(&wide) - (6.1 * 8.0 + 1.5 * PI)).abs() < 1e-9, "{}", area(&wide));
        assert!((wide.depth - 9.0).abs() < 1e-12 && (wide.width - 8.1).abs() < 1e-12);
        // A rectangle and half a disc.
        let narrow = slot(2.4, 8.0, 1.0);
        assert!((area(&narrow) - (2.4 * 8.0 + 0.5 * PI * 1.44)).abs() < 1e-9, "{}", area(&narrow));
        // A keyhole: a rectangle, and a disc less its part within the rectangle's width above its middle.
        let thin = slot(1.0, 8.0, 1.0);
        let above = 0.25 * 3.0_f64.sqrt() + PI / 6.0;
        let wanted = 8.0 - 0.0 + PI - above - 0.0;
        assert!((area(&thin) - wanted).abs() < 0.3 && thin.depth > 8.99, "{} {wanted}", area(&thin));
    }
}
