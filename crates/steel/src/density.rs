//! Densities of standard steels, where they differ from plain steel's or were looked up.

use crate::composition::Steel;
use crate::nominal::nominal;

/// Names and density, kg/m³: 52100 by dealers' sheets (Dhanlaxmi Metals, SAE 52100; S T India, 52100: 7.81 g/cm³),
/// 1095 by Dandong Foundry's sheet (7.85 g/cm³), nickel by ASTM B160 (from memory).
const DENSITIES: &[(&[&str], f64)] =
    &[(&["52100", "100Cr6", "1.3505"], 7810.0), (&["1095"], 7850.0), (&["Nickel 201", "nickel"], 8890.0)];

/// The density of a standard's steel, kg/m³; `None` where it is not known here, or for a steel of that name with a
/// composition of its own.
pub fn density(steel: &Steel) -> Option<f64> {
    let standard = nominal(&steel.name).filter(|s| s.composition == steel.composition)?;
    let of = |names: &[&str]| names.iter().any(|name| name.eq_ignore_ascii_case(&standard.name));
    DENSITIES.iter().find(|(names, _)| of(names)).map(|(_, density)| *density)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::nominal::nominals;

    #[test]
    fn densities_are_those_of_known_steels() {
        for (names, density) in DENSITIES {
            assert!((7500.0..9000.0).contains(density), "{names:?}");
            assert!(names.iter().all(|name| nominals().any(|n| n == *name)), "{names:?}");
        }
    }

    /// 7.81 g/cm³ by dealers' sheets; a steel of one's own has the name alone.
    #[test]
    fn bearing_steel_is_lighter_and_own_steels_are_unknown() {
        let mut bearing = nominal("100Cr6").unwrap();
        assert_eq!(density(&bearing), Some(7810.0));
        bearing.composition.cr = 0.0;
        assert_eq!(density(&bearing), None);
        assert_eq!(density(&nominal("1084").unwrap()), None);
        // Dandong Foundry's sheet of 1095; ASTM B160 (from memory) for nickel.
        assert_eq!(density(&nominal("1095").unwrap()), Some(7850.0));
        assert_eq!(density(&nominal("nickel").unwrap()), Some(8890.0));
    }
}
