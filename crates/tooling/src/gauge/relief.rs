//! Round reliefs at the roots of notches, where an edge must not touch.

use glam::DVec2;

use crate::slab::corner::Corner;

/// Least diameter, mm: a fingernail or a brush still clears it of dirt (common practice, no source).
const LEAST: f64 = 3.0;

/// How much wider than the edge it is, mm: steel stays 1 mm from it on both sides (common practice, no source).
const MORE: f64 = 2.0;

/// How far below the edge its middle lies, in radii: low, so that little of the flanks is lost to it.
const DROP: f64 = 0.25;

/// Parts of an arc around a root: each turns less than half a turn.
const PARTS: u32 = 4;

/// A round relief.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Relief {
    pub(crate) centre: DVec2,
    pub(crate) radius: f64,
}

impl Relief {
    /// The relief under an edge this thick (mm), its middle at `edge`.
    pub(crate) fn under(edge: DVec2, thickness: f64) -> Relief {
        let radius = 0.5 * LEAST.max(thickness + MORE);
        Relief { centre: edge - DVec2::new(0.0, DROP * radius), radius }
    }

    /// The same relief with a radius `by` mm larger, its middle as many radii below the edge.
    pub(crate) fn wider(self, by: f64) -> Relief {
        Relief { centre: self.centre - DVec2::new(0.0, DROP * by), radius: self.radius + by }
    }

    /// The arc from a point of its rim on the right, clockwise underneath, to one on the left; without its end.
    pub(crate) fn arc(&self, right: DVec2, left: DVec2) -> Vec<Corner> {
        let (from, to) = ((right - self.centre).to_angle(), (left - self.centre).to_angle());
        let sweep = (from - to).rem_euclid(std::f64::consts::TAU);
        let step = -sweep / f64::from(PARTS);
        let at = |i: u32| self.centre + DVec2::from_angle(from + step * f64::from(i)) * self.radius;
        (0..PARTS).map(|i| Corner { at: at(i), bulge: (0.25 * step).tan() }).collect()
    }

    /// y of its highest point, mm.
    pub(crate) fn top(&self) -> f64 {
        self.centre.y + self.radius
    }

    /// y of its lowest point, mm.
    pub(crate) fn bottom(&self) -> f64 {
        self.centre.y - self.radius
    }
}
