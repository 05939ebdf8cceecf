//! What `check` tells of the steel of a blade without a billet.

use std::fmt::Write;

use serde::Serialize;

use crate::Design;
use crate::unit::figures::Figures;

/// What a file that tells no steel has to tell for a forging plan.
pub const NO_STEEL: &str = "put your steel under the name, such as steel = \"1084\", for a blade of one steel; or add [billet] with the width of the bars, and [[bar]] for each of them";

/// The one steel of a blade and the bar that it is forged from, mm.
#[derive(Clone, Debug, Serialize)]
pub struct ForgedFrom {
    /// The steel.
    pub steel: String,
    /// Its density, kg/m³.
    pub density_kg_m3: f64,
    /// Height and thickness of the smallest bar.
    pub bar_mm: [f64; 2],
}

impl ForgedFrom {
    /// Of a design of one steel; `None` with a billet, and where no steel is told.
    pub(crate) fn of(design: &Design) -> Option<ForgedFrom> {
        let (steel, bar) = (design.one_steel()?, design.forged_from()?);
        Some(ForgedFrom {
            steel: steel.name.clone(),
            density_kg_m3: (design.density() * 1e9).round() / 1e3,
            bar_mm: [bar.bars().iter().map(|b| b.height.at(0.0)).sum(), bar.width()],
        })
    }

    /// One line.
    pub(crate) fn write(&self, out: &mut String, figures: Figures) -> std::fmt::Result {
        let [high, thick] = self.bar_mm.map(|mm| figures.side(mm));
        let unit = figures.unit.name();
        writeln!(
            out,
            "\nforged from {}, {}: it takes a bar of at least {high} × {thick} {unit}; `plan` gives its length, heats and bath",
            self.steel,
            figures.density(self.density_kg_m3)
        )
    }
}
