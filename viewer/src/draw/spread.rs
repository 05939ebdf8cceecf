//! How the pieces of a blade are spread out to be looked at: thicker, and bars apart.

use glam::DVec3;

/// How far neighbouring bars are drawn apart at most, as a share of the blade's breadth: their faces come into sight.
const GAP: f64 = 0.6;

/// How pieces are spread out to be looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Spread {
    /// How many times thicker.
    pub(crate) thicker: f64,
    /// How far apart neighbouring bars stand, mm.
    pub(crate) gap: f64,
    /// How many bars there are.
    pub(crate) bars: usize,
}

impl Spread {
    /// Of a blade of this breadth, bars drawn apart by a share from 0 to 1.
    pub(crate) fn new(thicker: f64, apart: f64, breadth: f64, bars: usize) -> Spread {
        Spread { thicker, gap: apart * GAP * breadth, bars }
    }

    /// How far a bar stands above its place, mm: the first is at the back.
    pub(crate) fn lift(&self, bar: Option<usize>) -> f64 {
        bar.map_or(0.0, |bar| self.gap * (0.5 * (self.bars.saturating_sub(1)) as f64 - bar as f64))
    }

    /// Where a point of a bar is drawn.
    pub(crate) fn point(&self, bar: Option<usize>, p: DVec3) -> DVec3 {
        DVec3::new(p.x, p.y + self.lift(bar), p.z * self.thicker)
    }

    /// The box that holds all bars.
    pub(crate) fn bounds(&self, (low, high): (DVec3, DVec3)) -> (DVec3, DVec3) {
        let (first, last) = (Some(0), self.bars.checked_sub(1));
        (self.point(last, low), self.point(first.filter(|_| self.bars > 0), high))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_are_spread_evenly_around_the_blade() {
        let spread = Spread::new(2.0, 1.0, 40.0, 4);
        let lifts: Vec<f64> = (0..4).map(|i| spread.lift(Some(i))).collect();
        assert!((lifts.iter().sum::<f64>()).abs() < 1e-9 && (lifts[0] - lifts[1] - 24.0).abs() < 1e-9);
        let (low, high) = spread.bounds((DVec3::new(0.0, -20.0, -2.0), DVec3::new(300.0, 20.0, 2.0)));
        assert!((low - DVec3::new(0.0, -56.0, -4.0)).length() < 1e-9, "{low}");
        assert!((high - DVec3::new(300.0, 56.0, 4.0)).length() < 1e-9, "{high}");
        let whole = Spread::new(1.0, 0.0, 40.0, 0);
        assert_eq!(whole.bounds((DVec3::NEG_ONE, DVec3::ONE)), (DVec3::NEG_ONE, DVec3::ONE));
    }
}
