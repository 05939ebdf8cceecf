//! What the blade is quenched in: what its edge asks for, as far as its other steels and its thickness bear it.

use design::{Design, Figures};
use serde::Serialize;

use crate::forging_range::listed;
use crate::treated::Treated;

/// What is to be known of oil where the steel's own hardness is told for water (common practice, no source).
const IN_OIL: &str = "In oil the edge may come out softer than is said here: try a file on the scrap";

/// An edge thinner than this may crack in water, mm (common practice, no source).
const THIN_EDGE: f64 = 2.0;

/// What a blade is quenched in.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct QuenchMedium {
    /// The edge's steel.
    pub steel: String,
    /// What it asks for.
    pub words: String,
    /// Sections under which oil will do for it, mm; none where no source gives one.
    pub oil_under_mm: Option<f64>,
    /// The blade's greatest thickness as it is quenched, mm.
    pub thickest_mm: f64,
    /// Its edge's thickness as it is quenched, mm.
    pub edge_mm: f64,
    /// Other steels of the blade that harden and do not ask for water.
    pub oil_steels: Vec<String>,
}

impl QuenchMedium {
    /// Of a design's blade whose edge of this steel is treated so; `others` are its other steels that harden, and what
    /// they ask for. `None` where nothing is known of the edge's.
    pub(crate) fn of(
        design: &Design,
        steel: &str,
        edge: &Treated,
        others: &[(String, Option<String>)],
    ) -> Option<QuenchMedium> {
        let (words, oil_under_mm) = edge.medium.clone()?;
        let (spec, stages) = (design.blade().spec(), &design.blade().spec().stages);
        let thickest = spec.taper.iter().map(|t| t.back.max(t.grind.unwrap_or(t.back))).fold(0.0, f64::max);
        let oil = others.iter().filter(|other| !other.1.as_deref().is_some_and(is_water));
        Some(QuenchMedium {
            steel: steel.to_owned(),
            words,
            oil_under_mm,
            thickest_mm: thickest + 2.0 * stages.ground_allowance,
            edge_mm: stages.ground_edge,
            oil_steels: oil.map(|other| other.0.clone()).collect(),
        })
    }

    /// Whether its steel asks for water or brine and the blade is not thin enough for oil.
    pub fn is_water(&self) -> bool {
        is_water(&self.words) && !self.is_thin() && !self.words.contains("or oil")
    }

    fn is_thin(&self) -> bool {
        self.oil_under_mm.is_some_and(|limit| self.thickest_mm < limit)
    }

    /// In words, with thicknesses in the file's unit: first what to take.
    pub fn told(&self, l: Figures) -> String {
        let (words, oil_steels) = (&self.words, listed(&self.oil_steels));
        match (self.is_water(), oil_steels.is_empty()) {
            (true, false) => format!(
                "fast oil, tried on a scrap stack first. Not water: it may crack the {oil_steels} ({} on its own asks for {}). {IN_OIL}",
                self.steel,
                self.asked(l)
            ),
            (true, true) if self.edge_mm < THIN_EDGE => format!(
                "fast oil, tried on a scrap piece first: {} asks for {}, but water may crack an edge {} thin. {IN_OIL}",
                self.steel,
                self.asked(l),
                l.gap(self.edge_mm)
            ),
            (true, true) => self.asked(l),
            (false, none) if is_water(words) && self.is_thin() => {
                let water =
                    if none { String::new() } else { format!(". Not water: it may crack the {oil_steels}") };
                self.thin_told(l) + &water
            }
            (false, false) if is_water(words) => format!("oil, as {oil_steels} asks"),
            (false, _) => words.clone(),
        }
    }

    /// What its steel asks for, and why oil will not do where there is a limit to it.
    fn asked(&self, l: Figures) -> String {
        let limit = self.oil_under_mm.map(|mm| {
            let (limit, thickest) = (l.gap(mm), l.gap(self.thickest_mm));
            format!(
                "; it takes oil only where it is thinner than {limit} (not confirmed), and ground this blade is {thickest} at its \
                 thickest"
            )
        });
        format!("{}{}", self.words, limit.unwrap_or_default())
    }

    /// That oil will do.
    fn thin_told(&self, l: Figures) -> String {
        let limit = self.oil_under_mm.map_or_else(String::new, |mm| {
            format!(", thin enough to harden in oil: under {} (not confirmed)", l.gap(mm))
        });
        format!("oil. Grind it first: it is then {} at its thickest{limit}", l.gap(self.thickest_mm))
    }
}

/// Whether what is asked for is first of all water or brine.
fn is_water(words: &str) -> bool {
    let words = words.to_lowercase();
    words.starts_with("water") || words.starts_with("brine")
}

#[cfg(test)]
mod tests {
    use design::Unit;

    use super::*;

    fn told(
        words: &str,
        oil_under_mm: Option<f64>,
        thickest_mm: f64,
        edge_mm: f64,
        others: &[&str],
    ) -> String {
        let oil_steels = others.iter().map(|name| (*name).to_owned()).collect();
        let words = words.to_owned();
        let medium =
            QuenchMedium { steel: "Edge".to_owned(), words, oil_under_mm, thickest_mm, edge_mm, oil_steels };
        medium.told(Figures::of(Unit::Millimetre))
    }

    /// Oil steels in the same blade crack in water: the edge alone asks for it.
    #[test]
    fn water_is_not_told_for_a_blade_that_holds_oil_steels() {
        let both = told("water", None, 6.0, 3.0, &["C75S", "75Ni8"]);
        assert!(both.starts_with("fast oil, tried on a scrap stack first"), "{both}");
        assert!(
            both.contains("Not water: it may crack the C75S and 75Ni8") && both.contains(IN_OIL),
            "{both}"
        );
        assert_eq!(told("water", None, 6.0, 3.0, &[]), "water");
        let fine = told("water", None, 6.0, 1.0, &[]);
        assert!(fine.contains("Edge asks for water, but water may crack an edge 1.00 mm thin"), "{fine}");
        assert_eq!(told("water or oil", None, 6.0, 1.0, &[]), "water or oil");
        assert_eq!(told("oil", None, 6.0, 1.0, &["C75S"]), "oil");
        assert_eq!(told("water or oil", None, 6.0, 1.0, &["C75S"]), "oil, as C75S asks");
    }

    /// 1095 hardens in oil under 4.8 mm (Heat Treater's Guide, from memory): the blade's own thickness is told beside it.
    #[test]
    fn a_limit_of_thickness_is_told_with_the_blade_s() {
        let thick = told("brine or water", Some(4.8), 9.3, 3.0, &[]);
        assert_eq!(
            thick,
            "brine or water; it takes oil only where it is thinner than 4.80 mm (not confirmed), and ground this blade is \
             9.30 mm at its thickest"
        );
        let thin = told("brine or water", Some(4.8), 4.7, 1.0, &["C75S"]);
        let says = "oil. Grind it first: it is then 4.70 mm at its thickest, thin enough to harden in oil: under 4.80 mm (not confirmed). Not water";
        assert!(thin.starts_with(says), "{thin}");
    }
}
