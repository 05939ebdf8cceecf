//! A range of values on a run of colours, and the ticks beside it.

use design::Unit;

use crate::figures;

/// Ticks of a scale at most: what can be read beside each other.
const MOST_TICKS: f64 = 6.0;

/// A round figure on a scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Tick {
    /// Where it lies from the least to the greatest value, 0 to 1.
    pub(crate) share: f64,
    /// The figure, in the unit of the scale's side.
    pub(crate) figure: f64,
}

/// The ticks on both sides of a scale.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Ticks {
    pub(crate) millimetres: Vec<Tick>,
    pub(crate) inches: Vec<Tick>,
}

impl Ticks {
    /// In words, one tick a line, millimetres first.
    pub(crate) fn lines(&self) -> Vec<String> {
        let side = |all: &[Tick], unit: Unit| {
            all.iter().map(|t| figures::tick_with_unit(t.figure, unit)).collect::<Vec<_>>()
        };
        [side(&self.millimetres, Unit::Millimetre), side(&self.inches, Unit::Inch)].concat()
    }
}

/// From the least to the greatest value, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Scale {
    pub(crate) low: f64,
    pub(crate) high: f64,
}

impl Scale {
    /// Where a value lies between the least and the greatest, 0 to 1 for those.
    pub(crate) fn share(self, value: f64) -> f64 {
        // Where all values are alike there is one colour.
        if self.high - self.low > 0.0 { (value - self.low) / (self.high - self.low) } else { 1.0 }
    }

    /// Round figures in both units.
    pub(crate) fn ticks(self) -> Ticks {
        Ticks { millimetres: self.ticks_in(Unit::Millimetre), inches: self.ticks_in(Unit::Inch) }
    }

    /// Round figures on the scale in a unit.
    fn ticks_in(self, unit: Unit) -> Vec<Tick> {
        let mm = unit.millimetres();
        let (low, high) = (self.low / mm, self.high / mm);
        let step = round_step((high - low) / MOST_TICKS);
        let first = (low / step).ceil() as i64;
        let all = (first..).map(|k| k as f64 * step).take_while(|t| *t <= high * (1.0 + 1e-12));
        all.take(2 * MOST_TICKS as usize).map(|t| Tick { share: self.share(t * mm), figure: t }).collect()
    }
}

/// The least of 1, 2 and 5 times a power of ten that is no less than `least` (positive; else 1).
fn round_step(least: f64) -> f64 {
    if !(least > 0.0 && least.is_finite()) {
        return 1.0;
    }
    let power = 10_f64.powf(least.log10().floor());
    [1.0, 2.0, 5.0, 10.0].map(|m| m * power).into_iter().find(|s| *s >= least).unwrap_or(10.0 * power)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_on_the_scale() {
        for (low, high) in [(0.3, 6.4), (5.0, 5.1), (3.0, 3.0), (0.0, 90.0)] {
            for unit in [Unit::Millimetre, Unit::Inch] {
                let ticks = Scale { low, high }.ticks_in(unit);
                assert!(ticks.len() <= 7, "{low} {high}: {ticks:?}");
                assert!(ticks.iter().all(|t| (-1e-9..=1.0 + 1e-9).contains(&t.share)), "{ticks:?}");
            }
        }
        let figures: Vec<f64> =
            Scale { low: 2.0, high: 6.0 }.ticks_in(Unit::Millimetre).iter().map(|t| t.figure).collect();
        assert_eq!(figures, [2.0, 3.0, 4.0, 5.0, 6.0]);
        assert!((Scale { low: 3.0, high: 3.0 }.share(3.0) - 1.0).abs() < 1e-12);
    }
}
