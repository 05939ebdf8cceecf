//! Sections of the blade as contours, and the parts of a contour above and below a height.

use blade::{Blade, Loft};
use glam::DVec2;

use crate::slab::contour::Contour;
use crate::slab::corner::{Corner, arc_of};

/// How far before the fan a section is taken at the latest, mm: from there on sections are chords.
const BEFORE_FAN: f64 = 1e-6;

/// Bulges under this are straight: 1e-9 of a chord of 1 m is a nanometre.
const STRAIGHT: f64 = 1e-9;

/// The section at a station up to the fan: z, y in mm as [`Loft::section`] has them. `None` outside the blade.
pub(crate) fn section(blade: &Blade, loft: &Loft, at: f64) -> Option<Contour> {
    let square = at.min(blade.fan_start() - BEFORE_FAN);
    loft.section(square).map(|pieces| Contour::of_pieces(&pieces))
}

/// Which part of a contour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Part {
    Above,
    Below,
}

/// Least and greatest x of the part of a contour above or below y = `level`; infinite and reversed if there is none.
pub(crate) fn extent(contour: &Contour, level: f64, part: Part) -> [f64; 2] {
    let within = |&(a, b): &(Corner, DVec2)| (point(a, b, 0.5).y > level) == (part == Part::Above);
    let parts = split(contour, level);
    let ranges = parts.iter().filter(|side| within(side)).map(|&(a, b)| {
        let [low, high] = Contour { corners: vec![a, Corner::sharp(b)] }.bounds();
        [low.x, high.x]
    });
    ranges.fold([f64::INFINITY, f64::NEG_INFINITY], |a, b| [a[0].min(b[0]), a[1].max(b[1])])
}

/// The part of a counter-clockwise contour below y = `level`, from its left end to its right one. The contour crosses
/// the level once on each side.
pub(crate) fn below(contour: &Contour, level: f64) -> Vec<Corner> {
    let sides = split(contour, level);
    let low: Vec<bool> = sides.iter().map(|&(a, b)| point(a, b, 0.5).y <= level).collect();
    let n = sides.len();
    let first = (0..n).find(|&i| low[i] && !low[(i + n - 1) % n]).unwrap_or(0);
    let chain = (0..n).map(|i| (first + i) % n).take_while(|&i| low[i]);
    let (mut corners, mut end) = (Vec::new(), None);
    for i in chain {
        corners.push(sides[i].0);
        end = Some(Corner::sharp(sides[i].1));
    }
    corners.extend(end);
    corners
}

/// The sides of a contour, cut where they cross y = `level`.
fn split(contour: &Contour, level: f64) -> Vec<(Corner, DVec2)> {
    contour.sides().flat_map(|(a, b)| pieces(a, b, &crossings(a, b, level))).collect()
}

fn pieces(a: Corner, b: DVec2, cuts: &[f64]) -> Vec<(Corner, DVec2)> {
    let ends: Vec<f64> = [0.0].iter().chain(cuts).chain(&[1.0]).copied().collect();
    ends.windows(2).map(|pair| stretch(a, b, [pair[0], pair[1]])).collect()
}

/// The stretch of a side between two shares of its way.
pub(crate) fn stretch(a: Corner, b: DVec2, [from, to]: [f64; 2]) -> (Corner, DVec2) {
    let bulge = (a.bulge.atan() * (to - from)).tan();
    (Corner { at: point(a, b, from), bulge }, point(a, b, to))
}

/// The point of a side at a share of its way.
pub(crate) fn point(a: Corner, b: DVec2, share: f64) -> DVec2 {
    if a.bulge.abs() < STRAIGHT {
        return a.at.lerp(b, share);
    }
    let (centre, radius, from, to) = arc_of(a.at, a.bulge, b);
    centre + DVec2::from_angle(from + (to - from) * share) * radius
}

/// Shares of a side's way, in order, at which it crosses y = `level` between its ends.
fn crossings(a: Corner, b: DVec2, level: f64) -> Vec<f64> {
    let mut shares = if a.bulge.abs() < STRAIGHT {
        vec![(level - a.at.y) / (b.y - a.at.y)]
    } else {
        let (centre, radius, from, to) = arc_of(a.at, a.bulge, b);
        let rise = ((level - centre.y) / radius).asin();
        let share = |angle: f64| ((angle - from) * (to - from).signum()).rem_euclid(std::f64::consts::TAU);
        [rise, std::f64::consts::PI - rise].map(|angle| share(angle) / (to - from).abs()).to_vec()
    };
    // A level side divides by nothing and an arc beyond reach has no angle: neither lies between the ends.
    shares.retain(|share| *share > 0.0 && *share < 1.0);
    shares.sort_by(f64::total_cmp);
    shares
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_disc_is_cut_at_its_chords() {
        let disc = Contour::circle(DVec2::new(2.0, 1.0), 5.0);
        let [low, high] = extent(&disc, 4.0, Part::Above);
        assert!((low + 2.0).abs() < 1e-12 && (high - 6.0).abs() < 1e-12, "{low} {high}");
        let [low, high] = extent(&disc, 4.0, Part::Below);
        assert!((low + 3.0).abs() < 1e-12 && (high - 7.0).abs() < 1e-12, "{low} {high}");
        let chain = below(&disc, -2.0);
        let ends = [chain[0].at, chain[chain.len() - 1].at];
        assert!(ends[0].distance(DVec2::new(-2.0, -2.0)) < 1e-12, "{ends:?}");
        assert!(ends[1].distance(DVec2::new(6.0, -2.0)) < 1e-12, "{ends:?}");
        // Circular segment: R²(α − sin α·cos α) with cos α = 3/5.
        let angle = 0.6_f64.acos();
        let due = 25.0 * (angle - angle.sin() * angle.cos());
        assert!((Contour { corners: chain }.area() - due).abs() < 1e-12);
    }
}
