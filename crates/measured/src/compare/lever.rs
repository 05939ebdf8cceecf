//! Mass and balance of the bare steel by statics: from stand-in weights clamped on, and from scales under its supports.
//!
//! Everything is a straight equation in the mass and its first moment about a point near the balance, so all readings
//! of a day are met at once, each as well as it was read.

use design::Design;
use nalgebra::{Matrix2, Vector2};
use serde::Serialize;

use crate::file::hanging::{Lever, levers};
use crate::file::reading::{Quantity, Reading};
use crate::surplus::mass_balance::{MassBalance, MassBand};
use crate::surplus::surface::SURE;
use crate::surplus::weighing::resolution;

/// How far off a balance is read on a finger's or a rule's edge, as a standard deviation, mm (common practice, no
/// source).
const FINGER: f64 = 1.5;
/// The same of a weight's or a support's place by a rule, mm (common practice, no source).
const RULE: f64 = 0.5;
/// Readings further than so many standard deviations from what all together say contradict each other: one in ten
/// thousand by chance.
const APART: f64 = 4.0;
/// An equation tells of the mass where it is known better than this share of it.
const TELLS: f64 = 0.5;
/// Rounds in which the errors that go with the mass settle.
const ROUNDS: usize = 3;
/// Masses that a blade may have, g: as scales are let in.
const MASSES: std::ops::RangeInclusive<f64> = 1.0..=20_000.0;

/// What a reading tells of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Told {
    /// The scales.
    Weight,
    /// The bare blade's balance.
    Balance,
    /// A balance with weights clamped on.
    Weights,
    /// Scales under the supports.
    Supports,
    /// The readings of breadth and thickness, where nothing else tells the mass.
    Rebuilt,
}

/// Mass and balance of the bare steel by statics. Bands are 95 %.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Levered {
    /// g.
    pub steel_g: f64,
    /// It is known to ± this, g.
    pub steel_band_g: f64,
    /// From where balance is told, mm.
    pub balance_mm: f64,
    /// It is known to ± this, mm.
    pub balance_band_mm: f64,
    /// What it was worked out from.
    pub by: Vec<Told>,
    /// What the others contradict, where something does: it is counted all the same.
    pub contradicted: Vec<Told>,
    /// Whether masses come out that no blade has: then the figures mean nothing.
    pub absurd: bool,
    /// The same with what the design mounts, and what guard and pommel bring it to the targets.
    #[serde(skip)]
    pub(crate) known: Option<Known>,
}

/// Mass (g) and its first moment about the shoulder (g·mm), and how they vary together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Known {
    pub(crate) value: Vector2<f64>,
    pub(crate) spread: Matrix2<f64>,
}

/// `mass`·m + `moment`·q = `value` ± `error`, q the first moment about the middle.
#[derive(Clone, Copy, Debug)]
struct Equation {
    told: Told,
    mass: f64,
    moment: f64,
    value: f64,
    error: f64,
}

impl Levered {
    /// Of a session's readings; `bench` is the blade rebuilt from breadth and thickness. `None` where there are neither
    /// weights clamped on nor supports.
    pub(crate) fn new(
        design: &Design,
        readings: &[Reading],
        bench: &MassBalance,
        band: &MassBand,
    ) -> Option<Levered> {
        let all: Vec<&Reading> = readings.iter().collect();
        let front = design.guard_front();
        let about = bench.steel_balance_mm + front;
        let scales = Scales { levers: levers(&all), readings: all, front, about };
        if scales.levers.is_empty() && scales.supports().next().is_none() {
            return None;
        }
        let mut mass = bench.steel_g;
        let mut met = None;
        let mut equations = Vec::new();
        for _ in 0..ROUNDS {
            equations = scales.equations(mass);
            let rebuilt = Equation::mass(Told::Rebuilt, bench.steel_g, band.steel_g / SURE);
            let known = solved(&equations).filter(|k| k.spread[(0, 0)].sqrt() < TELLS * k.value[0].abs());
            if known.is_none() {
                equations.push(rebuilt);
            }
            met = known.or_else(|| solved(&equations));
            mass = met?.value[0].clamp(*MASSES.start(), *MASSES.end());
        }
        Some(told(&equations, met?, about, front))
    }
}

/// A session's readings of mass and balance.
struct Scales<'r> {
    levers: Vec<Lever<'r>>,
    readings: Vec<&'r Reading>,
    /// Station that balance is told from, mm.
    front: f64,
    /// Station about which moments are taken, mm.
    about: f64,
}

