//! The smallest change that brings a design to its targets.

use blade::Stage;
use design::{BarsSummary, Design, FittingKind, PatternAim, PatternTarget, Problem, Spoken, Target, minus};
use serde::Serialize;
use thiserror::Error;

use crate::conflict::conflicts;
use crate::cost::Cost;
use crate::count::counted;
use crate::edit::Editor;
use crate::knob::{Change, Knob, Limit};
use crate::search::{STEPS, Search};
use crate::wanted::{Reached, Wanted};

/// Stations at which bars are compared, in parts of the length: shoulder, middle, and where the point begins on most blades.
const COMPARED: [f64; 3] = [0.0, 0.5, 0.8];

/// Why nothing could be fitted.
#[derive(Debug, Error)]
pub enum FitFault {
    /// The file is no sound design.
    #[error("the design has problems")]
    Problems(Vec<Problem>),
    /// It could be read but not be edited: a fault of ours.
    #[error("seaxwright can read this design but not edit it: that is our mistake, please report it")]
    Uneditable,
    /// It has no targets.
    #[error("the design has no [targets]")]
    NoTargets,
    /// Its targets allow no change.
    #[error(
        "[targets] allows no change: taper, breadth and fittings are all 0, or there is no fitting to change; \
         the same goes for heights, turns, allowance and count of a pattern"
    )]
    NothingMayChange,
    /// A target has no value to start from.
    #[error("the blade balances at or behind the guard, so it has no centre of percussion yet")]
    NoPercussion,
    /// A target of the pattern has nothing to start from.
    #[error("{0}: the blade shows nothing of this now, so there is nothing to start from")]
    NotShown(String),
}

impl FitFault {
    /// What to do about it, where the smith can do something.
    pub fn help(&self) -> Option<&'static str> {
        match self {
            FitFault::Problems(_) | FitFault::Uneditable => None,
            FitFault::NoTargets => Some(
                "add [targets] with what you want, such as mass = \"at most 900 g\" (or 2 lb) or balance = \"100 mm\" (or 4 in), and how far the blade may \
                 change for it, in percent: taper = 20",
            ),
            FitFault::NothingMayChange => Some(
                "say under [targets] how far the blade may change, in percent: taper = 20 for its thickness, breadth = 5, or \
                 fittings = 20",
            ),
            FitFault::NoPercussion => Some(
                "take the target `percussion` out until the balance lies ahead of the guard: give a target `balance` first, or a \
                 lighter pommel",
            ),
            FitFault::NotShown(_) => Some(
                "take this target out, or change the stack in [[bar]] so that the finished blade shows the bar at all",
            ),
        }
    }
}

/// What was found.
#[derive(Clone, Debug, Serialize)]
pub struct Fitted {
    /// The new design file.
    #[serde(skip)]
    pub file: String,
    /// The targets before.
    pub before: Vec<Target>,
    /// The targets of the new file.
    pub after: Vec<Target>,
    /// The targets of the pattern before.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pattern_before: Vec<PatternTarget>,
    /// The targets of the pattern of the new file.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pattern_after: Vec<PatternTarget>,
    /// Whether all are reached: limits kept, single values met within a thousandth.
    pub reached: bool,
    /// What was changed; nothing where the targets are met already.
    pub changes: Vec<Change>,
    /// What stops it from coming nearer; empty when all are reached.
    pub stopped_by: Vec<String>,
    /// What targets of the pattern that can't all be reached leave of each other.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub conflicts: Vec<String>,
    /// What a reveal costs; none where none is asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cost: Option<Cost>,
    /// What becomes of the finished blade's thickness at its taper stations, and of its breadth; what stays is left out.
    pub sizes: Vec<Size>,
    /// What becomes of the bars on the finished blade.
    pub zones: Vec<Zone>,
    /// What the new blade is warned about and the old one was not.
    pub warnings: Vec<String>,
}

/// A size of the finished blade, before and after.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Size {
    /// `thickness` of the back, or `breadth`.
    pub what: &'static str,
    /// Station, mm from the shoulder.
    pub at_mm: f64,
    /// Before and after, mm.
    pub is_mm: [f64; 2],
}

