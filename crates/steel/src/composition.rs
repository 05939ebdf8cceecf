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
}

/// A steel of the billet.
#[derive(Clone, Debug, PartialEq)]
pub struct Steel {
    /// What it is called.
    pub name: String,
    /// What it consists of.
    pub composition: Composition,
}
