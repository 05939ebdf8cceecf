//! How gauges are cut of sheet steel: kerf, sheet, thickness, heat, and what can't be.

use steel::{HotFault, elongation, heat_loss, specific_heat};
use thiserror::Error;

use design::Problem;

/// At which heat the forge's gauges are held against the steel unless told otherwise, °C: near the lower end of the
/// forging range of C45 and C67S by Saarstahl's sheets (1100 to 850 °C), for a gauge is laid on at a heat's end.
pub const HAMMER_HEAT: f64 = 900.0;

/// Thickness of the sheet unless told otherwise, mm: stiff over an arm's length, and cut by every machine (common
/// practice, no source).
pub(crate) const THICKNESS: f64 = 2.0;

/// Least radius at which an inside corner is cut free where a blade must seat in it, mm: a jet leaves half its kerf
/// there, up to 0.75 mm with plasma, and dross (common practice, no source).
const RELIEF: f64 = 1.0;

/// How much wider than the kerf a slot must be for the jet to go in and out: a quarter (common practice, no source).
const PASSAGE: f64 = 1.25;

/// Least passage, mm: that of a water jet, whose kerf is about 1 mm, if the kerf is the cutter's own affair.
const LEAST_PASSAGE: f64 = 1.25;

/// Kerf of a laser in sheet of 2 mm, mm (common practice, no source).
const LASER: f64 = 0.2;

/// Density of steel, kg/m³: EN 1993-1-2, section 3.2.2 (from memory).
const DENSITY: f64 = 7850.0;

/// A room's temperature, °C.
pub(crate) const ROOM: f64 = 20.0;

/// How gauges are cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cutting {
    /// Width of the cut, mm, from 0 to 2.5: contours lie half of it outside the steel. 0 leaves that to the cutter.
    pub kerf: f64,
    /// Width and height of the sheet, mm; the least of the usual sheets that takes every gauge without one.
    pub sheet: Option<[f64; 2]>,
    /// Thickness of the sheet, mm, positive.
    pub thickness: f64,
    /// Temperature of the steel that the forge's gauges are held against, °C, from 20 (cold) to 1200.
    pub hot: f64,
}

impl Default for Cutting {
    fn default() -> Cutting {
        Cutting { kerf: 0.0, sheet: None, thickness: THICKNESS, hot: HAMMER_HEAT }
    }
}

/// Why gauges can't be cut.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum CuttingFault {
    /// The design's own problems.
    #[error("the design has problems")]
    Design(Vec<Problem>),
    /// The temperature is out of range.
    #[error(transparent)]
    Hot(#[from] HotFault),
    /// The kerf closes what it should cut.
    #[error("a kerf of {kerf} mm is wider than the notches of the gauge `{gauge}`")]
    Kerf {
        /// The gauge's name.
        gauge: String,
        /// The kerf, mm.
        kerf: f64,
    },
    /// The sheet is too small.
    #[error(
        "the gauge `{gauge}` needs a sheet of {:.0} × {:.0} mm, rim included, and the sheet has {:.0} × {:.0} mm",
        least[0].ceil(), least[1].ceil(), sheet[0], sheet[1]
    )]
    Sheet {
        /// The gauge's name.
        gauge: String,
        /// Width and height of the least sheet for it, mm.
        least: [f64; 2],
        /// Width and height of the sheet, mm.
        sheet: [f64; 2],
    },
}

impl Cutting {
    /// How much larger than the cold blade the forge's gauges are.
    pub(crate) fn growth(&self) -> Result<f64, HotFault> {
        elongation(self.hot).map(|longer| 1.0 + longer).ok_or(HotFault { celsius: self.hot })
    }

    /// The temperature, where it is not that of a room.
    pub(crate) fn heat(&self) -> Option<f64> {
        (self.hot > ROOM).then_some(self.hot)
    }

    /// Radius of the rounds that free inside corners, mm: at least a whole kerf, so that the jet moves in them and does
    /// not stand and burn.
    pub(crate) fn relief(&self) -> f64 {
        RELIEF.max(self.kerf)
    }

    /// Least width of a way into a notch, mm.
    pub(crate) fn passage(&self) -> f64 {
        LEAST_PASSAGE.max(PASSAGE * self.kerf)
    }

    /// Least width of a place that the jet only just passes, mm; that of a laser, if the kerf is the cutter's own affair.
    pub(crate) fn neck(&self) -> f64 {
        if self.kerf > 0.0 { PASSAGE * self.kerf } else { PASSAGE * LASER }
    }

    /// Least diameter of a hole, mm: as wide as the sheet is thick, else the pierced hole is ragged (common practice, no
    /// source); and wide enough for the jet to go around in.
    pub(crate) fn hole(&self, wanted: f64) -> f64 {
        wanted.max(self.thickness).max(2.0 * self.kerf)
    }

    /// By how many kelvin the sheet warms at most in so many seconds a hand's breadth over steel at the forge's heat, K:
    /// one face takes in all that the steel's surface gives off ([`heat_loss`]), and keeps it.
    pub(crate) fn warms(&self, seconds: f64) -> f64 {
        let held = DENSITY * specific_heat(ROOM).unwrap_or(f64::NAN) * 1e-3 * self.thickness;
        heat_loss(self.hot) * seconds / held
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thin_sheet_warms_by_some_tens_of_kelvin_in_a_few_seconds() {
        // By hand: 0.7 to 0.8 · 5.67e-8 · (1173⁴ − 293⁴) + 25 · 880 W/m² into 7850 · 440 · 0.002 J/(m²·K).
        let warms = Cutting::default().warms(5.0);
        assert!((50.0..80.0).contains(&warms), "{warms}");
        let thick = Cutting { thickness: 4.0, ..Cutting::default() };
        assert!((thick.warms(5.0) - 0.5 * warms).abs() < 1e-9);
    }

    #[test]
    fn wide_kerfs_want_larger_rounds_and_holes() {
        let plasma = Cutting { kerf: 1.6, thickness: 3.0, ..Cutting::default() };
        assert!((plasma.relief() - 1.6).abs() < 1e-12 && (plasma.hole(1.0) - 3.2).abs() < 1e-12);
        assert!((plasma.hole(6.0) - 6.0).abs() < 1e-12 && (plasma.passage() - 2.0).abs() < 1e-12);
        let usual = Cutting::default();
        assert!((usual.relief() - 1.0).abs() < 1e-12 && (usual.hole(1.0) - 2.0).abs() < 1e-12);
        assert!((usual.growth().unwrap() - 1.0118).abs() < 1e-12 && usual.heat() == Some(900.0));
        let cold = Cutting { hot: 20.0, ..usual };
        assert!((cold.growth().unwrap() - 1.0).abs() < 1e-12 && cold.heat().is_none());
        assert!(Cutting { hot: f64::NAN, ..usual }.growth().is_err());
    }
}
