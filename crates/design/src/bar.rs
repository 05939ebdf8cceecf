//! `[[bar]]` tables: the bars of the stack, from the back to the edge.

use std::ops::RangeInclusive;

use laminate::{Bar, Direction, Hand, LayerSet, Program, Squaring, Turn};

use crate::checker::Checker;
use crate::draft::{Angle, Field, Length, Number, table, words};
use crate::layers::{self, Sets};
use crate::problem::Fault;
use crate::quantity::Unit;
use crate::steel::Steels;

/// Most bars of a stack.
const MOST_BARS: usize = 9;
/// Heights of bars accepted, mm.
const HEIGHTS: RangeInclusive<f64> = 0.5..=100.0;
/// Turns accepted, per length named beside them.
const TURNS: RangeInclusive<f64> = 0.01..=20.0;
/// Lengths that turns are told for, mm.
const PER: RangeInclusive<f64> = 1.0..=500.0;
/// Lengths of stretches accepted, mm of the bar.
const LENGTHS: RangeInclusive<f64> = 0.5..=3000.0;
/// Most stretches of one bar.
const MOST_STRETCHES: usize = 60;
/// Angles at which a bar may start, degrees.
const PHASES: RangeInclusive<f64> = -360.0..=360.0;

words! {
    /// How layers stand in a bar before it is twisted.
    DirectionWord {
        /// Square to the blade's sides: they show as lines along the blade.
        Upright = "upright",
        /// Parallel to the blade's sides: the bevel cuts them.
        Flat = "flat",
    }
}

words! {
    /// How a twisted bar was made square again.
    SquaringWord {
        /// Under the hammer.
        Forged = "forged",
        /// At the grinder, its corners lost.
        Ground = "ground",
    }
}

words! {
    /// Which way a bar is twisted.
    HandWord {
        /// Like a common screw.
        Right = "right",
        /// The other way.
        Left = "left",
    }
}

table! {
    /// A stretch of a bar: twisted where `hand` is given, otherwise straight.
    StretchDraft {
        /// Which way it is twisted: `right` like a common screw, or `left`.
        hand: HandWord,
        /// Turns in the length `per`.
        turns: Number,
        /// The length of bar that `turns` is told for; 25 mm unless given (1 in where `unit` is `in`).
        per: Length,
        /// Length of the stretch, of the bar as it is when twisted. Only the last may leave it out: it runs to the end.
        length: Length,
    }
}

table! {
    /// A bar of the stack.
    BarDraft {
        /// What it is called; `Bar 1` and so on unless given.
        name: String,
        /// Its height in the stack.
        #[schemars(required)]
        height: Length,
        /// The steel it is made of, or `layers`.
        steel: String,
        /// The layer set it is made of.
        layers: String,
        /// How the layers stand: `upright` (unless given), square to the blade's sides, or `flat`, parallel to them.
        direction: DirectionWord,
        /// The stretches from the shoulder on, one after the other. In the tang the bar is straight.
        twist: Vec<Field<StretchDraft>>,
        /// The angle at which the bar starts, in degrees; 0 unless given.
        phase: Angle,
        /// How it was made square after the twist: `forged` (unless given), or `ground`, which loses the corners.
        squaring: SquaringWord,
        /// Whether it runs into the tang; it does unless `false`.
        tang: bool,
    }
}

/// The bars; `None` where one of them can't be read.
pub(crate) fn check(
    field: &Field<Vec<Field<BarDraft>>>,
    sets: &Sets,
    steels: &mut Steels,
    c: &mut Checker,
) -> Option<Vec<Bar>> {
    c.count(field, MOST_BARS, "bars");
    let mut names: Vec<String> = Vec::new();
    let mut bars = Some(Vec::new());
    for (i, one) in field.value.iter().enumerate() {
        let name = match &one.value.name {
            Some(given) => {
                crate::name::own(given, names.iter().map(String::as_str), c);
                given.value.clone()
            }
            None => format!("Bar {}", i + 1),
        };
        names.push(name.clone());
        bars = bars.zip(bar(name, one, sets, steels, c)).map(|(mut all, bar)| {
            all.push(bar);
            all
        });
    }
    if bars.as_ref().is_some_and(|all| !all.iter().any(|b| b.tang)) {
        c.fault("bar[0].tang", &Fault::NoTang {});
    }
    bars
}

