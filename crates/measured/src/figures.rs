//! Lengths, masses and angles as the smith reads them, in the design's unit.

use design::{Design, Unit};

use crate::reading::{Sort, What};

/// Writes lengths given in mm in a design's unit.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Figures {
    pub(crate) unit: Unit,
}

impl Figures {
    pub(crate) fn of(design: &Design) -> Figures {
        Figures { unit: design.unit() }
    }

    /// The unit in a sentence.
    pub(crate) fn spoken(self) -> &'static str {
        if self.unit == Unit::Millimetre { "mm" } else { "inches" }
    }

    /// A thickness or an allowance: to 0.01 mm or 0.001 in, as a caliper is read, without its unit.
    pub(crate) fn fine(self, mm: f64) -> String {
        unsigned(self.with(mm, [2, 3]))
    }

    /// A station, a breadth or a height: to 0.1 mm or 0.001 in, without its unit.
    pub(crate) fn long(self, mm: f64) -> String {
        unsigned(self.with(mm, [1, 3]))
    }

    /// A length as [`Figures::long`], without zeros at its end, with its unit.
    pub(crate) fn told(self, mm: f64) -> String {
        format!("{} {}", self.short(mm), self.unit.name())
    }

    /// The same without its unit.
    pub(crate) fn short(self, mm: f64) -> String {
        self.long(mm).trim_end_matches('0').trim_end_matches('.').to_owned()
    }

    /// A thickness with its unit.
    pub(crate) fn gap(self, mm: f64) -> String {
        format!("{} {}", self.fine(mm), self.unit.name())
    }

    /// A reading's value (mm, rad or g) with its unit.
    pub(crate) fn value(self, what: What, value: f64) -> String {
        match what.sort() {
            Sort::Length => self.gap(value),
            Sort::Mass => format!("{value:.1} g"),
            Sort::Angle => format!("{:.1}°", value.to_degrees()),
        }
    }

    fn with(self, mm: f64, [metric, inch]: [usize; 2]) -> String {
        let places = if self.unit == Unit::Millimetre { metric } else { inch };
        format!("{:.places$}", mm / self.unit.millimetres())
    }
}

/// A zero without a sign.
fn unsigned(number: String) -> String {
    let zero = number.bytes().all(|b| matches!(b, b'-' | b'0' | b'.'));
    if zero { number.trim_start_matches('-').to_owned() } else { number }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_as_fine_as_the_tool_that_reads_them() {
        let mm = Figures { unit: Unit::Millimetre };
        assert_eq!(
            [mm.fine(6.4), mm.long(38.24), mm.told(50.0), mm.gap(-0.001)],
            ["6.40", "38.2", "50 mm", "0.00 mm"]
        );
        let inch = Figures { unit: Unit::Inch };
        assert_eq!([inch.fine(6.35), inch.told(25.4), inch.short(12.7)], ["0.250", "1 in", "0.5"]);
        assert_eq!(mm.value(What::Twist, 0.1), "5.7°");
        assert_eq!([mm.short(0.0), mm.short(100.0)], ["0", "100"]);
    }
}
