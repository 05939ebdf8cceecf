//! Lengths as figures in the design's unit, the same way on every drawing and plate.

use design::Unit;

/// Writes lengths given in mm in a design's unit, without its name.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Figures {
    pub(crate) unit: Unit,
}

impl Figures {
    /// A station: whole ones without decimals, others with one in mm and two in inches.
    pub(crate) fn station(self, mm: f64) -> String {
        let text = self.length(mm);
        match text.split_once('.') {
            Some((whole, rest)) if rest.bytes().all(|b| b == b'0') => whole.to_owned(),
            _ => text,
        }
    }

    /// A length or breadth: to 0.1 mm or 0.01 in, as a rule is read.
    pub(crate) fn length(self, mm: f64) -> String {
        self.with(mm, [1, 2])
    }

    /// A thickness: to 0.01 mm or 0.001 in, as a caliper is read.
    pub(crate) fn thickness(self, mm: f64) -> String {
        self.with(mm, [2, 3])
    }

    /// Distance between the stations with a tick on paper and plates, mm: 25 mm or an inch.
    pub(crate) fn pitch(self) -> f64 {
        match self.unit {
            Unit::Millimetre => 25.0,
            Unit::Inch => Unit::Inch.millimetres(),
        }
    }

    /// The unit's short name.
    pub(crate) fn unit_name(self) -> &'static str {
        match self.unit {
            Unit::Millimetre => "mm",
            Unit::Inch => "in",
        }
    }

    fn with(self, mm: f64, [metric, inch]: [usize; 2]) -> String {
        let places = match self.unit {
            Unit::Millimetre => metric,
            Unit::Inch => inch,
        };
        format!("{:.places$}", mm / self.unit.millimetres())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_as_fine_as_the_tool_that_reads_them() {
        let mm = Figures { unit: Unit::Millimetre };
        assert_eq!([mm.station(125.0), mm.station(12.5), mm.station(0.0)], ["125", "12.5", "0"]);
        assert_eq!([mm.length(38.24), mm.thickness(5.9), mm.unit_name().into()], ["38.2", "5.90", "mm"]);
        let inch = Figures { unit: Unit::Inch };
        assert_eq!([inch.station(127.0), inch.station(63.5), inch.station(254.0)], ["5", "2.50", "10"]);
        assert_eq!([inch.length(25.4), inch.thickness(25.4 / 8.0)], ["1.00", "0.125"]);
        assert_eq!(inch.unit_name(), "in");
    }
}
