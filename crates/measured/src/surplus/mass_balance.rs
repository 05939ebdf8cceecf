//! Mass and balance of the blade on the bench, and of the finished blade that can still be made of it.

use design::Design;
use serde::Serialize;

use crate::surplus::planned::{Planned, TangSide};
use crate::surplus::surface::{Over, Surface};

/// Volume (mm³) and its first moment along x (mm⁴).
#[derive(Clone, Copy, Debug, PartialEq)]
struct Bulk {
    volume: f64,
    first: f64,
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
        let moments = &planned.moments;
        MassBalance::new(design, Bulk { volume: moments.volume, first: moments.first.x })
    }

    /// The blade on the bench: the plan's own integrals and the surplus, summed slice by slice.
    pub(crate) fn rebuilt(design: &Design, surface: &Surface) -> MassBalance {
        let over = summed(surface, surface.planned(), Over::both);
        // The tang is not measured: it is taken to carry on with what the shoulder has.
        let TangSide { area, first_moment } = surface.planned().tang_side;
        let whole = surface.at_shoulder();
        let over = Bulk { volume: over.volume + whole * area, first: over.first + whole * first_moment };
        MassBalance::new(design, plus(surface.planned(), over, 1.0))
    }

    /// A stage less what is missing of it on the blade: steel that is gone does not come back.
    pub(crate) fn reached(design: &Design, surface: &Surface, target: &Planned) -> MassBalance {
        let missing = summed(surface, target, Over::missing);
        // The tang, too, is taken as thick as the shoulder tells: what it lacks of the stage's is gone.
        let root = |p: &Planned| p.loft.tang_root().y;
        let gone = (root(target) - root(surface.planned()) - surface.at_shoulder()).max(0.0);
        let TangSide { area, first_moment } = target.tang_side;
        let missing =
            Bulk { volume: missing.volume + gone * area, first: missing.first + gone * first_moment };
        MassBalance::new(design, plus(target, missing, -1.0))
    }
}

fn plus(planned: &Planned, over: Bulk, sign: f64) -> Bulk {
    let moments = &planned.moments;
    Bulk { volume: moments.volume + sign * over.volume, first: moments.first.x + sign * over.first }
}

/// Sum over blade and breadth of what stands over the plan of a stage.
fn summed(surface: &Surface, target: &Planned, of: impl Fn(Over) -> f64) -> Bulk {
    let mut bulk = Bulk { volume: 0.0, first: 0.0 };
    let planned = target.slices.iter().map(|(_, section)| section);
    for ((x, rebuilt), section) in surface.slices().zip(planned) {
        let (heights, step) = rebuilt.against(section);
        let volume = heights.map(&of).sum::<f64>() * step * target.step();
        bulk.volume += volume;
        bulk.first += x * volume;
    }
    bulk
}
