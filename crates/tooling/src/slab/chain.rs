//! An outline as a lower and an upper chain from left to right, so that it can be cut across at any x.

use std::f64::consts::PI;

use glam::DVec2;

use crate::slab::contour::Contour;
use crate::slab::corner::{Corner, arc_of};

/// Lines and arcs from left to right; x never decreases along it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Chain {
    pub(crate) corners: Vec<Corner>,
    pub(crate) end: DVec2,
}

/// Rounding allowed when x values are compared, mm.
const SLACK: f64 = 1e-9;

/// The lower and the upper chain of a counter-clockwise contour that every upright line meets at most twice.
pub(crate) fn chains(contour: &Contour) -> [Chain; 2] {
    let corners = split_at_extremes(contour);
    let n = corners.len();
    let by_x = |a: &usize, b: &usize| corners[*a].at.x.total_cmp(&corners[*b].at.x);
    let first = (0..n).min_by(by_x).unwrap_or(0);
    let last = (0..n).max_by(by_x).unwrap_or(0);
    // Upright ends belong to neither chain: around the contour the left one runs down, the right one up.
    let level = |a: usize, b: usize| (corners[a].at.x - corners[b].at.x).abs() < SLACK;
    let along = |from: usize, step: usize| {
        (0..n).map(|k| (from + step * k) % n).take_while(|&i| level(i, from)).last().unwrap_or(from)
    };
    let chain = |from: usize, to: usize| {
        let run = (0..(to + n - from) % n).map(|k| corners[(from + k) % n]);
        Chain { corners: run.collect(), end: corners[to].at }
    };
    let lower = chain(along(first, 1), along(last, n - 1));
    let upper = chain(along(last, 1), along(first, n - 1));
    [lower, upper.reversed()]
}

/// The corners with arcs parted where they turn back in x.
fn split_at_extremes(contour: &Contour) -> Vec<Corner> {
    let mut all = Vec::new();
    for (a, b) in contour.sides() {
        all.push(a);
        if a.bulge.abs() < 1e-12 {
            continue;
        }
        let (centre, radius, from, to) = arc_of(a.at, a.bulge, b);
        let turn = to - from;
        let k = if turn > 0.0 { (from / PI).floor() + 1.0 } else { (from / PI).ceil() - 1.0 };
        let share = (k * PI - from) / turn;
        // A part under a millionth of the arc is rounding.
        if share > 1e-6 && share < 1.0 - 1e-6 {
            let part = |s: f64| (0.25 * turn * s).tan();
            if let Some(last) = all.last_mut() {
                last.bulge = part(share);
            }
            all.push(Corner { at: centre + DVec2::from_angle(k * PI) * radius, bulge: part(1.0 - share) });
        }
    }
    all
}

impl Chain {
    /// Through points.
    pub(crate) fn straight(points: &[DVec2], end: DVec2) -> Chain {
        Chain { corners: points.iter().map(|&p| Corner::sharp(p)).collect(), end }
    }

    pub(crate) fn start(&self) -> DVec2 {
        self.corners.first().map_or(self.end, |c| c.at)
    }

    fn sides(&self) -> impl Iterator<Item = (Corner, DVec2)> {
        let next = self.corners.iter().skip(1).map(|c| c.at).chain([self.end]);
        self.corners.iter().copied().zip(next)
    }

    /// The chain run through from right to left.
    pub(crate) fn reversed(&self) -> Chain {
        let mut corners: Vec<Corner> = self.sides().map(|(a, b)| Corner { at: b, bulge: -a.bulge }).collect();
        corners.reverse();
        Chain { corners, end: self.start() }
    }

    /// The height at x, between its ends.
    pub(crate) fn height(&self, x: f64) -> f64 {
        self.sides().find(|(_, b)| b.x >= x).map_or(self.end.y, |(a, b)| crossing(a, b, x).y)
    }

