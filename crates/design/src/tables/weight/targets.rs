//! The `[targets]` table: what the finished blade should weigh and where it should balance, and what may change for it.

use std::ops::RangeInclusive;

use blade::Swing;
use serde::Serialize;

use crate::file::checker::{Checker, REACH, SIGNED};
use crate::file::draft::{Field, Length, Mass, Number, table};
use crate::file::problem::Fault;
use crate::tables::weight::pattern::{BarTargetDraft, ChevronsDraft, SeamTargetDraft};
use crate::tables::weight::pattern_target::PatternAsked;
use crate::tables::weight::wanted::{Compared, Lengths, Masses, Wanted, WantedDraft};
use crate::unit::figures::{Figures, minus};
use crate::unit::quantity::Amount;

/// Masses accepted, g: from a pen knife to what no arm lifts.
const MASSES: RangeInclusive<f64> = 1.0..=50_000.0;
/// How far the thickness may change either way unless given, percent: a blade stays of its kind (common practice, no source).
const TAPER: f64 = 20.0;
/// Changes of thickness accepted, percent: half of it is another blade.
const TAPERS: RangeInclusive<f64> = 0.0..=50.0;
/// Changes of breadth accepted, percent.
const BREADTHS: RangeInclusive<f64> = 0.0..=30.0;
/// Changes of fittings accepted, percent.
const FITTINGS: RangeInclusive<f64> = 0.0..=90.0;
/// How far the height of a bar may change either way unless given, percent: the bars stay themselves (common practice, no
/// source).
const HEIGHT: f64 = 40.0;
/// Changes of heights accepted, percent.
const HEIGHTS: RangeInclusive<f64> = 0.0..=90.0;
/// How far the turns of a bar may change either way unless given, percent: no more than a smith sees (common practice, no
/// source).
const TURNS: f64 = 5.0;
/// Changes of turns accepted, percent.
const TURNINGS: RangeInclusive<f64> = 0.0..=50.0;
/// How far the forging allowance may change either way unless given, percent (common practice, no source).
const ALLOWANCE: f64 = 50.0;
/// Changes of the allowance accepted, percent.
const ALLOWANCES: RangeInclusive<f64> = 0.0..=90.0;
/// How far the number of layers may change either way unless given, percent (common practice, no source).
const COUNT: f64 = 50.0;
/// Shares of a balance are taken of this length at least, mm: near 0 a share of it means nothing.
const LEAST_LENGTH: f64 = 10.0;
/// Shares of a mass are taken of this at least, g: the least that is accepted.
const LEAST_MASS: f64 = 1.0;

/// What the finished blade should come to, and how far things may change for it, each as a share from 0.
#[derive(Clone, Debug, PartialEq)]
pub struct Targets {
    wanted: Vec<(Aim, Wanted)>,
    /// Change of the thickness, either way, at shoulder and point, up to 0.5.
    pub taper: f64,
    /// Change of the breadth, either way, up to 0.3.
    pub breadth: f64,
    /// Change of the mass of guard, pommel and other fittings, either way, up to 0.9; grips stay.
    pub fittings: f64,
    /// Change of the height of each bar, either way, up to 0.9.
    pub heights: f64,
    /// Change of the turns of each twisted bar, either way, up to 0.5.
    pub turns: f64,
    /// Change of the forging allowance, either way, up to 0.9.
    pub allowance: f64,
    /// Change of the number of layers, either way, up to 0.9.
    pub layers: f64,
    pattern: Vec<PatternAsked>,
}

/// Something that a target can be given for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Aim {
    /// Mass with fittings, g.
    Mass,
    /// Mass of the bare steel, g.
    Steel,
    /// Point of balance from the guard's front face, mm.
    Balance,
    /// Centre of percussion from the guard's front face, mm.
    Percussion,
}

/// A target and how near the blade comes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(into = "TargetJson")]
pub struct Target {
    /// What is meant.
    pub aim: Aim,
    /// What it should be, g or mm.
    pub wanted: Wanted,
    /// What it is; `None` for a centre of percussion that does not exist.
    pub found: Option<f64>,
}

/// A [`Target`] as JSON.
#[derive(Serialize)]
struct TargetJson {
    aim: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    wanted: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_least: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_most: Option<f64>,
    found: Option<f64>,
    reached: bool,
}

