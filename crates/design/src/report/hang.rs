//! How a design hangs in the hand: its blade's swing with all that is mounted.

use blade::{Load, Loft, Swing};
use brep::Moments;

use crate::{Design, Fitting, FittingKind};

impl Design {
    /// The swing of a stage with the fittings, measured from [`Design::guard_front`]; `moments` are the loft's.
    pub fn swing(&self, loft: &Loft, moments: &Moments) -> Swing {
        let loads: Vec<Load> = self.fittings().iter().map(load).collect();
        Swing::of(loft, moments, self.density(), &loads, self.guard_front())
    }

    /// Station of the guard's front face, mm; that of the shoulder, 0, when there is no guard.
    pub fn guard_front(&self) -> f64 {
        self.guards().map(|f| f.at + 0.5 * f.length).reduce(f64::max).unwrap_or(0.0)
    }

    /// What balance is measured from: `guard`, or `shoulder` when there is none.
    pub fn measured_from(&self) -> &'static str {
        if self.guards().next().is_some() { "guard" } else { "shoulder" }
    }

    fn guards(&self) -> impl Iterator<Item = &Fitting> {
        self.fittings().iter().filter(|f| f.kind == FittingKind::Guard)
    }
}

fn load(f: &Fitting) -> Load {
    Load { at: f.at, length: f.length, radius: f.radius, mass: f.mass }
}
