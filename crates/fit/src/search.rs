//! The search: linear steps, each tried as a design file of its own.

use blade::{Sections, Stage};
use design::{Design, Problem};
use laminate::Cuts;
use rayon::prelude::*;

use crate::bars::BarChanges;
use crate::edit::{Editor, Figures};
use crate::knob::{Change, Knob, Limit};
use crate::least::{Cut, Linear, MISS};
use crate::wanted::Wanted;

/// Most steps: mass and balance are so nearly linear that three or four do; each rule in the way takes one or two more.
pub(crate) const STEPS: usize = 24;
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
/// A step of the search.
struct Step {
    /// Where it ends, a sound blade, and its misses.
    next: Vec<f64>,
    left: Vec<f64>,
    /// Just beyond, if it could not go all the way.
    refused: Option<Vec<f64>>,
}

/// Misses of a candidate, in shares of what is wanted, or why it is no candidate.
pub(crate) type Goal<'a> = &'a (dyn Fn(&Design) -> Result<Vec<f64>, String> + Sync);

/// Share of the measure of change and misses by which a step has to better it, where patterns are wanted: their limits have
/// corners at which steps would go to and fro.
const BETTER: f64 = 1e-6;
/// Parts of a step that are tried where the whole does not better it.
const PARTS: [f64; 3] = [0.5, 0.2, 0.05];

/// A search for the least change of a design.
pub(crate) struct Search<'a> {
    pub(crate) limits: &'a [Limit],
    pub(crate) editor: &'a Editor<'a>,
    pub(crate) goal: Goal<'a>,
    /// The short way to misses where only bars change, for slopes; candidates always go through their file.
    pub(crate) bars: Option<&'a Wanted>,
    /// How many misses count on both sides, the first ones; of the others only what is positive.
    pub(crate) two_sided: usize,
    /// Most steps.
    pub(crate) steps: usize,
    /// What the last refused candidate was refused for.
    pub(crate) obstacle: Option<String>,
}

