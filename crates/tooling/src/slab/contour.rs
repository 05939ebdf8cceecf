//! Closed plane contours of straight lines and circular arcs: what plates, slots and engravings are cut from.

use brep::Piece;
use cavalier_contours::polyline::{PlineSource, PlineSourceMut, Polyline};
use glam::DVec2;

use crate::slab::biarc;
use crate::slab::corner::{Corner, QUARTER, arc_of};

/// A closed contour without crossings: corner after corner, counter-clockwise where it bounds material from outside.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    /// The corners, at least two; the last leads back to the first.
    pub corners: Vec<Corner>,
}

/// A region: an outer contour and the islands left standing in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Region {
    /// The outer contour, counter-clockwise.
    pub outer: Contour,
    /// The islands, counter-clockwise too; disjoint, inside the outer contour.
    pub islands: Vec<Contour>,
}

/// A turn about the origin, then a shift.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Motion {
    /// The turn to the left, rad.
    pub turn: f64,
    /// The shift, mm.
    pub shift: DVec2,
}

impl Motion {
    /// Without turning.
    pub fn shift(by: DVec2) -> Motion {
        Motion { turn: 0.0, shift: by }
    }

    /// Where a point comes to lie.
    pub fn of(&self, p: DVec2) -> DVec2 {
        DVec2::from_angle(self.turn).rotate(p) + self.shift
    }
}

/// Corners nearer to each other than this (mm) are one: a hundredth of what a printer resolves.
const SAME: f64 = 1e-4;

impl Contour {
    /// Straight lines between points.
    pub fn polygon(points: &[DVec2]) -> Contour {
        Contour { corners: points.iter().map(|&p| Corner::sharp(p)).collect() }
    }

    /// The rectangle between two corners, counter-clockwise if `low` is below and left of `high`.
    pub fn rectangle(low: DVec2, high: DVec2) -> Contour {
        Contour::polygon(&[low, DVec2::new(high.x, low.y), high, DVec2::new(low.x, high.y)])
    }

    /// A circle as four quarters, counter-clockwise.
    pub fn circle(centre: DVec2, radius: f64) -> Contour {
        let quarter = |i: i32| DVec2::from_angle(f64::from(i) * std::f64::consts::FRAC_PI_2) * radius;
        Contour { corners: (0..4).map(|i| Corner { at: centre + quarter(i), bulge: QUARTER }).collect() }
    }

    /// Closed pieces, cubic curves as arcs within `biarc::FIT` of them.
    pub fn of_pieces(pieces: &[Piece]) -> Contour {
        Contour { corners: merged(chain(pieces)) }
    }

    /// Corners as they are, those that coincide with the next one left out.
    pub(crate) fn of_corners(corners: Vec<Corner>) -> Contour {
        Contour { corners: merged(corners) }
    }

    /// Each corner with the next one's place.
    pub fn sides(&self) -> impl Iterator<Item = (Corner, DVec2)> {
        let next = self.corners.iter().cycle().skip(1);
        self.corners.iter().zip(next).map(|(a, b)| (*a, b.at))
    }

    /// Signed area, mm²: positive when counter-clockwise.
    pub fn area(&self) -> f64 {
        let side = |(a, b): (Corner, DVec2)| {
            let straight = 0.5 * a.at.perp_dot(b);
            let theta = 4.0 * a.bulge.atan();
            let segment = if a.bulge.abs() < 1e-12 {
                0.0
            } else {
                let radius = arc_of(a.at, a.bulge, b).1;
                0.5 * radius * radius * (theta - theta.sin())
            };
            straight + segment
        };
        self.sides().map(side).sum()
    }

    /// Length around, mm.
    pub fn length(&self) -> f64 {
        let side = |(a, b): (Corner, DVec2)| {
            let theta = 4.0 * a.bulge.atan();
            let chord = a.at.distance(b);
            if theta.abs() < 1e-9 { chord } else { chord * (0.5 * theta) / (0.5 * theta).sin() }
        };
        self.sides().map(side).sum()
    }

    /// Least and greatest coordinates, mm.
    pub fn bounds(&self) -> [DVec2; 2] {
        let mut range = [DVec2::INFINITY, DVec2::NEG_INFINITY];
        let mut take = |p: DVec2| range = [range[0].min(p), range[1].max(p)];
        for (a, b) in self.sides() {
            take(a.at);
            if a.bulge.abs() > 1e-12 {
                let (centre, radius, from, to) = arc_of(a.at, a.bulge, b);
                let quarter = std::f64::consts::FRAC_PI_2;
                let (low, high) = (from.min(to), from.max(to));
                let first = (low / quarter).ceil() as i64;
                let last = (high / quarter).floor() as i64;
                (first..=last).for_each(|i| take(centre + DVec2::from_angle(i as f64 * quarter) * radius));
            }
        }
        range
    }

