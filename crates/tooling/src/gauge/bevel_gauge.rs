//! The bevel-angle gauge: a plate with a notch for each angle that the grinder has to hold.

use blade::Stage;
use design::{Design, Problem};
use glam::DVec2;

use crate::gauge::rack::{Column, Notch, Rack, endings, racks};
use crate::gauge::relief::Relief;
use crate::gauge::unlaid::Gauge;
use crate::slab::corner::Corner;

/// Angles nearer to each other than this, rad, share a notch: half a degree is what a hand on the grinder holds
/// (common practice, no source).
const SAME: f64 = 0.5 * std::f64::consts::PI / 180.0;

/// Smallest angle with a notch, rad: a bevel of less than a degree is a flank, and the comb says more of it.
const LEAST: f64 = std::f64::consts::PI / 180.0;

/// Length of flank that a notch shows, measured along its middle, mm: the light gap can be judged over that much.
pub(crate) const DEPTH: f64 = 10.0;

/// Narrowest mouth in widths of the nozzle: the mouth of a narrower one prints closed (common practice, no source).
const MOUTH_NOZZLES: f64 = 2.0;

/// Widest mouth, mm: under 25 mm, and wider than any bevel.
pub(crate) const WIDEST: f64 = 24.0;

/// Radius of the relief under a keen edge in widths of the nozzle, the least that stays open: a larger one would take
/// the millimetre of flank that a secondary bevel has.
const KEEN_NOZZLES: f64 = 0.5;

/// An angle to gauge.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Angle {
    /// Included angle, rad.
    pub(crate) angle: f64,
    /// Thickness of the edge at its root, mm.
    pub(crate) edge: f64,
    /// Where it is: a station, or the edge.
    pub(crate) at: String,
}

/// The gauges: one, or several where it would not fit the bed; none when there is no angle to gauge.
///
/// # Errors
/// That not even a plate with one notch fits the bed.
pub(crate) fn bevel_gauges(design: &Design) -> Result<Vec<Gauge>, Problem> {
    let nozzle = design.shop().nozzle;
    let column = |a: &Angle| Column {
        above: Some(wedge(a.angle, a.edge, nozzle)),
        below: None,
        words: [format!("{:.1}°", a.angle.to_degrees()), a.at.clone()],
    };
    let columns: Vec<Column> = angles(design).iter().map(column).collect();
    let heading = |_, _| ["GROUND", "BEVEL", "AT", ""].map(str::to_owned);
    let racks = racks(design, &columns, "a bevel gauge of one notch", heading)?;
    let gauge = |(i, rack): (usize, &Rack)| {
        let [suffix, part] = endings(i, racks.len());
        Gauge {
            name: format!("bevel-angles{suffix}"),
            title: format!("Bevel-angle gauge{part}"),
            note: note(design),
            stage: None,
            slab: rack.slab(design),
        }
    };
    Ok(racks.iter().enumerate().map(gauge).collect())
}

/// What it is for.
fn note(design: &Design) -> String {
    format!(
        "{} There is a notch for the first, middle and last gauge station where the bevel is full. {SHARED} For cold steel \
         only: printed plastic softens near hot steel.",
        used(design)
    )
}

/// How it is used, in which notch: none is for the edge of a blade that stays blunt.
pub(crate) fn used(design: &Design) -> String {
    let sharp = design.blade().spec().stages.edge_angle.is_some();
    let edge = if sharp { ", EDGE on the sharpened one" } else { "" };
    format!(
        "Set it square across the edge at the station named: the angle is right when both flanks lie on the notch. Use the \
         numbered notches on the ground blade{edge}."
    )
}

/// Which angles have no notch of their own, and how the edge lies in one.
pub(crate) const SHARED: &str = "Angles within half a degree share a notch. The root of each notch is rounded out, so that the edge touches nothing.";

/// The distinct angles: of the ground blade's bevel at the first, middle and last station outside the ricasso, and of
/// the secondary bevel.
pub(crate) fn angles(design: &Design) -> Vec<Angle> {
    let primary = primary(design);
    let places = [0, primary.len() / 2, primary.len().saturating_sub(1)];
    let mut angles: Vec<Angle> = Vec::new();
    for angle in places.iter().filter_map(|&i| primary.get(i)) {
        if angles.iter().all(|a| (a.angle - angle.angle).abs() > SAME) {
            angles.push(angle.clone());
        }
    }
    let secondary = design.blade().spec().stages.edge_angle;
    angles.extend(secondary.map(|angle| Angle { angle, edge: 0.0, at: "EDGE".to_owned() }));
    angles
}

