//! Punch marks for a stretch that shows a pitch on the finished blade: equal turns between uneven marks.
//!
//! The bar turns more to its length where it will be drawn out further. A hand can't change its rate of twist as it
//! goes, but it can put the same turns between marks that come closer and closer: φ(s) of the program is cut at like
//! angles.

use std::f64::consts::TAU;

use laminate::{Hardest, Height, MaterialMap, Pitch, Pitched, Program};
use serde::Serialize;
use steel::{TEARING, most_stretch, rate_for};

use crate::twisting::{HEATED, heats};

/// Marks are not nearer to each other than this, mm, where more turns between them allow it: nearer the step that marks
/// are rounded to shows in every turn.
const APART: f64 = 5.0;
/// Between two marks the bar turns evenly. Where the rates asked for at them differ by more than this share, half turns
/// are marked instead of whole ones.
const UNEVEN: f64 = 0.2;
/// Least part of a turn between marks.
const LEAST_PART: f64 = 1.0 / 64.0;

/// How a stretch is twisted that shows a pitch on the finished blade.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PitchMarks {
    /// Least and greatest length of a full turn asked for, mm of the finished blade.
    pub pitch_mm: [f64; 2],
    /// Punch marks from the stretch's beginning to its end, mm from the bar's end at the tang, to the half millimetre
    /// or the thirty-second of an inch.
    pub punch_mm: Vec<f64>,
    /// Turns between two neighbouring marks, and between the last two.
    pub turns_each: f64,
    /// See `turns_each`.
    pub turns_last: f64,
    /// Where the corners stretch most: the station on the blade, and mm from the bar's end at the tang.
    pub hardest_mm: [f64; 2],
    /// The tightest even pitch that this stretch bears in one round of heats, and in two, mm of the finished blade.
    pub tightest_mm: [f64; 2],
    /// Turns done after each heat of the first round, were it the only one.
    #[serde(skip)]
    pub(crate) done: Vec<f64>,
}

/// A stretch of a bar as it is twisted: where it lies on the bar that the recipe counts on, and on the bar at the vice.
#[derive(Clone, Copy)]
pub(crate) struct OnBar<'a> {
    /// Ends along the stack, mm from the shoulder.
    pub(crate) along: [f64; 2],
    /// Where the shoulder lies on the bar, mm from its end at the tang.
    pub(crate) shoulder: f64,
    /// How much longer the bar is than the stack.
    pub(crate) longer: f64,
    /// The bar's height along the stack.
    pub(crate) height: &'a Height,
    /// Side of the square bar where it is so high in the stack, mm.
    pub(crate) square: &'a dyn Fn(f64) -> f64,
}

impl OnBar<'_> {
    /// A place along the stack (mm) as a place on the bar, mm from its end at the tang.
    fn mark(&self, along: f64) -> f64 {
        self.shoulder + self.longer * along
    }

    /// Where a pitch asks most of it, and the side of its square there, mm.
    fn hardest(&self, pitch: &Pitch, run: &Pitched, lay: &MaterialMap) -> (Hardest, f64) {
        let hardest = lay.hardest(pitch, run.stations(), self.height);
        let even = self.height.is_even();
        (hardest, (self.square)(self.height.at(if even { 0.0 } else { lay.along(hardest.at) })))
    }
}

impl PitchMarks {
    /// Of a stretch of a bar's program that turns by a pitch; marks are rounded to `step`, mm.
    pub(crate) fn new(
        program: &Program,
        run: &Pitched,
        bar: OnBar<'_>,
        lay: &MaterialMap,
        step: f64,
    ) -> PitchMarks {
        let each = turns_each(program, bar);
        let marks = places(program, bar.along, each);
        let turns = turned(program, bar.along);
        let gaps: Vec<f64> = marks.windows(2).map(|w| bar.longer * (w[1] - w[0])).collect();
        let (hardest, _) = bar.hardest(run.pitch(), run, lay);
        let ends = run.stations().map(|x| run.pitch().at(x));
        PitchMarks {
            pitch_mm: pitches(run, ends),
            punch_mm: marks.iter().map(|&s| (bar.mark(s) / step).round() * step).collect(),
            turns_each: each.min(turns),
            turns_last: turns - each * (gaps.len() as f64 - 1.0),
            hardest_mm: [hardest.at, bar.mark(lay.along(hardest.at))],
            tightest_mm: [TEARING, most_stretch()].map(|most| tightest(lay, run, bar, most)),
            done: done(&gaps, each, turns),
        }
    }
}

impl PitchMarks {
    /// Turns between the marks in words.
    pub fn between(&self) -> String {
        let [each, last] = [self.turns_each, self.turns_last].map(part_of_turn);
        if self.punch_mm.len() == 2 {
            return format!("{last} between the punch marks");
        }
        let rest = if each == last { String::new() } else { format!(", {last} between the last two") };
        format!("{each} between punch marks{rest}")
    }
}

