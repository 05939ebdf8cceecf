//! Slips of the pen: which one would make a reading what it should be.

/// Nothing between a forged and a finished blade reads beyond these: three times the forged size and as much as a blade's
/// edge may be off, or a third of the finished one less the same, mm.
const TIMES: f64 = 3.0;
/// See [`TIMES`].
const OFF: f64 = 1.0;
/// How near a mended reading must come to what it should be, as a share of that: nearer than other slips are to each
/// other.
const NEAR: f64 = 0.25;

/// Whether a reading can be one of a blade planned to read from `least` (finished) to `most` (forged), all in mm.
pub(crate) fn plausible(value: f64, least: f64, most: f64) -> bool {
    value <= TIMES * most + OFF && value >= (least - OFF) / TIMES
}

/// The slip that would explain `value` where about `expected` (both positive, mm or g) should stand: a misplaced decimal
/// sign, or inches for millimetres. `tell` writes values. `None` where none does.
pub(crate) fn explain(value: f64, expected: f64, tell: impl Fn(f64) -> String) -> Option<String> {
    const INCH: f64 = 25.4;
    let slips = [
        (0.1, "is the decimal point out of place?"),
        (10.0, "is the decimal point out of place?"),
        (0.01, "is the decimal point out of place by two?"),
        (100.0, "is the decimal point out of place by two?"),
        (INCH, "are these inches?"),
        (1.0 / INCH, "are these millimetres?"),
    ];
    let off = |factor: f64| (value * factor / expected - 1.0).abs();
    let best = slips.into_iter().min_by(|a, b| off(a.0).total_cmp(&off(b.0)))?;
    (expected > 0.0 && off(best.0) < NEAR).then(|| match best.1 {
        decimal if decimal.starts_with("is") => format!("{decimal} {} would fit", tell(value * best.0)),
        other => other.to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_of_the_pen_are_named() {
        let of = |value, expected| explain(value, expected, |v| format!("{v:.1} mm"));
        assert_eq!(of(64.0, 6.3).as_deref(), Some("is the decimal point out of place? 6.4 mm would fit"));
        assert_eq!(of(0.61, 6.3).as_deref(), Some("is the decimal point out of place? 6.1 mm would fit"));
        assert_eq!(of(0.25, 6.3).as_deref(), Some("are these inches?"));
        assert_eq!((of(6.9, 6.3), of(6.4, 0.0)), (None, None));
    }

    #[test]
    fn what_no_blade_reads_is_not_plausible() {
        assert!(!plausible(64.0, 6.0, 8.0) && !plausible(0.64, 6.0, 8.0));
        assert!(plausible(12.0, 6.0, 8.0) && plausible(2.0, 6.0, 8.0) && plausible(0.05, 0.0, 2.5));
    }
}
