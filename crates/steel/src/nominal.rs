//! Standard steels by name, with nominal compositions.

use crate::composition::{Composition, Steel};

/// One nominal steel: its name, other names, and middle values of the standard's ranges.
type Nominal = (&'static [&'static str], Composition);

/// A plain carbon steel, mass percent.
const fn plain(c: f64, si: f64, mn: f64) -> Composition {
    Composition { c, si, mn, cr: 0.0, mo: 0.0, ni: 0.0, v: 0.0, w: 0.0 }
}

/// Middle values of composition ranges, from memory: SAE J403 (1018 … 1095), SAE J404 (5160, 52100), EN 10025-2 (S235JR),
/// EN ISO 683-1 (C45, C60), EN 10132-4 (C75S, 80CrV2, 75Ni8), EN ISO 4957 (C105U, 90MnCrV8, 100MnCrW4), ASTM A686 (W1),
/// ASTM A681 (O1). Silicon is set to 0.25 where a standard only limits it from above.
const NOMINALS: &[Nominal] = &[
    (&["iron", "pure iron"], plain(0.01, 0.01, 0.05)),
    (&["1018"], plain(0.175, 0.25, 0.75)),
    (&["S235JR", "1.0038"], plain(0.15, 0.25, 0.8)),
    (&["1045"], plain(0.465, 0.25, 0.75)),
    (&["C45", "1.0503"], plain(0.46, 0.25, 0.65)),
    (&["C60", "1.0601"], plain(0.61, 0.25, 0.75)),
    (&["1060"], plain(0.6, 0.25, 0.75)),
    (&["1075"], plain(0.75, 0.25, 0.55)),
    (&["C75S", "1.1248"], plain(0.75, 0.25, 0.75)),
    (&["1084"], plain(0.865, 0.25, 0.75)),
    (&["1095"], plain(0.965, 0.25, 0.4)),
    (&["C105U", "1.1545"], plain(1.05, 0.2, 0.25)),
    (&["W1"], plain(1.0, 0.25, 0.25)),
    (&["75Ni8", "15N20", "1.5634"], Composition { ni: 2.0, ..plain(0.755, 0.25, 0.4) }),
    (&["80CrV2", "1.2235"], Composition { cr: 0.55, v: 0.2, ..plain(0.8, 0.3, 0.4) }),
    (&["5160"], Composition { cr: 0.8, ..plain(0.6, 0.25, 0.875) }),
    (&["52100"], Composition { cr: 1.45, ..plain(1.04, 0.25, 0.35) }),
    (&["90MnCrV8", "O2", "1.2842"], Composition { cr: 0.35, v: 0.12, ..plain(0.9, 0.25, 2.0) }),
    (&["100MnCrW4", "O1", "1.2510"], Composition { cr: 0.55, v: 0.1, w: 0.55, ..plain(0.95, 0.25, 1.1) }),
];

/// The nominal composition of a standard's steel, by any of its names, capitals or not; `None` for a name that is not
/// built in.
pub fn nominal(name: &str) -> Option<Steel> {
    let (names, composition) = NOMINALS.iter().find(|n| n.0.iter().any(|k| k.eq_ignore_ascii_case(name)))?;
    let known = names.iter().find(|k| k.eq_ignore_ascii_case(name))?;
    Some(Steel { name: (*known).to_owned(), composition: *composition })
}

/// All names that [`nominal`] knows.
pub fn nominals() -> impl Iterator<Item = &'static str> {
    NOMINALS.iter().flat_map(|n| n.0.iter().copied())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nominals_go_by_all_their_names() {
        assert_eq!(nominal("15n20").map(|s| s.composition), nominal("75Ni8").map(|s| s.composition));
        assert_eq!(nominal("c45").map(|s| s.name).as_deref(), Some("C45"));
        assert!(nominal("C46").is_none());
    }

    #[test]
    fn no_name_is_there_twice() {
        let mut names: Vec<String> = nominals().map(str::to_lowercase).collect();
        names.sort();
        let count = names.len();
        names.dedup();
        assert_eq!(names.len(), count);
    }

    /// Ranges of SAE J403 (from memory) hold the middle values.
    #[test]
    fn plain_carbon_steels_lie_in_their_ranges() {
        for (name, c, mn) in [
            ("1018", 0.15..0.20, 0.60..0.90),
            ("1045", 0.43..0.50, 0.60..0.90),
            ("1060", 0.55..0.65, 0.60..0.90),
            ("1075", 0.70..0.80, 0.40..0.70),
            ("1084", 0.80..0.93, 0.60..0.90),
            ("1095", 0.90..1.03, 0.30..0.50),
        ] {
            let found = nominal(name).map(|s| s.composition).unwrap_or_default();
            assert!(c.contains(&found.c) && mn.contains(&found.mn), "{name}: {found:?}");
        }
    }
}
