//! Hardness as quenched, as published of standard steels.

use crate::composition::Steel;
use crate::nominal::nominal;

/// A steel's hardness fully hardened, before it is tempered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AsQuenched {
    /// Least and greatest, HRC.
    pub hrc: [f64; 2],
    /// Who published it.
    pub source: &'static str,
    /// Whether the source was at hand; otherwise it is quoted from memory.
    pub seen: bool,
}

const fn seen(low: f64, high: f64, source: &'static str) -> AsQuenched {
    AsQuenched { hrc: [low, high], source, seen: true }
}

const fn recalled(low: f64, high: f64, source: &'static str) -> AsQuenched {
    AsQuenched { hrc: [low, high], source, seen: false }
}

const TRADE: &str = "trade figures";
const GUIDE: &str = "Heat Treater's Guide";

/// Single hardnesses of the sources are widened by 1 HRC either way, the step in which they are told. Saarstahl's sheet
/// of C67S has 59 and more: its upper end is ASTM A255's for its carbon (from memory).
const HARDNESSES: &[(&[&str], AsQuenched)] = &[
    (&["C45", "1.0503", "1045"], recalled(55.0, 58.0, TRADE)),
    (&["C45U", "1.1730"], seen(54.0, 58.0, "Akrostal and Meusburger, sheets C45U")),
    (&["1060", "C60", "1.0601"], recalled(63.0, 64.0, GUIDE)),
    (&["C67S", "1.1231", "1070"], recalled(59.0, 65.0, "Saarstahl, sheet C67S: 59 or more; ASTM A255")),
    (&["1075", "C75S", "1.1248"], recalled(60.0, 64.0, "a steel dealer's page, C75S")),
    (&["1080", "1084"], recalled(64.0, 65.0, GUIDE)),
    (&["1095"], recalled(65.0, 67.0, GUIDE)),
    (&["C80U", "1.1525"], recalled(63.0, 65.0, TRADE)),
    (&["C105U", "1.1545"], recalled(64.0, 66.0, TRADE)),
    (&["W1", "W2"], recalled(65.0, 67.0, GUIDE)),
    (&["52100", "100Cr6", "1.3505"], seen(64.0, 67.0, "ASM International, 52100")),
    (&["O1"], seen(64.0, 66.0, "Eastern Tool Steel, O-1")),
    (
        &["95MnWCr5", "1.2825", "100MnCrW4", "1.2510"],
        recalled(64.0, 66.0, "Eastern Tool Steel, O-1, a like steel"),
    ),
    (&["90MnCrV8", "1.2842", "O2"], recalled(63.0, 65.0, TRADE)),
    (&["5160"], recalled(58.0, 63.0, GUIDE)),
    (&["75Ni8", "15N20", "1.5634"], recalled(63.0, 65.0, TRADE)),
    (&["80CrV2", "1.2235"], recalled(64.0, 65.0, TRADE)),
    (&["L6"], seen(64.0, 65.0, "Eastern Tool Steel, L-6; Diamond Metals, L6")),
];

/// What is published of a standard's steel as quenched; `None` for another one, or one with a composition of its own.
pub fn as_quenched(steel: &Steel) -> Option<AsQuenched> {
    let standard = nominal(&steel.name).filter(|s| s.composition == steel.composition)?;
    let of = |names: &[&str]| names.iter().any(|name| name.eq_ignore_ascii_case(&standard.name));
    HARDNESSES.iter().find(|row| of(row.0)).map(|row| row.1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::nominal::nominals;
    use crate::published::{Advice, published};

    /// Every steel that is hardened by a published heat has one, and no other.
    #[test]
    fn what_hardens_has_a_hardness() {
        for name in nominals() {
            let steel = nominal(name).unwrap();
            let hardens = published(&steel).is_some_and(|p| matches!(p.hardening, Advice::Heat(_)));
            assert_eq!(as_quenched(&steel).is_some(), hardens, "{name}");
        }
        for (names, row) in HARDNESSES {
            assert!(row.hrc[0] < row.hrc[1] && (50.0..68.0).contains(&row.hrc[0]), "{names:?}");
        }
        let mut own = nominal("1095").unwrap();
        own.composition.c = 0.9;
        assert!(as_quenched(&own).is_none());
    }
}
