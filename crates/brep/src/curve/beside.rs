//! Plane paths moved sideways by one distance everywhere.

use glam::DVec2;

use super::path::{Path, Piece};
use crate::numeric::root::bracket;

/// How close (mm) a moved cubic keeps to its exact place: a twentieth of what sections are fitted to.
const FIT: f64 = 1e-6;
/// Halvings of a cubic at most: a 4096th of a blade's line is under a millimetre.
const HALVINGS: usize = 12;
/// A turn (rad) that is none: of a metre it moves the end by a nanometre.
const NO_TURN: f64 = 1e-9;
/// Halvings that shut a bracket of stations, whatever lies in it.
const SHUT: usize = 80;

impl Path {
    /// The path everywhere `by` mm to the left of this one (to the right below 0). Where a corner opens, both sides run
    /// straight on until they meet; where it closes, they end where they meet. `None` where the path turns tighter than it
    /// is moved, or a corner is left without a side.
    pub fn beside(&self, by: f64) -> Option<Path> {
        let mut moved: Option<Path> = None;
        for run in self.runs() {
            let run = Path::smooth(run.iter().map(|p| p.beside(by)).collect::<Option<Vec<_>>>()?.concat());
            moved = Some(match moved {
                Some(before) => before.met(run, by)?,
                None => run,
            });
        }
        moved
    }

    /// The path made to start at station `x`: cut there, or run straight back to it.
    pub fn started_at(&self, x: f64) -> Path {
        let (start, along) = (self.start(), self.pieces()[0].at(0.0).1.normalize_or(DVec2::X));
        let path = if x >= start.x { self.since(x) } else { self.led_in((start.x - x) / along.x) };
        path.snapped(x)
    }

    /// The path, whose start lies within rounding of station `x`, begun there to the last bit: what asks for that station
    /// must find it.
    fn snapped(&self, x: f64) -> Path {
        let mut pieces = self.pieces().to_vec();
        match pieces.first_mut() {
            Some(Piece::Straight(start, _) | Piece::Cubic([start, ..])) => start.x = x,
            Some(Piece::Arc(..)) | None => {}
        }
        Path::new(pieces, self.corners().to_vec())
    }

    /// The path up to station `x`.
    pub fn until(&self, x: f64) -> Path {
        let (i, t) = self.piece_at(x);
        let mut pieces = self.pieces()[..i].to_vec();
        if t > SLIVER || i == 0 {
            pieces.push(if t < 1.0 { self.pieces()[i].cut(t).0 } else { self.pieces()[i].clone() });
        }
        let corners = self.corners()[..pieces.len()].to_vec();
        Path::new(pieces, corners)
    }

    /// The path from station `x` on.
    fn since(&self, x: f64) -> Path {
        let (i, t) = self.piece_at(x);
        let mut pieces = self.pieces()[i..].to_vec();
        if t > SLIVER {
            pieces[0] = pieces[0].cut(t.min(1.0 - SLIVER)).1;
        }
        Path::new(pieces, self.corners()[i..].to_vec())
    }

    /// The path run straight on by `length` mm.
    pub fn led_on(&self, length: f64) -> Path {
        let (mut pieces, mut corners) = (self.pieces().to_vec(), self.corners().to_vec());
        let (end, along) = (self.end(), pieces[pieces.len() - 1].at(1.0).1.normalize_or(DVec2::X));
        let to = end + along * length;
        match pieces.last_mut() {
            _ if length <= 0.0 => {}
            Some(Piece::Straight(_, last)) => *last = to,
            _ => {
                pieces.push(Piece::Straight(end, to));
                if let Some(joint) = corners.last_mut() {
                    *joint = false;
                }
                corners.push(true);
            }
        }
        Path::new(pieces, corners)
    }

    /// The path run straight back by `length` mm before its start.
    fn led_in(&self, length: f64) -> Path {
        let (mut pieces, mut corners) = (self.pieces().to_vec(), self.corners().to_vec());
        let (start, along) = (self.start(), pieces[0].at(0.0).1.normalize_or(DVec2::X));
        let from = start - along * length;
        match pieces.first_mut() {
            _ if length <= 0.0 => {}
            Some(Piece::Straight(first, _)) => *first = from,
            _ => {
                pieces.insert(0, Piece::Straight(from, start));
                corners.insert(0, false);
            }
        }
        Path::new(pieces, corners)
    }

