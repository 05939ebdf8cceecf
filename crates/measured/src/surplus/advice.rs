//! What a smith is told of one side at one place: by the band's edge, never by its middle.

use serde::Serialize;

/// Steel gone by less than this is not told, mm: two or three times what a caliper wavers.
pub(crate) const NOTICEABLE: f64 = 0.05;

/// How far a side stands over the plan, and how far that may be off, at 95 %, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Sure {
    pub(crate) over: f64,
    pub(crate) band: f64,
}

/// What to do.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Advice {
    /// Take off so much, mm: that much at least stands over.
    Off(f64),
    /// Nothing: it is where it shall be.
    Leave,
    /// Nothing before it was read: it is known less well than there may be to take off.
    Read,
    /// So much is gone, mm, whatever the band.
    Gone(f64),
}

/// What rounding leaves of a whole number of steps, in steps.
const ROUNDING: f64 = 1e-9;

impl Advice {
    /// Of a side. Nothing is taken off where the band is wider than what would be.
    pub(crate) fn of(Sure { over, band }: Sure) -> Advice {
        let least = over - band;
        if least > 0.0 && least >= band {
            Advice::Off(least)
        } else if over + band < -NOTICEABLE {
            Advice::Gone(-over)
        } else if band > NOTICEABLE {
            Advice::Read
        } else {
            Advice::Leave
        }
    }

    /// As it is told to a last place of `step` (mm): what to take off is cut off after it, never rounded up, and less than that
    /// is nothing to do.
    pub fn cut(self, step: f64) -> Advice {
        match self {
            Advice::Off(mm) if mm < step => Advice::Leave,
            Advice::Off(mm) => Advice::Off((mm / step + ROUNDING).floor() * step),
            other => other,
        }
    }

    /// To take off, mm; below 0 what is gone, and 0 where nothing is to be done.
    pub fn millimetres(self) -> f64 {
        match self {
            Advice::Off(mm) => mm,
            Advice::Gone(mm) => -mm,
            Advice::Leave | Advice::Read => 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Told to hundredths, 0.058 mm is 0.05: told as 0.06, a smith would take more than is known to be there.
    #[test]
    fn what_is_told_is_never_more_than_the_least() {
        for (mm, told) in [(0.058, 0.05), (0.05, 0.05), (0.0599, 0.05), (0.3, 0.3)] {
            assert!((Advice::Off(mm).cut(0.01).millimetres() - told).abs() < 1e-9, "{mm}");
        }
        assert_eq!(
            [Advice::Off(0.009).cut(0.01), Advice::Gone(0.0099).cut(0.01)],
            [Advice::Leave, Advice::Gone(0.0099)]
        );
        for mm in (1..4000).map(|i| 0.000_37 * f64::from(i)) {
            for step in [0.01, 0.1, 0.0254] {
                assert!(Advice::Off(mm).cut(step).millimetres() <= mm + 1e-9 * step, "{mm} {step}");
            }
        }
    }

    #[test]
    fn nothing_is_taken_off_within_a_band_of_gone() {
        let of = |over, band| Advice::of(Sure { over, band });
        assert!(matches!(of(0.5, 0.1), Advice::Off(mm) if (mm - 0.4).abs() < 1e-12));
        assert_eq!(
            [of(0.15, 0.1), of(0.02, 0.03), of(-0.1, 0.1)],
            [Advice::Read, Advice::Leave, Advice::Read]
        );
        assert_eq!([of(-0.3, 0.1), of(-0.06, 0.03)], [Advice::Gone(0.3), Advice::Leave]);
        assert!((of(-0.3, 0.1).millimetres() + 0.3).abs() < 1e-12);
        for (over, band) in [(0.1, 0.2), (0.0, 0.0), (-0.5, 2.0), (0.3, 0.29)] {
            assert!(of(over, band).millimetres() <= (over - band).max(0.0), "{over} {band}");
        }
    }
}