impl Scales<'_> {
    fn of(&self, what: Quantity) -> impl Iterator<Item = &Reading> {
        self.readings.iter().copied().filter(move |r| r.what == what)
    }

    fn supports(&self) -> impl Iterator<Item = &Reading> {
        self.of(Quantity::Support)
    }

    /// All equations, with the errors of a blade of so much mass, g.
    fn equations(&self, mass: f64) -> Vec<Equation> {
        let weights = self.of(Quantity::Weight).map(|r| Equation::mass(Told::Weight, r.value, resolution(r)));
        let bare = self.of(Quantity::Balance).map(|r| {
            let at = r.value + self.front - self.about;
            Equation { told: Told::Balance, mass: -at, moment: 1.0, value: 0.0, error: mass * FINGER }
        });
        let levers = self.levers.iter().map(|lever| self.lever(lever, mass));
        weights.chain(bare).chain(levers).chain(self.borne()).collect()
    }

    /// Blade and weights balance at B: q + Σ w·x = B·(m + Σ w).
    fn lever(&self, lever: &Lever<'_>, mass: f64) -> Equation {
        let at = lever.balance.value + self.front - self.about;
        let value = lever.mass() * (at + self.about - lever.middle());
        let placed = lever.weights.iter().map(|w| w.value * RULE);
        let weighed = lever.weights.iter().map(|w| resolution(w) * (at + self.about - w.station));
        let error = placed.chain(weighed).fold((mass + lever.mass()) * FINGER, f64::hypot);
        Equation { told: Told::Weights, mass: -at, moment: 1.0, value, error }
    }

    /// Scales under the supports: their sum is the mass, their sum of moments is its moment.
    fn borne(&self) -> Vec<Equation> {
        let supports = self.merged_supports();
        if supports.is_empty() {
            return Vec::new();
        }
        let sum = |of: &dyn Fn(&(f64, f64, f64)) -> f64| supports.iter().map(of).sum::<f64>();
        let root = |of: &dyn Fn(&(f64, f64, f64)) -> f64| sum(&|s| of(s).powi(2)).sqrt();
        let arm = |x: f64| x - self.about;
        let moment = root(&|(x, _, fine)| fine * arm(*x)).hypot(root(&|(_, borne, _)| borne * RULE));
        let told = Told::Supports;
        vec![
            Equation::mass(told, sum(&|s| s.1), root(&|s| s.2)),
            Equation { told, mass: 0.0, moment: 1.0, value: sum(&|(x, g, _)| g * arm(*x)), error: moment },
        ]
    }

    /// Station, reading and its error for each support: the mean where one was read more than once.
    fn merged_supports(&self) -> Vec<(f64, f64, f64)> {
        let all: Vec<Reading> = self.supports().cloned().collect();
        let merged = crate::surplus::repeats::merged(&all);
        merged.iter().map(|r| (r.station, r.value, resolution(r))).collect()
    }
}

impl Equation {
    /// The mass itself.
    fn mass(told: Told, value: f64, error: f64) -> Equation {
        Equation { told, mass: 1.0, moment: 0.0, value, error }
    }

    /// How far off it is, in its standard deviations.
    fn off(&self, [mass, moment]: [f64; 2]) -> f64 {
        (self.mass * mass + self.moment * moment - self.value).abs() / self.error
    }
}

/// Mass and moment that meet all equations best: least squares, each weighed by its error. `None` where they leave one
/// of them open.
fn solved(equations: &[Equation]) -> Option<Known> {
    let (mut normal, mut right) = (Matrix2::zeros(), Vector2::zeros());
    for e in equations {
        let row = Vector2::new(e.mass, e.moment) / e.error;
        normal += row * row.transpose();
        right += row * (e.value / e.error);
    }
    let scale = normal[(0, 0)] * normal[(1, 1)];
    // Two equations that say the same leave nothing but rounding.
    let spread = normal.try_inverse().filter(|_| normal.determinant() > 1e-9 * scale)?;
    let value = spread * right;
    (value.iter().all(|v| v.is_finite()) && spread.iter().all(|v| v.is_finite()))
        .then_some(Known { value, spread })
}

/// What the equations come to, from where balance is told.
fn told(equations: &[Equation], met: Known, about: f64, front: f64) -> Levered {
    let (mass, moment) = (met.value[0], met.value[1]);
    let mut by: Vec<Told> = equations.iter().map(|e| e.told).collect();
    by.dedup();
    let off = equations.iter().filter(|e| e.off([mass, moment]) > APART);
    let mut contradicted: Vec<Told> = off.map(|e| e.told).collect();
    contradicted.dedup();
    // The balance q/m: its slopes in q and m.
    let slopes = Vector2::new(-moment / (mass * mass), 1.0 / mass);
    let balance = (slopes.transpose() * met.spread * slopes)[(0, 0)].max(0.0).sqrt();
    // About the shoulder.
    let turn = Matrix2::new(1.0, 0.0, about, 1.0);
    let known = Known { value: turn * met.value, spread: turn * met.spread * turn.transpose() };
    Levered {
        steel_g: mass,
        steel_band_g: SURE * met.spread[(0, 0)].max(0.0).sqrt(),
        balance_mm: moment / mass + about - front,
        balance_band_mm: SURE * balance,
        by,
        contradicted,
        absurd: !MASSES.contains(&mass),
        known: MASSES.contains(&mass).then_some(known),
    }
}
