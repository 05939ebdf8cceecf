//! Normalising the blade: three heats, each a little lower, none under where the last ferrite or carbide is gone; none at
//! all where one of its steels hardens in air.

use design::Figures;
use serde::Serialize;
use steel::{Composition, ac3, acm, is_low_alloy};

use crate::heat::{SteelHeat, mark};
use crate::treated::Treated;

/// How much lower each of three normalising heats is than the one before, so that grains get finer, K (common practice,
/// no source).
const FALLING: f64 = 20.0;
/// How wide a heat is at least: what kiln and eye differ by (common practice, no source), K.
const LEAST_WIDE: f64 = 20.0;

/// The normalising heats of a blade.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Normalising {
    /// Three heats, °C, each no hotter than the one before; none where there must be none or none is known.
    pub celsius: Option<[[f64; 2]; 3]>,
    /// Whether the first one is calculated or quoted from memory; the others are common practice.
    pub unsure: bool,
    /// A steel that must not be normalised, and why; none where all may be.
    pub barred: Option<[String; 2]>,
    /// Who published the first one, or why there is none.
    pub source: String,
    /// Steels which these heats leave ferrite in, and where that would be gone, °C.
    pub coarse: Vec<(String, f64)>,
}

impl Normalising {
    /// Of a blade whose edge is treated so, of steels held as `heat` says that consist by `now` of what is told there.
    pub(crate) fn of(edge: &Treated, heat: &[SteelHeat], now: &[(String, Composition)]) -> Normalising {
        let barred = heat.iter().find(|h| h.normalising.never);
        let own = edge.normalising.celsius.filter(|_| barred.is_none());
        let celsius = own.map(|band| three(band, cleared(edge)));
        let left = |(steel, c): &(String, Composition)| {
            let [least, _] = celsius?[2];
            let end = ac3(c).filter(|end| *end > least && is_low_alloy(c))?;
            Some((steel.clone(), end))
        };
        Normalising {
            celsius,
            unsure: edge.normalising.unsure,
            barred: barred.map(|h| [h.steel.clone(), h.normalising.source.clone()]),
            source: edge.normalising.source.clone(),
            coarse: now.iter().filter_map(left).collect(),
        }
    }

    /// The three heats on the file's scale, marked where they are to be tried; none where there are none.
    pub fn told(&self, figures: Figures) -> Option<[String; 3]> {
        let [first, second, third] = self.celsius?.map(|band| figures.degree_band(band));
        let mark = mark(self.unsure);
        Some([format!("{first}{mark}"), format!("{second}?"), format!("{third}?")])
    }

    /// Steels that these heats leave coarse in part, in sentences on the file's scale.
    pub fn coarse_told(&self, l: Figures) -> Vec<String> {
        let told = |(steel, end): &(String, f64)| {
            format!(
                "That does not fully refine {steel}: with the carbon it then has, it is all austenite only from {} on.",
                l.about(*end)
            )
        };
        self.coarse.iter().map(told).collect()
    }

    /// Why there is none.
    pub fn why_not(&self) -> String {
        match (&self.barred, self.unsure) {
            (Some([steel, why]), _) => format!("do not normalise it, for its {steel}: {why}"),
            (None, true) => "do not normalise it without the maker's data sheet".to_owned(),
            (None, false) => format!("no normalising heat: {}", self.source),
        }
    }
}

/// Where the last ferrite or carbide of the edge is gone, °C, but for what phosphorus keeps; none where the formulas do not
/// reach.
fn cleared(edge: &Treated) -> Option<f64> {
    let c = Composition { p: 0.0, ..edge.composition };
    acm(&c).or_else(|| ac3(&c)).filter(|_| is_low_alloy(&edge.composition))
}

/// The first heat as published and two lower ones, which stay clear of where ferrite or carbide would be left as far as
/// the first one does.
fn three(first: [f64; 2], floor: Option<f64>) -> [[f64; 2]; 3] {
    let floor = floor.unwrap_or(0.0).min(first[1] - LEAST_WIDE);
    [0.0, 1.0, 2.0].map(|step| {
        let [low, high] = first.map(|t| t - step * FALLING);
        let low = low.max(floor);
        [low, high.max(low + LEAST_WIDE).min(first[1])]
    })
}

#[cfg(test)]
mod tests {
    use steel::nominal;

    use super::*;

    fn of(names: &[&str]) -> Normalising {
        let heat: Vec<SteelHeat> = names.iter().map(|n| SteelHeat::of(&nominal(n).unwrap())).collect();
        let steel = nominal(names[0]).unwrap();
        let now = names.iter().map(|n| ((*n).to_owned(), nominal(n).unwrap().composition));
        let edge = Treated::of(&heat[0], &steel, [steel.composition.c; 2]);
        Normalising::of(&edge, &heat, &now.collect::<Vec<_>>())
    }

