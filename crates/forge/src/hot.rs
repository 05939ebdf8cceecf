//! How long the blade is while it is hot.

use serde::Serialize;
use steel::elongation;

/// Temperatures at which a smith measures, °C: from the last dull red to a forging heat.
const TEMPERATURES: [f64; 5] = [600.0, 700.0, 800.0, 900.0, 1000.0];

/// The forged blade at a temperature.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct HotLength {
    /// The temperature, °C.
    pub celsius: f64,
    /// How much longer it is than at 20 °C, as a share.
    pub longer: f64,
    /// Its length, shoulder to point, mm.
    pub length_mm: f64,
}

impl HotLength {
    /// At several temperatures, of a blade `length` mm long when cold: EN 1993-1-2, section 3.4.1.1 (from memory).
    pub fn all(length: f64) -> Vec<HotLength> {
        let at = |t: f64| elongation(t).map(|longer| (t, longer));
        let hot =
            |(celsius, longer): (f64, f64)| HotLength { celsius, longer, length_mm: length * (1.0 + longer) };
        TEMPERATURES.into_iter().filter_map(at).map(hot).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// EN 1993-1-2, section 3.4.1.1 (from memory): 0.0101184 at 700 °C, 0.011 at 800 °C, 0.0138 at 1000 °C.
    #[test]
    fn a_metre_grows_as_the_standard_says() {
        let all = HotLength::all(1000.0);
        let near = |i: usize, wanted: f64| (all[i].length_mm - wanted).abs() < 1e-9;
        assert!(near(1, 1010.1184) && near(2, 1011.0) && near(4, 1013.8), "{all:?}");
    }
}
