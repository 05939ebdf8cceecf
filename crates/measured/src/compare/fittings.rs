//! Guard and pommel of a design as they would have to be: two straight equations, and what stands against them.

use design::{Aim, Compared, Design, Fitting, FittingKind, Target};
use nalgebra::Vector2;
use serde::Serialize;

use crate::compare::lever::Known;
use crate::surplus::surface::SURE;

/// No fitting is lighter than the smallest coins, g (common practice, no source).
pub(crate) const COIN: f64 = 2.0;
/// A fitting heavier than this share of the bare blade is another blade's (common practice, no source).
const HEAVIEST: f64 = 1.0;
/// A pommel may sit so far off the tang's end or the grip, mm: what a file takes off.
const OFF: f64 = 1.0;
/// Shares of a mass that are rounding.
const ROUNDING: f64 = 1e-9;
/// Steps by which slopes are taken: g, and g·mm.
const STEP: [f64; 2] = [1e-3, 1e-1];

/// What is changed of guard and pommel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Change {
    /// The pommel's mass.
    PommelMass,
    /// The guard's mass.
    GuardMass,
    /// The pommel's place.
    PommelPlace,
    /// The masses of guard and pommel.
    BothMasses,
    /// The pommel's mass and place.
    PommelMassAndPlace,
}

/// Why a change can't be made.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Barrier {
    /// A mass would be less than any fitting's, g; below 0 something would have to pull up.
    TooLight(f64),
    /// A mass would be more than the bare blade's, g.
    TooHeavy(f64),
    /// The pommel would sit beyond the tang's end, at a station, mm.
    BeyondTang(f64),
    /// The pommel would sit in the grip or ahead of it, at a station, mm.
    InGrip(f64),
    /// No such change moves the balance.
    NoLever,
    /// It reaches the balance, but not the mass: what it then weighs, g.
    MassMissed(f64),
}

/// Guard or pommel as a change makes it. Bands are 95 %.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Mount {
    /// g.
    pub mass_g: f64,
    /// Known to ± this, g; 0 where it is as designed.
    pub mass_band_g: f64,
    /// Station of its centre, mm.
    pub at_mm: f64,
    /// Known to ± this, mm; 0 where it is as designed.
    pub at_band_mm: f64,
}

/// One way to the targets.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HiltWay {
    /// What is changed.
    pub change: Change,
    /// The guard, where there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub guard: Option<Mount>,
    /// The pommel.
    pub pommel: Mount,
    /// Why it can't be done; absent where it can.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub barrier: Option<Barrier>,
}

/// Masses and moments about the shoulder, g and g·mm.
pub(crate) type Bulk = Vector2<f64>;

/// The design's hilt.
pub(crate) struct Fittings<'a> {
    design: &'a Design,
    guard: Option<&'a Fitting>,
    pommel: Fitting,
    /// Whether the pommel stands for one that the design does not have.
    pub(crate) stand_in: bool,
    /// Grip and all else.
    rest: Bulk,
}

/// What is to be reached: the mass with fittings (g) and the station of its balance (mm).
#[derive(Clone, Copy, Debug)]
pub(crate) struct Goal {
    mass: Option<f64>,
    balance: Option<f64>,
    /// What was asked for as mass.
    wanted: Option<Target>,
}

fn bulk(f: &Fitting) -> Bulk {
    Bulk::new(f.mass, f.mass * f.at)
}

impl Goal {
    /// What each target asks for: its value, or the limit that is nearest to what was found.
    pub(crate) fn of(targets: &[Target], front: f64) -> Goal {
        let of = |aim: Aim| {
            let target = targets.iter().find(|t| t.aim == aim)?;
            let (low, high) = target.wanted.range(1.0);
            let exact = low.is_finite() && high.is_finite() && target.is_exact();
            Some(if exact { 0.5 * (low + high) } else { target.found?.max(low).min(high) })
        };
        let wanted = targets.iter().find(|t| t.aim == Aim::Mass).copied();
        Goal { mass: of(Aim::Mass), balance: of(Aim::Balance).map(|b| b + front), wanted }
    }
}

