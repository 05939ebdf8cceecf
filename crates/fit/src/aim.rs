//! The smallest change that brings a design to its targets.

use design::{BarsSummary, Design, FittingKind, Problem, Target, minus};
use serde::Serialize;
use thiserror::Error;

use crate::edit::Editor;
use crate::knob::{Change, Limit};
use crate::search::Search;

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
        "[targets] allows no change: taper, breadth and fittings are all 0, or there is no fitting to change"
    )]
    NothingMayChange,
    /// A target has no value to start from.
    #[error("the blade balances at or behind the guard, so it has no centre of percussion yet")]
    NoPercussion,
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
    /// Whether all are reached: limits kept, single values met within a thousandth.
    pub reached: bool,
    /// What was changed; nothing where the targets are met already.
    pub changes: Vec<Change>,
    /// What stops it from coming nearer; empty when all are reached.
    pub stopped_by: Vec<String>,
    /// What becomes of the bars on the finished blade.
    pub zones: Vec<Zone>,
    /// What the new blade is warned about and the old one was not.
    pub warnings: Vec<String>,
}

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
    let limits = Limit::all(&design);
    let targets = design.against_targets();
    let met = targets.iter().all(Target::is_reached);
    if limits.is_empty() && !met {
        return Err(FitFault::NothingMayChange);
    }
    if targets.iter().any(|t| t.found.is_none()) {
        return Err(FitFault::NoPercussion);
    }
    // A sound design is UTF-8 and TOML, with or without a mark at its start.
    let text = String::from_utf8_lossy(bytes);
    let editor = Editor::new(&text, &design).ok_or(FitFault::Uneditable)?;
    let two_sided = targets.iter().filter(|t| t.is_exact()).count();
    let mut search = Search { limits: &limits, editor: &editor, goal: &misses, two_sided, obstacle: None };
    let turns = if met { vec![0.0; limits.len()] } else { search.run() };
    Ok(told(&search, &design, &turns))
}

/// How far a blade is off each single value that is wanted, then beyond each limit, as shares.
fn misses(design: &Design) -> Result<Vec<f64>, String> {
    let behind = || "the blade would balance at or behind the guard".to_owned();
    let targets = design.against_targets();
    let exact = targets.iter().filter(|t| t.is_exact()).map(|t| t.off().ok_or_else(behind));
    let mut misses: Vec<f64> = exact.collect::<Result<_, _>>()?;
    for target in &targets {
        misses.extend(target.beyond().ok_or_else(behind)?);
    }
    Ok(misses)
}

/// What came of a search.
fn told(search: &Search<'_>, before: &Design, turns: &[f64]) -> Fitted {
    let (file, after, turns) = search.made(before, turns);
    let targets = after.against_targets();
    let reached = targets.iter().all(Target::is_reached);
    let changes = search.changes(&turns);
    Fitted {
        file,
        before: before.against_targets(),
        stopped_by: if reached { Vec::new() } else { stops(search, before, &changes) },
        after: targets,
        reached,
        changes,
        zones: zones(before, &after),
        warnings: new_warnings(before, &after),
    }
}

/// What keeps a blade from its targets: rules, limits reached, and what may not change at all.
fn stops(search: &Search<'_>, design: &Design, changes: &[Change]) -> Vec<String> {
    let mut stops: Vec<String> = search.obstacle.iter().cloned().collect();
    for (limit, change) in search.limits.iter().zip(changes).filter(|(_, c)| c.at_limit) {
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
    let mounted = design.fittings().iter().any(|f| f.kind != FittingKind::Grip);
    let fittings = Some(("fittings", targets.fittings)).filter(|_| mounted);
    let all = [("taper", targets.taper), ("breadth", targets.breadth)].into_iter().chain(fittings);
    all.filter(|(_, share)| *share <= 0.0).map(|(key, _)| key).collect()
}

/// Breadths of the bars before and after; none without a billet.
fn zones(before: &Design, after: &Design) -> Vec<Zone> {
    let bars = |d: &Design| {
        let stations: Vec<f64> = COMPARED.iter().map(|share| share * d.blade().length()).collect();
        BarsSummary::from_design(d, &stations)
    };
    let (Some(old), Some(new)) = (bars(before), bars(after)) else { return Vec::new() };
    let mut zones = Vec::new();
    for (a, b) in old.stations.iter().zip(&new.stations) {
        for (name, (was, is)) in old.names.iter().zip(a.breadths_mm.iter().zip(&b.breadths_mm)) {
            zones.push(Zone { bar: name.clone(), at_mm: a.at_mm, breadth_mm: [*was, *is] });
        }
    }
    zones
}

fn new_warnings(before: &Design, after: &Design) -> Vec<String> {
    let all = |d: &Design| {
        let own = d.warnings().iter().map(|w| format!("{}: {}; {}", w.field, w.message, w.help));
        let found = BarsSummary::from_design(d, &[]).map_or_else(Vec::new, |bars| bars.findings);
        own.chain(found).collect::<Vec<String>>()
    };
    let old = all(before);
    all(after).into_iter().filter(|w| !old.contains(w)).collect()
}
