//! Inside corners cut free, outside corners made round.

use cavalier_contours::polyline::{BooleanOp, PlineSource};
use glam::DVec2;

use crate::slab::contour::{Contour, of_polyline};
use crate::slab::corner::{Corner, arc_of};

/// Least turn of a corner that is cut free, rad: what a jet leaves in a flatter one (0.08 of its radius) a gap takes up.
const SHARP: f64 = 0.25 * std::f64::consts::PI;

/// Most that a corner beside a box's own may lie off it, mm.
const SAME: f64 = 1e-6;

/// Where a counter-clockwise contour turns left too sharply, or too narrowly, for a round of this radius (mm).
pub(crate) fn sharp_corners(contour: &Contour, radius: f64) -> Vec<DVec2> {
    let sides: Vec<(Corner, DVec2)> = contour.sides().collect();
    let before = sides.iter().cycle().skip(sides.len().saturating_sub(1));
    let turns = sides.iter().zip(before).filter(|(here, last)| {
        let (into, out) = (heading(**last, true), heading(**here, false));
        into.angle_to(out) > SHARP
    });
    let corners = turns.map(|((a, _), _)| a.at);
    let narrow = sides.iter().filter_map(|&(a, b)| {
        let (centre, round, from, to) = (a.bulge > 0.0).then(|| arc_of(a.at, a.bulge, b))?;
        let tight = round < radius && to - from > SHARP;
        tight.then(|| centre + DVec2::from_angle(0.5 * (from + to)) * round)
    });
    corners.chain(narrow).collect()
}

/// The direction of a side at its start or end.
fn heading((a, b): (Corner, DVec2), end: bool) -> DVec2 {
    let half = 2.0 * a.bulge.atan();
    DVec2::from_angle(if end { half } else { -half }).rotate(b - a.at)
}

/// A contour and discs about these places, as one.
pub(crate) fn with_discs(contour: &Contour, places: &[DVec2], radius: f64) -> Contour {
    places.iter().fold(contour.clone(), |whole, &at| united(&whole, &Contour::circle(at, radius)))
}

/// Two contours that overlap, as one; the first where they don't.
fn united(a: &Contour, b: &Contour) -> Contour {
    let joined = a.polyline().boolean(&b.polyline(), BooleanOp::Or).pos_plines;
    let contours = joined.iter().map(|found| of_polyline(&found.pline));
    let largest = contours.max_by(|a, b| a.area().total_cmp(&b.area()));
    largest.filter(|whole| whole.area() > a.area()).unwrap_or_else(|| a.clone())
}

/// A contour with the corners of its box, where it has them, rounded to a radius (mm): no corner that stabs a hand.
pub(crate) fn soft(contour: &Contour, radius: f64) -> Contour {
    let [low, high] = contour.bounds();
    let outer = |p: DVec2| {
        let near = |v: f64, a: f64, b: f64| (v - a).abs() < SAME || (v - b).abs() < SAME;
        near(p.x, low.x, high.x) && near(p.y, low.y, high.y)
    };
    let n = contour.corners.len();
    let rounded = |i: usize| {
        let [before, here, next] = [(i + n - 1) % n, i, (i + 1) % n].map(|k| contour.corners[k]);
        if !outer(here.at) || before.bulge.abs() > 0.0 || here.bulge.abs() > 0.0 {
            return vec![here];
        }
        let towards = |p: DVec2| here.at + (p - here.at).normalize_or_zero() * radius;
        let bulge = crate::slab::corner::QUARTER;
        vec![Corner { at: towards(before.at), bulge }, Corner::sharp(towards(next.at))]
    };
    Contour { corners: (0..n).flat_map(rounded).collect() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    #[test]
    fn a_rectangles_corners_are_found_and_cut_free() {
        let slot = Contour::rectangle(DVec2::ZERO, DVec2::new(30.0, 10.0));
        let corners = sharp_corners(&slot, 1.0);
        assert_eq!(corners.len(), 4);
        // Three quarters of a disc outside each corner.
        let freed = with_discs(&slot, &corners, 1.5);
        assert!((freed.area() - (300.0 + 4.0 * 0.75 * PI * 2.25)).abs() < 1e-9, "{}", freed.area());
    }

    #[test]
    fn round_ends_are_left_alone_unless_too_narrow() {
        let slot = Contour::rectangle(DVec2::ZERO, DVec2::new(30.0, 10.0));
        let rounded = soft(&slot, 2.0);
        assert!((rounded.area() - (300.0 - (4.0 - PI) * 4.0)).abs() < 1e-9);
        assert!(sharp_corners(&rounded, 1.9).is_empty());
        assert_eq!(sharp_corners(&rounded, 2.1).len(), 4);
    }

    #[test]
    fn a_hollow_corner_of_the_blade_is_not_one_of_the_window() {
        let p = |x, y| DVec2::new(x, y);
        let stepped = Contour::polygon(&[
            p(0.0, 0.0),
            p(20.0, 0.0),
            p(20.0, 10.0),
            p(8.0, 10.0),
            p(8.0, 5.0),
            p(0.0, 5.0),
        ]);
        assert_eq!(sharp_corners(&stepped, 1.0).len(), 5);
    }
}
