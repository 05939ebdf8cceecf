//! How a bar is twisted along its length.

use std::f64::consts::TAU;

use crate::billet::pitch::Pitch;
use crate::billet::pitched::Pitched;

/// Which way a bar is twisted. A right-hand twist runs like a common screw's thread, whichever end is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// Like a common screw.
    Right,
    /// The other way.
    Left,
}

impl Hand {
    pub(crate) fn sign(self) -> f64 {
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

/// Where a stretch of twist lies on its bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Place {
    /// After the one before it, this long on the bar in the stack, mm; `None` for what is left of the bar.
    Length(Option<f64>),
    /// Between two stations of the finished blade, mm, increasing, on the blade.
    Stations([f64; 2]),
}

/// How a stretch is twisted.
#[derive(Clone, Debug, PartialEq)]
pub enum Winding {
    /// Not at all.
    Straight,
    /// By so many turns per mm of the bar in the stack.
    Turns(Hand, f64),
    /// By a pitch on the finished blade.
    Pitch(Hand, Pitch),
}

/// A stretch of twist as it is asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// Where it lies.
    pub place: Place,
    /// How it is twisted.
    pub winding: Winding,
}

/// How a stretch turns along its bar.
#[derive(Clone, Debug, PartialEq)]
enum Way {
    /// Evenly, rad/mm.
    Even(f64),
    /// As a pitch on the blade asks.
    Pitched(Pitched),
}

/// A stretch of a program: it reaches to where the next one starts.
#[derive(Clone, Debug, PartialEq)]
struct Stretch {
    /// Where it starts, mm of the stack, and the angle there, rad.
    start: f64,
    angle: f64,
    way: Way,
}

impl Stretch {
    fn angle(&self, along: f64) -> f64 {
        match &self.way {
            Way::Even(rate) => self.angle + rate * (along - self.start),
            Way::Pitched(run) => run.angle(along),
        }
    }

    fn rate(&self, along: f64) -> f64 {
        match &self.way {
            Way::Even(rate) => *rate,
            Way::Pitched(run) => run.rate(along),
        }
    }

    /// Whether the bar turns along it.
    fn turns(&self) -> bool {
        match self.way {
            Way::Even(rate) => rate.abs() > 0.0,
            Way::Pitched(_) => true,
        }
    }
}

/// A bar's twist from the shoulder on. In the tang, and beyond the last stretch, the bar is straight.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Program {
    phase: f64,
    stretches: Vec<Stretch>,
}

impl Program {
    /// The stretches one after the other, with the angle (rad) at which the bar starts. Lengths must be positive;
    /// stretches after one without a length are never reached.
    pub fn new(phase: f64, turns: &[Turn]) -> Self {
        let (mut at, mut angle) = (0.0, phase);
        let mut stretches = Vec::new();
        for turn in turns {
            stretches.push(Stretch { start: at, angle, way: Way::Even(turn.rate()) });
            let Some(length) = turn.length else { return Program { phase, stretches } };
            at += length;
            angle += turn.rate() * length;
        }
        stretches.push(Stretch { start: at, angle, way: Way::Even(0.0) });
        Program { phase, stretches }
    }

    /// Straight, at an angle (rad), until stretches are added.
    pub(crate) fn starting(phase: f64) -> Self {
        Program { phase, stretches: Vec::new() }
    }

    /// Goes on from `start` (mm, not before the last stretch's start) at a rate, rad/mm.
    pub(crate) fn turn_on(&mut self, start: f64, rate: f64) {
        let angle = self.reached(start);
        self.stretches.push(Stretch { start, angle, way: Way::Even(rate) });
    }

    /// The same by a pitch, whose pieces begin at `start` with the angle [`Program::reached`] there.
    pub(crate) fn turn_by(&mut self, start: f64, run: Pitched) {
        let angle = self.reached(start);
        self.stretches.push(Stretch { start, angle, way: Way::Pitched(run) });
    }

    /// The angle that the stretches so far lead to at `along`, rad.
    pub(crate) fn reached(&self, along: f64) -> f64 {
        self.stretches.last().map_or(self.phase, |last| last.angle(along))
    }

    /// The same begun `by` further (rad), and with `times` as many turns everywhere.
    pub fn altered(&self, by: f64, times: f64) -> Program {
        let angle = |old: f64| self.phase + by + times * (old - self.phase);
        let way = |way: &Way| match way {
            Way::Even(rate) => Way::Even(times * rate),
            Way::Pitched(run) => Way::Pitched(run.altered(angle, times)),
        };
        let stretch = |s: &Stretch| Stretch { start: s.start, angle: angle(s.angle), way: way(&s.way) };
        Program { phase: self.phase + by, stretches: self.stretches.iter().map(stretch).collect() }
    }

    /// How far the bar is turned at `along` (mm from the shoulder), rad, right-hand positive.
    pub fn angle(&self, along: f64) -> f64 {
        self.stretch(along).map_or(self.phase, |s| s.angle(along))
    }

    /// Turn per length there, rad/mm, right-hand positive; at a border that of the stretch ahead.
    pub fn rate(&self, along: f64) -> f64 {
        self.stretch(along).map_or(0.0, |s| s.rate(along))
    }

    /// Whether the bar is twisted anywhere.
    pub fn is_twisted(&self) -> bool {
        self.stretches.iter().any(Stretch::turns)
    }

    /// Whether the bar is twisted anywhere between two places along it, mm.
    pub fn turns_between(&self, [from, to]: [f64; 2]) -> bool {
        let ends = self.stretches.iter().skip(1).map(|next| next.start).chain([f64::INFINITY]);
        self.stretches.iter().zip(ends).any(|(s, end)| s.turns() && s.start < to && end > from)
    }

    /// Where stretches begin (mm from the shoulder) with their rates there (rad/mm), the last one running on.
    pub fn starts(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.stretches.iter().map(|s| (s.start, s.rate(s.start)))
    }

    /// The stretches, in the order of [`Program::starts`], that turn by a pitch on the blade; `None` for the others.
    pub fn pitched(&self) -> impl Iterator<Item = Option<&Pitched>> + '_ {
        self.stretches.iter().map(|s| match &s.way {
            Way::Even(_) => None,
            Way::Pitched(run) => Some(run),
        })
    }

    fn stretch(&self, along: f64) -> Option<&Stretch> {
        let i = self.stretches.partition_point(|s| s.start <= along);
        i.checked_sub(1).map(|i| &self.stretches[i])
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
    fn altered_it_begins_elsewhere_and_turns_more_often() {
        let (program, altered) = (interrupted(), interrupted().altered(0.2, 1.1));
        for s in [-5.0, 0.0, 30.0, 45.0, 80.0] {
            let wanted = 0.7 + 1.1 * (program.angle(s) - 0.5);
            assert!((altered.angle(s) - wanted).abs() < 1e-12, "{s}");
            assert!((altered.rate(s) - 1.1 * program.rate(s)).abs() < 1e-12, "{s}");
        }
    }

    #[test]
    fn a_bar_without_stretches_is_straight() {
        let program = Program::new(0.3, &[]);
        assert!(!program.is_twisted() && (program.angle(500.0) - 0.3).abs() < 1e-15);
        assert!(interrupted().is_twisted());
    }
}
