//! Thermal expansion: how much longer steel is when it is hot.

use thiserror::Error;

/// A temperature for which no length of hot steel is known.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[error("{celsius} °C is outside 20 to 1200 °C, for which the length of hot steel is known")]
pub struct HotFault {
    /// The temperature asked for, °C.
    pub celsius: f64,
}

/// How much longer carbon steel is at this temperature (°C) than at 20 °C, in parts of its cold length: EN 1993-1-2,
/// section 3.4.1.1 (from memory). `None` outside 20 to 1200 °C. Between 750 and 860 °C steel changes its structure and
/// keeps its length.
pub fn elongation(celsius: f64) -> Option<f64> {
    let t = celsius;
    match t {
        20.0..750.0 => Some(1.2e-5 * t + 0.4e-8 * t * t - 2.416e-4),
        750.0..860.0 => Some(1.1e-2),
        860.0..=1200.0 => Some(2e-5 * t - 6.2e-3),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_those_of_the_standard() {
        let near = |t: f64, wanted: f64| (elongation(t).unwrap() - wanted).abs() < 1e-12;
        assert!(near(20.0, 0.0) && near(700.0, 0.010_118_4) && near(1200.0, 0.0178));
    }

    #[test]
    fn lengths_do_not_jump_where_the_formulas_meet() {
        // The standard's own rounding leaves 8.4e-6 at 750 °C: 0.008 mm on a metre.
        for t in [750.0, 860.0] {
            let step = elongation(t + 1e-9).unwrap() - elongation(t - 1e-9).unwrap();
            assert!(step.abs() < 1e-5, "{t}: {step}");
        }
    }

    #[test]
    fn nothing_is_said_of_temperatures_outside() {
        assert!([19.9, 1200.1, -5.0, f64::NAN, f64::INFINITY].iter().all(|&t| elongation(t).is_none()));
        assert!(HotFault { celsius: 5.0 }.to_string().starts_with("5 °C is outside"));
    }
}
