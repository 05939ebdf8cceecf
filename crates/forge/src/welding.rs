//! The welding heat against what the steels bear.

use design::{Design, Figures};
use serde::Serialize;
use steel::{HANDBOOKS, Steel, WELDED_CARBON, burning, is_low_alloy, solidus, welding};

use crate::clock::WELDS;
use crate::forging_range::{ForgingRange, listed};
use crate::heat::mark;
use crate::stock::Stock;

/// The heat at which the shop welds, and what its steels say to it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WeldingHeat {
    /// The shop's welding heat, °C.
    pub celsius: f64,
    /// The steel with the most carbon, which bears the least.
    pub steel: String,
    /// Where handbooks weld it, °C, within 50 K.
    pub handbook_c: [f64; 2],
    /// Whether it has more carbon than they speak of: then the hotter end is calculated, by where it melts.
    pub is_beyond: bool,
    /// From where on it burns, °C.
    pub burns_c: f64,
    /// Where it begins to melt, °C.
    pub solidus_c: f64,
    /// The hottest its steels are forged, °C, and the steel that says so; none where the welding heat is no hotter.
    pub over_forging: Option<(String, f64)>,
    /// Whether that is quoted from memory.
    pub forging_unsure: bool,
    /// Steels whose oxide borax alone does not take off.
    pub stubborn: Vec<String>,
}

impl WeldingHeat {
    /// Of a design of these steels; `None` where nothing is welded.
    pub(crate) fn of(
        design: &Design,
        stock: &Stock,
        steels: &[Steel],
        range: &ForgingRange,
    ) -> Option<WeldingHeat> {
        let hardest = steels.iter().max_by(|a, b| a.composition.c.total_cmp(&b.composition.c))?;
        let (celsius, carbon) = (design.forging().weld_heat, hardest.composition.c);
        let hot = range.limits.as_ref().map(|[_, hot]| (hot.clone(), range.celsius[1]));
        let stubborn = steels.iter().filter(|s| !is_low_alloy(&s.composition)).map(|s| s.name.clone());
        stock.one_steel().is_none().then(|| WeldingHeat {
            celsius,
            steel: hardest.name.clone(),
            handbook_c: welding(carbon),
            is_beyond: carbon > WELDED_CARBON,
            burns_c: burning(carbon),
            solidus_c: solidus(carbon),
            forging_unsure: range.unsure,
            over_forging: hot.filter(|(_, most)| celsius > *most),
            stubborn: stubborn.collect(),
        })
    }

    /// Whether the steel with the most carbon burns: hotter than handbooks weld it by more than they differ, or than where it
    /// begins to melt.
    pub fn is_burning(&self) -> bool {
        self.celsius > self.burns_c
    }

    /// Whether it is colder than handbooks weld any of its steels by more than they differ: then it may not take.
    pub fn is_under(&self) -> bool {
        self.celsius < self.handbook_c[0] - HANDBOOKS
    }

    /// Whether nothing welds in the fire: colder than any handbook welds by more than they differ.
    pub fn is_cold(&self) -> bool {
        self.celsius < WELDS - HANDBOOKS
    }

