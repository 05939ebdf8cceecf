//! Mass and balance of the blade on the bench, and of the finished blade that can still be made of it.

use design::Design;
use serde::Serialize;

use crate::surplus::places;
use crate::surplus::planned::{Planned, TangSide};
use crate::surplus::posterior::Posterior;
use crate::surplus::surface::{Over, RebuiltSection, SURE, Surface};

/// Volume (mm³) and its first moment along x (mm⁴).
#[derive(Clone, Copy, Debug, PartialEq)]
struct Bulk {
    volume: f64,
    first: f64,
}

/// How far mass and balance of the bare steel on the bench may be off, at 95 %.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MassBand {
    /// g.
    pub steel_g: f64,
    /// mm.
    pub steel_balance_mm: f64,
}

impl MassBand {
    /// Of a blade that came out so, from its field of thickness.
    pub(crate) fn new(
        design: &Design,
        planned: &Planned,
        field: &Posterior,
        bench: &MassBalance,
    ) -> MassBand {
        let (density, at) = (design.density(), bench.steel_balance_mm + design.guard_front());
        let volume = bench.steel_g / density;
        let mass = field.spread(&places::scales(planned, |_| 1.0, 1.0));
        let TangSide { area, first_moment } = planned.tang_side;
        let middle = if area > 0.0 { first_moment / area } else { 0.0 };
        let balance = field.spread(&places::scales(planned, |x| (x - at) / volume, (middle - at) / volume));
        MassBand { steel_g: SURE * density * mass, steel_balance_mm: SURE * balance }
    }
}

/// Mass and balance.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MassBalance {
    /// Of the bare steel, tang and all, g.
    pub steel_g: f64,
    /// Where the bare steel balances, from the guard's front face (the shoulder without a guard), mm.
    pub steel_balance_mm: f64,
    /// With the fittings of the design, g.
    pub fitted_g: f64,
    /// Where that balances, mm.
    pub fitted_balance_mm: f64,
}

impl MassBalance {
    /// Mass and balance of a bulk of steel, bare and with the design's fittings.
    fn new(design: &Design, bulk: Bulk) -> MassBalance {
        let (steel, first) = (bulk.volume * design.density(), bulk.first * design.density());
        let mass: f64 = design.fittings().iter().map(|f| f.mass).sum();
        let moment: f64 = design.fittings().iter().map(|f| f.mass * f.at).sum();
        let guard = design.guard_front();
        MassBalance {
            steel_g: steel,
            steel_balance_mm: first / steel - guard,
            fitted_g: steel + mass,
            fitted_balance_mm: (first + moment) / (steel + mass) - guard,
        }
    }

    /// A stage as planned.
    pub(crate) fn planned(design: &Design, planned: &Planned) -> MassBalance {
        let [volume, first] = planned.volume_along;
        MassBalance::new(design, Bulk { volume, first })
    }

    /// The blade on the bench: the plan's own integrals and the surplus, summed slice by slice.
    pub(crate) fn rebuilt(design: &Design, surface: &Surface) -> MassBalance {
        let over = summed(surface, surface.planned(), false, Over::both);
        // The tang is not measured: it is taken to carry on with what the shoulder has, and with what the scales say.
        let TangSide { area, first_moment } = surface.planned().tang_side;
        let whole = tang(surface);
        let over = Bulk { volume: over.volume + whole * area, first: over.first + whole * first_moment };
        MassBalance::new(design, plus(surface.planned(), over, 1.0))
    }

    /// A stage less what is missing of it on the blade: steel that is gone does not come back.
    pub(crate) fn reached(design: &Design, surface: &Surface, target: &Planned) -> MassBalance {
        let missing = summed(surface, target, true, Over::missing);
        // The tang, too, is taken as thick as the shoulder tells: what it lacks of the stage's is gone.
        let root = |p: &Planned| p.loft.tang_root().y;
        let gone = (root(target) - root(surface.planned()) - tang(surface)).max(0.0);
        let TangSide { area, first_moment } = target.tang_side;
        let missing =
            Bulk { volume: missing.volume + gone * area, first: missing.first + gone * first_moment };
        MassBalance::new(design, plus(target, missing, -1.0))
    }

    /// A stage of this or another design as the steel on the bench makes it: everywhere as thick as planned or as it is now,
    /// whichever is less, its tang as heavy as planned or as it is. It never weighs more than the blade does now.
    pub(crate) fn made_of(design: &Design, surface: &Surface, target: &Planned) -> MassBalance {
        let missing = summed(surface, target, false, Over::missing);
        let [volume, first] = target.tang_along();
        let lacks = if volume > 0.0 { (1.0 - tang_volume(surface) / volume).max(0.0) } else { 0.0 };
        let missing = Bulk { volume: missing.volume + lacks * volume, first: missing.first + lacks * first };
        MassBalance::new(design, plus(target, missing, -1.0))
    }
}

/// Volume of the tang as it is taken to be, mm³.
pub(crate) fn tang_volume(surface: &Surface) -> f64 {
    let planned = surface.planned();
    (planned.tang_volume() + tang(surface) * planned.tang_side.area).max(0.0)
}

/// How much thicker than planned the tang is, mm.
fn tang(surface: &Surface) -> f64 {
    let area = surface.planned().tang_side.area;
    surface.at_shoulder() + if area > 0.0 { surface.tang() / area } else { 0.0 }
}

fn plus(planned: &Planned, over: Bulk, sign: f64) -> Bulk {
    let [volume, first] = planned.volume_along;
    Bulk { volume: volume + sign * over.volume, first: first + sign * over.first }
}

/// Sum over blade and breadth of what stands over the plan of a stage.
fn summed(surface: &Surface, target: &Planned, banded: bool, of: impl Fn(Over) -> f64) -> Bulk {
    let mut bulk = Bulk { volume: 0.0, first: 0.0 };
    // A forged blade may be longer than the next stage, and so are its slices.
    let alike = surface.planned().length.total_cmp(&target.length).is_eq();
    let rebuilt: Vec<Option<RebuiltSection>> = match alike {
        true => surface.slices().map(|(_, section)| Some(section)).collect(),
        false => target.slices.iter().map(|(x, _)| surface.at(*x)).collect(),
    };
    for ((x, section), rebuilt) in target.slices.iter().zip(&rebuilt) {
        let Some(rebuilt) = rebuilt else { continue };
        let (heights, step) = rebuilt.against(section, banded);
        let volume = heights.map(&of).sum::<f64>() * step * target.step();
        bulk.volume += volume;
        bulk.first += x * volume;
    }
    bulk
}