    /// The part between two x. Steps that stand upright at one of them belong to it.
    pub(crate) fn part(&self, from: f64, to: f64) -> Chain {
        let within = |a: &Corner, b: DVec2| {
            let upright = b.x - a.at.x < SLACK;
            if upright { from <= a.at.x && a.at.x <= to } else { b.x > from && a.at.x < to }
        };
        let (mut corners, mut end) = (Vec::new(), self.end);
        for (a, b) in self.sides().filter(|(a, b)| within(a, *b)) {
            let start = if a.at.x < from { crossing(a, b, from) } else { a.at };
            end = if b.x > to { crossing(a, b, to) } else { b };
            corners.push(Corner { at: start, bulge: part_bulge(a, b, start, end) });
        }
        Chain { corners, end }
    }
}

/// Where the way from `a` to `b` meets an upright line between them.
fn crossing(a: Corner, b: DVec2, x: f64) -> DVec2 {
    if b.x - a.at.x < SLACK {
        return b;
    }
    if a.bulge.abs() < 1e-12 {
        return DVec2::new(x, a.at.y + (b.y - a.at.y) * (x - a.at.x) / (b.x - a.at.x));
    }
    let (centre, radius, ..) = arc_of(a.at, a.bulge, b);
    let reach = (radius * radius - (x - centre.x).powi(2)).max(0.0).sqrt();
    // Run from left to right, a turn to the left is the lower half of its circle.
    DVec2::new(x, centre.y - reach.copysign(a.bulge))
}

/// The bulge of the part between two points of the way from `a` to `b`.
fn part_bulge(a: Corner, b: DVec2, start: DVec2, end: DVec2) -> f64 {
    if a.bulge.abs() < 1e-12 || (start == a.at && end == b) {
        return a.bulge;
    }
    let (_, radius, ..) = arc_of(a.at, a.bulge, b);
    let half = (0.5 * start.distance(end) / radius).min(1.0).asin();
    (0.5 * half).tan().copysign(a.bulge)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_disc_parts_into_halves_that_meet_its_equation() {
        let [lower, upper] = chains(&Contour::circle(DVec2::new(10.0, 5.0), 5.0));
        for x in [5.5, 8.0, 10.0, 14.9] {
            let half = (25.0 - (x - 10.0f64).powi(2)).sqrt();
            assert!(
                (lower.height(x) - (5.0 - half)).abs() < 1e-9
                    && (upper.height(x) - (5.0 + half)).abs() < 1e-9
            );
        }
        let part = upper.part(7.0, 13.0);
        assert!(part.start().distance(DVec2::new(7.0, 9.0)) < 1e-9);
        assert!(part.end.distance(DVec2::new(13.0, 9.0)) < 1e-9);
        let back = upper.reversed();
        assert!(back.start().distance(upper.end) < 1e-12 && back.end.distance(upper.start()) < 1e-12);
    }

    #[test]
    fn a_stepped_outline_keeps_its_upright_steps() {
        let p = |x, y| DVec2::new(x, y);
        let outline = Contour::polygon(&[
            p(-10.0, -1.0),
            p(0.0, -1.0),
            p(0.0, -4.0),
            p(30.0, -2.0),
            p(30.0, 2.0),
            p(0.0, 4.0),
            p(0.0, 1.0),
            p(-10.0, 1.0),
        ]);
        let [lower, upper] = chains(&outline);
        assert_eq!(lower.start(), p(-10.0, -1.0));
        assert_eq!(upper.start(), p(-10.0, 1.0));
        assert_eq!((lower.end, upper.end), (p(30.0, -2.0), p(30.0, 2.0)));
        assert!((lower.height(15.0) + 3.0).abs() < 1e-12);
        let middle = lower.part(-5.0, 15.0);
        assert_eq!(middle.corners.len(), 3);
        assert!(middle.end.distance(p(15.0, -3.0)) < 1e-12);
    }
}
