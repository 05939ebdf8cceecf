//! Thickness along the blade as a run of colours, and the ticks of its scale.

use blade::Sections;
use design::Unit;

/// Stations at which the thickness is read; between them it is taken as straight, which over a two-hundredth of a blade
/// is finer than its colours tell.
const STATIONS: usize = 200;
/// Ticks of a scale at most: what can be read beside each other.
const MOST_TICKS: f64 = 6.0;
/// From thin to thick, sRGB: brightness rises evenly all the way, so that it reads in grey and for every eye.
const RUN: [[u8; 3]; 5] =
    [[0x1d, 0x2c, 0x4f], [0x2a, 0x5f, 0x7d], [0x3f, 0x91, 0x7b], [0x9f, 0xbb, 0x5c], [0xf6, 0xdd, 0x8c]];

/// The greatest thickness at every station of a stage, tang and blade.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Taper {
    from: f64,
    to: f64,
    thickness: Vec<f64>,
    /// Least and greatest, mm.
    pub(crate) range: (f64, f64),
}

impl Taper {
    pub(crate) fn of(sections: &Sections) -> Taper {
        let (from, to) = sections.range();
        let at = |i: usize| from + (to - from) * i as f64 / (STATIONS - 1) as f64;
        let thick = |x: f64| sections.at(x).map_or(0.0, |s| s.extent().1 - s.extent().0);
        let thickness: Vec<f64> = (0..STATIONS).map(|i| thick(at(i))).collect();
        let range = thickness.iter().fold((f64::INFINITY, 0.0_f64), |r, &t| (r.0.min(t), r.1.max(t)));
        Taper { from, to, thickness, range }
    }

    /// Thickness at a station, mm.
    fn at(&self, x: f64) -> f64 {
        let place = ((x - self.from) / (self.to - self.from)).clamp(0.0, 1.0) * (STATIONS - 1) as f64;
        let i = (place as usize).min(STATIONS - 2);
        let share = place - i as f64;
        self.thickness[i] * (1.0 - share) + self.thickness[i + 1] * share
    }

    /// Where the thickness at a station lies between the least and the greatest, 0 to 1.
    pub(crate) fn share(&self, x: f64) -> f64 {
        self.share_of(self.at(x))
    }

    fn share_of(&self, thickness: f64) -> f64 {
        let (low, high) = self.range;
        // A blade without taper is all of one colour.
        if high - low > 0.0 { (thickness - low) / (high - low) } else { 1.0 }
    }

    /// Round figures on the scale: where each lies, 0 to 1, and the figure in the unit.
    pub(crate) fn ticks(&self, unit: Unit) -> Vec<(f64, f64)> {
        let mm = unit.millimetres();
        let (low, high) = (self.range.0 / mm, self.range.1 / mm);
        let step = round_step((high - low) / MOST_TICKS);
        let first = (low / step).ceil() as i64;
        let all = (first..).map(|k| k as f64 * step).take_while(|t| *t <= high * (1.0 + 1e-12));
        all.take(2 * MOST_TICKS as usize).map(|t| (self.share_of(t * mm), t)).collect()
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

/// The colour at a share of the run, sRGB.
pub(crate) fn colour(share: f64) -> [u8; 3] {
    let place = share.clamp(0.0, 1.0) * (RUN.len() - 1) as f64;
    let i = (place as usize).min(RUN.len() - 2);
    let t = place - i as f64;
    std::array::from_fn(|k| (f64::from(RUN[i][k]) * (1.0 - t) + f64::from(RUN[i + 1][k]) * t).round() as u8)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn taper(low: f64, high: f64) -> Taper {
        let thickness =
            (0..STATIONS).map(|i| high + (low - high) * i as f64 / (STATIONS - 1) as f64).collect();
        Taper { from: -100.0, to: 300.0, thickness, range: (low, high) }
    }

    #[test]
    fn shares_run_from_thin_to_thick() {
        let t = taper(2.0, 6.0);
        for (x, share) in [(-200.0, 1.0), (-100.0, 1.0), (100.0, 0.5), (300.0, 0.0), (301.0, 0.0)] {
            assert!((t.share(x) - share).abs() < 1e-9, "{x}");
        }
        assert!((taper(3.0, 3.0).share(0.0) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn ticks_are_round_and_on_the_scale() {
        for (low, high) in [(0.3, 6.4), (5.0, 5.1), (3.0, 3.0), (0.0, 90.0)] {
            for unit in [Unit::Millimetre, Unit::Inch] {
                let ticks = taper(low, high).ticks(unit);
                assert!(ticks.len() <= 7, "{low} {high}: {ticks:?}");
                assert!(ticks.iter().all(|(s, _)| (-1e-9..=1.0 + 1e-9).contains(s)), "{ticks:?}");
            }
        }
        let figures: Vec<f64> = taper(2.0, 6.0).ticks(Unit::Millimetre).iter().map(|t| t.1).collect();
        assert_eq!(figures, [2.0, 3.0, 4.0, 5.0, 6.0]);
    }

    #[test]
    fn the_run_gets_brighter_all_the_way() {
        // Relative luminance, ITU-R BT.709.
        let bright = |s: f64| {
            let linear = |c: u8| (f64::from(c) / 255.0).powf(2.2);
            let [r, g, b] = colour(s).map(linear);
            0.2126 * r + 0.7152 * g + 0.0722 * b
        };
        assert!((0..100).all(|i| bright(0.01 * f64::from(i)) < bright(0.01 * f64::from(i + 1))));
    }
}
