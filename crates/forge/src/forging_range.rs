//! Where steels can be forged together: above the coldest that one of them bears, below the hottest of another.

use design::Figures;
use serde::Serialize;

use crate::heat::{SteelHeat, mark};

/// From where to where steel is forged where nothing is known of it, °C: 100Cr6 by Lucefin's card, the narrowest range of
/// a steel that was seen.
const NARROWEST: [f64; 2] = [900.0, 1050.0];

/// The heats at which several steels can be forged as one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ForgingRange {
    /// Where it goes back into the fire and the hottest start, °C; the first above the second where there is none for
    /// all.
    pub celsius: [f64; 2],
    /// The steels that set the two ends; none where there is no steel.
    pub limits: Option<[String; 2]>,
    /// Whether an end is quoted from memory.
    pub unsure: bool,
    /// The steels of which nothing is known: they are held to the narrowest range seen.
    pub unknown: Vec<String>,
}

impl ForgingRange {
    /// Of steels forged together; one of which nothing is known is held to the narrowest range seen.
    pub(crate) fn of<'a>(heat: impl IntoIterator<Item = &'a SteelHeat>) -> ForgingRange {
        let all: Vec<&SteelHeat> = heat.into_iter().collect();
        let range = |h: &SteelHeat| h.forging.celsius.unwrap_or(NARROWEST);
        let unsure = |h: &SteelHeat| h.forging.unsure || h.forging.celsius.is_none();
        // The first of like ones, so that the same file tells the same steel.
        let cold = all.iter().rev().max_by(|a, b| range(a)[0].total_cmp(&range(b)[0]));
        let hot = all.iter().min_by(|a, b| range(a)[1].total_cmp(&range(b)[1]));
        let ends = cold.zip(hot);
        let unknown = all.iter().filter(|h| h.forging.celsius.is_none()).map(|h| h.steel.clone());
        ForgingRange {
            celsius: ends.map_or(NARROWEST, |(cold, hot)| [range(cold)[0], range(hot)[1]]),
            limits: ends.map(|(cold, hot)| [cold, hot].map(|end| end.steel.clone())),
            unsure: ends.is_none_or(|(cold, hot)| unsure(cold) || unsure(hot)),
            unknown: unknown.collect(),
        }
    }

    /// Whether there is any heat for all of them.
    pub fn is_open(&self) -> bool {
        self.celsius[0] < self.celsius[1]
    }

    /// The band on the file's scale, marked where it is to be tried first, and the steels that set it.
    pub fn told(&self, figures: Figures) -> String {
        let mark = mark(self.unsure);
        let (band, sign) = (figures.degree_band(self.celsius), figures.temperature.name());
        let told = match &self.limits {
            Some([cold, hot]) if !self.is_open() => {
                let [low, high] = self.celsius.map(|t| figures.degrees(t));
                format!(
                    "no heat suits all: {cold} not below {low}{mark}, {hot} not above {high}{mark} {sign}"
                )
            }
            Some([cold, hot]) if cold == hot && self.unknown.contains(cold) => format!("{band}{mark} {sign}"),
            Some([cold, hot]) if cold == hot => format!("{band}{mark} {sign}: {cold} sets both limits"),
            Some([cold, hot]) => format!("{band}{mark} {sign}: {cold} sets the lower end, {hot} the upper"),
            None => format!("{band}{mark} {sign} unless the data sheet says otherwise"),
        };
        match &self.unknown[..] {
            [] => told,
            unknown => {
                format!("{told}; no range is known of {}, so the narrowest seen holds", listed(unknown))
            }
        }
    }

    /// From the hottest start to the lower end, °C, held to what the work itself asks for (the hotter end first): the
    /// clock's way round. What the work asks for where nothing is left between.
    pub(crate) fn within(&self, [hot, cold]: [f64; 2]) -> [f64; 2] {
        let (from, to) = (self.celsius[1].min(hot), self.celsius[0].max(cold));
        if from > to { [from, to] } else { [hot, cold] }
    }
}

/// Names in a row: `A, B and C`.
pub(crate) fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
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

    /// 102Cr6, of which nothing is known, is held to 100Cr6's 900 to 1050 °C (Lucefin's card), also over soft iron.
    #[test]
    fn what_is_not_known_is_held_to_the_narrowest() {
        assert!(near(of(&["102Cr6"]).celsius, [900.0, 1050.0]));
        let laid = of(&["mild steel", "102Cr6"]);
        assert!(near(laid.celsius, [900.0, 1050.0]) && laid.unsure && laid.unknown == ["102Cr6"]);
        assert!(of(&["C45"]).unknown.is_empty());
        let shut = ForgingRange { celsius: [1000.0, 950.0], ..laid };
        assert!(!shut.is_open() && near(shut.within([1100.0, 850.0]), [1100.0, 850.0]));
        assert_eq!(listed(&["A", "B", "C"].map(str::to_owned)), "A, B and C");
    }
}
