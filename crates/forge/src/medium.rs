//! What the blade is quenched in: what its edge asks for, as far as its other steels and its thickness bear it.

use design::{Design, Figures};
use serde::Serialize;

use crate::forging_range::listed;
use crate::treated::Treated;

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

    /// In words, with thicknesses in the file's unit.
    pub fn told(&self, l: Figures) -> String {
        let (words, thickest, oil_steels) = (&self.words, l.gap(self.thickest_mm), listed(&self.oil_steels));
        let asked = match self.oil_under_mm.map(|mm| l.gap(mm)) {
            Some(limit) if self.is_thin() => {
                format!(
                    "oil, as the blade is under {limit} throughout ({thickest} at its thickest); a thicker one: {words}"
                )
            }
            Some(limit) => {
                format!("{words}; oil only under {limit}, and this blade is {thickest} at its thickest")
            }
            None => words.clone(),
        };
        match (self.is_water(), oil_steels.is_empty()) {
            (true, false) => format!(
                "{} alone asks for {asked}. This blade also holds {oil_steels}, which water may crack: not water; \
                 try fast oil on a scrap stack first",
                self.steel
            ),
            (true, true) if self.edge_mm < THIN_EDGE => format!(
                "{asked}. Water may crack an edge {} thin: try fast oil on a scrap piece first",
                l.gap(self.edge_mm)
            ),
            (false, false) if is_water(words) && !self.is_thin() => format!("oil, as {oil_steels} asks"),
            _ => asked,
        }
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
        assert!(
            both.starts_with("Edge alone asks for water.")
                && both.contains("C75S and 75Ni8, which water may crack")
        );
        assert_eq!(told("water", None, 6.0, 3.0, &[]), "water");
        assert!(told("water", None, 6.0, 1.0, &[]).contains("Water may crack an edge 1.00 mm thin"));
        assert_eq!(told("oil", None, 6.0, 1.0, &["C75S"]), "oil");
        assert_eq!(told("water or oil", None, 6.0, 1.0, &["C75S"]), "oil, as C75S asks");
    }

    /// 1095 hardens in oil under 4.8 mm (Heat Treater's Guide, from memory): the blade's own thickness is told beside it.
    #[test]
    fn a_limit_of_thickness_is_told_with_the_blade_s() {
        let thick = told("brine or water", Some(4.8), 9.3, 3.0, &[]);
        assert_eq!(
            thick,
            "brine or water; oil only under 4.80 mm, and this blade is 9.30 mm at its thickest"
        );
        let thin = told("brine or water", Some(4.8), 4.7, 1.0, &["C75S"]);
        assert!(thin.starts_with("oil, as the blade is under 4.80 mm throughout"), "{thin}");
    }
}