    /// Diamond Metals: L6 hardens in air. A blade that has it anywhere is not normalised; nickel and phosphoric iron bear
    /// it.
    #[test]
    fn a_steel_that_hardens_in_air_bars_it_for_the_blade() {
        let blade = of(&["1084", "L6"]);
        assert!(blade.celsius.is_none() && blade.barred.as_ref().is_some_and(|b| b[0] == "L6"), "{blade:?}");
        assert!(blade.why_not().contains("L6: it hardens in air"));
        for other in ["nickel", "phosphoric iron", "mild steel", "15N20"] {
            assert!(of(&["1084", other]).celsius.is_some(), "{other}");
        }
        let nickel = of(&["nickel", "1084"]);
        assert!(nickel.celsius.is_none() && nickel.why_not().starts_with("no normalising heat: nickel"));
        assert!(of(&["102Cr6"]).why_not().contains("data sheet"));
    }

    /// No heat is hotter than the one before, at neither end.
    #[test]
    fn heats_fall_or_stay() {
        for name in ["C105U", "W2", "1095", "1084", "C45", "O1", "80CrV2"] {
            let Some(heats) = of(&[name]).celsius else { continue };
            let falls = |w: &[[f64; 2]]| w[1][0] <= w[0][0] && w[1][1] <= w[0][1];
            assert!(heats.windows(2).all(falls), "{name}: {heats:?}");
        }
    }

    /// By the iron–carbon diagram Acm of C105U is 815 °C and of W2 799: no lower heat leaves carbide at the grains' edges.
    #[test]
    fn lower_heats_stay_clear_of_ferrite_and_carbide() {
        for (name, end) in [("C105U", 814.9), ("W2", 799.2), ("1095", 788.2)] {
            let heats = of(&[name]).celsius.unwrap();
            for [low, high] in &heats[1..] {
                assert!(*low >= end - 0.1 && high - low > 14.9, "{name}: {heats:?}");
            }
        }
        // 1060: 830 to 885 °C, each 20 lower.
        let plain = of(&["1060"]).celsius.unwrap();
        let wanted = [[830.0, 885.0], [810.0, 865.0], [790.0, 845.0]];
        assert!(plain.iter().flatten().zip(wanted.iter().flatten()).all(|(a, b)| (a - b).abs() < 1e-9));
    }

    /// Wrought iron's heats fall from 930 °C to Andrews's Ac3 of 886 without its phosphorus, by hand 910 − 28.71 + 4.92.
    #[test]
    fn phosphorus_does_not_hold_the_lower_heats_up() {
        let heats = of(&["wrought iron"]).celsius.unwrap();
        assert!((heats[0][0] - 900.0).abs() < 1e-9 && (heats[2][0] - 886.2).abs() < 0.1, "{heats:?}");
        assert!(heats[2][1] < heats[1][1] && heats[1][1] < heats[0][1], "{heats:?}");
    }

    /// A data sheet's 800 to 810 °C for C105U is under Acm: the lower heats stay 20 K wide and no hotter than the first.
    #[test]
    fn a_sheet_s_narrow_band_stays_the_hottest() {
        let told = three([800.0, 810.0], Some(814.9));
        let wanted = [[800.0, 810.0], [790.0, 810.0], [790.0, 810.0]];
        let near = |(a, b): (&f64, &f64)| (a - b).abs() < 1e-9;
        assert!(told.iter().flatten().zip(wanted.iter().flatten()).all(near), "{told:?}");
    }

    /// S235JR is all austenite from 843 °C only (Andrews): a third heat of 760 to 790 refines the edge alone.
    #[test]
    fn a_body_that_is_not_refined_is_named() {
        let blade = of(&["C75S", "S235JR"]);
        assert!(
            blade.coarse.len() == 1
                && blade.coarse[0].0 == "S235JR"
                && (blade.coarse[0].1 - 843.0).abs() < 1.0
        );
        assert!(of(&["C75S", "75Ni8"]).coarse.is_empty());
    }

    #[test]
    fn what_rests_on_memory_is_marked_in_every_heat() {
        let plain = design::Figures::of(design::Unit::Millimetre);
        assert!(of(&["C75S"]).told(plain).unwrap().iter().all(|band| band.ends_with('?')));
        let seen = of(&["C45"]).told(plain).unwrap();
        assert!(!seen[0].ends_with('?') && seen[1].ends_with('?'));
    }
}
