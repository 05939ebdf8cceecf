//! A sheet that stands square on the blade's side: a surface parallel to z over a line of the (x, y) plane.

use glam::{DVec2, DVec3};

use crate::curve::{Spline, cubic_point};
use crate::numeric::root::zero;
use crate::strip::station_on;

/// A sheet over a line along which x grows, of pieces that meet end to end. Before its start and beyond its end it goes
/// on level.
#[derive(Clone, Debug)]
pub struct SplitSheet {
    pieces: Vec<Spline<DVec2>>,
}

/// Points nearer to a sheet than this (mm) are held against it to the last bit, which takes ten times as long: a
/// micrometre, far above what Newton's way leaves and far under what a blade measures.
const NEAR: f64 = 1e-3;

/// Halvings of a piece at most: what is left is shorter than a micrometre.
const HALVINGS: usize = 20;

impl SplitSheet {
    /// The sheet through the heights `y` at stations from the first to the last of `corners` (mm, increasing, at least
    /// two), true to `tolerance` (mm); y is continuous, and smooth between corners. In the last piece y may end as steeply as a root.
    pub fn through(corners: &[f64], tolerance: f64, y: impl Fn(f64) -> f64) -> SplitSheet {
        let last = corners.len().saturating_sub(2);
        let pieces = corners.windows(2).enumerate().map(|(i, pair)| {
            let (from, rest) = (pair[0], pair[1] - pair[0]);
            let place = |t: f64| {
                // With the square of what is left a root becomes straight.
                let x = if i == last { pair[1] - rest * (1.0 - t) * (1.0 - t) } else { from + rest * t };
                DVec2::new(x, y(x.clamp(pair[0], pair[1])))
            };
            fitted(&place, tolerance)
        });
        SplitSheet { pieces: pieces.collect() }
    }

    /// The pieces.
    pub fn pieces(&self) -> &[Spline<DVec2>] {
        &self.pieces
    }

    /// Stations at which pieces meet, mm.
    pub fn corners(&self) -> impl Iterator<Item = f64> + '_ {
        self.pieces.iter().skip(1).map(|p| p.points()[0].x)
    }

    /// Height at station `x`, mm.
    pub fn y(&self, x: f64) -> f64 {
        let (piece, t) = self.place(x);
        piece.point(t).y
    }

    /// How far a point lies above the sheet, mm along y: to the last bit within a micrometre, beyond it as closely as
    /// a side needs to be told.
    pub fn over(&self, p: DVec2) -> f64 {
        let piece = self.piece(p.x);
        let line = |t: f64| {
            let (at, slope) = piece.at(t);
            (at.extend(0.0), slope.extend(0.0), DVec3::ZERO)
        };
        let over = p.y - station_on(line, piece.domain(), p.x, None).1.y;
        if over.abs() > NEAR { over } else { p.y - self.y(p.x) }
    }

    /// The piece that holds station `x`, the nearest beyond the ends, and the parameter there.
    pub fn place(&self, x: f64) -> (&Spline<DVec2>, f64) {
        let piece = self.piece(x);
        (piece, parameter(piece, x))
    }

    fn piece(&self, x: f64) -> &Spline<DVec2> {
        let i = self.pieces.partition_point(|p| p.points()[0].x <= x).saturating_sub(1);
        &self.pieces[i]
    }
}

/// The parameter at which a plan line stands at station `x`, clamped to its ends.
pub(super) fn parameter(line: &Spline<DVec2>, x: f64) -> f64 {
    let (from, to) = line.domain();
    if x <= line.points()[0].x {
        return from;
    }
    if x >= line.points()[line.points().len() - 1].x {
        return to;
    }
    zero(from, to, |t| line.point(t).x - x)
}

/// Cubics from 0 to 1 through a line, halved until they keep to it.
fn fitted(place: &impl Fn(f64) -> DVec2, tolerance: f64) -> Spline<DVec2> {
    let mut breaks = vec![0.0];
    let mut curves = Vec::new();
    halved(place, 0.0, 1.0, tolerance, HALVINGS, &mut breaks, &mut curves);
    Spline::chain(&breaks, &curves)
}

/// Cubics through a curve from one parameter to the other, halved until each lies within the tolerance, or as often
/// as allowed.
fn halved(
    place: &impl Fn(f64) -> DVec2,
    from: f64,
    to: f64,
    tolerance: f64,
    halvings: usize,
    breaks: &mut Vec<f64>,
    curves: &mut Vec<[DVec2; 4]>,
) {
    let curve = cubic(place, from, to);
    let off = |t: f64| cubic_point(curve, t).distance(place(from + (to - from) * t)) > tolerance;
    if halvings > 0 && [0.25, 0.5, 0.75].into_iter().any(off) {
        let middle = 0.5 * (from + to);
        halved(place, from, middle, tolerance, halvings - 1, breaks, curves);
        halved(place, middle, to, tolerance, halvings - 1, breaks, curves);
    } else {
        breaks.push(to);
        curves.push(curve);
    }
}

/// The cubic with the line's ends and slopes, by one-sided differences of the second order into the piece.
fn cubic(place: &impl Fn(f64) -> DVec2, from: f64, to: f64) -> [DVec2; 4] {
    // A thousandth of the piece: the differences' own error is under a millionth of its length.
    let h = (to - from) / 1000.0;
    let (a, b) = (place(from), place(to));
    let slope = |at: f64, h: f64| (place(at + h) * 4.0 - place(at) * 3.0 - place(at + 2.0 * h)) / (2.0 * h);
    let third = (to - from) / 3.0;
    [a, a + slope(from, h) * third, b - slope(to, -h) * third, b]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sheets_follow_lines_corners_and_roots() {
        let y = |x: f64| {
            if x < 40.0 {
                3.0 + 0.1 * x + 0.3 * (x / 9.0).sin()
            } else {
                3.0 + 4.0 + 0.3 * (40.0f64 / 9.0).sin() - (x - 40.0) / 20.0 + (100.0 - x).max(0.0).sqrt()
                    - 60.0f64.sqrt()
            }
        };
        let sheet = SplitSheet::through(&[0.0, 40.0, 100.0], 1e-4, y);
        for i in 0..=1000 {
            let x = 0.1 * f64::from(i);
            assert!((sheet.y(x) - y(x)).abs() < 1e-3, "{x} {}", sheet.y(x) - y(x));
        }
        assert!((sheet.y(-5.0) - y(0.0)).abs() < 1e-12 && (sheet.y(105.0) - y(100.0)).abs() < 1e-12);
        assert_eq!(sheet.corners().collect::<Vec<_>>(), [40.0]);
        for (x, off) in [(-5.0, 2.0), (0.0, 1e-7), (39.9, -0.3), (40.0, -1e-7), (99.999, 1e-2), (105.0, -4.0)]
        {
            let over = sheet.over(DVec2::new(x, sheet.y(x) + off));
            assert!((over - off).abs() < 1e-9, "{x} {off} {over}");
        }
    }
}
