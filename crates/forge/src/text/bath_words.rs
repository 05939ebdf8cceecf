//! What is said of the quench bath, the same words in plan, bench sheet and bench page.

use design::Figures;

use crate::bath::QuenchBath;

/// g in a kg.
const GRAMS: f64 = 1000.0;

impl QuenchBath {
    /// What stands above it.
    pub fn heading(&self) -> &'static str {
        if self.is_for_trying { "Oil bath for a trial quench" } else { "Oil bath" }
    }

    /// The least bath for this blade, in sentences: volume, blades in a row, flash point.
    pub fn least(&self, l: Figures) -> [String; 3] {
        let in_a_row =
            if self.blades == 1 { "one blade".to_owned() } else { format!("{} blades", self.blades) };
        [
            format!(
                "For {} (as forged, to be safe; ground it is {}) from {}: at least {} of oil, which warms from {} to {}.",
                l.weight(GRAMS * self.mass_kg),
                l.weight(GRAMS * self.ground_kg),
                l.about(self.from_c),
                l.least_volume(self.least_litres),
                l.about(self.start_c),
                l.about(self.start_c + self.rise_k)
            ),
            format!(
                "With that least oil, quench {in_a_row}, then let the oil cool: never over {}.",
                l.temperature(self.most_c)
            ),
            format!(
                "Oil with a flash point of {} or more: keep an open bath at least {} below it (29 CFR 1910.126, a US rule).",
                l.temperature(self.least_flash_c),
                l.temperature_step(self.flash_margin_k)
            ),
        ]
    }

    /// The same in columns: what each is, and its figure.
    pub fn columns(&self, l: Figures) -> [[String; 2]; 5] {
        let in_a_row =
            if self.blades == 1 { "each blade".to_owned() } else { format!("{} blades", self.blades) };
        [
            ("Blade, forged", format!("{} from {}", l.weight(GRAMS * self.mass_kg), l.about(self.from_c))),
            ("Least oil", l.least_volume(self.least_litres)),
            (
                "Oil before and after",
                format!(
                    "{} before, {} after",
                    l.about_degrees(self.start_c),
                    l.about(self.start_c + self.rise_k)
                ),
            ),
            (
                "With the least oil",
                format!("let it cool after {in_a_row}; {} at most", l.temperature(self.most_c)),
            ),
            ("Flash point", format!("{} or more", l.temperature(self.least_flash_c))),
        ]
        .map(|(what, figure)| [what.to_owned(), figure])
    }

    /// What stands below the columns for the blade that goes in: its ground weight, and how far below its flash point the
    /// bath stays.
    pub fn under_columns(&self, l: Figures) -> String {
        format!(
            "Calculated for the blade as forged, to be safe; ground it is {}. Keep an open bath at least {} below the oil's flash \
             point (29 CFR 1910.126, a US rule).",
            l.weight(GRAMS * self.ground_kg),
            l.temperature_step(self.flash_margin_k)
        )
    }

    /// Tank and trough that hold this blade, the shop's own bath, and what comes before all of it, in sentences.
    pub fn tank_and_own(&self, l: Figures) -> Vec<String> {
        let own = self.own.iter().map(|own| format!("Your bath, {}.", own.told(l)));
        let first = "The oil's data sheet comes first.".to_owned();
        self.tank_told(l).into_iter().chain(own).chain([first]).collect()
    }

    /// Tank and trough, in the file's unit.
    fn tank_told(&self, l: Figures) -> [String; 2] {
        let [oil, tank] = self.upright_mm.map(|mm| l.tank(mm));
        let [long, deep] = self.trough_mm.map(|mm| l.tank(mm));
        let high = l.tank(self.trough_mm[1] + self.upright_mm[1] - self.upright_mm[0]);
        let unit = l.unit.name();
        [
            format!(
                "Point first: oil {oil} {unit} deep in a tank {tank} {unit} deep and {} {unit} or more across.",
                l.tank(self.diameter_mm)
            ),
            format!(
                "Edge first: oil {deep} {unit} deep in a trough {high} {unit} deep, {long} {unit} long and {} {unit} or more wide.",
                l.tank(self.trough_width_mm)
            ),
        ]
    }
}