    /// What it asks for, in sentences on the file's scale.
    pub fn told(&self, l: Figures) -> String {
        let (heat, band) = (l.about(self.celsius), l.degree_band(self.handbook_c));
        let (steel, melts) = (&self.steel, l.about(self.solidus_c));
        let (degrees, about) = (l.temperature.name(), l.temperature_step(HANDBOOKS));
        let mut told = match self.is_beyond {
            false => format!("{heat}; handbooks weld {steel} at {band}? {degrees}, give or take {about}"),
            true => format!(
                "{heat}; {steel} welds at {band}? {degrees}, give or take {about}: calculated from handbooks' heats for less \
                 carbon, and from where this steel melts"
            ),
        };
        if self.is_burning() {
            told += &format!(". Too hot: {steel} burns; it melts from about {melts}?");
        } else if self.celsius > self.handbook_c[1] {
            told += &format!(
                ". {heat} is hotter than that, and {steel} begins to melt at about {melts}?: watch it, take it out before it sparks. \
                 If a scrap piece takes cooler, weld cooler"
            );
        }
        if self.is_under() && !self.is_cold() {
            told += &format!(". Colder than handbooks weld {steel}: flux it, and weld a scrap piece first");
        }
        if self.is_cold() {
            told += ". Too cold for the fire: only a clean pack sealed from air and held for hours takes";
        }
        // What burns is not welded hotter for anything.
        if let Some((steel, most)) = self.over_forging.as_ref().filter(|_| !self.is_burning()) {
            let mark = mark(self.forging_unsure);
            told += &format!(
                ". Forge {steel} at {0}{mark} at most: above that its grain grows. Welding has to be hotter, or flux and scale \
                 won't run out: hold it no longer than the weld needs, then forge on at {0}{mark} or less",
                l.about(*most)
            );
        }
        if !self.stubborn.is_empty() {
            told += &format!(
                ". Borax alone does not take off the oxide of {}: keep air out",
                listed(&self.stubborn)
            );
        }
        told
    }
}

#[cfg(test)]
mod tests {
    use design::Unit;

    use super::*;

    fn of(steels: &str, weld: &str) -> WeldingHeat {
        let text = format!(
            "name = 'Oar'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n[billet]\nwidth = 12\n\
             [[layers]]\nname = 'Core'\nsteels = {steels}\ncount = 5\n[[bar]]\nheight = 34\nlayers = 'Core'\n\
             direction = 'flat'\n[forging]\nweld_heat = {weld}\n"
        );
        let design = design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"));
        crate::plan::Plan::of(&design).unwrap().welding.unwrap()
    }

    /// Handbooks (from memory) weld 0.6 to 1.0 % carbon at 1050 to 1150 °C; C105U begins to melt near 1330.
    #[test]
    fn a_welding_heat_that_burns_or_does_not_weld_is_told() {
        let told = |weld: &str| {
            let heat = of("['C105U', 'mild steel']", weld);
            (heat.is_burning(), heat.is_cold(), heat.told(Figures::of(Unit::Millimetre)))
        };
        let (burns, cold, words) = told("1350");
        assert!(burns && !cold && words.contains("C105U burns; it melts from about 132"), "{words}");
        assert!(!words.contains("Welding has to be hotter") && !words.contains("hotter than"), "{words}");
        let (burns, cold, words) = told("900");
        assert!(!burns && cold && words.contains("Too cold for the fire"), "{words}");
        let (burns, cold, words) = told("1150");
        assert!(
            !burns
                && !cold
                && words.contains("1040–1140?")
                && words.contains("is hotter than that, and C105U begins to melt at about 1322 °C?")
                && words.contains("Forge C105U at 1050 °C? at most"),
            "{words}"
        );
        assert!(!told("1190").0 && told("1191").0 && !told("1000").1 && told("999").1);
        assert!(!told("1140").2.contains("hotter than"));
        // Iron bears, and needs, a white heat.
        let iron = of("['iron', 'mild steel']", "1150").told(Figures::of(Unit::Millimetre));
        assert!(
            iron.contains("1250–1300?") && iron.contains("Colder than handbooks weld mild steel"),
            "{iron}"
        );
        assert!(!of("['1084', '15N20']", "1150").is_beyond && !of("['1084', '15N20']", "1150").is_under());
        // Iron alone bears a white heat.
        assert!(!of("['iron', 'mild steel']", "1300").is_burning());
    }

    #[test]
    fn oxide_that_borax_leaves_is_named() {
        let told = |steels: &str| of(steels, "1100").stubborn;
        assert_eq!(told("['1095', 'nickel']"), ["nickel"]);
        assert!(told("['1095', '15N20']").is_empty());
    }
}