    /// The contour run through the other way.
    pub fn reversed(&self) -> Contour {
        let n = self.corners.len();
        let corner = |i: usize| {
            let (here, before) = (self.corners[n - 1 - i], self.corners[(2 * n - 2 - i) % n]);
            Corner { at: here.at, bulge: -before.bulge }
        };
        Contour { corners: (0..n).map(corner).collect() }
    }

    /// Turned and shifted.
    pub fn moved(&self, motion: &Motion) -> Contour {
        let corner = |c: &Corner| Corner { at: motion.of(c.at), bulge: c.bulge };
        Contour { corners: self.corners.iter().map(corner).collect() }
    }

    /// The contour as pieces for a drawing.
    pub fn pieces(&self) -> Vec<Piece> {
        let piece = |(a, b): (Corner, DVec2)| {
            if a.bulge.abs() < 1e-12 {
                return Piece::Straight(a.at, b);
            }
            let (centre, radius, from, to) = arc_of(a.at, a.bulge, b);
            Piece::Arc(centre, radius, from, to)
        };
        self.sides().map(piece).collect()
    }

    /// The contours `by` mm further out (further in if negative) of a counter-clockwise one, arcs around its corners.
    /// None or several when it vanishes or parts.
    pub fn grown(&self, by: f64) -> Vec<Contour> {
        let outcome = self.polyline().parallel_offset(-by);
        outcome.iter().map(of_polyline).filter(|c| c.corners.len() > 1).collect()
    }

    /// As the library for offsets has it.
    pub(crate) fn polyline(&self) -> Polyline<f64> {
        let mut line = Polyline::new_closed();
        for c in &self.corners {
            line.add(c.at.x, c.at.y, c.bulge);
        }
        line
    }

    /// So many times as large, about the origin.
    pub fn scaled(&self, factor: f64) -> Contour {
        let corner = |c: &Corner| Corner { at: c.at * factor, bulge: c.bulge };
        Contour { corners: self.corners.iter().map(corner).collect() }
    }

    /// Whether a point lies inside, by its winding.
    pub fn contains(&self, p: DVec2) -> bool {
        self.polyline().winding_number(cavalier_contours::core::math::Vector2::new(p.x, p.y)) != 0
    }
}

impl Region {
    /// Turned and shifted.
    pub fn moved(&self, motion: &Motion) -> Region {
        Region {
            outer: self.outer.moved(motion),
            islands: self.islands.iter().map(|c| c.moved(motion)).collect(),
        }
    }
}

/// What the library for offsets made.
pub(crate) fn of_polyline(line: &Polyline<f64>) -> Contour {
    let corners = line.iter_vertexes().map(|v| Corner { at: DVec2::new(v.x, v.y), bulge: v.bulge }).collect();
    Contour { corners: merged(corners) }
}

/// The corners of an open chain of pieces, without its last point.
pub(crate) fn chain(pieces: &[Piece]) -> Vec<Corner> {
    pieces.iter().flat_map(biarc::corners).collect()
}

/// Corners that coincide with the next one left out.
fn merged(corners: Vec<Corner>) -> Vec<Corner> {
    let next: Vec<DVec2> = corners.iter().cycle().skip(1).take(corners.len()).map(|c| c.at).collect();
    corners.iter().zip(next).filter(|(c, n)| c.at.distance(*n) > SAME).map(|(c, _)| *c).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    #[test]
    fn circles_and_rectangles_have_their_closed_forms() {
        let disc = Contour::circle(DVec2::new(3.0, -2.0), 5.0);
        assert!((disc.area() - 25.0 * PI).abs() < 1e-12 && (disc.length() - 10.0 * PI).abs() < 1e-12);
        let [low, high] = disc.moved(&Motion { turn: 0.3, shift: DVec2::ZERO }).bounds();
        assert!((high - low - DVec2::splat(10.0)).length() < 1e-12);
        assert!((disc.reversed().area() + 25.0 * PI).abs() < 1e-12);
        let slab = Contour::rectangle(DVec2::ZERO, DVec2::new(30.0, 4.0));
        assert!((slab.area() - 120.0).abs() < 1e-12 && (slab.length() - 68.0).abs() < 1e-12);
    }

    #[test]
    fn growing_by_a_gap_adds_steiners_area() {
        // Steiner: area + length·c + π c² for a convex outline.
        let slab = Contour::rectangle(DVec2::ZERO, DVec2::new(30.0, 4.0));
        let grown = slab.grown(0.25);
        assert_eq!(grown.len(), 1);
        assert!((grown[0].area() - (120.0 + 68.0 * 0.25 + PI * 0.0625)).abs() < 1e-9);
        let shrunk = slab.grown(-1.0);
        assert!((shrunk[0].area() - 28.0 * 2.0).abs() < 1e-9);
        assert!(slab.grown(-3.0).is_empty());
        assert!(slab.contains(DVec2::new(1.0, 1.0)) && !slab.contains(DVec2::new(1.0, 5.0)));
    }
}
