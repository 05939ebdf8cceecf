//! What a reveal costs in steel, at the grinder, and in the stack.

use blade::Stage;
use design::{Design, PatternAim};
use serde::Serialize;

/// What it takes to forge a blade thicker so that more of its bars shows; before and after.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Cost {
    /// Steel of the forged blade, tang and all, g.
    pub steel_g: [f64; 2],
    /// What is ground away from forged to finished, g.
    pub ground_g: [f64; 2],
    /// Width of the stack, mm.
    pub width_mm: [f64; 2],
}

impl Cost {
    /// Of a fit; `None` where no reveal is asked for.
    pub(crate) fn of(before: &Design, after: &Design) -> Option<Cost> {
        let asked = before.targets()?.pattern();
        asked.iter().find(|one| matches!(one.aim, PatternAim::Reveal { .. }))?;
        let mass = |d: &Design, stage| d.blade().loft(stage).moments().volume * d.density();
        let both = |f: &dyn Fn(&Design) -> f64| [f(before), f(after)];
        Some(Cost {
            steel_g: both(&|d| mass(d, Stage::Forged)),
            ground_g: both(&|d| mass(d, Stage::Forged) - mass(d, Stage::Finished)),
            width_mm: both(&|d| d.billet().map_or(0.0, laminate::Billet::width)),
        })
    }
}
