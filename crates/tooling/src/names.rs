//! Lengths in the names of files, of letters, digits and dashes only.

use design::{Figures, Unit, trimmed};

/// A length for a file name: mm to so many decimals, with a dash for the point (`9-525`); inches as a fraction where
/// `figures` have one (`1-5-8in`), else with a p for the point (`0p58in`), for a dash would be read as a fraction.
pub(crate) fn in_name(mm: f64, figures: Figures, places: usize) -> String {
    match figures.unit {
        Unit::Millimetre => trimmed(&format!("{mm:.places$}")).replace('.', "-"),
        Unit::Inch => {
            let decimals =
                || trimmed(&format!("{:.places$}", mm / Unit::Inch.millimetres())).replace('.', "p");
            let number = figures.fraction(mm).map(|told| told.replace([' ', '/'], "-"));
            format!("{}in", number.unwrap_or_else(decimals))
        }
    }
}
