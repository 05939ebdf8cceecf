//! The `twist` list of a bar: stretches twisted evenly or left straight, one after the other from the shoulder on.

use laminate::{Hand, Program, Turn};

use crate::file::checker::{Checker, MOST};
use crate::file::draft::{Field, Length, Number, table, words};
use crate::file::problem::Fault;
use crate::unit::quantity::Unit;

/// Most stretches: one a finger's breadth on a long blade.
const MOST_STRETCHES: usize = 50;
/// From here on turns were meant as degrees: an eighth of a circle, and more turns than any bar bears.
const DEGREES: f64 = 45.0;
/// Turns accepted over `per`: from a quarter turn on the longest blade to a screw's thread.
const TURNS: std::ops::RangeInclusive<f64> = 0.01..=10.0;
/// Lengths accepted that turns are counted over, mm.
const PER: std::ops::RangeInclusive<f64> = 5.0..=200.0;
/// Length that turns are counted over unless given, mm; an inch in files of inches. As smiths count them.
const USUAL_PER: f64 = 25.0;
/// Lengths of stretches accepted, mm.
const LENGTHS: std::ops::RangeInclusive<f64> = 1.0..=MOST;

words! {
    /// Which way a stretch is twisted.
    HandWord {
        /// Like a common screw.
        Right = "right",
        /// The other way.
        Left = "left",
    }
}

impl From<HandWord> for Hand {
    fn from(word: HandWord) -> Hand {
        match word {
            HandWord::Right => Hand::Right,
            HandWord::Left => Hand::Left,
        }
    }
}

table! {
    /// A stretch of a bar, twisted evenly; straight without `hand` and `turns`.
    TwistDraft {
        /// Which way: `right` as a common screw's thread, or `left`.
        hand: HandWord,
        /// Turns over `per` of the bar, 0.01 to 10.
        turns: Number,
        /// Length of the bar that `turns` counts, 5 to 200 mm; 25 mm (1 in where `unit` is `in`) unless given.
        per: Length,
        /// Length of the bar it takes, in the stack. The last stretch may leave it out and then runs to the bar's end.
        length: Length,
    }
}

/// Checks the stretches, if any, of a bar that starts at `phase`, rad.
pub(crate) fn check(list: Option<&Field<Vec<Field<TwistDraft>>>>, phase: f64, c: &mut Checker) -> Program {
    let Some(list) = list else { return Program::new(phase, &[]) };
    c.count(list, MOST_STRETCHES, "stretches of twist");
    let last = list.value.len().saturating_sub(1);
    let turns = list.value.iter().enumerate().map(|(i, field)| stretch(field, i == last, c));
    let turns: Vec<Turn> = turns.collect();
    Program::new(phase, &turns)
}

fn stretch(field: &Field<TwistDraft>, last: bool, c: &mut Checker) -> Turn {
    let draft = &field.value;
    let twist = twisted(field, c);
    let length = c.length(draft.length.as_ref(), LENGTHS);
    if draft.length.is_none() && !last {
        let why = "give the length of bar it takes; only the last stretch may leave it out";
        c.missing(&format!("{}.length", field.at), why);
    }
    Turn { length, twist }
}

/// Hand and turns per mm; `None` where straight or refused.
fn twisted(field: &Field<TwistDraft>, c: &mut Checker) -> Option<(Hand, f64)> {
    let draft = &field.value;
    let given = |key: &str| c.document.has(&format!("{}.{key}", field.at));
    let (hand, turns) = (given("hand"), given("turns"));
    if turns && !hand {
        c.missing(&format!("{}.hand", field.at), "give \"right\" or \"left\" for the turns");
    }
    if hand && !turns {
        c.missing(
            &format!("{}.turns", field.at),
            "give the turns, or leave out `hand` for a straight stretch",
        );
    }
    if !hand && !turns {
        c.stray(&draft.given(), &["length"], "a straight stretch");
    }
    let turns = match &draft.turns {
        Some(turns) if turns.value.0 >= DEGREES && turns.value.0.is_finite() => {
            c.fault(&turns.at, &Fault::Degrees { turns: turns.value.0, most: *TURNS.end() });
            None
        }
        turns => c.number(turns.as_ref(), TURNS, " turns"),
    };
    let per = c.length_or(draft.per.as_ref(), PER, usual_per(c.unit));
    Some((draft.hand.as_ref()?.value.into(), turns? / per))
}

/// Length that turns are counted over unless given, mm.
pub(crate) fn usual_per(unit: Unit) -> f64 {
    match unit {
        Unit::Millimetre => USUAL_PER,
        Unit::Inch => unit.millimetres(),
    }
}
