//! Lengths as figures in the design's unit, the same way in every output.

use crate::unit::quantity::Unit;

/// Writes lengths given in mm in a design's unit, without its name.
#[derive(Clone, Copy, Debug)]
pub struct Figures {
    /// The unit in which they are written.
    pub unit: Unit,
}

impl Figures {
    /// The unit in a sentence.
    pub fn spoken(self) -> &'static str {
        match self.unit {
            Unit::Millimetre => "mm",
            Unit::Inch => "inches",
        }
    }

    /// A station: to 0.1 mm or 0.001 in, without zeros at its end.
    pub fn station(self, mm: f64) -> String {
        trimmed(&self.length(mm))
    }

    /// A length or breadth: to 0.1 mm, as a rule is read, or 0.001 in, which eighths need.
    pub fn length(self, mm: f64) -> String {
        self.with(mm, [1, 3])
    }

    /// A thickness: to 0.01 mm or 0.001 in, as a caliper is read.
    pub fn thickness(self, mm: f64) -> String {
        self.with(mm, [2, 3])
    }

    /// A side of a bar under the hammer: to 0.1 mm or 0.01 in.
    pub fn side(self, mm: f64) -> String {
        self.with(mm, [1, 2])
    }

    /// A length of hot steel, as a rule beside the anvil is read: to 1 mm or 0.1 in.
    pub fn hot(self, mm: f64) -> String {
        self.with(mm, [0, 1])
    }

    /// A size that must be told whole: to 0.001 mm or 0.0001 in, which sixteenths need, with its unit.
    pub fn size(self, mm: f64) -> String {
        format!("{} {}", trimmed(&self.with(mm, [3, 4])), self.unit.name())
    }

    /// A station with its unit.
    pub fn told(self, mm: f64) -> String {
        format!("{} {}", self.station(mm), self.unit.name())
    }

    /// A gap between parts, with its unit.
    pub fn gap(self, mm: f64) -> String {
        format!("{} {}", self.thickness(mm), self.unit.name())
    }

    /// A mass with its unit: to 0.1 g, as a kitchen scale is read.
    pub fn mass(self, grams: f64) -> String {
        format!("{} g", unsigned_zero(format!("{grams:.1}")))
    }

    /// Distance between the stations with a tick on paper and plates, mm: 25 mm or an inch.
    pub fn pitch(self) -> f64 {
        match self.unit {
            Unit::Millimetre => 25.0,
            Unit::Inch => Unit::Inch.millimetres(),
        }
    }

    /// A length with so many decimals in each unit; a zero has no sign.
    fn with(self, mm: f64, [metric, inch]: [usize; 2]) -> String {
        let places = match self.unit {
            Unit::Millimetre => metric,
            Unit::Inch => inch,
        };
        unsigned_zero(format!("{:.places$}", mm / self.unit.millimetres()))
    }
}

/// A number as it is; a zero has no sign.
fn unsigned_zero(number: String) -> String {
    match number.strip_prefix('-') {
        Some(zero) if zero.bytes().all(|b| matches!(b, b'0' | b'.')) => zero.to_owned(),
        _ => number,
    }
}

/// A number without zeros at its end.
pub fn trimmed(number: &str) -> String {
    let whole =
        if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.') } else { number };
    whole.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_as_fine_as_the_tool_that_reads_them() {
        let mm = Figures { unit: Unit::Millimetre };
        assert_eq!([mm.station(125.0), mm.station(12.5), mm.station(0.0)], ["125", "12.5", "0"]);
        assert_eq!([mm.length(38.24), mm.thickness(5.9), mm.unit.name().into()], ["38.2", "5.90", "mm"]);
        let inch = Figures { unit: Unit::Inch };
        assert_eq!([inch.station(127.0), inch.station(63.5), inch.station(254.0)], ["5", "2.5", "10"]);
        assert_eq!([inch.length(25.4), inch.thickness(25.4 / 8.0)], ["1.000", "0.125"]);
        assert_eq!([inch.size(7.9375), mm.size(25.0), mm.gap(0.1)], ["0.3125 in", "25 mm", "0.10 mm"]);
        assert_eq!([inch.unit.name(), inch.spoken(), mm.spoken()], ["in", "inches", "mm"]);
        assert_eq!([mm.thickness(-0.001), mm.length(-0.06), mm.told(-0.01)], ["0.00", "-0.1", "0 mm"]);
        assert_eq!(
            [mm.side(9.36), mm.hot(224.4), inch.side(9.36), inch.hot(224.4)],
            ["9.4", "224", "0.37", "8.8"]
        );
    }
}
