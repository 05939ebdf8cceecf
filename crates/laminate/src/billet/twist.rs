//! How a bar is twisted along its length.

use std::f64::consts::TAU;

/// Which way a bar is twisted. A right-hand twist runs like a common screw's thread, whichever end is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// Like a common screw.
    Right,
    /// The other way.
    Left,
}

impl Hand {
    fn sign(self) -> f64 {
        if self == Hand::Right { 1.0 } else { -1.0 }
    }
}

/// A stretch of a bar that is twisted evenly, or left straight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// Length of the bar it takes, mm; `None` for what is left of the bar.
    pub length: Option<f64>,
    /// The hand, and turns per mm of the bar; `None` where the bar stays straight.
    pub twist: Option<(Hand, f64)>,
}

impl Turn {
    /// Turn per length, rad/mm, right-hand positive.
    pub fn rate(&self) -> f64 {
        self.twist.map_or(0.0, |(hand, turns)| hand.sign() * turns * TAU)
    }
}

/// A bar's twist from the shoulder on. In the tang, and beyond the last stretch, the bar is straight.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Program {
    phase: f64,
    /// Start (mm) and angle (rad) of each stretch, and its rate (rad/mm).
    stretches: Vec<(f64, f64, f64)>,
}

impl Program {
    /// The stretches one after the other, with the angle (rad) at which the bar starts. Lengths must be positive;
    /// stretches after one without a length are never reached.
    pub fn new(phase: f64, turns: &[Turn]) -> Self {
        let (mut at, mut angle) = (0.0, phase);
        let mut stretches = Vec::new();
        for turn in turns {
            stretches.push((at, angle, turn.rate()));
            let Some(length) = turn.length else { return Program { phase, stretches } };
            at += length;
            angle += turn.rate() * length;
        }
        stretches.push((at, angle, 0.0));
        Program { phase, stretches }
    }

    /// How far the bar is turned at `along` (mm from the shoulder), rad, right-hand positive.
    pub fn angle(&self, along: f64) -> f64 {
        self.stretch(along).map_or(self.phase, |(start, angle, rate)| angle + rate * (along - start))
    }

    /// Turn per length there, rad/mm, right-hand positive; at a border that of the stretch ahead.
    pub fn rate(&self, along: f64) -> f64 {
        self.stretch(along).map_or(0.0, |s| s.2)
    }

    /// Whether the bar is twisted anywhere.
    pub fn is_twisted(&self) -> bool {
        self.stretches.iter().any(|s| s.2.abs() > 0.0)
    }

    /// Where stretches begin (mm from the shoulder) with their rates (rad/mm), the last one running on.
    pub fn starts(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.stretches.iter().map(|s| (s.0, s.2))
    }

    fn stretch(&self, along: f64) -> Option<(f64, f64, f64)> {
        let i = self.stretches.partition_point(|s| s.0 <= along);
        i.checked_sub(1).map(|i| self.stretches[i])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn interrupted() -> Program {
        let turn = |length, twist| Turn { length, twist };
        Program::new(
            0.5,
            &[
                turn(Some(40.0), Some((Hand::Right, 0.05))),
                turn(Some(20.0), None),
                turn(None, Some((Hand::Left, 0.1))),
            ],
        )
    }

    #[test]
    fn angles_add_up_and_stand_still_where_straight() {
        let program = interrupted();
        let turns = |s: f64| (program.angle(s) - 0.5) / TAU;
        assert!((turns(-30.0)).abs() < 1e-15 && turns(0.0).abs() < 1e-15);
        assert!((turns(20.0) - 1.0).abs() < 1e-12 && (turns(40.0) - 2.0).abs() < 1e-12);
        assert!((turns(55.0) - 2.0).abs() < 1e-12 && (turns(70.0) - 1.0).abs() < 1e-12);
        assert!(program.rate(39.0) > 0.0 && program.rate(41.0).abs() < 1e-15 && program.rate(61.0) < 0.0);
    }

    #[test]
    fn a_bar_without_stretches_is_straight() {
        let program = Program::new(0.3, &[]);
        assert!(!program.is_twisted() && (program.angle(500.0) - 0.3).abs() < 1e-15);
        assert!(interrupted().is_twisted());
    }
}
