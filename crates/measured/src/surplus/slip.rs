//! Slips of writing: which one would make a reading what it should be.

use design::{MassUnit, Unit};

use crate::file::reading::{Dimension, Reading};

/// Nothing between a forged and a finished blade reads beyond these: three times the forged size and as much as a
/// blade's edge may be off, or a third of the finished one less the same, mm.
const TIMES: f64 = 3.0;
/// See [`TIMES`].
const OFF: f64 = 1.0;
/// How near a mended weight must come to what it should be, as a share of that: nearer than other slips are to each
/// other.
const NEAR: f64 = 0.25;
/// Millimetres to the inch.
const INCH: f64 = 25.4;

/// What can go wrong between the caliper's scale and the paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// The decimal point.
    Decimal,
    /// Two neighbouring digits changed round.
    Digits,
    /// Inches written for millimetres, or the other way round.
    Unit,
    /// Written into the row of another line.
    Row(usize),
    /// The same as in another line, which was written once more.
    Again(usize),
}

/// A slip, and the value that was meant, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Slip {
    pub(crate) kind: Kind,
    pub(crate) meant: f64,
}

impl Slip {
    /// In words; `tell` writes values.
    pub(crate) fn words(self, tell: impl Fn(f64) -> String) -> String {
        let meant = tell(self.meant);
        match self.kind {
            Kind::Decimal => format!("is the decimal point out of place? {meant} would fit"),
            Kind::Digits => format!("are two digits the wrong way round? {meant} would fit"),
            Kind::Unit => format!("is it in the other unit? {meant} would fit"),
            Kind::Row(line) => {
                format!("did it get into the wrong row? {meant}, as written in line {line}, would fit")
            }
            Kind::Again(line) => format!("was line {line} written once more?"),
        }
    }
}

/// Whether a reading can be one of a blade planned to read from `least` (finished) to `most` (forged), all in mm.
pub(crate) fn plausible(value: f64, least: f64, most: f64) -> bool {
    value <= TIMES * most + OFF && value >= (least - OFF) / TIMES
}

/// Every slip within one cell that could have made a length what it is.
pub(crate) fn within(reading: &Reading, unit: Unit) -> Vec<Slip> {
    let times = |kind: Kind, factor: f64| Slip { kind, meant: reading.value * factor };
    let decimals = [0.1, 10.0, 0.01, 100.0].map(|f| times(Kind::Decimal, f));
    let units = [INCH, 1.0 / INCH].map(|f| times(Kind::Unit, f));
    decimals.into_iter().chain(units).chain(swapped(reading, unit)).collect()
}

/// The values with two neighbouring digits changed round, as the cell has them.
fn swapped(reading: &Reading, unit: Unit) -> Vec<Slip> {
    let bytes = reading.written.as_bytes();
    let digits: Vec<usize> = (0..bytes.len()).filter(|i| bytes[*i].is_ascii_digit()).collect();
    let mended = |pair: &[usize]| {
        let mut text = bytes.to_vec();
        text.swap(pair[0], pair[1]);
        let value = design::length(std::str::from_utf8(&text).ok()?, unit).ok()?;
        (bytes[pair[0]] != bytes[pair[1]]).then_some(Slip { kind: Kind::Digits, meant: value })
    };
    if reading.what.dimension() == Dimension::Length {
        digits.windows(2).filter_map(mended).collect()
    } else {
        Vec::new()
    }
}

/// The slip that would explain a weight (g), read in `unit`, where about `expected` should stand; `tell` writes values. `None`
/// where none does.
pub(crate) fn weight(
    value: f64,
    expected: f64,
    unit: MassUnit,
    tell: impl Fn(f64) -> String,
) -> Option<String> {
    let decimal = "is the decimal point out of place?";
    let points = [0.1, 10.0, 0.01, 100.0].map(|factor| (factor, decimal));
    let units = [
        (MassUnit::Gram.grams(), "are these grams?"),
        (1000.0, "are these kilograms?"),
        (MassUnit::Pound.grams(), "are these pounds?"),
        (MassUnit::Ounce.grams(), "are these ounces?"),
    ];
    let own = unit.grams();
    let others = units.into_iter().filter(|(grams, _)| (grams - own).abs() > f64::EPSILON);
    let slips = points.into_iter().chain(others.map(|(grams, asks)| (grams / own, asks)));
    let off = |factor: f64| (value * factor / expected - 1.0).abs();
    let best = slips.min_by(|a, b| off(a.0).total_cmp(&off(b.0)))?;
    (expected > 0.0 && off(best.0) < NEAR).then(|| format!("{} {} would fit", best.1, tell(value * best.0)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::file::reading::Quantity;

    fn reading(written: &str) -> Reading {
        let value = design::length(written, Unit::Millimetre).unwrap();
        let written = written.to_owned();
        Reading { written, value, ..Reading::at(Quantity::Back, 100.0, 0.0) }
    }

    #[test]
    fn every_slip_of_writing_is_thought_of() {
        let meant = |written: &str, kind: Kind| -> Vec<f64> {
            let all = within(&reading(written), Unit::Millimetre).into_iter();
            all.filter(|s| s.kind == kind).map(|s| (s.meant * 1e3).round() / 1e3).collect()
        };
        assert_eq!(meant("64", Kind::Decimal), [6.4, 640.0, 0.64, 6400.0]);
        assert_eq!(meant("6.25", Kind::Digits), [2.65, 6.52]);
        assert_eq!(meant("6.6 mm", Kind::Digits), [0.0; 0]);
        assert_eq!(meant("0.25", Kind::Unit), [6.35, 0.01]);
    }

    #[test]
    fn slips_of_a_weight_are_named() {
        let of = |value, expected| weight(value, expected, MassUnit::Gram, |v| format!("{v:.0} g"));
        assert_eq!(of(76.0, 750.0).as_deref(), Some("is the decimal point out of place? 760 g would fit"));
        assert_eq!(of(1.68, 750.0).as_deref(), Some("are these pounds? 762 g would fit"));
        assert_eq!((of(700.0, 750.0), of(700.0, 0.0)), (None, None));
    }

    #[test]
    fn what_no_blade_reads_is_not_plausible() {
        assert!(!plausible(64.0, 6.0, 8.0) && !plausible(0.64, 6.0, 8.0));
        assert!(plausible(12.0, 6.0, 8.0) && plausible(2.0, 6.0, 8.0) && plausible(0.05, 0.0, 2.5));
    }
}