    /// The stretches between corners.
    fn runs(&self) -> Vec<&[Piece]> {
        let (mut runs, mut from) = (Vec::new(), 0);
        for (i, corner) in self.corners().iter().enumerate() {
            if *corner || i + 1 == self.pieces().len() {
                runs.push(&self.pieces()[from..=i]);
                from = i + 1;
            }
        }
        runs
    }

    /// A path without corners.
    fn smooth(pieces: Vec<Piece>) -> Path {
        let corners = (1..=pieces.len()).map(|i| i == pieces.len()).collect();
        Path::new(pieces, corners)
    }

    /// This path and one moved like it that begins beyond a corner, joined in that corner.
    fn met(self, next: Path, by: f64) -> Option<Path> {
        let turn = self.end_along().angle_to(next.start_along());
        if turn * by < -NO_TURN {
            let lead = by.abs() * (0.5 * turn.abs()).tan();
            return Some(self.led_on(lead).followed(next.led_in(lead)));
        }
        if turn * by <= NO_TURN {
            return Some(self.followed(next));
        }
        let x = self.crossing(&next)?;
        Some(self.until(x).followed(next.since(x)))
    }

    /// The station at which this path's last stretch crosses the first of `next`.
    fn crossing(&self, next: &Path) -> Option<f64> {
        let (low, high) = (self.start().x.max(next.start().x), self.end().x.min(next.end().x));
        let over = |x: f64| self.at_station(x).y > next.at_station(x).y;
        if low >= high || over(low) == over(high) {
            return None;
        }
        let rises = over(high);
        let (low, high) = bracket(low, high, SHUT, |x| over(x) == rises);
        Some(0.5 * (low + high))
    }

    fn followed(self, next: Path) -> Path {
        let pieces = [self.pieces(), next.pieces()].concat();
        let corners = [self.corners(), next.corners()].concat();
        Path::new(pieces, corners)
    }

    fn end_along(&self) -> DVec2 {
        self.pieces()[self.pieces().len() - 1].at(1.0).1
    }

    fn start_along(&self) -> DVec2 {
        self.pieces()[0].at(0.0).1
    }
}

/// A part of a piece's parameter that is no piece of its own.
const SLIVER: f64 = 1e-9;

impl Piece {
    /// The piece moved `by` mm to its left, in as many pieces as keep it there; `None` where it turns tighter to the left.
    fn beside(&self, by: f64) -> Option<Vec<Piece>> {
        match *self {
            Piece::Straight(a, b) => Some(vec![self.moved((b - a).normalize_or(DVec2::X).perp() * by)]),
            Piece::Arc(centre, radius, from, to) => {
                let radius = radius - by * (to - from).signum();
                (radius > FIT).then(|| vec![Piece::Arc(centre, radius, from, to)])
            }
            Piece::Cubic(_) => {
                let mut pieces = Vec::new();
                self.cubic_beside(by, [0.0, 1.0], HALVINGS, &mut pieces)?;
                Some(pieces)
            }
        }
    }

    /// The part of a cubic between two parameters, moved: one cubic with its ends and directions, or two halves.
    fn cubic_beside(
        &self,
        by: f64,
        [from, to]: [f64; 2],
        halvings: usize,
        into: &mut Vec<Piece>,
    ) -> Option<()> {
        let ([a, along_a], [b, along_b]) = (self.point_beside(by, from)?, self.point_beside(by, to)?);
        let third = (to - from) / 3.0;
        let cubic = Piece::Cubic([a, a + along_a * third, b - along_b * third, b]);
        let middle = 0.5 * (from + to);
        let off = |share: f64| -> Option<f64> {
            let [exact, along] = self.point_beside(by, from + (to - from) * share)?;
            // Along the line a piece may run faster or slower; what counts is how far beside it lies.
            Some((cubic.at(share).0 - exact).perp_dot(along.normalize_or(DVec2::X)).abs())
        };
        if halvings == 0 || off(0.5)?.max(off(0.27)?) < FIT {
            into.push(cubic);
            return Some(());
        }
        self.cubic_beside(by, [from, middle], halvings - 1, into)?;
        self.cubic_beside(by, [middle, to], halvings - 1, into)
    }

