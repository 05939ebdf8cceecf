//! Moment and curvature of one section, worked out once for steel of any yield strength.

use crate::straighten::section::{Bend, BentSection};

/// Bends worked out beyond first yield: each a twelfth sharper than the one before.
const BENDS: usize = 56;
/// The last of them is so many times the curvature of first yield: the softest steel is then stretched twice what it is
/// trusted with.
const FURTHEST: f64 = 100.0;

/// Moment over curvature, rising.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct MomentCurve {
    second: f64,
    reach: f64,
    depth: f64,
    bends: Vec<Bend>,
}

impl MomentCurve {
    /// Of a section.
    pub(crate) fn new(section: &BentSection) -> MomentCurve {
        let first = 1.0 / section.reach();
        let grown = |i: usize| first * FURTHEST.powf(i as f64 / BENDS as f64);
        let mut neutral = section.centre();
        let mut bend = |i: usize| {
            let (bend, at) = section.bend(grown(i), neutral);
            neutral = at;
            bend
        };
        let bends = (0..=BENDS).map(&mut bend).collect();
        MomentCurve { second: section.second(), reach: section.reach(), depth: section.depth(), bends }
    }

    /// Depth across the bend, mm.
    pub(crate) fn depth(&self) -> f64 {
        self.depth
    }

    /// From the centroid to the furthest steel, mm.
    pub(crate) fn reach(&self) -> f64 {
        self.reach
    }

    /// Second moment, mm⁴.
    pub(crate) fn second(&self) -> f64 {
        self.second
    }

    /// Moment by yield strength at which the skin begins to yield, mm³.
    pub(crate) fn first(&self) -> f64 {
        self.second / self.reach
    }

    /// The greatest moment by yield strength that is known, mm³.
    pub(crate) fn greatest(&self) -> f64 {
        self.bends[self.bends.len() - 1].moment
    }

    /// The bend under a moment by yield strength (mm³), at most [`MomentCurve::greatest`]: beyond it, that one. Between
    /// two known ones the moment goes with 1 by the square of the curvature, as of a rectangle it does exactly.
    pub(crate) fn under(&self, moment: f64) -> Bend {
        if moment <= self.first() {
            return Bend { curvature: moment / self.second, moment, reach: self.reach };
        }
        let i = self.bends.partition_point(|b| b.moment <= moment).clamp(1, self.bends.len() - 1);
        let (a, b) = (self.bends[i - 1], self.bends[i]);
        let t = ((moment - a.moment) / (b.moment - a.moment)).clamp(0.0, 1.0);
        let mix = |p: f64, q: f64| p + (q - p) * t;
        let inverse = |b: Bend| 1.0 / (b.curvature * b.curvature);
        Bend { curvature: mix(inverse(a), inverse(b)).sqrt().recip(), moment, reach: mix(a.reach, b.reach) }
    }
}
