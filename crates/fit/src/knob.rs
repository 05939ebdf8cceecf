//! What may be changed of a design, and how far.

use design::{Design, FittingKind};
use serde::Serialize;

/// Something that may be changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Knob {
    /// Thickness at the shoulder; it fades out evenly towards the point.
    Shoulder,
    /// Thickness at the point; it fades out evenly towards the shoulder.
    Point,
    /// Thickness at a taper station, by its place in the file, with its distance from the shoulder in words.
    Station(usize, String),
    /// Breadth of the whole blade.
    Breadth,
    /// Mass of a fitting, by its place in the file.
    Fitting(usize, String),
}

/// A knob and how far it may be turned either way.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Limit {
    pub(crate) knob: Knob,
    /// As a share; positive.
    pub(crate) most: f64,
}

/// A change that was made.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Change {
    /// What was changed.
    pub what: String,
    /// By which share; −0.1 for a tenth less.
    pub by: f64,
    /// How far it was allowed either way, as a share.
    pub limit: f64,
    /// Whether it went as far.
    pub at_limit: bool,
}

/// Shares of a limit from which on it counts as reached.
const AT_LIMIT: f64 = 0.999;

/// How far a taper station may change where steel is gone: half of it is another blade.
const TAPER: f64 = 0.5;
/// How far the breadth may change where steel is gone.
const BREADTH: f64 = 0.3;

impl Knob {
    /// What it is, in words.
    pub(crate) fn words(&self) -> String {
        match self {
            Knob::Shoulder => "thickness at the shoulder".to_owned(),
            Knob::Point => "thickness at the point".to_owned(),
            Knob::Station(_, at) => format!("thickness at station {at}"),
            Knob::Breadth => "breadth".to_owned(),
            Knob::Fitting(_, name) => format!("mass of {name}"),
        }
    }

    /// The key of its limit in `[targets]`.
    pub(crate) fn key(&self) -> &'static str {
        match self {
            Knob::Shoulder | Knob::Point | Knob::Station(..) => "taper",
            Knob::Breadth => "breadth",
            Knob::Fitting(..) => "fittings",
        }
    }
}

impl Limit {
    /// What a design's targets allow to change.
    pub(crate) fn all(design: &Design) -> Vec<Limit> {
        let Some(targets) = design.targets() else { return Vec::new() };
        // A grip is as long and as thick as the hand that holds it.
        let mounted = design.fittings().iter().enumerate().filter(|(_, f)| f.kind != FittingKind::Grip);
        let fittings = mounted.map(|(i, f)| (Knob::Fitting(i, f.name.clone()), targets.fittings));
        let blade =
            [(Knob::Shoulder, targets.taper), (Knob::Point, targets.taper), (Knob::Breadth, targets.breadth)];
        let all = blade.into_iter().chain(fittings).filter(|(_, most)| *most > 0.0);
        all.map(|(knob, most)| Limit { knob, most }).collect()
    }

    /// Every taper station by itself, and the breadth.
    pub(crate) fn stations(design: &Design) -> Vec<Limit> {
        let told = |mm: f64| design.figures().told(mm);
        let stations = design.blade().spec().taper.iter().enumerate();
        let taper = stations.map(|(i, s)| Limit { knob: Knob::Station(i, told(s.at)), most: TAPER });
        taper.chain([Limit { knob: Knob::Breadth, most: BREADTH }]).collect()
    }

    /// The change at `turn`, −1 to 1 of the limit.
    pub(crate) fn change(&self, turn: f64) -> Change {
        Change {
            what: self.knob.words(),
            by: turn * self.most,
            limit: self.most,
            at_limit: turn.abs() >= AT_LIMIT,
        }
    }
}