/// A size that changes by less stays, mm: no caliper shows it.
const SAME: f64 = 5e-3;

/// A bar on the finished blade, before and after.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Zone {
    /// The bar.
    pub bar: String,
    /// Station, mm from the shoulder.
    pub at_mm: f64,
    /// Its breadth there before and after, mm.
    pub breadth_mm: [f64; 2],
}

/// The smallest change of a design file, within the limits of its `[targets]`, that brings the finished blade to them; or
/// the one that comes nearest. The measure of change is the sum of squares of each knob's share of its limit. A blade that
/// meets them is left as it is.
///
/// # Errors
/// Problems of the file, and targets that can't be gone for.
pub fn fit(bytes: &[u8]) -> Result<Fitted, FitFault> {
    let design = design::read(bytes).map_err(FitFault::Problems)?;
    if design.targets().is_none() {
        return Err(FitFault::NoTargets);
    }
    // A sound design is UTF-8 and TOML, with or without a mark at its start.
    let text = String::from_utf8_lossy(bytes);
    let reached = Reached::by(&design);
    if reached.weight.iter().any(|t| t.found.is_none()) {
        return Err(FitFault::NoPercussion);
    }
    if let Some(hidden) = reached.pattern.iter().find(|t| t.found.is_none()) {
        return Err(FitFault::NotShown(hidden.about(design.figures())));
    }
    let limits = Limit::all(&design);
    if limits.is_empty() && !reached.all() && !may_count(&design) {
        return Err(FitFault::NothingMayChange);
    }
    let editor = Editor::new(&text, &design).ok_or(FitFault::Uneditable)?;
    let wanted = Wanted { yielding: Vec::new() };
    let goal = |d: &Design| wanted.misses(d);
    let mut search = Search {
        limits: &limits,
        editor: &editor,
        goal: &goal,
        bars: Some(&wanted),
        two_sided: reached.exact(),
        steps: STEPS,
        obstacle: None,
    };
    let turns = if reached.all() { vec![0.0; limits.len()] } else { search.run() };
    Ok(told(&search, &design, &turns))
}

/// Whether a number of layers may change for a target.
fn may_count(design: &Design) -> bool {
    let Some(targets) = design.targets() else { return false };
    let layers = |aim: PatternAim| matches!(aim, PatternAim::Layers { .. });
    targets.layers > 0.0 && targets.pattern().iter().any(|asked| layers(asked.aim))
}

/// What came of a search.
fn told(search: &Search<'_>, before: &Design, turns: &[f64]) -> Fitted {
    let (file, after, turns) = search.made(before, turns);
    let mut changes = search.changes(&turns);
    // How many layers there are changes nothing else of what is wanted.
    let (file, counts) = counted(&file, &after);
    let after = design::read(file.as_bytes()).unwrap_or(after);
    changes.extend(counts);
    let (was, is) = (Reached::by(before), Reached::by(&after));
    let reached = is.all();
    let (old_bars, new_bars) = (bars(before), bars(&after));
    Fitted {
        file,
        stopped_by: if reached { Vec::new() } else { stops(search, before, &changes) },
        conflicts: if reached { Vec::new() } else { conflicts(search, before, (&turns, &is.pattern)) },
        cost: Cost::of(before, &after),
        before: was.weight,
        after: is.weight,
        pattern_before: was.pattern,
        pattern_after: is.pattern,
        reached,
        changes,
        sizes: sizes([before, &after]),
        zones: zones([old_bars.as_ref(), new_bars.as_ref()]),
        warnings: new_warnings([before, &after], [old_bars.as_ref(), new_bars.as_ref()]),
    }
}