impl From<Target> for TargetJson {
    /// A value wanted exactly or about, and the limits of all but the former.
    fn from(t: Target) -> TargetJson {
        let [wanted, at_least, at_most] = t.wanted.parts(t.aim.least());
        TargetJson { aim: t.aim.key(), wanted, at_least, at_most, found: t.found, reached: t.is_reached() }
    }
}

table! {
    /// What the finished blade should weigh, where it should balance and what pattern it should show; and what `fit` may
    /// change for it.
    TargetsDraft {
        /// Mass with fittings: a number, or text such as "at most 950 g", "at least 900 g", "between 900 g and 950 g" or
        /// "about 900 g" (within 2 %).
        mass: WantedDraft<Masses>,
        /// Mass of the bare steel, in the same words.
        steel: WantedDraft<Masses>,
        /// Point of balance, from the guard's front face (or the shoulder) towards the point, in the same words.
        balance: WantedDraft<Lengths>,
        /// Centre of percussion for a pivot at the guard's front face (or the shoulder), from there, in the same words.
        percussion: WantedDraft<Lengths>,
        /// Breadth of the edge bar on the side, everywhere from the shoulder to one breadth before the point: where it is
        /// narrowest, in the same words, such as "at least 12 mm".
        edge_bar: WantedDraft<Lengths>,
        /// What bars should show at stations: `[[targets.bar]]`.
        bar: Vec<Field<BarTargetDraft>>,
        /// How seams should run: `[[targets.seam]]`.
        seam: Vec<Field<SeamTargetDraft>>,
        /// Where the layers of two twisted neighbours should meet: `[[targets.chevrons]]`.
        chevrons: Vec<Field<ChevronsDraft>>,
        /// How far the thickness may change either way, in percent. Default 20.
        taper: Number,
        /// How far the breadth may change either way, in percent. Default 0.
        breadth: Number,
        /// How far the mass of guard, pommel and other fittings may change either way, in percent. Default 0. Grips
        /// stay.
        fittings: Number,
        /// How far the height of each bar may change either way for the pattern, in percent. Default 40. The stack
        /// stays as high as it is.
        heights: Number,
        /// How far the turns of each twisted bar may change either way for chevrons, in percent. Default 5. The angle
        /// at which it starts is free.
        turns: Number,
        /// How far the forging allowance may change either way for a reveal, in percent. Default 50.
        allowance: Number,
        /// How far the number of layers of a set may change either way, in percent. Default 50.
        count: Number,
    }
}

impl Aim {
    /// Its key in the file.
    pub fn key(self) -> &'static str {
        match self {
            Aim::Mass => "mass",
            Aim::Steel => "steel",
            Aim::Balance => "balance",
            Aim::Percussion => "percussion",
        }
    }

    /// Whether it is a length in mm; otherwise a mass in g.
    pub fn is_length(self) -> bool {
        matches!(self, Aim::Balance | Aim::Percussion)
    }

    /// The least whole of which a share is taken, mm or g.
    fn least(self) -> f64 {
        if self.is_length() { LEAST_LENGTH } else { LEAST_MASS }
    }

    fn found(self, swing: &Swing) -> Option<f64> {
        match self {
            Aim::Mass => Some(swing.mass),
            Aim::Steel => Some(swing.steel_mass),
            Aim::Balance => Some(swing.balance),
            Aim::Percussion => swing.percussion,
        }
    }
}

impl Targets {
    /// What is asked for, in the order of [`Aim`].
    pub fn wanted(&self) -> &[(Aim, Wanted)] {
        &self.wanted
    }

    /// What is asked of the pattern, in the order of the table.
    pub fn pattern(&self) -> &[PatternAsked] {
        &self.pattern
    }

    /// The same with what is asked of the pattern.
    pub(crate) fn with_pattern(self, pattern: Vec<PatternAsked>) -> Targets {
        Targets { pattern, ..self }
    }

    /// The targets in the order of [`Aim`], and what a swing comes to.
    pub fn against(&self, swing: &Swing) -> Vec<Target> {
        self.wanted.iter().map(|&(aim, wanted)| Target { aim, wanted, found: aim.found(swing) }).collect()
    }
}

impl Compared for Target {
    fn wanted(&self) -> Wanted {
        self.wanted
    }

    fn found(&self) -> Option<f64> {
        self.found
    }

    fn least(&self) -> f64 {
        self.aim.least()
    }
}

impl Target {
    /// By how much it is missed, mm or g; of the limit that is broken.
    pub(crate) fn missed_by(&self) -> Option<f64> {
        let [low, high] = self.wanted.named();
        let found = self.found?;
        self.off().map(|off| if off > 0.0 { found - high } else { low - found })
    }

