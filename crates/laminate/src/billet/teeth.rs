//! A serrated weld: teeth of two bars that stand in each other.

use crate::billet::height::Height;
use crate::billet::twist::Program;

/// Teeth as they are asked for, by what the finished blade shows; mm, positive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Serration {
    /// Length of a tooth and a gap along the blade's stations.
    pub period: f64,
    /// From the tips of one bar's teeth to those of the other's, across the blade.
    pub depth: f64,
}

/// Teeth along a weld of the stack: a wave around where the weld would be without them. It begins at the shoulder, towards the
/// back first; behind the shoulder there are none.
#[derive(Clone, Debug, PartialEq)]
pub struct Teeth {
    /// What was asked for.
    pub(crate) asked: Serration,
    /// Turns of the wave along the stack.
    pub(crate) turns: Program,
    /// Depth of the teeth along the stack, mm.
    pub(crate) deep: Height,
}

impl Teeth {
    /// What the finished blade should show.
    pub fn asked(&self) -> Serration {
        self.asked
    }

    /// How far the weld lies over its middle at a place along the stack, mm.
    pub(crate) fn rise(&self, along: f64) -> f64 {
        if along > 0.0 { 0.5 * self.deep.at(along) * self.turns.angle(along).sin() } else { 0.0 }
    }

    /// How far it lies over its middle anywhere at most, mm: so much higher both bars are made on this side.
    pub fn most(&self) -> f64 {
        0.5 * self.deep.greatest()
    }

    /// Depth of the teeth at a place along the stack, mm.
    pub fn depth(&self, along: f64) -> f64 {
        self.deep.at(along)
    }

    /// Places along the stack up to `end` (mm) where the wave crosses its middle, and where it is highest and lowest, turn after
    /// turn: at every quarter.
    pub fn quarters(&self, end: f64) -> Vec<f64> {
        let quarter = std::f64::consts::FRAC_PI_2;
        let count = (self.turns.angle(end) / quarter) as usize;
        let mut from = 0.0;
        let place = |k: usize| {
            // The wave turns one way only.
            let (mut low, mut high) = (from, end);
            while high - low > PLACED {
                let middle = 0.5 * (low + high);
                if self.turns.angle(middle) < k as f64 * quarter { low = middle } else { high = middle }
            }
            from = low;
            0.5 * (low + high)
        };
        (1..=count).map(place).collect()
    }
}

/// Places of a wave are found to this, mm.
const PLACED: f64 = 1e-7;
