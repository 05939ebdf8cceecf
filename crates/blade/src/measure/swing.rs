//! How the blade with its fittings hangs in the hand: balance, inertia, percussion, nodes.

use glam::DVec3;

use crate::loft::Loft;
use crate::loft::spans;
use crate::measure::beam::{self, Slice};
use crate::section::corners;
use brep::Moments;

/// A fitting as a cylinder around the axis y = z = 0; a point mass when length and radius are 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Station of its centre, mm; negative on the tang.
    pub at: f64,
    /// Length along x, mm.
    pub length: f64,
    /// Radius, mm.
    pub radius: f64,
    /// Mass, g.
    pub mass: f64,
}

/// Balance and swing in the blade's plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swing {
    /// Mass of the steel alone, g.
    pub steel_mass: f64,
    /// Mass with fittings, g.
    pub mass: f64,
    /// Centre of mass with fittings, mm.
    pub centre: DVec3,
    /// Point of balance from the guard's front face, mm, positive towards the point.
    pub balance: f64,
    /// Moment of inertia about the z axis at the guard's front face, g·mm².
    pub inertia: f64,
    /// Centre of percussion for a pivot at the guard's front face, mm from it: k²/d + d. `None` when the
    /// blade balances at or behind the guard.
    pub percussion: Option<f64>,
    /// Stations (mm from the shoulder) where the first bending mode of the free blade stands still.
    pub nodes: Option<[f64; 2]>,
}

/// Slices of the bending model: the nodes move by less than 0.1 mm when there are twice as many.
const SLICES: u32 = 96;

impl Swing {
    /// The swing of a loft of steel of `density` g/mm³ (finite, positive) with these fittings, measured from
    /// `guard`, the station (mm) of the guard's front face.
    pub fn of(loft: &Loft, moments: &Moments, density: f64, loads: &[Load], guard: f64) -> Swing {
        let steel_mass = moments.volume * density;
        let mass = steel_mass + loads.iter().map(|l| l.mass).sum::<f64>();
        let first = moments.first * density + loads.iter().map(|l| DVec3::X * (l.at * l.mass)).sum::<DVec3>();
        let centre = first / mass;
        // ∫ (x − g)² + y² over the steel, and each cylinder's own and Steiner's share.
        let (xx, yy) = (moments.second.x_axis.x, moments.second.y_axis.y);
        let steel = density * (xx - 2.0 * guard * moments.first.x + guard * guard * moments.volume + yy);
        let fitted: f64 = loads
            .iter()
            .map(|l| {
                l.mass * ((l.at - guard).powi(2) + (3.0 * l.radius * l.radius + l.length * l.length) / 12.0)
            })
            .sum();
        let (inertia, balance) = (steel + fitted, centre.x - guard);
        let percussion = (balance > 0.0).then(|| inertia / (mass * balance));
        let nodes = bending_nodes(loft, density, loads);
        Swing { steel_mass, mass, centre, balance, inertia, percussion, nodes }
    }
}

/// The two nodes of the first bending mode, mm from the shoulder, from slices of equal length.
fn bending_nodes(loft: &Loft, density: f64, loads: &[Load]) -> Option<[f64; 2]> {
    let shape = loft.form.shape(loft.stage);
    let start = -loft.form.spec.tang.length;
    let step = (loft.form.length() - start) / f64::from(SLICES);
    let slices: Vec<Slice> = (0..SLICES)
        .map(|i| {
            let x = start + step * (f64::from(i) + 0.5);
            let corners =
                if x < 0.0 { shape.tang_corners(x) } else { shape.corners(x, &spans::layout(&shape, x)) };
            let m = corners::moments(&corners);
            let through = m.through - m.area * m.centroid.y * m.centroid.y;
            Slice { length: step, stiffness: through, mass: m.area * density }
        })
        .collect();
    let loads: Vec<(f64, f64)> = loads.iter().map(|l| (l.at - start, l.mass)).collect();
    beam::nodes(&slices, &loads).map(|n| n.map(|x| x + start))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::checked::Blade;
    use crate::spec::Stage;
    use crate::specs::plain;

    fn swing(loads: &[Load], guard: f64) -> Swing {
        let loft = Blade::new(&plain()).unwrap().loft(Stage::Finished);
        Swing::of(&loft, &loft.moments(), 7.85e-3, loads, guard)
    }

    #[test]
    fn a_rod_held_at_its_end_strikes_at_two_thirds() {
        // A uniform rod of length L about its end: I = mL²/3, centre of percussion 2L/3 (any mechanics text). The
        // rod outweighs the blade a billion times.
        let rod = Load { at: 300.0, length: 600.0, radius: 0.0, mass: 1e12 };
        let s = swing(&[rod], 0.0);
        assert!((s.balance - 300.0).abs() < 1e-6);
        assert!((s.percussion.unwrap() - 400.0).abs() < 1e-6);
        assert!((s.inertia / (1e12 * 600.0 * 600.0 / 3.0) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn inertia_moves_with_the_guard_as_steiner_says() {
        let (a, b) = (swing(&[], 0.0), swing(&[], -40.0));
        let about_centre = |s: &Swing| s.inertia - s.mass * s.balance * s.balance;
        assert!((about_centre(&a) / about_centre(&b) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_pommel_draws_the_balance_back() {
        let bare = swing(&[], 0.0);
        let pommel = Load { at: -110.0, length: 20.0, radius: 12.0, mass: 150.0 };
        let s = swing(&[pommel], 0.0);
        let expected = (bare.mass * bare.balance - 150.0 * 110.0) / (bare.mass + 150.0);
        assert!((s.balance - expected).abs() < 1e-9 && s.steel_mass < s.mass);
        assert!(swing(&[Load { mass: 1e6, ..pommel }], 0.0).percussion.is_none());
    }
}
