//! The search: linear steps, each tried as a design file of its own.

use design::{BarsSummary, Design, Problem, Target};
use serde::Serialize;
use thiserror::Error;

use crate::edit::{Editor, Figures};
use crate::knob::{Change, Limit};
use crate::least::{Cut, Linear};

/// Most steps: mass and balance are so nearly linear that three or four do; each rule in the way takes one or two more.
const STEPS: usize = 24;
/// Turn of a knob for its slope, as a share of its limit: mass differs by parts in a thousand, far above rounding.
const TURN: f64 = 1e-2;
/// Steps smaller than this end the search, as a share of a limit.
const SETTLED: f64 = 1e-6;
/// Halvings of a step that leads to a blade that can't be: to a four-thousandth of it.
const HALVINGS: usize = 12;
/// How far inside a rule's plane is made out, as a share of a limit: far above the steps of halving.
const INSIDE: f64 = 0.02;
/// How far a knob is turned to see whether a rule is near, as a share of its limit.
const FAR: f64 = 0.2;
/// How much of the way to a rule's plane may be gone: the plane is only nearly where the rule is.
const CLEAR: f64 = 0.98;
/// Stations at which bars are compared, in parts of the length: shoulder, middle, and where the point begins on most blades.
const COMPARED: [f64; 3] = [0.0, 0.5, 0.8];

/// Why nothing could be fitted.
#[derive(Debug, Error)]
pub enum FitFault {
    /// The file is no sound design.
    #[error("the design has problems")]
    Problems(Vec<Problem>),
    /// It has no targets.
    #[error("the design has no [targets]")]
    NoTargets,
    /// Its targets allow no change.
    #[error(
        "[targets] allows no change: taper, breadth and fittings are 0, or there is no fitting to change"
    )]
    NothingMayChange,
    /// A target has no value to start from.
    #[error("the blade balances at or behind the guard, so it has no centre of percussion to start from")]
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
    /// Whether all are reached within a thousandth.
    pub reached: bool,
    /// What was changed.
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
/// the one that comes nearest. The measure of change is the sum of squares of each knob's share of its limit.
///
/// # Errors
/// Problems of the file, and targets that can't be gone for.
pub fn fit(bytes: &[u8]) -> Result<Fitted, FitFault> {
    let design = design::read(bytes).map_err(FitFault::Problems)?;
    if design.targets().is_none() {
        return Err(FitFault::NoTargets);
    }
    let limits = Limit::all(&design);
    if limits.is_empty() {
        return Err(FitFault::NothingMayChange);
    }
    if design.against_targets().iter().any(|t| t.found.is_none()) {
        return Err(FitFault::NoPercussion);
    }
    // A sound design is UTF-8 and TOML, with or without a mark at its start.
    let text = String::from_utf8_lossy(bytes);
    let editor = Editor::new(&text, &design).ok_or(FitFault::NoTargets)?;
    let mut search = Search { limits: &limits, editor: &editor, obstacle: None };
    let turns = search.run();
    Ok(search.told(&design, &turns))
}

/// A step of the search.
struct Step {
    /// Where it ends, a sound blade.
    next: Vec<f64>,
    /// Just beyond, if it could not go all the way.
    refused: Option<Vec<f64>>,
}

struct Search<'a> {
    limits: &'a [Limit],
    editor: &'a Editor<'a>,
    /// What the last refused candidate was refused for.
    obstacle: Option<String>,
}

