//! Thickness along the blade as a run of colours.

use blade::Sections;

use crate::model::scale::Scale;

/// Stations at which the thickness is read; between them it is taken as straight, which over a two-hundredth of a blade
/// is finer than its colours tell.
const STATIONS: usize = 200;

/// The greatest thickness at every station of a stage, tang and blade.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Taper {
    from: f64,
    to: f64,
    thickness: Vec<f64>,
    /// From thin to thick.
    pub(crate) scale: Scale,
}

impl Taper {
    pub(crate) fn new(sections: &Sections) -> Taper {
        let (from, to) = sections.range();
        let at = |i: usize| from + (to - from) * i as f64 / (STATIONS - 1) as f64;
        let thick = |x: f64| sections.at(x).map_or(0.0, |s| s.extent().1 - s.extent().0);
        let thickness: Vec<f64> = (0..STATIONS).map(|i| thick(at(i))).collect();
        let range = thickness.iter().fold((f64::INFINITY, 0.0_f64), |r, &t| (r.0.min(t), r.1.max(t)));
        Taper { from, to, thickness, scale: Scale { low: range.0, high: range.1 } }
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
        self.scale.share(self.at(x))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn taper(low: f64, high: f64) -> Taper {
        let thickness =
            (0..STATIONS).map(|i| high + (low - high) * i as f64 / (STATIONS - 1) as f64).collect();
        Taper { from: -100.0, to: 300.0, thickness, scale: Scale { low, high } }
    }

    #[test]
    fn shares_run_from_thin_to_thick() {
        let t = taper(2.0, 6.0);
        for (x, share) in [(-200.0, 1.0), (-100.0, 1.0), (100.0, 0.5), (300.0, 0.0), (301.0, 0.0)] {
            assert!((t.share(x) - share).abs() < 1e-9, "{x}");
        }
        assert!((taper(3.0, 3.0).share(0.0) - 1.0).abs() < 1e-12);
    }
}
