//! Where steels can be forged together: above the coldest that one of them bears, below the hottest of another.

use design::Figures;
use serde::Serialize;

use crate::heat::SteelHeat;

/// From where to where steel is forged where nothing is known of it, °C: C45 by Saarstahl's sheet.
const USUAL: [f64; 2] = [850.0, 1100.0];

/// The heats at which several steels can be forged as one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ForgingRange {
    /// Where it goes back into the fire and the hottest start, °C; the first above the second where there is none for
    /// all.
    pub celsius: [f64; 2],
    /// The steels that set the two ends; none where nothing is known of them.
    pub limits: Option<[String; 2]>,
    /// Whether an end is quoted from memory.
    pub unsure: bool,
}

impl ForgingRange {
    /// Of steels forged together; those of which nothing is known bind nothing.
    pub(crate) fn of<'a>(heat: impl IntoIterator<Item = &'a SteelHeat>) -> ForgingRange {
        let known: Vec<(&SteelHeat, [f64; 2])> =
            heat.into_iter().filter_map(|h| Some((h, h.forging.celsius?))).collect();
        // The first of like ones, so that the same file tells the same steel.
        let cold = known.iter().rev().max_by(|a, b| a.1[0].total_cmp(&b.1[0]));
        let hot = known.iter().min_by(|a, b| a.1[1].total_cmp(&b.1[1]));
        match cold.zip(hot) {
            Some((cold, hot)) => ForgingRange {
                celsius: [cold.1[0], hot.1[1]],
                limits: Some([cold, hot].map(|end| end.0.steel.clone())),
                unsure: cold.0.forging.unsure || hot.0.forging.unsure,
            },
            None => ForgingRange { celsius: USUAL, limits: None, unsure: true },
        }
    }

    /// Whether there is any heat for all of them.
    pub fn is_open(&self) -> bool {
        self.celsius[0] < self.celsius[1]
    }

    /// The band on the file's scale, marked where it is to be tried first, and the steels that set it.
    pub fn told(&self, figures: Figures) -> String {
        let mark = if self.unsure { "?" } else { "" };
        let (band, sign) = (figures.degree_band(self.celsius), figures.temperature.name());
        match &self.limits {
            Some([cold, hot]) if !self.is_open() => {
                let [low, high] = self.celsius.map(|t| figures.degrees(t));
                format!("no heat suits all: {cold} not below {low}, {hot} not above {high} {sign}")
            }
            Some([cold, hot]) if cold == hot => format!("{band}{mark} {sign}, as {cold} asks"),
            Some([cold, hot]) => format!("{band}{mark} {sign}: {cold} sets the lower end, {hot} the upper"),
            None => format!("{band}{mark} {sign} unless the data sheet says otherwise"),
        }
    }

    /// From the hottest start to the lower end, °C, held to what the work itself asks for (the hotter end first): the
    /// clock's way round. What the work asks for where nothing is left between.
    pub(crate) fn within(&self, [hot, cold]: [f64; 2]) -> [f64; 2] {
        let (from, to) = (self.celsius[1].min(hot), self.celsius[0].max(cold));
        if from > to { [from, to] } else { [hot, cold] }
    }
}

#[cfg(test)]
mod tests {
    use steel::nominal;

    use super::*;

    fn of(names: &[&str]) -> ForgingRange {
        let heat: Vec<SteelHeat> = names.iter().map(|n| SteelHeat::of(&nominal(n).unwrap())).collect();
        ForgingRange::of(&heat)
    }

    fn near(a: [f64; 2], b: [f64; 2]) -> bool {
        (a[0] - b[0]).abs() < 1e-9 && (a[1] - b[1]).abs() < 1e-9
    }

    /// Lucefin's card forges 100Cr6 from 1050 to 900 °C, Saarstahl's sheet C45 from 1100 to 850.
    #[test]
    fn the_range_is_what_all_bear() {
        let both = of(&["C45", "100Cr6"]);
        assert!(near(both.celsius, [900.0, 1050.0]) && !both.unsure);
        assert_eq!(both.limits, Some(["100Cr6", "100Cr6"].map(str::to_owned)));
        assert!(near(both.within([1100.0, 850.0]), [1050.0, 900.0]));
        let apart = of(&["L6", "W1"]);
        assert_eq!(apart.limits, Some(["L6", "W1"].map(str::to_owned)));
        assert!(apart.is_open() && apart.unsure);
    }

    #[test]
    fn what_is_not_known_binds_nothing() {
        assert!(near(of(&["102Cr6"]).celsius, USUAL));
        assert_eq!(of(&["102Cr6", "C45"]).limits.map(|l| l[0].clone()).as_deref(), Some("C45"));
        let shut = ForgingRange { celsius: [1000.0, 950.0], limits: None, unsure: false };
        assert!(!shut.is_open() && near(shut.within([1100.0, 850.0]), [1100.0, 850.0]));
    }
}
