//! Standard steels by name, with nominal compositions.

use crate::composition::{Composition, Steel};

/// One nominal steel: its name, other names, and middle values of the standard's ranges.
type Nominal = (&'static [&'static str], Composition);

/// A plain carbon steel, mass percent.
const fn plain(c: f64, si: f64, mn: f64) -> Composition {
    Composition { c, si, mn, cr: 0.0, mo: 0.0, ni: 0.0, v: 0.0, w: 0.0, p: 0.0 }
}

/// Middle values of composition ranges: SAE J403 (1018 … 1095), SAE J404 (5160), EN 10025-2 (S235JR), EN ISO 683-1
/// (C45, C60), EN 10132-4 (C75S, 80CrV2, 75Ni8), EN ISO 4957 (C80U, C105U, 90MnCrV8, 95MnWCr5), DIN 17350 (100MnCrW4)
/// and ASTM A681 (O1, O2) from memory; EN 10132-4 (C67S) by Akrostal's sheet, EN ISO 4957 (C45U, 102Cr6) by Akrostal's
/// and Lucefin's sheets, EN ISO 683-17 (100Cr6) by Lucefin's card, ASTM A686 (W1, W2) and A681 (L6) by AISI limits as
/// published, wrought iron by the Encyclopaedia Britannica (Walker), phosphoric iron from the usual 0.1 to 1.0 % of phosphorus
/// (abstract of a Bradford thesis), Nickel 201 by ASTM B160. Silicon is set to 0.25
/// where a standard only limits it from above or not at all; W1's and W2's carbon, which their suffix tells, to 1.0.
const NOMINALS: &[Nominal] = &[
    (&["iron", "pure iron"], plain(0.01, 0.01, 0.05)),
    (&["1018"], plain(0.175, 0.25, 0.75)),
    (&["S235JR", "1.0038", "mild steel"], plain(0.15, 0.25, 0.8)),
    (&["wrought iron"], Composition { p: 0.175, ..plain(0.02, 0.11, 0.08) }),
    (&["phosphoric iron"], Composition { p: 0.3, ..plain(0.02, 0.0, 0.0) }),
    (&["1045"], plain(0.465, 0.25, 0.75)),
    (&["C45", "1.0503"], plain(0.46, 0.25, 0.65)),
    (&["C45U", "1.1730"], plain(0.46, 0.28, 0.7)),
    (&["C60", "1.0601"], plain(0.61, 0.25, 0.75)),
    (&["1060"], plain(0.6, 0.25, 0.75)),
    (&["C67S", "1.1231"], Composition { cr: 0.23, ..plain(0.69, 0.25, 0.75) }),
    (&["1070"], plain(0.7, 0.25, 0.75)),
    (&["1075"], plain(0.75, 0.25, 0.55)),
    (&["C75S", "1.1248"], plain(0.75, 0.25, 0.75)),
    (&["1080"], plain(0.815, 0.25, 0.75)),
    (&["C80U", "1.1525"], plain(0.8, 0.2, 0.25)),
    (&["1084"], plain(0.865, 0.25, 0.75)),
    (&["1095"], plain(0.965, 0.25, 0.4)),
    (&["C105U", "1.1545"], plain(1.05, 0.2, 0.25)),
    (&["W1"], plain(1.0, 0.25, 0.25)),
    (&["W2"], Composition { v: 0.25, ..plain(1.0, 0.25, 0.25) }),
    (&["L6"], Composition { cr: 0.9, ni: 1.6, ..plain(0.7, 0.25, 0.525) }),
    (&["75Ni8", "15N20", "1.5634"], Composition { ni: 2.0, ..plain(0.755, 0.25, 0.4) }),
    (&["80CrV2", "1.2235"], Composition { cr: 0.55, v: 0.2, ..plain(0.8, 0.3, 0.4) }),
    (&["5160"], Composition { cr: 0.8, ..plain(0.6, 0.25, 0.875) }),
    (&["52100", "100Cr6", "1.3505"], Composition { cr: 1.475, ..plain(0.99, 0.25, 0.35) }),
    (&["102Cr6", "1.2067"], Composition { cr: 1.5, ..plain(1.025, 0.25, 0.35) }),
    (&["90MnCrV8", "1.2842"], Composition { cr: 0.35, v: 0.12, ..plain(0.9, 0.25, 2.0) }),
    (&["O2"], Composition { cr: 0.25, ..plain(0.9, 0.25, 1.6) }),
    (&["O1"], Composition { cr: 0.5, w: 0.5, ..plain(0.925, 0.3, 1.2) }),
    (&["95MnWCr5", "1.2825"], Composition { cr: 0.5, v: 0.15, w: 0.55, ..plain(0.95, 0.25, 1.2) }),
    (&["Nickel 201", "nickel"], Composition { ni: 99.0, ..plain(0.01, 0.0, 0.0) }),
    (&["100MnCrW4", "1.2510"], Composition { cr: 0.55, v: 0.1, w: 0.55, ..plain(0.95, 0.25, 1.1) }),
];

/// The nominal composition of a standard's steel, by any of its names, capitals or not; `None` for a name that is not
/// built in.
pub fn nominal(name: &str) -> Option<Steel> {
    let (names, composition) = NOMINALS.iter().find(|n| n.0.iter().any(|k| k.eq_ignore_ascii_case(name)))?;
    let known = names.iter().find(|k| k.eq_ignore_ascii_case(name))?;
    Some(Steel::new(*known, *composition))
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
