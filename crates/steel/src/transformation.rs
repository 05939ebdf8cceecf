//! Transformation temperatures: Ac1, Ac3, Ms, and the austenite left after quenching.

use crate::composition::Composition;

/// Carbon up to which Ac3 is told, mass percent: beyond it the formula has no meaning, as no ferrite is left.
const EUTECTOID: f64 = 0.77;
/// Carbon up to which the formulas were fitted, mass percent (Andrews 1965, from memory).
pub const FITTED: f64 = 0.6;
/// Rate with which martensite forms below its start, 1/K: Koistinen and Marburger 1959 (from memory).
const MARTENSITE: f64 = 0.011;

/// Ac1, °C: Andrews 1965 (from memory).
pub fn ac1(c: &Composition) -> f64 {
    723.0 - 10.7 * c.mn - 16.9 * c.ni + 29.1 * c.si + 16.9 * c.cr + 6.38 * c.w
}

/// Ac3, °C, up to 0.77 % carbon: Andrews 1965 (from memory).
pub fn ac3(c: &Composition) -> Option<f64> {
    let at = 910.0 - 203.0 * c.c.sqrt() - 15.2 * c.ni + 44.7 * c.si + 104.0 * c.v + 31.5 * c.mo + 13.1 * c.w;
    (c.c <= EUTECTOID).then_some(at)
}

/// Ms, °C, fitted up to 0.6 % carbon: Andrews 1965, the linear form (from memory).
pub fn ms(c: &Composition) -> f64 {
    539.0 - 423.0 * c.c - 30.4 * c.mn - 17.7 * c.ni - 12.1 * c.cr - 7.5 * c.mo
}

/// Share, 0 to 1, of austenite left at `celsius` when martensite starts at `ms` (both °C): Koistinen and Marburger 1959 (from
/// memory).
pub fn retained(ms: f64, celsius: f64) -> f64 {
    (-MARTENSITE * (ms - celsius)).exp().clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steel(c: f64, si: f64, mn: f64, mo: f64) -> Composition {
        Composition { c, si, mn, mo, ..Composition::default() }
    }

    /// 0.40 C, 0.75 Mn, 0.25 Si: Ac1 722.2, Ms 347.0 by the formulas of Andrews 1965 (from memory).
    #[test]
    fn temperatures_of_a_medium_carbon_steel() {
        let c = steel(0.4, 0.25, 0.75, 0.0);
        assert!((ac1(&c) - 722.25).abs() < 0.01 && (ms(&c) - 347.0).abs() < 0.01);
        // 910 − 203·√0.4 + 44.7·0.25.
        assert!((ac3(&c).unwrap() - 792.787).abs() < 0.01);
        assert!(ac3(&steel(0.95, 0.25, 0.4, 0.0)).is_none());
    }

    /// Koistinen and Marburger: a tenth is left 209 K below Ms, all of it at Ms.
    #[test]
    fn austenite_is_left_as_the_law_says() {
        assert!((retained(229.33, 20.0) - 0.1).abs() < 1e-3);
        assert!((retained(10.0, 20.0) - 1.0).abs() < 1e-12);
    }
}