impl Search<'_> {
    fn text(&self, turns: &[f64], figures: Figures) -> String {
        let all: Vec<_> = self.limits.iter().zip(turns).map(|(l, turn)| (&l.knob, turn * l.most)).collect();
        self.editor.changed(&all, figures)
    }

    /// The misses of a candidate in shares of the targets, or why there is no such blade.
    fn misses(&self, turns: &[f64]) -> Result<Vec<f64>, String> {
        let design = design::read(self.text(turns, Figures::Whole).as_bytes()).map_err(|p| told(&p))?;
        let behind = || "the blade would balance at or behind the guard".to_owned();
        design.against_targets().iter().map(|t| t.off().ok_or_else(behind)).collect()
    }

    /// The knobs' turns, as shares of their limits.
    fn run(&mut self) -> Vec<f64> {
        let mut at = vec![0.0; self.limits.len()];
        let mut cuts = Vec::new();
        let Ok(mut miss) = self.misses(&at) else { return at };
        for _ in 0..STEPS {
            let Some(slope) = self.slope(&at, &miss) else { break };
            let linear = Linear { at: &at, miss: &miss, slope: &slope, cuts: &cuts };
            let Some(wanted) = linear.least() else { break };
            let step = self.step(&at, &wanted);
            let Ok(left) = self.misses(&step.next) else { break };
            let moved = step.next.iter().zip(&at).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            let cut = step.refused.and_then(|refused| self.cut(&step.next, &refused));
            let last = moved < SETTLED && cut.is_none();
            cuts.extend(cut);
            (at, miss) = (step.next, left);
            if last {
                break;
            }
        }
        at
    }

    /// The rule of the blade that lies between a sound blade and one that can't be, as a plane: from a little inside, how far
    /// each knob may turn alone before the rule is broken. `None` where the rule can't be made out.
    fn cut(&self, sound: &[f64], refused: &[f64]) -> Option<Cut> {
        let away = sound.iter().zip(refused).map(|(s, r)| (s - r) * (s - r)).sum::<f64>().sqrt();
        let back =
            |by: f64| sound.iter().zip(refused).map(|(s, r)| s + by * (s - r) / away).collect::<Vec<_>>();
        let inside = [INSIDE, 0.5 * INSIDE, 0.0].into_iter().map(back).find(|p| self.misses(p).is_ok())?;
        let slope: Vec<f64> = (0..inside.len()).map(|i| self.nearness(&inside, i)).collect();
        let at: f64 = slope.iter().zip(&inside).map(|(a, z)| a * z).sum();
        slope.iter().any(|a| a.abs() > 0.0).then_some(Cut { slope, most: at + CLEAR })
    }

    /// One over how far a knob may turn alone from a sound blade, with the direction's sign; 0 where it may go far both
    /// ways.
    fn nearness(&self, from: &[f64], i: usize) -> f64 {
        let sound = |turn: f64| {
            let mut turned = from.to_vec();
            turned[i] += turn;
            self.misses(&turned).is_ok()
        };
        let Some(sign) = [1.0, -1.0].into_iter().find(|sign| !sound(sign * FAR)) else { return 0.0 };
        let (mut low, mut high) = (0.0, FAR);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if sound(sign * middle) { low = middle } else { high = middle }
        }
        sign / high
    }

    /// Slopes of the misses by differences, turned inwards so that limits hold.
    fn slope(&mut self, at: &[f64], miss: &[f64]) -> Option<Vec<Vec<f64>>> {
        let mut slope = vec![vec![0.0; at.len()]; miss.len()];
        for i in 0..at.len() {
            let inwards = if at[i] > 0.0 { -TURN } else { TURN };
            let (turn, there) = [inwards, -inwards].into_iter().find_map(|turn| {
                let mut turned = at.to_vec();
                turned[i] += turn;
                Some((turn, self.misses(&turned).ok()?))
            })?;
            for (row, (new, old)) in slope.iter_mut().zip(there.iter().zip(miss)) {
                row[i] = (new - old) / turn;
            }
        }
        Some(slope)
    }

    /// The furthest candidate on the way from `at`, a sound blade, to `wanted` that is one too.
    fn step(&mut self, at: &[f64], wanted: &[f64]) -> Step {
        let there =
            |share: f64| at.iter().zip(wanted).map(|(a, w)| a + share * (w - a)).collect::<Vec<f64>>();
        let (mut sound, mut refused) = (0.0, 1.0);
        for share in std::iter::once(1.0).chain(std::iter::repeat_n(0.0, HALVINGS)) {
            let share = if share > 0.0 { share } else { 0.5 * (sound + refused) };
            match self.misses(&there(share)) {
                Ok(_) if share >= 1.0 => return Step { next: there(1.0), refused: None },
                Ok(_) => sound = share,
                Err(why) => (refused, self.obstacle) = (share, Some(why)),
            }
        }
        Step { next: there(sound), refused: Some(there(refused)) }
    }

    /// What came of it: the file with rounded figures, read like any other.
    fn told(&self, before: &Design, turns: &[f64]) -> Fitted {
        let text = self.text(turns, Figures::Rounded);
        let made = design::read(text.as_bytes());
        // Rounding by a micrometre may break a rule that the search was just within: then nothing is changed.
        let (text, after, turns) = match &made {
            Ok(design) => (text, design, turns.to_vec()),
            Err(_) => (self.text(&vec![0.0; turns.len()], Figures::Rounded), before, vec![0.0; turns.len()]),
        };
        let targets = after.against_targets();
        let reached = targets.iter().all(Target::is_reached);
        let changes: Vec<Change> = self.limits.iter().zip(&turns).map(|(l, turn)| l.change(*turn)).collect();
        Fitted {
            file: text,
            before: before.against_targets(),
            stopped_by: if reached { Vec::new() } else { self.stops(before, &turns) },
            after: targets,
            reached,
            changes,
            zones: zones(before, after),
            warnings: new_warnings(before, after),
        }
    }

    /// What keeps a blade from its targets: rules, limits reached, and what may not change at all.
    fn stops(&self, design: &Design, turns: &[f64]) -> Vec<String> {
        let mut stops: Vec<String> = self.obstacle.iter().cloned().collect();
        for (limit, change) in self.limits.iter().zip(turns).map(|(l, turn)| (l, l.change(*turn))) {
            if change.at_limit {
                let (by, key) = (100.0 * change.by, limit.knob.key());
                stops.push(format!("{} may change by {by:+.0} % at most ([targets] {key})", change.what));
            }
        }
        let kept = [
            ("taper", design.targets().map(|t| t.taper)),
            ("breadth", design.targets().map(|t| t.breadth)),
            ("fittings", design.targets().map(|t| t.fittings)),
        ];
        for (key, _) in kept.into_iter().filter(|(_, share)| share.is_some_and(|s| s <= 0.0)) {
            if key != "fittings" || design.fittings().iter().any(|f| f.kind != design::FittingKind::Grip) {
                stops.push(format!("{key} may not change ([targets] {key})"));
            }
        }
        if stops.is_empty() {
            stops.push("the targets can't be met together by what may change".to_owned());
        }
        stops
    }
}

fn told(problems: &[Problem]) -> String {
    problems.first().map_or_else(String::new, |p| format!("{}: {}", p.field, p.message))
}

/// Breadths of the bars before and after; none without a billet.
fn zones(before: &Design, after: &Design) -> Vec<Zone> {
    let bars = |d: &Design| {
        let stations: Vec<f64> = COMPARED.iter().map(|share| share * d.blade().length()).collect();
        BarsSummary::of(d, &stations)
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
        let found = BarsSummary::of(d, &[]).map_or_else(Vec::new, |bars| bars.findings);
        own.chain(found).collect::<Vec<String>>()
    };
    let old = all(before);
    all(after).into_iter().filter(|w| !old.contains(w)).collect()
}
