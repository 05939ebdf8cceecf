//! Lengths in the words of broken rules.

/// A unit in which rules tell lengths, and how finely.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LengthUnit {
    name: &'static str,
    millimetres: f64,
    /// Decimals that are told.
    places: usize,
}

impl LengthUnit {
    /// Hundredths of a millimetre, as a caliper is read.
    pub const MILLIMETRES: LengthUnit = LengthUnit { name: "mm", millimetres: 1.0, places: 2 };
    /// Thousandths of an inch, as a caliper is read; 25.4 mm to the inch by the agreement of 1959.
    pub const INCHES: LengthUnit = LengthUnit { name: "in", millimetres: 25.4, places: 3 };

    /// A size (mm), rounded to the nearest.
    pub(crate) fn size(&self, mm: f64) -> String {
        self.told(mm, f64::round)
    }

    /// A least size (mm), rounded up: given as told it is not too small.
    pub(crate) fn least(&self, mm: f64) -> String {
        // What rounding of a whole figure leaves is not a step.
        self.told(mm, |steps| (steps - SLACK).ceil())
    }

    /// A greatest size (mm), rounded down.
    pub(crate) fn most(&self, mm: f64) -> String {
        self.told(mm, |steps| (steps + SLACK).floor())
    }

    fn told(&self, mm: f64, round: impl Fn(f64) -> f64) -> String {
        let steps = 10_f64.powi(self.places as i32);
        // A zero has no sign.
        let value = round(mm / self.millimetres * steps) / steps + 0.0;
        let figure = format!("{value:.*}", self.places);
        let short =
            if figure.contains('.') { figure.trim_end_matches('0').trim_end_matches('.') } else { &figure };
        format!("{short} {}", self.name)
    }
}

/// A share of a step within which a figure counts as whole.
const SLACK: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_are_rounded_to_the_safe_side() {
        let mm = LengthUnit::MILLIMETRES;
        assert_eq!([mm.size(370.0), mm.size(9.104), mm.size(-0.001)], ["370 mm", "9.1 mm", "0 mm"]);
        assert_eq!(
            [mm.least(12.861), mm.least(9.1), mm.most(12.869), mm.most(9.1)],
            ["12.87 mm", "9.1 mm", "12.86 mm", "9.1 mm"]
        );
        let inch = LengthUnit::INCHES;
        assert_eq!(
            [inch.size(228.6), inch.least(4.699), inch.most(223.202)],
            ["9 in", "0.185 in", "8.787 in"]
        );
    }
}
