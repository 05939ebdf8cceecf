//! How the blade moves when it is hardened: what hardens grows, what stays soft does not, and so it bends.

use design::Figures;
use serde::Serialize;
use steel::{GROWN, hardening_growth};

use crate::forging_range::listed;
use crate::heat::Quenched;

/// What comes of parts that grow unevenly, and what is done about it (common practice, no source).
const WARPS: &str =
    "expect it to warp, and straighten it warm, after the first temper, with a face shield on";

/// How much longer the hardened blade is.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Growth {
    /// Shoulder to point, least and greatest, mm.
    pub mm: [f64; 2],
    /// The blade's steels that stay soft and hold it back.
    pub soft: Vec<String>,
    /// Those that harden otherwise than the edge does, and grow less or more.
    pub uneven: Vec<String>,
}

impl Growth {
    /// Of a blade of this length (mm) whose edge is quenched so, with these steels staying soft: what is all hard grows
    /// by a sheet's share of the law at least; beside soft steel the least is nothing.
    pub(crate) fn of(edge: Quenched, length: f64, soft: Vec<String>, uneven: Vec<String>) -> Growth {
        let [least, most] = edge.dissolved_percent.map(|c| hardening_growth(c) * length);
        let least = if soft.is_empty() { GROWN * least } else { 0.0 };
        Growth { mm: [least, most], soft, uneven }
    }

    /// In words, with lengths in the file's unit.
    pub fn told(&self, l: Figures) -> String {
        let ([low, high], unit) = (self.mm.map(|mm| l.length(mm)), l.unit.name());
        match (&self.soft[..], &self.uneven[..]) {
            ([], []) => {
                format!("hardening makes it about {low} to {high} {unit} longer from shoulder to point")
            }
            ([], uneven) => format!(
                "hardening makes the edge about {low} to {high} {unit} longer from shoulder to point; {} by another amount: {WARPS}",
                listed(uneven).to_owned() + if uneven.len() > 1 { " grow" } else { " grows" }
            ),
            (soft, _) => format!(
                "hardening makes it up to {high} {unit} longer from shoulder to point: the hard part grows, {} does not: {WARPS}",
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
        Growth::of(edge, 300.0, soft.iter().map(|s| (*s).to_owned()).collect(), Vec::new())
    }

    /// A sheet of O1 (Buffalo Precision): 0.0015 of its length, 0.45 mm in 300. Lement's law (from memory) has 0.56 % for
    /// a percent of carbon, 1.55 mm.
    #[test]
    fn a_blade_grows_between_sheet_and_law() {
        let [least, most] = of(&[]).mm;
        assert!((least - 0.45).abs() < 0.005 && (most - 1.554).abs() < 0.01, "{least} {most}");
    }

    /// Beside steel that hardens in part the edge's growth is told, and that the blade may warp.
    #[test]
    fn steel_that_hardens_otherwise_warps_it() {
        let even = of(&[]);
        let uneven = Growth { uneven: vec!["C45".to_owned()], ..even.clone() };
        let [plain, told] = [even, uneven].map(|growth| growth.told(Figures::of(design::Unit::Millimetre)));
        assert!(
            told.contains("C45 grows by another amount: expect it to warp") && !plain.contains("warp"),
            "{told} {plain}"
        );
    }

    #[test]
    fn soft_steel_holds_it_back() {
        let held = of(&["S235JR"]);
        let words = held.told(Figures::of(design::Unit::Millimetre));
        assert!(words.contains("S235JR does not: expect it to warp"), "{words}");
        assert!(held.mm[0].abs() < 1e-12 && (held.mm[1] - of(&[]).mm[1]).abs() < 1e-12);
    }
}
