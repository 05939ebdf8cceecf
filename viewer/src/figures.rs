//! Figures as the smith reads them, in the design file's unit.

use design::{Figures, Unit, trimmed};

/// A length or breadth with its unit: to 0.1 mm, as a rule is read, or to 0.001 in.
pub(crate) fn length(mm: f64, unit: Unit) -> String {
    format!("{} {}", Figures::of(unit).length(mm), unit.name())
}

/// A thickness with its unit: to 0.01 mm or 0.001 in, as a caliper is read.
pub(crate) fn thickness(mm: f64, unit: Unit) -> String {
    Figures::of(unit).gap(mm)
}

/// A figure of a scale, without zeros at its end.
pub(crate) fn tick(value: f64) -> String {
    trimmed(&format!("{value:.4}"))
}

/// A figure of a scale with its unit.
pub(crate) fn tick_with_unit(value: f64, unit: Unit) -> String {
    format!("{} {}", tick(value), unit.name())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_as_fine_as_they_are_read() {
        assert_eq!(length(254.04, Unit::Millimetre), "254.0 mm");
        assert_eq!(length(254.0, Unit::Inch), "10.000 in");
        assert_eq!(thickness(6.349, Unit::Millimetre), "6.35 mm");
        assert_eq!((tick(0.25), tick(3.0), tick(0.0)), ("0.25".into(), "3".into(), "0".into()));
    }
}
