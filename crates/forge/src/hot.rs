//! How long the blade is while it is hot.

use serde::Serialize;
use steel::{cooled, elongation};

/// Temperatures at which a smith measures, °C: from the last dull red to a forging heat.
const TEMPERATURES: [f64; 5] = [600.0, 700.0, 800.0, 900.0, 1000.0];
/// The heat from which a blade at the anvil cools, °C: the middle of its forging range.
const FROM: f64 = 1000.0;
/// Down to where it is austenite as it cools in air, °C: below it plain steels turn (common practice, no source).
const AUSTENITE: f64 = 700.0;

/// The forged blade at a temperature.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct HotLength {
    /// The temperature, °C.
    pub celsius: f64,
    /// How much longer it is than at 20 °C, as a share.
    pub longer: f64,
    /// Its length, shoulder to point, as it heats up, mm.
    pub length_mm: f64,
    /// The same as it cools from a forging heat at the anvil, mm; none where one of its steels turns, nor below 700 °C.
    pub cooling_mm: Option<f64>,
}

impl HotLength {
    /// At several temperatures, of a blade `length` mm long when cold: EN 1993-1-2, section 3.4.1.1, by Dlubal's
    /// knowledge base, as it heats up; as it cools from 1000 °C, austenite shrinks by 23e-6 a kelvin (from memory). One of
    /// its steels turns from `turns` (°C) on as it cools.
    pub fn all(length: f64, turns: f64) -> Vec<HotLength> {
        let at = |t: f64| elongation(t).map(|longer| (t, longer));
        let cooling = |t: f64| cooled(FROM, t).filter(|_| t >= AUSTENITE.max(turns));
        let hot = |(celsius, longer): (f64, f64)| HotLength {
            celsius,
            longer,
            length_mm: length * (1.0 + longer),
            cooling_mm: cooling(celsius).map(|longer| length * (1.0 + longer)),
        };
        TEMPERATURES.into_iter().filter_map(at).map(hot).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// EN 1993-1-2, section 3.4.1.1: 0.0101184 at 700 °C, 0.011 at 800 °C, 0.0138 at 1000 °C; by hand 0.0138 − 23e-6 ·
    /// 300 at 700 °C on the way down.
    #[test]
    fn a_metre_grows_as_the_standard_says() {
        let all = HotLength::all(1000.0, 690.0);
        let near = |i: usize, wanted: f64| (all[i].length_mm - wanted).abs() < 1e-9;
        assert!(near(1, 1010.1184) && near(2, 1011.0) && near(4, 1013.8), "{all:?}");
        assert!(all[0].cooling_mm.is_none() && (all[1].cooling_mm.unwrap() - 1006.9).abs() < 1e-9);
        // S235JR turns from 843 °C on, by Andrews 1965.
        let soft = HotLength::all(1000.0, 843.0);
        assert!(soft[2].cooling_mm.is_none() && soft[3].cooling_mm.is_some());
    }
}