/// What keeps a blade from its targets: rules, limits reached, and what may not change at all.
fn stops(search: &Search<'_>, design: &Design, changes: &[Change]) -> Vec<String> {
    let mut stops: Vec<String> = search.obstacle.iter().cloned().collect();
    let free = |limit: &Limit| matches!(limit.knob, Knob::Start(..));
    for (limit, change) in search.limits.iter().zip(changes).filter(|(l, c)| c.at_limit && !free(l)) {
        let (by, key) = (minus(&format!("{:+.0}", 100.0 * change.by)), limit.knob.key());
        stops.push(format!("{} may change by {by} % at most ([targets] {key})", change.what));
    }
    stops.extend(kept(design).into_iter().map(|key| format!("{key} may not change ([targets] {key})")));
    if stops.is_empty() {
        stops.push("no allowed change meets all targets at once".to_owned());
    }
    stops
}

/// The keys of what may not change though it could.
fn kept(design: &Design) -> Vec<&'static str> {
    let Some(targets) = design.targets() else { return Vec::new() };
    let weighed = !targets.wanted().is_empty();
    let mounted = weighed && design.fittings().iter().any(|f| f.kind != FittingKind::Grip);
    let asks = |wanted: fn(PatternAim) -> bool| targets.pattern().iter().any(|asked| wanted(asked.aim));
    let broad =
        |aim| matches!(aim, PatternAim::EdgeBar | PatternAim::Breadth { .. } | PatternAim::Seam { .. });
    let all = [
        (weighed, "taper", targets.taper),
        (weighed || asks(broad), "breadth", targets.breadth),
        (mounted, "fittings", targets.fittings),
        (asks(broad), "heights", targets.heights),
        (asks(|aim| matches!(aim, PatternAim::Chevrons { .. })), "turns", targets.turns),
        (asks(|aim| matches!(aim, PatternAim::Reveal { .. })), "allowance", targets.allowance),
        (asks(|aim| matches!(aim, PatternAim::Layers { .. })), "count", targets.layers),
    ];
    all.into_iter().filter(|(asked, _, share)| *asked && *share <= 0.0).map(|(_, key, _)| key).collect()
}

/// The bars of a design where they are compared; `None` without a billet.
fn bars(design: &Design) -> Option<BarsSummary> {
    let stations: Vec<f64> = COMPARED.iter().map(|share| share * design.blade().length()).collect();
    BarsSummary::from_design(design, &stations)
}

/// Thicknesses at the taper stations and breadth at the shoulder that a fit changes.
fn sizes([before, after]: [&Design; 2]) -> Vec<Size> {
    let pairs = before.blade().spec().taper.iter().zip(&after.blade().spec().taper);
    let thick = pairs.map(|(was, is)| Size { what: "thickness", at_mm: was.at, is_mm: [was.back, is.back] });
    let broad = [before, after].map(|d| d.blade().caliper(Stage::Finished, 0.0).map(|c| c.breadth));
    let broad =
        broad[0].zip(broad[1]).map(|(was, is)| Size { what: "breadth", at_mm: 0.0, is_mm: [was, is] });
    thick.chain(broad).filter(|size| (size.is_mm[0] - size.is_mm[1]).abs() > SAME).collect()
}

/// Breadths of the bars before and after; none without a billet.
fn zones([before, after]: [Option<&BarsSummary>; 2]) -> Vec<Zone> {
    let (Some(old), Some(new)) = (before, after) else { return Vec::new() };
    let mut zones = Vec::new();
    for (a, b) in old.stations.iter().zip(&new.stations) {
        for (name, (was, is)) in old.names.iter().zip(a.breadths_mm.iter().zip(&b.breadths_mm)) {
            zones.push(Zone { bar: name.clone(), at_mm: a.at_mm, breadth_mm: [*was, *is] });
        }
    }
    zones
}

/// What the new design is warned about and the old one was not.
fn new_warnings([before, after]: [&Design; 2], bars: [Option<&BarsSummary>; 2]) -> Vec<String> {
    let all = |design: &Design, bars: Option<&BarsSummary>| {
        let own = Spoken::of_design(design).warnings(design.warnings().iter());
        own.into_iter()
            .chain(bars.map_or_else(Vec::new, |bars| bars.findings.clone()))
            .collect::<Vec<String>>()
    };
    let old = all(before, bars[0]);
    all(after, bars[1]).into_iter().filter(|w| !old.contains(w)).collect()
}
