//! The `[targets]` table: what the finished blade should weigh and where it should balance, and what may change for it.

use std::ops::RangeInclusive;

use blade::Swing;
use serde::Serialize;

use crate::file::checker::{Checker, REACH, SIGNED};
use crate::file::draft::{Field, Length, Mass, Number, table};
use crate::file::problem::Fault;
use crate::unit::quantity::Unit;

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
/// How near a target counts as reached, as a share of it: less than a kitchen scale shows of a blade.
const REACHED: f64 = 1e-3;
/// A balance is held to this share of at least this length, mm: near 0 a share of it means nothing.
const LEAST: f64 = 10.0;

/// What the finished blade should come to, and how far things may change for it, each as a share from 0.
#[derive(Clone, Debug, PartialEq)]
pub struct Targets {
    wanted: Vec<(Aim, f64)>,
    /// Change of the thickness, either way, at shoulder and point, up to 0.5.
    pub taper: f64,
    /// Change of the breadth, either way, up to 0.3.
    pub breadth: f64,
    /// Change of the mass of guard, pommel and other fittings, either way, up to 0.9; grips stay.
    pub fittings: f64,
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
    pub wanted: f64,
    /// What it is; `None` for a centre of percussion that does not exist.
    pub found: Option<f64>,
}

/// A [`Target`] as JSON.
#[derive(Serialize)]
struct TargetJson {
    aim: &'static str,
    wanted: f64,
    found: Option<f64>,
    reached: bool,
}

impl From<Target> for TargetJson {
    fn from(t: Target) -> TargetJson {
        TargetJson { aim: t.aim.key(), wanted: t.wanted, found: t.found, reached: t.is_reached() }
    }
}

table! {
    /// What the finished blade should weigh and where it should balance, and what `fit` may change for it.
    TargetsDraft {
        /// Mass with fittings.
        mass: Mass,
        /// Mass of the bare steel.
        steel: Mass,
        /// Point of balance, from the guard's front face (or the shoulder) towards the point.
        balance: Length,
        /// Centre of percussion for a pivot at the guard's front face (or the shoulder), from there.
        percussion: Length,
        /// How far the thickness may change either way, in percent; 20 unless given.
        taper: Number,
        /// How far the breadth may change either way, in percent; 0 unless given.
        breadth: Number,
        /// How far the mass of guard, pommel and other fittings may change either way, in percent; 0 unless given. Grips stay.
        fittings: Number,
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
    /// The targets in the order of [`Aim`], and what a swing comes to.
    pub fn against(&self, swing: &Swing) -> Vec<Target> {
        self.wanted.iter().map(|&(aim, wanted)| Target { aim, wanted, found: aim.found(swing) }).collect()
    }
}

impl Target {
    /// How far off it is, as a share of what is wanted: of 10 mm at least for a balance near the guard.
    pub fn off(&self) -> Option<f64> {
        let whole = if self.aim.is_length() { self.wanted.abs().max(LEAST) } else { self.wanted };
        self.found.map(|found| (found - self.wanted) / whole)
    }

    /// Whether it is reached within a thousandth.
    pub fn is_reached(&self) -> bool {
        self.off().is_some_and(|off| off.abs() <= REACHED)
    }

    /// A line that tells of it, lengths in inches or mm.
    pub fn text(&self, inch: bool) -> String {
        let told = |value: f64| match (self.aim.is_length(), inch) {
            (false, _) => format!("{value:.1} g"),
            (true, false) => format!("{value:.2} mm"),
            (true, true) => format!("{:.3} in", value / Unit::Inch.millimetres()),
        };
        let found = self.found.map_or("none".to_owned(), told);
        let off = match self.off() {
            _ if self.is_reached() => "reached".to_owned(),
            Some(off) => format!("{:+.1} %", 100.0 * off),
            None => "the blade balances at or behind the guard".to_owned(),
        };
        format!("{:12} wanted {}, now {found}: {off}", self.aim.key(), told(self.wanted))
    }
}

/// Checks the table, if any.
pub(crate) fn check(draft: Option<&Field<TargetsDraft>>, c: &mut Checker) -> Option<Targets> {
    let field = draft?;
    let d = &field.value;
    let given = [
        (Aim::Mass, c.mass(d.mass.as_ref(), MASSES)),
        (Aim::Steel, c.mass(d.steel.as_ref(), MASSES)),
        (Aim::Balance, c.length(d.balance.as_ref(), SIGNED)),
        (Aim::Percussion, c.length(d.percussion.as_ref(), REACH)),
    ];
    if given.iter().all(|(aim, _)| !c.document.has(&format!("{}.{}", field.at, aim.key()))) {
        let why = "give at least one of mass, steel, balance and percussion".to_owned();
        c.fault(&field.at, &Fault::MissingKey { key: "mass".to_owned(), why });
    }
    let mut share = |field: &Option<Field<Number>>, range, usual| {
        c.number(field.as_ref(), range, " %").unwrap_or(usual) / 100.0
    };
    Some(Targets {
        taper: share(&d.taper, TAPERS, TAPER),
        breadth: share(&d.breadth, BREADTHS, 0.0),
        fittings: share(&d.fittings, FITTINGS, 0.0),
        wanted: given.into_iter().filter_map(|(aim, wanted)| Some((aim, wanted?))).collect(),
    })
}
