//! How steel moves when it is quenched: it shrinks as austenite and grows as martensite.

use crate::expansion::elongation;

/// Expansion of austenite, 1/K: the middle of 22e-6 to 24e-6 (from memory).
const AUSTENITE: f64 = 23e-6;
/// Linear growth from pearlite or spheroidite to martensite for a percent of carbon, as a share: a third of 1.68 % by
/// volume, Lement, Distortion in Tool Steels, 1959 (from memory).
const HARDENING: f64 = 0.0168 / 3.0;

/// Share of that growth which is left at least: a sheet of O1 (Buffalo Precision) has 0.0015 of the length, where its
/// 0.925 % carbon would give 0.0052, as austenite that is left takes some back.
pub const GROWN: f64 = 0.0015 / (HARDENING * 0.925);

/// Growth in length by hardening, pearlite to martensite, of `carbon` (mass percent in solution, 0.1 to 1.2), as a
/// share: 0.56 % for a percent of carbon; austenite that is left takes some of it back.
pub fn hardening_growth(carbon: f64) -> f64 {
    HARDENING * carbon
}

/// How much longer than cold steel is at `celsius` (20 to `from`) while it cools as austenite from `from` (860 to 1200
/// °C), in parts of its cold length: EN 1993-1-2 at `from`, less 23e-6 a kelvin. Holds down to where ferrite or
/// martensite begins. `None` outside.
pub fn cooled(from: f64, celsius: f64) -> Option<f64> {
    // Below 860 °C the standard's steel is not yet all austenite.
    let known = (860.0..=1200.0).contains(&from) && (20.0..=from).contains(&celsius);
    elongation(from).filter(|_| known).map(|hot| hot - AUSTENITE * (from - celsius))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand from 900 °C: 0.0118 − 23e-6 · 300 = 0.0049 at 600 °C, where the standard's heating curve has 0.0084.
    #[test]
    fn austenite_is_shorter_than_the_heating_curve_says() {
        assert!((cooled(900.0, 600.0).unwrap() - 0.0049).abs() < 1e-12);
        assert!(cooled(900.0, 600.0) < elongation(600.0));
        assert!(
            cooled(850.0, 600.0).is_none()
                && cooled(900.0, 950.0).is_none()
                && cooled(f64::NAN, 600.0).is_none()
        );
    }
}
