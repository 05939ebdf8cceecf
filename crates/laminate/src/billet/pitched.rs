//! A stretch of a bar that turns by a pitch on the finished blade.

use crate::billet::pitch::Pitch;

/// A cubic of the angle over the place along the bar, by values and slopes at its ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct AnglePiece {
    /// Places along the bar of its ends, mm of the stack, increasing.
    pub(crate) along: [f64; 2],
    /// Angles there, rad.
    pub(crate) angle: [f64; 2],
    /// Turn per length there, rad/mm.
    pub(crate) rate: [f64; 2],
}

impl AnglePiece {
    fn length(&self) -> f64 {
        self.along[1] - self.along[0]
    }

    /// The angle at `along`, rad, by Hermite's cubic.
    pub(crate) fn at(&self, along: f64) -> f64 {
        let h = self.length();
        let t = (along - self.along[0]) / h;
        let (s, [a, b], [p, q]) = (1.0 - t, self.angle, self.rate);
        a + (b - a) * t * t * (3.0 - 2.0 * t) + h * t * s * (p * s - q * t)
    }

    /// Its slope there, rad/mm.
    fn rate(&self, along: f64) -> f64 {
        let h = self.length();
        let t = (along - self.along[0]) / h;
        let (s, [a, b], [p, q]) = (1.0 - t, self.angle, self.rate);
        6.0 * (b - a) / h * t * s + p * s * (1.0 - 3.0 * t) + q * t * (3.0 * t - 2.0)
    }
}

/// A stretch of a bar that turns by a pitch on the finished blade: turns per length of the bar grow as the bar is drawn
/// out further. Beyond the last station that the pitch is kept to, they stay as they are there.
#[derive(Clone, Debug, PartialEq)]
pub struct Pitched {
    pitch: Pitch,
    stations: [f64; 2],
    /// At least one, each beginning where the one before ends.
    pieces: Vec<AnglePiece>,
}

impl Pitched {
    pub(crate) fn new(pitch: Pitch, stations: [f64; 2], pieces: Vec<AnglePiece>) -> Pitched {
        Pitched { pitch, stations, pieces }
    }

    /// The same with other angles, and rates `times` as great.
    pub(crate) fn altered(&self, angle: impl Fn(f64) -> f64, times: f64) -> Pitched {
        let piece = |p: &AnglePiece| AnglePiece {
            along: p.along,
            angle: p.angle.map(&angle),
            rate: p.rate.map(|rate| times * rate),
        };
        Pitched { pieces: self.pieces.iter().map(piece).collect(), ..self.clone() }
    }

    /// What was asked for.
    pub fn pitch(&self) -> &Pitch {
        &self.pitch
    }

    /// Stations between which the pitch is kept to, mm: up to one breadth before the point at most.
    pub fn stations(&self) -> [f64; 2] {
        self.stations
    }

    /// The angle at `along` (mm of the stack), rad, right-hand positive.
    pub(crate) fn angle(&self, along: f64) -> f64 {
        let piece = self.piece(along);
        if along > piece.along[1] {
            piece.angle[1] + piece.rate[1] * (along - piece.along[1])
        } else {
            piece.at(along)
        }
    }

    /// Turn per length there, rad/mm.
    pub(crate) fn rate(&self, along: f64) -> f64 {
        let piece = self.piece(along);
        if along > piece.along[1] { piece.rate[1] } else { piece.rate(along) }
    }

    fn piece(&self, along: f64) -> &AnglePiece {
        let i = self.pieces.partition_point(|p| p.along[0] <= along).saturating_sub(1);
        &self.pieces[i]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Hermite's cubic through a cubic is that cubic: s³ − 2s from 1 to 3.
    #[test]
    fn a_cubic_is_itself() {
        let (f, slope) = (|s: f64| s.powi(3) - 2.0 * s, |s: f64| 3.0 * s * s - 2.0);
        let piece = AnglePiece { along: [1.0, 3.0], angle: [f(1.0), f(3.0)], rate: [slope(1.0), slope(3.0)] };
        let run = Pitched::new(Pitch::even(1.0), [0.0, 1.0], vec![piece]);
        for s in [1.0, 1.3, 2.0, 2.9, 3.0] {
            assert!((run.angle(s) - f(s)).abs() < 1e-12 && (run.rate(s) - slope(s)).abs() < 1e-12, "{s}");
        }
        assert!(
            (run.angle(4.0) - (f(3.0) + slope(3.0))).abs() < 1e-12
                && (run.rate(4.0) - slope(3.0)).abs() < 1e-12
        );
    }
}