/// How far something of the bare blade may be off, at 95 %: by its slopes.
pub(crate) fn spread(known: &Known, bare: Bulk, of: &dyn Fn(Bulk) -> f64) -> f64 {
    let slope = |step: Bulk| (of(bare + step) - of(bare - step)) / (2.0 * step.sum());
    let slopes = Vector2::new(slope(Bulk::new(STEP[0], 0.0)), slope(Bulk::new(0.0, STEP[1])));
    SURE * (slopes.transpose() * known.spread * slopes)[(0, 0)].max(0.0).sqrt()
}

impl<'a> Fittings<'a> {
    /// Of a design: its first guard and its first pommel may change. Without a pommel one stands in at the tang's end.
    pub(crate) fn of(design: &'a Design) -> Fittings<'a> {
        let first = |kind: FittingKind| design.fittings().iter().position(|f| f.kind == kind);
        let (guard, pommel) = (first(FittingKind::Guard), first(FittingKind::Pommel));
        let others = design.fittings().iter().enumerate();
        let rest =
            others.filter(|(i, _)| Some(*i) != guard && Some(*i) != pommel).map(|(_, f)| bulk(f)).sum();
        let stand_in = Fitting {
            name: "pommel".to_owned(),
            kind: FittingKind::Pommel,
            at: -design.blade().spec().tang.length,
            length: 0.0,
            radius: 0.0,
            mass: 0.0,
        };
        Fittings {
            design,
            guard: guard.map(|i| &design.fittings()[i]),
            pommel: pommel.map_or(stand_in, |i| design.fittings()[i].clone()),
            stand_in: pommel.is_none(),
            rest,
        }
    }

    fn guard(&self) -> Bulk {
        self.guard.map_or(Bulk::zeros(), bulk)
    }

    pub(crate) fn all(&self) -> Bulk {
        self.rest + self.guard() + bulk(&self.pommel)
    }

    /// All changes that the targets call for, each with its barrier.
    pub(crate) fn ways(&self, known: &Known, bare: Bulk, goal: Goal) -> Vec<HiltWay> {
        let changes: &[Change] = match (goal.mass, goal.balance) {
            (Some(_), Some(_)) => {
                &[Change::BothMasses, Change::PommelMassAndPlace, Change::PommelPlace, Change::PommelMass]
            }
            (None, Some(_)) => &[Change::PommelMass, Change::GuardMass, Change::PommelPlace],
            (Some(_), None) => &[Change::PommelMass, Change::GuardMass],
            (None, None) => &[],
        };
        let of = |change: &Change| self.way(*change, known, bare, goal);
        changes.iter().filter_map(of).collect()
    }

    /// One change; `None` where the design has nothing to change so.
    fn way(&self, change: Change, known: &Known, bare: Bulk, goal: Goal) -> Option<HiltWay> {
        let needs_guard = matches!(change, Change::GuardMass | Change::BothMasses);
        let moves = change == Change::PommelPlace;
        if (needs_guard && self.guard.is_none()) || (moves && self.stand_in) {
            return None;
        }
        let value = |bare: Bulk| self.solve(change, bare, goal);
        let [guard, pommel, at] = value(bare);
        let band = |i: usize| match spread(known, bare, &|b| value(b)[i]) {
            band if band.is_finite() => band,
            _ => 0.0,
        };
        let mount = |mass_g: f64, at_mm: f64, bands: [f64; 2]| Mount {
            mass_g,
            mass_band_g: bands[0],
            at_mm,
            at_band_mm: bands[1],
        };
        let sound = [guard, pommel, at].iter().all(|v| v.is_finite());
        let barrier = if sound {
            self.barrier([guard, pommel, at], [band(0), band(1)], bare, goal)
        } else {
            Some(Barrier::NoLever)
        };
        Some(HiltWay {
            change,
            guard: self.guard.map(|g| mount(if sound { guard } else { g.mass }, g.at, [band(0), 0.0])),
            pommel: if sound {
                mount(pommel, at, [band(1), band(2)])
            } else {
                mount(self.pommel.mass, self.pommel.at, [0.0; 2])
            },
            barrier,
        })
    }

    /// Masses of guard and pommel (g) and the pommel's station (mm) that come to the goal; not finite where nothing
    /// does. Two straight equations: masses add up to the mass, moments to that mass at the balance.
    fn solve(&self, change: Change, bare: Bulk, goal: Goal) -> [f64; 3] {
        let (guard, pommel) = (self.guard(), bulk(&self.pommel));
        let (guard_at, pommel_at) = (self.guard.map_or(0.0, |g| g.at), self.pommel.at);
        // The mass at a place that brings the rest's balance to the goal, or its mass where that alone is asked for.
        let alone = |rest: Bulk, at: f64| match goal.balance {
            Some(balance) => (rest[1] - rest[0] * balance) / (balance - at),
            None => goal.mass.unwrap_or(f64::NAN) - rest[0],
        };
        let bare = bare + self.rest;
        let (mass, balance) = (goal.mass.unwrap_or(f64::NAN), goal.balance.unwrap_or(f64::NAN));
        match change {
            Change::PommelMass => [guard[0], alone(bare + guard, pommel_at), pommel_at],
            Change::GuardMass => [alone(bare + pommel, guard_at), pommel[0], pommel_at],
            Change::PommelPlace => {
                let rest = bare + guard;
                let at = ((rest[0] + pommel[0]) * balance - rest[1]) / pommel[0];
                [guard[0], pommel[0], at]
            }
            Change::BothMasses => {
                let (left, turned) = (mass - bare[0], mass * balance - bare[1]);
                let heavy = (turned - left * guard_at) / (pommel_at - guard_at);
                [left - heavy, heavy, pommel_at]
            }
            Change::PommelMassAndPlace => {
                let rest = bare + guard;
                let heavy = mass - rest[0];
                [guard[0], heavy, (mass * balance - rest[1]) / heavy]
            }
        }
    }

    /// What stands against a solution whose masses have these bands (g), the worst first. A fitting that may as well weigh
    /// nothing is none.
    fn barrier(
        &self,
        [guard, pommel, at]: [f64; 3],
        bands: [f64; 2],
        bare: Bulk,
        goal: Goal,
    ) -> Option<Barrier> {
        let masses = [self.guard.map(|_| guard), Some(pommel)].into_iter().flatten();
        let told = [self.guard.map(|_| (guard, bands[0])), Some((pommel, bands[1]))].into_iter().flatten();
        let mut light = told.filter(|(m, band)| *m < COIN && m.abs() > *band);
        let light = light.next().map(|(m, _)| Barrier::TooLight(m));
        let heavy = masses.clone().find(|m| *m > HEAVIEST * bare[0]).map(Barrier::TooHeavy);
        let [low, high] = self.places();
        let beyond = (at < low - OFF).then_some(Barrier::BeyondTang(at));
        let inside = (at > high + OFF).then_some(Barrier::InGrip(at));
        let whole = bare[0] + self.rest[0] + masses.sum::<f64>();
        let off = |m: f64| (whole - m).abs() > ROUNDING * m;
        let missed = goal.mass.is_some_and(off)
            && goal.wanted.is_some_and(|t| !Target { found: Some(whole), ..t }.is_reached());
        let missed = missed.then_some(Barrier::MassMissed(whole));
        light.or(heavy).or(beyond).or(inside).or(missed)
    }

    /// Stations between which the pommel's centre may lie, mm: behind grip and guard, its front on the tang. Where the
    /// design has it elsewhere, that is granted too.
    fn places(&self) -> [f64; 2] {
        let half = 0.5 * self.pommel.length;
        let ahead = |f: &&Fitting| matches!(f.kind, FittingKind::Guard | FittingKind::Grip);
        let end = |f: &Fitting| f.at - 0.5 * f.length;
        let grip = self.design.fittings().iter().filter(ahead).map(end).fold(0.0, f64::min);
        let tang = -self.design.blade().spec().tang.length;
        [(tang - half).min(self.pommel.at), (grip - half).max(self.pommel.at)]
    }
}
