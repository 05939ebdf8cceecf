//! Hardness after tempering.

use crate::ZERO_CELSIUS;

/// Hollomon and Jaffe's constant for blade steels, time in hours (1945, from memory).
const TEMPER: f64 = 15.0;
/// A 0.65 % carbon steel tempered for an hour, °C and HRC: Grange and Baughman 1956 (from memory).
const TEMPERED: [(f64, f64); 3] = [(204.4, 59.2), (260.0, 56.5), (315.6, 53.5)];

/// Hardness (HRC) of a plain steel of about 0.65 % carbon after `hours` (positive) at `celsius`, by the parameter of Hollomon and
/// Jaffe between measured points; `None` where it would lie beyond them.
pub fn hardness(celsius: f64, hours: f64) -> Option<f64> {
    let parameter = |t: f64, h: f64| (t + ZERO_CELSIUS) * (TEMPER + h.log10());
    let p = parameter(celsius, hours);
    let points = TEMPERED.map(|(t, hrc)| (parameter(t, 1.0), hrc));
    points.windows(2).find(|w| w[0].0 <= p && p <= w[1].0).map(|w| {
        let share = (p - w[0].0) / (w[1].0 - w[0].0);
        w[0].1 + share * (w[1].1 - w[0].1)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Grange and Baughman's points themselves, an hour each; two hours do as some degrees more; nothing beyond.
    #[test]
    fn hardness_goes_through_the_measured_points() {
        for (t, hrc) in TEMPERED {
            assert!((hardness(t, 1.0).unwrap() - hrc).abs() < 1e-9);
        }
        assert!(hardness(230.0, 2.0).unwrap() < hardness(230.0, 1.0).unwrap());
        assert!(hardness(150.0, 1.0).is_none() && hardness(400.0, 1.0).is_none());
    }
}