/// The ground blade's bevel at every station outside the ricasso and its plunge.
fn primary(design: &Design) -> Vec<Angle> {
    let bevelled = design.blade().spec().ricasso.map_or(0.0, |r| r.length + r.plunge);
    let loft = design.blade().loft(Stage::Ground);
    let figures = design.figures();
    let stations = design.gauges().stations.iter().filter(|at| **at >= bevelled);
    let angle = |&at: &f64| {
        let station = loft.station(at).filter(|s| s.bevel_angle >= LEAST)?;
        Some(Angle { angle: station.bevel_angle, edge: station.edge, at: figures.station(at) })
    };
    stations.filter_map(angle).collect()
}

/// The notch for an included angle (rad) that takes an edge this thick (mm) at its root.
pub(crate) fn wedge(angle: f64, edge: f64, nozzle: f64) -> Notch {
    let slope = (0.5 * angle).tan();
    let to_mouth = |mouth: f64| 0.5 * (mouth - edge) / slope;
    let depth = DEPTH.max(to_mouth(MOUTH_NOZZLES * nozzle)).min(to_mouth(WIDEST));
    let root = DVec2::new(0.0, -depth);
    let relief = match edge > 0.0 {
        true => Relief::under(root, edge),
        false => Relief { centre: root, radius: KEEN_NOZZLES * nozzle },
    };
    let drop = root.y - relief.centre.y;
    // Where the flank (edge/2 + slope·t, t above the root) leaves the relief's circle: a·t² + 2b·t + c = 0.
    let (a, b) = (1.0 + slope * slope, 0.5 * edge * slope + drop);
    let c = 0.25 * edge * edge + drop * drop - relief.radius * relief.radius;
    let rise = (-b + (b * b - a * c).sqrt()) / a;
    let right = DVec2::new(0.5 * edge + slope * rise, rise - depth);
    let left = DVec2::new(-right.x, right.y);
    let half = 0.5 * edge + slope * depth;
    let mut corners = vec![Corner::sharp(DVec2::new(half, 0.0))];
    corners.extend(relief.arc(right, left));
    corners.extend([left, DVec2::new(-half, 0.0)].map(Corner::sharp));
    Notch { width: 2.0 * half.max(relief.radius), depth: -relief.bottom(), corners }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::profiles;

    #[test]
    fn flanks_include_the_angle_and_take_the_edge() {
        for (angle, edge, nozzle) in [(8.0, 1.0, 0.4), (30.0, 0.0, 0.4), (90.0, 0.0, 0.4), (1.5, 0.3, 0.8)] {
            let notch = wedge(f64::to_radians(angle), edge, nozzle);
            let corners = &notch.corners;
            let [mouth, rim] = [corners[0].at, corners[1].at];
            let flank = mouth - rim;
            assert!((2.0 * (flank.x / flank.y).atan().to_degrees() - angle).abs() < 1e-9, "{angle}");
            // The flanks meet, `edge` apart, at the root: on the circle's inside.
            let root = mouth - flank * ((mouth.x - 0.5 * edge) / flank.x);
            let (half, depth) = (0.5 * edge, -root.y);
            assert!((root.x - half).abs() < 1e-9 && depth > 5.0, "{angle}: {root}");
            assert!(2.0 * mouth.x >= 2.0 * nozzle - 1e-9 && 2.0 * mouth.x < 25.0, "{angle}: {mouth}");
            assert!(corners.iter().all(|c| c.at.y > -notch.depth - 1e-9));
        }
    }

    #[test]
    fn angles_are_those_of_the_design() {
        for (name, design) in profiles() {
            let angles = angles(&design);
            assert!((1..=4).contains(&angles.len()), "{name}: {angles:?}");
            let spec = design.blade().spec();
            let keen = angles.last().filter(|a| a.at == "EDGE").map(|a| a.angle);
            assert_eq!(keen, spec.stages.edge_angle, "{name}");
            let primaries = &angles[..angles.len() - usize::from(keen.is_some())];
            for pair in primaries.windows(2) {
                assert!((pair[0].angle - pair[1].angle).abs() > SAME, "{name}: {angles:?}");
            }
        }
    }
}