impl Search<'_> {
    /// The design file at these turns.
    pub(crate) fn text(&self, turns: &[f64], figures: Figures) -> String {
        self.editor.changed(&self.shares(turns), figures)
    }

    /// The knobs with their changes.
    fn shares(&self, turns: &[f64]) -> Vec<(&Knob, f64)> {
        self.limits.iter().zip(turns).map(|(l, turn)| (&l.knob, turn * l.most)).collect()
    }

    /// The misses of a candidate, or why there is no such blade.
    fn misses(&self, turns: &[f64]) -> Result<Vec<f64>, String> {
        let text = self.text(turns, Figures::Whole);
        let design = design::read_candidate(text.as_bytes()).map_err(|p| told(&p))?;
        (self.goal)(&design)
    }

    /// The knobs' turns, as shares of their limits.
    pub(crate) fn run(&mut self) -> Vec<f64> {
        self.run_from(vec![0.0; self.limits.len()])
    }

    /// The same, begun at a sound blade.
    pub(crate) fn run_from(&mut self, mut at: Vec<f64>) -> Vec<f64> {
        let mut cuts = Vec::new();
        let Ok(mut miss) = self.misses(&at) else { return at };
        for _ in 0..self.steps {
            let Some(slope) = self.slope(&at, &miss) else { break };
            let linear =
                Linear { at: &at, miss: &miss, slope: &slope, two_sided: self.two_sided, cuts: &cuts };
            let Some(wanted) = linear.least() else { break };
            let step = self.step((&at, &miss), &wanted);
            let moved = step.next.iter().zip(&at).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            let cut = step.refused.and_then(|refused| self.cut(&step.next, &refused));
            let last = moved < SETTLED && cut.is_none();
            let (mut next, mut left) = (step.next, step.left);
            if cut.is_none() && self.limits.iter().any(|limit| limit.knob.is_of_pattern()) {
                let Some(better) = self.bettered((&at, &miss), next, left) else { break };
                (next, left) = better;
            }
            cuts.extend(cut);
            (at, miss) = (next, left);
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
    fn slope(&self, at: &[f64], miss: &[f64]) -> Option<Vec<Vec<f64>>> {
        let mut by_bars = self.bar_slopes(at).into_iter().flatten();
        let short = |limit: &Limit| limit.knob.is_of_bars().then(|| by_bars.next().flatten()).flatten();
        let short: Vec<Option<Vec<f64>>> = self.limits.iter().map(short).collect();
        let long = |i| self.difference(at, miss, i, |turned| self.misses(turned).ok());
        let columns = short.into_par_iter().enumerate().map(|(i, column)| column.or_else(|| long(i)));
        let columns = columns.collect::<Option<Vec<_>>>()?;
        let row = |i: usize| columns.iter().map(|column| column.get(i).copied().unwrap_or(0.0)).collect();
        Some((0..miss.len()).map(row).collect())
    }

    /// Slopes of the misses by one knob.
    fn difference(
        &self,
        at: &[f64],
        miss: &[f64],
        i: usize,
        misses: impl Fn(&[f64]) -> Option<Vec<f64>>,
    ) -> Option<Vec<f64>> {
        let inwards = if at[i] > 0.0 { -TURN } else { TURN };
        let (turn, there) = [inwards, -inwards].into_iter().find_map(|turn| {
            let mut turned = at.to_vec();
            turned[i] += turn;
            Some((turn, misses(&turned)?))
        })?;
        Some(there.iter().zip(miss).map(|(new, old)| (new - old) / turn).collect())
    }

    /// Slopes by each knob of bars around `at`, read off one blade with other billets; `None` where there is no such way.
    fn bar_slopes(&self, at: &[f64]) -> Option<Vec<Option<Vec<f64>>>> {
        let wanted = self.bars.filter(|_| self.limits.iter().any(|limit| limit.knob.is_of_bars()))?;
        let base = design::read_candidate(self.text(at, Figures::Whole).as_bytes()).ok()?;
        let finished = Sections::of(&base.blade().loft(Stage::Finished));
        let lay = base.lay()?;
        let cuts = Cuts::new(lay.sections(), &finished);
        let goal = wanted.by_bars(&base, &cuts);
        let from = BarChanges::new(self.editor.design, &self.shares(at));
        let misses = |turned: &[f64]| {
            let changes = BarChanges::new(self.editor.design, &self.shares(turned));
            goal(&changes.laid(lay, &from)?).ok()
        };
        let here = misses(at)?;
        let bars = (0..at.len()).filter(|i| self.limits[*i].knob.is_of_bars());
        Some(bars.map(|i| self.difference(at, &here, i, misses)).collect())
    }

    /// The furthest candidate on the way from `at`, a sound blade, to `wanted` that is one too.
    fn step(&mut self, (at, miss): (&[f64], &[f64]), wanted: &[f64]) -> Step {
        let there =
            |share: f64| at.iter().zip(wanted).map(|(a, w)| a + share * (w - a)).collect::<Vec<f64>>();
        let (mut sound, mut refused) = (0.0, 1.0);
        let mut left = miss.to_vec();
        for share in std::iter::once(1.0).chain(std::iter::repeat_n(0.0, HALVINGS)) {
            let share = if share > 0.0 { share } else { 0.5 * (sound + refused) };
            match self.misses(&there(share)) {
                Ok(left) if share >= 1.0 => return Step { next: there(1.0), left, refused: None },
                Ok(misses) => (sound, left) = (share, misses),
                Err(why) => (refused, self.obstacle) = (share, Some(why)),
            }
        }
        Step { next: there(sound), left, refused: Some(there(refused)) }
    }

    /// A step, or a part of it, that betters the measure; `None` where none does.
    fn bettered(
        &self,
        (at, miss): (&[f64], &[f64]),
        next: Vec<f64>,
        left: Vec<f64>,
    ) -> Option<(Vec<f64>, Vec<f64>)> {
        let wanted = (1.0 - BETTER) * self.measure(at, miss);
        if self.measure(&next, &left) <= wanted {
            return Some((next, left));
        }
        PARTS.into_iter().find_map(|part| {
            let there: Vec<f64> = at.iter().zip(&next).map(|(a, n)| a + part * (n - a)).collect();
            let left = self.misses(&there).ok()?;
            (self.measure(&there, &left) <= wanted).then_some((there, left))
        })
    }

    /// The measure that a search makes least: see [`Linear::least`].
    fn measure(&self, turns: &[f64], misses: &[f64]) -> f64 {
        let counts = |(i, miss): (usize, &f64)| if i < self.two_sided { *miss } else { miss.max(0.0) };
        let squares: f64 = misses.iter().enumerate().map(counts).map(|miss| miss * miss).sum();
        turns.iter().map(|turn| turn * turn).sum::<f64>() + MISS * squares
    }

    /// The changes at these turns.
    pub(crate) fn changes(&self, turns: &[f64]) -> Vec<Change> {
        self.limits.iter().zip(turns).map(|(limit, turn)| limit.change(*turn)).collect()
    }

    /// The file with rounded figures, read like any other. Rounding by a micrometre may break a rule that the search was just
    /// within: then nothing is changed. Gives the file, its design without warnings and the turns.
    pub(crate) fn made(&self, before: &Design, turns: &[f64]) -> (String, Design, Vec<f64>) {
        let text = self.text(turns, Figures::Rounded);
        match design::read_candidate(text.as_bytes()) {
            Ok(design) => (text, design, turns.to_vec()),
            Err(_) => {
                let none = vec![0.0; turns.len()];
                (self.text(&none, Figures::Rounded), before.clone(), none)
            }
        }
    }
}

fn told(problems: &[Problem]) -> String {
    problems.first().map_or_else(String::new, |p| format!("{}: {}", p.field, p.message))
}
