//! What may be changed of a design, and how far.

use design::{Design, FittingKind, PatternAim, Targets};
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
    /// Height of a bar, by its place in the file; the stack stays as high as it is.
    Height(usize, String),
    /// Height at the point of a bar that runs straight to it from its height at the shoulder, by its place in the file.
    PointHeight(usize, String),
    /// Angle at which a bar begins, in turns.
    Start(usize, String),
    /// Turns of a bar, all along it.
    Turns(usize, String),
    /// What is forged thicker than ground; the stack gets wider where it has to.
    Allowance,
}

/// A knob and how far it may be turned either way.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Limit {
    pub(crate) knob: Knob,
    /// As a share; of the angle at which a bar begins in turns; positive.
    pub(crate) most: f64,
}

/// A change that was made.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Change {
    /// What was changed.
    pub what: String,
    /// By which share, −0.1 for a tenth less; or by how many turns.
    pub by: f64,
    /// What `by` and `limit` are: `share` or `turns`.
    pub unit: &'static str,
    /// How far it was allowed either way.
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
/// How far a bar's start may turn either way: layer sets look alike after half a turn, so a quarter leads everywhere.
const START: f64 = 0.25;

impl Knob {
    /// What it is, in words.
    pub(crate) fn words(&self) -> String {
        match self {
            Knob::Shoulder => "thickness at the shoulder".to_owned(),
            Knob::Point => "thickness at the point".to_owned(),
            Knob::Station(_, at) => format!("thickness at station {at}"),
            Knob::Breadth => "breadth".to_owned(),
            Knob::Fitting(_, name) => format!("mass of {name}"),
            Knob::Height(_, name) => format!("height of {name}"),
            Knob::PointHeight(_, name) => format!("height of {name} at the point"),
            Knob::Start(_, name) => format!("start of {name}"),
            Knob::Turns(_, name) => format!("turns of {name}"),
            Knob::Allowance => "forging allowance".to_owned(),
        }
    }

    /// The key of its limit in `[targets]`.
    pub(crate) fn key(&self) -> &'static str {
        match self {
            Knob::Shoulder | Knob::Point | Knob::Station(..) => "taper",
            Knob::Breadth => "breadth",
            Knob::Fitting(..) => "fittings",
            Knob::Height(..) | Knob::PointHeight(..) => "heights",
            // Free: it costs nothing to turn a bar before it is welded.
            Knob::Start(..) => "",
            Knob::Turns(..) => "turns",
            Knob::Allowance => "allowance",
        }
    }

    /// The bar whose height it is, where that runs straight from the shoulder to the point.
    fn tapered(&self, design: &Design) -> Option<usize> {
        let Knob::Height(i, _) = self else { return None };
        design.height_ends().get(*i).copied().flatten().map(|_| *i)
    }

    /// Whether it is turned for the pattern alone.
    pub(crate) fn is_of_pattern(&self) -> bool {
        self.is_of_bars() || *self == Knob::Allowance
    }

    /// Whether it changes the bars alone and leaves the blade as it is.
    pub(crate) fn is_of_bars(&self) -> bool {
        matches!(self, Knob::Height(..) | Knob::PointHeight(..) | Knob::Start(..) | Knob::Turns(..))
    }
}

impl Limit {
    /// What a design's targets allow to change.
    pub(crate) fn all(design: &Design) -> Vec<Limit> {
        let Some(targets) = design.targets() else { return Vec::new() };
        let weighed = !targets.wanted().is_empty();
        // A grip is as long and as thick as the hand that holds it.
        let mounted = design.fittings().iter().enumerate().filter(|(_, f)| f.kind != FittingKind::Grip);
        let fittings = mounted.map(|(i, f)| (Knob::Fitting(i, f.name.clone()), targets.fittings));
        let blade =
            [(Knob::Shoulder, targets.taper), (Knob::Point, targets.taper)].into_iter().chain(fittings);
        // What a pattern needs not, it does not change; the breadth is changed only where the file says so.
        let blade = blade.filter(|_| weighed);
        let breadth = [(Knob::Breadth, targets.breadth)];
        let mut all: Vec<(Knob, f64)> = blade.collect();
        all.splice(all.len().min(2)..all.len().min(2), breadth);
        all.extend(of_pattern(design, targets));
        all.into_iter().filter(|(_, most)| *most > 0.0).map(|(knob, most)| Limit { knob, most }).collect()
    }

    /// Every taper station by itself, and the breadth.
    pub(crate) fn stations(design: &Design) -> Vec<Limit> {
        let told = |mm: f64| design.figures().told(mm);
        let stations = design.blade().spec().taper.iter().enumerate();
        let taper = stations.map(|(i, s)| Limit { knob: Knob::Station(i, told(s.at)), most: TAPER });
        taper.chain([Limit { knob: Knob::Breadth, most: BREADTH }]).collect()
    }

    /// What turning it is counted in.
    fn unit(&self) -> &'static str {
        if matches!(self.knob, Knob::Start(..)) { "turns" } else { "share" }
    }

    /// The change at `turn`, −1 to 1 of the limit.
    pub(crate) fn change(&self, turn: f64) -> Change {
        Change {
            what: self.knob.words(),
            by: turn * self.most,
            unit: self.unit(),
            limit: self.most,
            at_limit: turn.abs() >= AT_LIMIT,
        }
    }
}

/// What the targets of the pattern allow to change, each with how far: only what they need.
fn of_pattern(design: &Design, targets: &Targets) -> Vec<(Knob, f64)> {
    let bars = design.billet().map_or(&[][..], |billet| billet.bars());
    let aims: Vec<PatternAim> = targets.pattern().iter().map(|asked| asked.aim).collect();
    let broad = |aim: &PatternAim| {
        matches!(aim, PatternAim::EdgeBar | PatternAim::Breadth { .. } | PatternAim::Seam { .. })
    };
    let meets = |bar: usize| {
        let own = |aim: &&PatternAim| matches!(aim, PatternAim::Chevrons { upper, .. } if *upper == bar || *upper + 1 == bar);
        aims.iter().filter(own).count()
    };
    let named = |i: usize| (i, bars[i].name.clone());
    let heights = (0..bars.len()).filter(|_| bars.len() > 1 && aims.iter().any(broad));
    let mut all: Vec<(Knob, f64)> = heights.map(|i| (Knob::Height(i, named(i).1), targets.heights)).collect();
    // Only where the file has a bar run from one height to another may it be tapered otherwise.
    let tapered: Vec<usize> = all.iter().filter_map(|(knob, _)| knob.tapered(design)).collect();
    all.extend(tapered.into_iter().map(|i| (Knob::PointHeight(i, named(i).1), targets.heights)));
    for i in (0..bars.len()).filter(|i| meets(*i) > 0) {
        all.push((Knob::Start(i, named(i).1), START));
        // At one station a start is enough.
        if meets(i) > 1 {
            all.push((Knob::Turns(i, named(i).1), targets.turns));
        }
    }
    if aims.iter().any(|aim| matches!(aim, PatternAim::Reveal { .. })) {
        all.push((Knob::Allowance, targets.allowance));
    }
    all
}
