//! The `twist` list of a bar: stretches twisted or left straight, from the shoulder on. They are counted along the
//! bar in the stack, or given by what the finished blade should show.

use blade::Blade;
use laminate::{Asked, Hand, Place, Program, Turn, Winding};

use crate::file::checker::{Checker, MOST};
use crate::file::draft::{Field, Length, Number, table, words};
use crate::file::problem::Fault;
use crate::tables::billet::pitch::{self, PitchDraft};
use crate::tables::billet::twist_stations;
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
    /// A stretch of a bar: twisted by `turns` of the bar or by a `pitch` of the blade; straight without `hand`.
    TwistDraft {
        /// Which way: `right` as a common screw's thread, or `left`.
        hand: HandWord,
        /// Turns over `per` of the bar, 0.01 to 10.
        turns: Number,
        /// Length of the bar that `turns` counts, 5 to 200 mm. Default 25 mm (1 in where `unit` is `in`).
        per: Length,
        /// Instead of `turns`: length of a full turn on the finished blade, even, or at stations as in `[{ at = 0, is =
        /// 60 }, { at = 300, is = 90 }]` and smooth between them. Held to one breadth short of the point; from there
        /// the bar keeps the same turns per length.
        pitch: PitchDraft,
        /// Length of the bar it takes, in the stack. The last stretch may leave it out and then runs to the bar's end.
        length: Length,
        /// Instead of `length`: the station of the finished blade where it begins. Default: where the stretch before it
        /// ends, or the shoulder.
        from: Length,
        /// Instead of `length`: the station of the finished blade where it ends. Default: where the next stretch
        /// begins, or the point. What no stretch covers is straight.
        to: Length,
        /// True for a stretch that stays straight; the same as leaving out `hand`.
        straight: bool,
    }
}

/// The twist of a bar.
pub(crate) enum Twist {
    /// Counted along the bar in the stack.
    Counted(Program),
    /// Asked for by the finished blade, from the angle at the shoulder, rad.
    Asked(f64, Vec<Asked>),
}

/// Checks the stretches, if any, of a bar that starts at `phase`, rad.
pub(crate) fn check(
    list: Option<&Field<Vec<Field<TwistDraft>>>>,
    phase: f64,
    blade: Option<&Blade>,
    c: &mut Checker,
) -> Twist {
    let Some(list) = list else { return Twist::Counted(Program::new(phase, &[])) };
    c.count(list, MOST_STRETCHES, "stretches of twist");
    let windings: Vec<Winding> =
        list.value.iter().map(|field| winding(field, blade, c).unwrap_or(Winding::Straight)).collect();
    let by_stations = list.value.iter().any(|f| f.value.from.is_some() || f.value.to.is_some());
    let places = if by_stations { stations(&list.value, blade, c) } else { lengths(&list.value, c) };
    let asked: Vec<Asked> =
        places.into_iter().zip(windings).map(|(place, winding)| Asked { place, winding }).collect();
    match asked.iter().map(counted).collect::<Option<Vec<Turn>>>() {
        Some(turns) => Twist::Counted(Program::new(phase, &turns)),
        None => Twist::Asked(phase, asked),
    }
}

/// A stretch that is counted along the bar; `None` where the blade tells it.
fn counted(asked: &Asked) -> Option<Turn> {
    let Place::Length(length) = asked.place else { return None };
    match asked.winding {
        Winding::Straight => Some(Turn { length, twist: None }),
        Winding::Turns(hand, turns) => Some(Turn { length, twist: Some((hand, turns)) }),
        Winding::Pitch(..) => None,
    }
}

/// Places by stations of the blade; none where any was refused.
fn stations(list: &[Field<TwistDraft>], blade: Option<&Blade>, c: &mut Checker) -> Vec<Place> {
    if let Some(length) = list.iter().find_map(|f| f.value.length.as_ref()) {
        c.key_fault(&length.at, &Fault::TwoScales {});
        return Vec::new();
    }
    let ends = twist_stations::check(list, blade, c).unwrap_or_default();
    ends.into_iter().map(Place::Stations).collect()
}

/// Places by lengths of the bar, one after the other.
fn lengths(list: &[Field<TwistDraft>], c: &mut Checker) -> Vec<Place> {
    let last = list.len().saturating_sub(1);
    let length = |(i, field): (usize, &Field<TwistDraft>)| {
        let length = c.length(field.value.length.as_ref(), LENGTHS);
        if field.value.length.is_none() && i < last {
            let why = "give the length of bar it takes, or the stations `from` and `to` on the blade; only the last \
                       stretch may leave it out";
            c.missing(&format!("{}.length", field.at), why);
        }
        Place::Length(length)
    };
    list.iter().enumerate().map(length).collect()
}

/// How a stretch is twisted; `None` where refused.
fn winding(field: &Field<TwistDraft>, blade: Option<&Blade>, c: &mut Checker) -> Option<Winding> {
    let draft = &field.value;
    let given = |key: &str| c.document.has(&format!("{}.{key}", field.at));
    let [hand, turns, pitch] = ["hand", "turns", "pitch"].map(given);
    let straight = draft.straight.as_ref().map(|s| s.value);
    if straight == Some(true) || !(hand || turns || pitch || straight == Some(false)) {
        c.stray(&draft.given(), &["length", "from", "to", "straight"], "a straight stretch");
        return Some(Winding::Straight);
    }
    whole(field, [hand, turns, pitch], c);
    let turned = turns_per_mm(field, c);
    let pitch = draft.pitch.as_ref().map(|field| pitch::check(field, blade, c));
    let hand = draft.hand.as_ref()?.value.into();
    match pitch {
        Some(pitch) => Some(Winding::Pitch(hand, pitch?)),
        None => Some(Winding::Turns(hand, turned?)),
    }
}

/// Whether a twisted stretch says its hand, and how far it turns once.
fn whole(field: &Field<TwistDraft>, [hand, turns, pitch]: [bool; 3], c: &mut Checker) {
    if !hand {
        let what = if pitch { "pitch" } else { "turns" };
        c.missing(&format!("{}.hand", field.at), &format!("give \"right\" or \"left\" for the {what}"));
    }
    if hand && !turns && !pitch {
        let why = "give the turns or the `pitch`, or leave out `hand` for a straight stretch";
        c.missing(&format!("{}.turns", field.at), why);
    }
    if turns && pitch {
        let fault = Fault::Either { key: "turns", other: "pitch" };
        c.key_fault(&format!("{}.pitch", field.at), &fault);
    } else if pitch {
        let takes = ["hand", "pitch", "length", "from", "to", "straight"];
        c.stray(&field.value.given(), &takes, "a stretch with `pitch`");
    }
}

/// Turns per mm of the bar; `None` where absent or refused.
fn turns_per_mm(field: &Field<TwistDraft>, c: &mut Checker) -> Option<f64> {
    let turns = match &field.value.turns {
        Some(turns) if turns.value.0 >= DEGREES && turns.value.0.is_finite() => {
            c.fault(&turns.at, &Fault::Degrees { turns: turns.value.0, most: *TURNS.end() });
            None
        }
        turns => c.number(turns.as_ref(), TURNS, " turns"),
    };
    let per = c.length_or(field.value.per.as_ref(), PER, usual_per(c.unit));
    Some(turns? / per)
}

/// Length that turns are counted over unless given, mm.
pub fn usual_per(unit: Unit) -> f64 {
    match unit {
        Unit::Millimetre => USUAL_PER,
        Unit::Inch => unit.millimetres(),
    }
}
