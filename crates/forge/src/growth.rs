//! How the blade moves when it is hardened: what hardens grows, what stays soft does not, and so it bends.

use design::Figures;
use serde::Serialize;
use steel::{GROWN, hardening_growth};

use crate::forging_range::listed;
use crate::heat::Quenched;

/// How much longer the hardened blade is.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Growth {
    /// Shoulder to point, least and greatest, mm.
    pub mm: [f64; 2],
    /// The blade's steels that stay soft and hold it back.
    pub soft: Vec<String>,
}

impl Growth {
    /// Of a blade of this length (mm) whose edge is quenched so, with these steels staying soft: what is all hard grows
    /// by a sheet's share of the law at least; beside soft steel the least is nothing.
    pub(crate) fn of(edge: Quenched, length: f64, soft: Vec<String>) -> Growth {
        let [least, most] = edge.dissolved_percent.map(|c| hardening_growth(c) * length);
        let least = if soft.is_empty() { GROWN * least } else { 0.0 };
        Growth { mm: [least, most], soft }
    }

    /// In words, with lengths in the file's unit.
    pub fn told(&self, l: Figures) -> String {
        let ([low, high], unit) = (self.mm.map(|mm| l.length(mm)), l.unit.name());
        match &self.soft[..] {
            [] => format!("hardening makes it about {low} to {high} {unit} longer from shoulder to point"),
            soft => format!(
                "hardening makes it up to {high} {unit} longer from shoulder to point: the hard part grows, {} does not; expect it \
                 to bend, and straighten it after the first temper",
                listed(soft)
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(soft: &[&str]) -> Growth {
        let edge = Quenched {
            dissolved_percent: [0.925, 0.925],
            ms_c: [200.0; 2],
            retained_austenite: [0.1; 2],
            hardness_hrc: [64.0; 2],
            hardness_source: "",
            hardness_unsure: false,
        };
        Growth::of(edge, 300.0, soft.iter().map(|s| (*s).to_owned()).collect())
    }

    /// A sheet of O1 (Buffalo Precision): 0.0015 of its length, 0.45 mm in 300. Lement's law (from memory) has 0.56 % for
    /// a percent of carbon, 1.55 mm.
    #[test]
    fn a_blade_grows_between_sheet_and_law() {
        let [least, most] = of(&[]).mm;
        assert!((least - 0.45).abs() < 0.005 && (most - 1.554).abs() < 0.01, "{least} {most}");
    }

    #[test]
    fn soft_steel_holds_it_back() {
        let held = of(&["S235JR"]);
        let words = held.told(Figures::of(design::Unit::Millimetre));
        assert!(words.contains("S235JR does not; expect it to bend"), "{words}");
        assert!(held.mm[0].abs() < 1e-12 && (held.mm[1] - of(&[]).mm[1]).abs() < 1e-12);
    }
}