fn bar(
    name: String,
    field: &Field<BarDraft>,
    sets: &Sets,
    steels: &mut Steels,
    c: &mut Checker,
) -> Option<Bar> {
    let (d, path) = (&field.value, |key: &str| format!("{}.{key}", field.at));
    let height = c.length_required(d.height.as_ref(), &path("height"), HEIGHTS);
    let layers = made_of(field, sets, steels, c);
    let phase = c.angle(d.phase.as_ref(), PHASES).unwrap_or(0.0);
    let turns = d.twist.as_ref().map_or(Some(Vec::new()), |list| stretches(list, c));
    Some(Bar {
        name,
        height: height?,
        layers: layers?,
        direction: match d.direction.as_ref().map(|w| w.value) {
            Some(DirectionWord::Flat) => Direction::Flat,
            Some(DirectionWord::Upright) | None => Direction::Upright,
        },
        twist: Program::new(phase, &turns?),
        squaring: match d.squaring.as_ref().map(|w| w.value) {
            Some(SquaringWord::Ground) => Squaring::Ground,
            Some(SquaringWord::Forged) | None => Squaring::Forged,
        },
        tang: d.tang.as_ref().is_none_or(|t| t.value),
    })
}

/// The layers of a bar: of one steel, or those of a set.
fn made_of(field: &Field<BarDraft>, sets: &Sets, steels: &mut Steels, c: &mut Checker) -> Option<LayerSet> {
    let d = &field.value;
    match (&d.steel, &d.layers) {
        (Some(_), Some(layers)) => {
            c.key_fault(&layers.at, &Fault::Either { key: "steel", other: "layers" });
            None
        }
        (Some(steel), None) => {
            const TAKES: [&str; 4] = ["name", "height", "steel", "tang"];
            c.stray(&d.given(), &TAKES, "a bar of one steel");
            steels.number(steel, c).map(LayerSet::plain)
        }
        (None, Some(layers)) => layers::named(sets, layers, c),
        (None, None) => {
            c.missing(&format!("{}.steel", field.at), "name a steel, or a layer set with `layers`");
            None
        }
    }
}

/// The stretches of a twist.
fn stretches(list: &Field<Vec<Field<StretchDraft>>>, c: &mut Checker) -> Option<Vec<Turn>> {
    c.count(list, MOST_STRETCHES, "stretches");
    let last = list.value.len().saturating_sub(1);
    let each: Vec<Option<Turn>> =
        list.value.iter().enumerate().map(|(i, s)| stretch(s, i == last, c)).collect();
    each.into_iter().collect()
}

fn stretch(field: &Field<StretchDraft>, last: bool, c: &mut Checker) -> Option<Turn> {
    let (d, path) = (&field.value, |key: &str| format!("{}.{key}", field.at));
    let length = c.length(d.length.as_ref(), LENGTHS);
    if !last && d.length.is_none() {
        c.missing(
            &path("length"),
            "give the length of the bar that it takes; only the last stretch may run to the end",
        );
    }
    let per = match c.unit {
        Unit::Millimetre => 25.0,
        Unit::Inch => Unit::Inch.millimetres(),
    };
    let per = c.length_or(d.per.as_ref(), PER, per);
    let turns = c.number(d.turns.as_ref(), TURNS, " turns");
    let Some(hand) = &d.hand else {
        if d.turns.is_some() || d.per.is_some() {
            c.missing(
                &path("hand"),
                "give \"right\" or \"left\", or leave turns out where the bar stays straight",
            );
        }
        return Some(Turn { length, twist: None });
    };
    if d.turns.is_none() {
        c.missing(&path("turns"), "give the turns in the length `per`");
    }
    let hand = if hand.value == HandWord::Right { Hand::Right } else { Hand::Left };
    turns.map(|turns| Turn { length, twist: Some((hand, turns / per)) })
}
