//! Thickness along the blade.

use brep::Monotone;

use crate::spec::TaperStation;

/// Thickness at the back and at the grind line over the stations, finished, mm.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Taper {
    back: Monotone,
    grind: Monotone,
}

impl Taper {
    /// At least one station, in strictly increasing order.
    pub(crate) fn new(stations: &[TaperStation]) -> Self {
        let at: Vec<f64> = stations.iter().map(|s| s.at).collect();
        let back = stations.iter().map(|s| s.back).collect();
        let grind = stations.iter().map(|s| s.grind.unwrap_or(s.back)).collect();
        Taper { back: Monotone::new(at.clone(), back), grind: Monotone::new(at, grind) }
    }

    pub(crate) fn back(&self, x: f64) -> f64 {
        self.back.at(x)
    }

    pub(crate) fn grind(&self, x: f64) -> f64 {
        self.grind.at(x)
    }

    /// Where the taper is only once continuously differentiable.
    pub(crate) fn stations(&self) -> &[f64] {
        self.back.stations()
    }
}
