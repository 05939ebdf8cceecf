//! Lengths and bands as a terminal tells them.

use design::Unit;

/// Lengths in the design file's unit.
#[derive(Clone, Copy)]
pub(crate) struct Lengths {
    pub(crate) inch: bool,
}

impl Lengths {
    /// A section's side: to 0.1 mm or 0.01 in.
    pub(crate) fn fine(self, mm: f64) -> String {
        if self.inch { format!("{:.2}", mm / Unit::Inch.millimetres()) } else { format!("{mm:.1}") }
    }

    /// What is thin or little, with its unit: to 0.01 mm or 0.001 in.
    pub(crate) fn small(self, mm: f64) -> String {
        if self.inch { format!("{:.3} in", mm / Unit::Inch.millimetres()) } else { format!("{mm:.2} mm") }
    }

    /// A length: to a millimetre or 0.1 in, as hot steel is measured.
    pub(crate) fn long(self, mm: f64) -> String {
        if self.inch { format!("{:.1}", mm / Unit::Inch.millimetres()) } else { format!("{mm:.0}") }
    }
}

/// A band of whole numbers; one where its ends are alike.
pub(crate) fn span([low, high]: [f64; 2]) -> String {
    let [low, high] = [low, high].map(|x| format!("{x:.0}"));
    if low == high { low } else { format!("{low} to {high}") }
}

/// A band of hundredths; one where its ends are alike.
pub(crate) fn hundredths([low, high]: [f64; 2]) -> String {
    let [low, high] = [low, high].map(|x| format!("{x:.2}"));
    if low == high { low } else { format!("{low} to {high}") }
}

/// The breadth of a column that holds these words.
pub(crate) fn widest<'a>(words: impl Iterator<Item = &'a String>) -> usize {
    words.map(|w| w.chars().count()).max().unwrap_or(0).max("steel".len())
}