/// Turns as a smith counts them: whole ones, a half, a quarter; others to a hundredth.
fn part_of_turn(turns: f64) -> String {
    const NEAR: f64 = 0.005;
    let named = [(0.25, "a quarter turn"), (0.5, "half a turn"), (1.0, "a whole turn")];
    match named.iter().find(|(part, _)| (part - turns).abs() < NEAR) {
        Some((_, words)) => (*words).to_owned(),
        None if (turns - turns.round()).abs() < NEAR => format!("{turns:.0} turns"),
        None if turns > 1.0 => format!("{turns:.2} turns"),
        None => format!("{turns:.2} of a turn"),
    }
}

/// Least and greatest pitch along a stretch; it is monotone between stations, whose pitches are all tried.
fn pitches(run: &Pitched, ends: [f64; 2]) -> [f64; 2] {
    let [from, to] = run.stations();
    let inner = run.pitch().given().filter(|(x, _)| (from..=to).contains(x)).map(|(_, pitch)| pitch);
    let all = || inner.clone().chain(ends);
    [all().fold(f64::INFINITY, f64::min), all().fold(0.0, f64::max)]
}

/// The tightest even pitch (mm) at which no corner of a stretch gets longer by more than `most`, a share: turns to the
/// bar's length grow as the pitch shrinks.
fn tightest(lay: &MaterialMap, run: &Pitched, bar: OnBar<'_>, most: f64) -> f64 {
    let (hardest, side) = bar.hardest(&Pitch::even(1.0), run, lay);
    hardest.rate / bar.longer / rate_for(most, side)
}

/// Where the corners of a stretch stretch most: the side of the square there, mm, and the rate of twist, rad a mm of the bar.
pub(crate) fn hardest(run: &Pitched, bar: OnBar<'_>, lay: &MaterialMap) -> (f64, f64) {
    let (hardest, side) = bar.hardest(run.pitch(), run, lay);
    (side, hardest.rate / bar.longer)
}

/// Turns of a program between two places.
pub(crate) fn turned(program: &Program, [from, to]: [f64; 2]) -> f64 {
    (program.angle(to) - program.angle(from)).abs() / TAU
}

/// Turns between marks: a whole one; half a one, or less, where a whole one is longer than a heat or too uneven; more
/// where marks would lie on top of each other.
fn turns_each(program: &Program, bar: OnBar<'_>) -> f64 {
    let gaps = |each: f64| -> Vec<[f64; 2]> {
        places(program, bar.along, each).windows(2).map(|w| [w[0], w[1]]).collect()
    };
    let length = |gap: &[f64; 2]| bar.longer * (gap[1] - gap[0]);
    let uneven = |gap: &[f64; 2]| {
        let [a, b] = gap.map(|s| program.rate(s).abs());
        a.max(b) > (1.0 + UNEVEN) * a.min(b)
    };
    let mut each = 1.0;
    while each > LEAST_PART
        && gaps(each).iter().any(|gap| length(gap) > HEATED || (each > 0.5 && uneven(gap)))
    {
        each *= 0.5;
    }
    // The last gap may be any rest of a turn.
    let near = |each: f64| gaps(each).iter().rev().skip(1).any(|gap| length(gap) < APART);
    while near(each) {
        each *= 2.0;
    }
    each
}

/// Places along the stack (mm) from the beginning of a stretch to its end with so many turns between them.
fn places(program: &Program, [from, to]: [f64; 2], each: f64) -> Vec<f64> {
    /// A rest smaller than this share of the turns between marks is no gap of its own.
    const REST: f64 = 0.05;
    let turns = turned(program, [from, to]);
    let count = ((turns / each - REST).ceil().max(1.0)) as usize;
    let inner = (1..count).map(|k| place(program, [from, to], each * k as f64));
    std::iter::once(from).chain(inner).chain([to]).collect()
}

/// Where a stretch has done so many turns, mm of the stack, by halving to the last bit: it turns one way only.
fn place(program: &Program, [from, to]: [f64; 2], turns: f64) -> f64 {
    let (mut low, mut high) = (from, to);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if turned(program, [from, middle]) < turns { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// Turns done after each heat: as many gaps as a heated length holds, a longer gap in several heats.
fn done(gaps: &[f64], each: f64, turns: f64) -> Vec<f64> {
    let (mut all, mut heated, mut after) = (Vec::new(), 0.0, 0.0);
    for (i, gap) in gaps.iter().enumerate() {
        if heated > 0.0 && heated + gap > HEATED {
            all.push(after);
            heated = 0.0;
        }
        let (parts, before) = (heats(*gap), after);
        after = if i + 1 == gaps.len() { turns } else { after + each };
        all.extend((1..parts).map(|k| before + (after - before) * k as f64 / parts as f64));
        heated += gap;
    }
    all.push(turns);
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heats_hold_as_many_gaps_as_are_hot() {
        // 20 + 20 are hot at once, 15 more are not; 15 + 12 + 9 + 6 are.
        assert_eq!(done(&[20.0, 20.0, 15.0, 12.0, 9.0, 6.0], 1.0, 5.5), [2.0, 5.5]);
        // A gap of two heats ends after each half of its turns.
        assert_eq!(done(&[80.0, 30.0], 1.0, 1.4), [0.5, 1.0, 1.4]);
        assert_eq!(done(&[10.0], 1.0, 0.3), [0.3]);
    }
}