    /// Point and derivative of the moved line at `t`: C + n·by and C′·(1 − κ·by), by Frenet's n′ = −κ·|C′|·(C′/|C′|).
    fn point_beside(&self, by: f64, t: f64) -> Option<[DVec2; 2]> {
        let (point, slope) = self.at(t);
        let shrunk = 1.0 - by * self.curvature(t);
        (shrunk > 0.0).then(|| [point + slope.normalize_or(DVec2::X).perp() * by, slope * shrunk])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn least_distance(path: &Path, p: DVec2) -> f64 {
        let points = path.pieces().iter().flat_map(|q| (0..=4000).map(|i| q.at(f64::from(i) / 4000.0).0));
        points.map(|q| q.distance(p)).fold(f64::INFINITY, f64::min)
    }

    /// Every point of a moved line lies as far from the line as asked for; corners open to a mitre and close to a crossing.
    #[test]
    fn a_moved_line_is_as_far_off_as_asked_for() {
        let points =
            [(0.0, 30.0), (60.0, 34.0), (120.0, 31.0), (180.0, 20.0)].map(|p| (DVec2::from(p), false));
        let curve = Path::through(&points);
        for by in [-2.0, 0.7, 3.0] {
            let moved = curve.beside(by).unwrap();
            for piece in moved.pieces() {
                for t in [0.0, 0.2, 0.5, 0.9] {
                    let p = piece.at(t).0;
                    let inside = p.x > 5.0 && p.x < 175.0;
                    assert!(!inside || (least_distance(&curve, p) - by.abs()).abs() < 1e-4, "{by} {p}");
                }
            }
        }
        assert_eq!(curve.beside(0.0).unwrap().start(), curve.start());
    }

    #[test]
    fn corners_open_to_a_mitre_and_close_to_a_crossing() {
        let bent =
            |y: f64| Path::through(&[(0.0, 0.0), (100.0, 0.0), (200.0, y)].map(|p| (DVec2::from(p), true)));
        for (y, by) in [(-60.0, 2.0), (60.0, 2.0), (-60.0, -2.0), (60.0, -2.0)] {
            let moved = bent(y).beside(by).unwrap();
            assert_eq!(moved.pieces().len(), 2);
            let half = 0.5 * (0.01 * y).atan();
            // On the corner's bisector, the distance over the cosine of half the turn away.
            let at = moved.pieces()[0].at(1.0).0;
            assert!((at - DVec2::new(100.0 - by * half.tan(), by)).length() < 1e-9, "{y} {by}: {at}");
            assert_eq!(moved.joints(), vec![(at.x, true)]);
        }
    }

    #[test]
    fn a_hollow_tighter_than_the_move_is_refused() {
        let hollow = Path::new(vec![Piece::Arc(DVec2::new(0.0, 5.0), 5.0, -2.0, -1.0)], vec![true]);
        assert!(
            hollow.beside(6.0).is_none() && hollow.beside(4.0).is_some() && hollow.beside(-6.0).is_some()
        );
        let notch = [(0.0, 0.0), (10.0, 0.0), (10.5, -2.0), (11.0, 0.0), (20.0, 0.0)];
        assert!(Path::through(&notch.map(|p| (DVec2::from(p), true))).beside(5.0).is_none());
    }

    #[test]
    fn paths_start_and_end_where_asked() {
        let path = Path::through(&[(0.0, 0.0), (50.0, 2.0), (100.0, 0.0)].map(|p| (DVec2::from(p), false)));
        for x in [-3.0, 0.0, 20.0, 50.0] {
            let cut = path.started_at(x);
            assert!(cut.start().x.total_cmp(&x).is_eq() && cut.end() == path.end(), "{x}");
            assert!(x < 0.0 || (cut.start() - path.at_station(x)).length() < 1e-9);
        }
        let on = path.until(70.0).led_on(10.0);
        assert!((on.until(70.0).end() - path.at_station(70.0)).length() < 1e-9);
        assert!(on.end().x > 79.0 && (on.length() - path.length_at(70.0) - 10.0).abs() < 1e-6);
    }
}
