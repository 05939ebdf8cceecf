//! What a steel consists of.

/// Mass fractions of the alloying elements, percent.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Composition {
    /// Carbon.
    pub c: f64,
    /// Silicon.
    pub si: f64,
    /// Manganese.
    pub mn: f64,
    /// Chromium.
    pub cr: f64,
    /// Molybdenum.
    pub mo: f64,
    /// Nickel.
    pub ni: f64,
    /// Vanadium.
    pub v: f64,
    /// Tungsten.
    pub w: f64,
    /// Phosphorus.
    pub p: f64,
}

/// Most of alloys in all for a plain steel, mass percent: makers' limits for residuals.
const RESIDUALS: f64 = 0.3;
/// Most manganese of a plain steel, mass percent: a little over the 0.90 of SAE J403's blade steels (from memory).
const MANGANESE: f64 = 1.0;
/// Most silicon of a plain steel, mass percent: a little over the 0.40 of C45 (Saarstahl's sheet).
const SILICON: f64 = 0.5;

impl Composition {
    /// Whether it is plain carbon steel or iron: what is published of plain steels by their carbon speaks for it.
    pub fn is_plain(&self) -> bool {
        let alloys = self.cr + self.mo + self.ni + self.v + self.w;
        alloys <= RESIDUALS && self.mn <= MANGANESE && self.si <= SILICON
    }
}

/// A steel of the billet.
#[derive(Clone, Debug, PartialEq)]
pub struct Steel {
    /// What it is called.
    pub name: String,
    /// What it consists of.
    pub composition: Composition,
    /// What its maker's data sheet says; nothing for a steel known by its name or composition alone.
    pub sheet: DataSheet,
    /// How bright the smith has seen it come out of the etch, 0 dark to 1 bright; nothing where it goes by its composition.
    pub etched: Option<f64>,
}

impl Steel {
    /// A steel known by its composition alone.
    pub fn new(name: impl Into<String>, composition: Composition) -> Steel {
        Steel { name: name.into(), composition, sheet: DataSheet::default(), etched: None }
    }
}

/// What a maker's data sheet says of a steel's heats: it comes before everything published of its name.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct DataSheet {
    /// Forging, °C, the lower end first.
    pub forging: Option<[f64; 2]>,
    /// Normalising in still air, °C.
    pub normalising: Option<[f64; 2]>,
    /// Hardening, °C.
    pub hardening: Option<[f64; 2]>,
    /// What it is quenched in.
    pub medium: Option<String>,
    /// Tempering temperature (°C) and hardness after an hour (HRC), temperatures rising; two points or more, or none.
    pub tempering: Vec<(f64, f64)>,
}