    /// What is wanted, and what is found, in words.
    pub fn words(&self, figures: Figures) -> [String; 2] {
        let told = |value: f64| match self.aim.is_length() {
            true => figures.gap(value),
            false => figures.mass(value),
        };
        [self.wanted.text(told), self.found.map_or("none".to_owned(), told)]
    }

    /// A line that tells of it, with these figures.
    pub fn text(&self, figures: Figures) -> String {
        let [wanted, found] = self.words(figures);
        let off = match self.off() {
            _ if self.is_reached() => "met".to_owned(),
            Some(off) => format!("{} %", minus(&format!("{:+.1}", 100.0 * off))),
            None => "the blade balances at or behind the guard".to_owned(),
        };
        format!("{:12} wanted {wanted}, now {found}: {off}", self.aim.key())
    }
}

/// Checks the table, if any.
pub(crate) fn check(draft: Option<&Field<TargetsDraft>>, c: &mut Checker) -> Option<Targets> {
    let field = draft?;
    let d = &field.value;
    let given = [
        (Aim::Mass, wanted_mass(d.mass.as_ref(), c)),
        (Aim::Steel, wanted_mass(d.steel.as_ref(), c)),
        (Aim::Balance, wanted_length(d.balance.as_ref(), SIGNED, c)),
        (Aim::Percussion, wanted_length(d.percussion.as_ref(), REACH, c)),
    ];
    let keys = given.iter().map(|(aim, _)| aim.key()).chain(["edge_bar", "bar", "seam", "chevrons"]);
    if !keys.into_iter().any(|key| c.document.has(&format!("{}.{key}", field.at))) {
        let why = "give at least one of mass, steel, balance, percussion, edge_bar, bar, seam and chevrons"
            .to_owned();
        c.fault(&field.at, &Fault::MissingKey { key: "mass".to_owned(), why });
    }
    let mut share = |field: &Option<Field<Number>>, range, usual| {
        c.number(field.as_ref(), range, " %").unwrap_or(usual) / 100.0
    };
    Some(Targets {
        taper: share(&d.taper, TAPERS, TAPER),
        breadth: share(&d.breadth, BREADTHS, 0.0),
        fittings: share(&d.fittings, FITTINGS, 0.0),
        heights: share(&d.heights, HEIGHTS, HEIGHT),
        turns: share(&d.turns, TURNINGS, TURNS),
        allowance: share(&d.allowance, ALLOWANCES, ALLOWANCE),
        layers: share(&d.count, ALLOWANCES, COUNT),
        // Bars are known only once the billet is.
        pattern: Vec::new(),
        wanted: given.into_iter().filter_map(|(aim, wanted)| Some((aim, wanted?))).collect(),
    })
}

/// A mass wanted, each of its limits in range.
fn wanted_mass(field: Option<&Field<WantedDraft<Masses>>>, c: &mut Checker) -> Option<Wanted> {
    let field = field?;
    let wanted = field.value.said.with(c.units.mass.grams());
    for value in wanted.named() {
        c.mass(Some(&at(field, Mass(Amount::Fixed(value)))), MASSES)?;
    }
    in_order(field, wanted, c)
}

/// A length wanted, each of its limits in range.
pub(crate) fn wanted_length(
    field: Option<&Field<WantedDraft<Lengths>>>,
    range: RangeInclusive<f64>,
    c: &mut Checker,
) -> Option<Wanted> {
    let field = field?;
    let wanted = field.value.said.with(c.unit.millimetres());
    for value in wanted.named() {
        c.length(Some(&at(field, Length(Amount::Fixed(value)))), range.clone())?;
    }
    in_order(field, wanted, c)
}

/// A value at the place of a target.
fn at<S, T>(field: &Field<WantedDraft<S>>, value: T) -> Field<T> {
    Field { value, at: field.at.clone(), span: field.span.clone() }
}

/// The same where its ends stand in order; like ends are one value.
pub(crate) fn in_order<T>(field: &Field<T>, wanted: Wanted, c: &mut Checker) -> Option<Wanted> {
    match wanted {
        Wanted::Between(low, high) if low > high => {
            c.fault(&field.at, &Fault::Backwards {});
            None
        }
        Wanted::Between(low, high) if low >= high => Some(Wanted::Exactly(low)),
        wanted => Some(wanted),
    }
}
