//! How a bar's layers stand in it: parallel to a face, at an angle across its section, or on a slope along it.

use std::f64::consts::FRAC_PI_2;

use crate::billet::bar::{Bar, Direction, SquarePoint};

/// A direction nearer than this (rad) to a face counts as parallel to it: far under what a saw keeps.
const SQUARE: f64 = 1e-6;

/// Where the layers of a bar lie before it is twisted. The share of their thickness at a point of the bar runs evenly
/// over it: 0 at the face that layers are counted from, 1 at the other one; where the bar is welded of slices on a
/// slope, whole numbers are the welds between these, and every slice begins anew.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// What the share grows by over the whole height, towards the back, and over the whole width, to the right.
    up: f64,
    through: f64,
    /// What it grows by along the bar, 1/mm.
    along: f64,
    /// The bar's height and width, mm.
    size: [f64; 2],
}

impl Standing {
    /// Of a bar `high` and `wide` (mm) as it lies in the stack.
    pub(crate) fn of(bar: &Bar, [high, wide]: [f64; 2]) -> Standing {
        let (up, through, across) = match bar.direction {
            Direction::Flat => (0.0, 1.0, wide),
            Direction::Upright => (1.0, 0.0, high),
            Direction::Leaning(angle) => {
                // The block that the bar is sawn from is as thick as the bar reaches square to its layers.
                let (sin, cos) = angle.sin_cos();
                let thick = high * sin.abs() + wide * cos;
                (-high * sin / thick, wide * cos / thick, thick)
            }
        };
        let along = bar.slope.map_or(0.0, |slope| -slope.tan() / across);
        Standing { up, through, along, size: [high, wide] }
    }

    /// Share of the layers' thickness at a point of the section before the twist, and a place along the bar, mm from
    /// the shoulder.
    #[inline]
    pub(crate) fn share(&self, p: SquarePoint, along: f64) -> f64 {
        self.up * p.up + self.through * p.through + self.offset(along)
    }

    /// The share in the middle of the section.
    #[inline]
    pub(crate) fn offset(&self, along: f64) -> f64 {
        0.5 + if self.is_sloped() { self.along * along } else { 0.0 }
    }

    /// The factors of height and width in the share.
    pub(crate) fn factors(&self) -> [f64; 2] {
        [self.up, self.through]
    }

    /// Whether the bar is welded of slices, so that its layers begin anew with each.
    pub(crate) fn is_sloped(&self) -> bool {
        self.along.abs() > 0.0
    }

    /// Thickness of all layers (mm) where the bar has become so high and wide (mm) and `stretch` times as long, square to
    /// them: one over the slope of their share.
    pub fn thickness(&self, [high, wide]: [f64; 2], stretch: f64) -> f64 {
        // Parallel to a face they are exactly as thick as the bar.
        match [self.up, self.through].map(f64::abs) {
            [up, through] if up <= 0.0 && !self.is_sloped() => return wide / through,
            [up, through] if through <= 0.0 && !self.is_sloped() => return high / up,
            _ => {}
        }
        let steep = [self.up / high, self.through / wide, self.along / stretch];
        1.0 / steep.iter().map(|s| s * s).sum::<f64>().sqrt()
    }

    /// The same in the bar as it lies in the stack, mm.
    pub fn stacked_thickness(&self) -> f64 {
        self.thickness(self.size, 1.0)
    }

    /// Length of bar over which the layers of one slice run out, mm of the stack; none without a slope.
    pub fn slice(&self) -> Option<f64> {
        self.is_sloped().then(|| 1.0 / self.along.abs())
    }

    /// Share of the bar's steel that lies under a share of the layers' thickness, both 0 to 1. The bar's section cuts
    /// layers at an angle to it to different lengths: across them, its breadth rises and falls as a trapezium, which
    /// is what two even breadths add up to (geometry).
    pub fn held(&self, share: f64) -> f64 {
        let (a, b) = (self.up.abs(), self.through.abs());
        let (less, more) = (a.min(b), a.max(b));
        if less <= 0.0 {
            return share;
        }
        let low = |t: f64| if t < less { 0.5 * t * t / (less * more) } else { (t - 0.5 * less) / more };
        if share <= 0.5 { low(share) } else { 1.0 - low(1.0 - share) }
    }
}

impl Direction {
    /// Of layers that lean from the blade's sides by an angle (rad, −π/2 to π/2), to the right as they go up: flat and
    /// upright ones as such.
    pub fn leaning(angle: f64) -> Direction {
        if angle.abs() < SQUARE {
            Direction::Flat
        } else if angle.abs() > FRAC_PI_2 - SQUARE {
            Direction::Upright
        } else {
            Direction::Leaning(angle)
        }
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{FRAC_PI_4, SQRT_2};

    use super::*;
    use crate::billet::bar::Squaring;
    use crate::billet::twist::Program;
    use crate::fixtures::bar;

    const SIZE: [f64; 2] = [16.0, 10.0];

    fn standing(direction: Direction, slope: Option<f64>) -> Standing {
        Standing::of(&Bar { direction, slope, ..bar(16.0, Program::default(), Squaring::Forged) }, SIZE)
    }

    fn at(up: f64, through: f64) -> SquarePoint {
        SquarePoint { up, through }
    }

    /// A square at 45°: its diagonal is as thick as all layers, and they begin in one corner and end in the other.
    #[test]
    fn layers_corner_to_corner_fill_the_diagonal() {
        let bar = Bar {
            direction: Direction::Leaning(FRAC_PI_4),
            ..bar(9.0, Program::default(), Squaring::Forged)
        };
        let square = Standing::of(&bar, [9.0, 9.0]);
        assert!((square.stacked_thickness() - 9.0 * SQRT_2).abs() < 1e-12);
        assert!(square.share(at(0.5, -0.5), 70.0).abs() < 1e-12);
        assert!((square.share(at(-0.5, 0.5), 7.0) - 1.0).abs() < 1e-12);
        // Along a layer, up to the right, nothing changes.
        assert!((square.share(at(0.3, 0.1), 0.0) - square.share(at(0.4, 0.2), 0.0)).abs() < 1e-12);
        // A quarter of the thickness at a corner is an eighth of the square.
        assert!((square.held(0.25) - 0.125).abs() < 1e-12);
    }

    /// Square to its layers a rectangle reaches h·sin + w·cos; in mm the share rises by one over that thickness.
    #[test]
    fn an_angle_is_true_in_the_stack() {
        for degrees in [-89.0, -60.0, -31.0, 1.0, 20.0, 45.0, 77.0_f64] {
            let angle = degrees.to_radians();
            let s = standing(Direction::leaning(angle), None);
            let thick = 16.0 * angle.sin().abs() + 10.0 * angle.cos();
            assert!((s.stacked_thickness() - thick).abs() < 1e-9, "{degrees}");
            // A step up along the layer leans to the right by its tangent.
            let step = at(1.0 / 16.0, angle.tan() / 10.0);
            assert!((s.share(step, 0.0) - 0.5).abs() < 1e-12, "{degrees}");
            let corners =
                [at(0.5, 0.5), at(0.5, -0.5), at(-0.5, 0.5), at(-0.5, -0.5)].map(|p| s.share(p, 0.0));
            let (low, high) = corners.iter().fold((1.0_f64, 0.0_f64), |(l, h), c| (l.min(*c), h.max(*c)));
            assert!(low.abs() < 1e-12 && (high - 1.0).abs() < 1e-12, "{degrees} {corners:?}");
        }
        assert_eq!(Direction::leaning(0.0), Direction::Flat);
        assert_eq!([90.0_f64, -90.0].map(|d| Direction::leaning(d.to_radians())), [Direction::Upright; 2]);
    }

    /// What lies under a share, counted over a fine grid of the section.
    #[test]
    fn steel_of_the_section_is_counted_by_its_area() {
        const N: usize = 400;
        for degrees in [-70.0, -12.0, 3.0, 32.0, 58.0, 85.0_f64] {
            let s = standing(Direction::leaning(degrees.to_radians()), None);
            let middle = |i: usize| (i as f64 + 0.5) / N as f64 - 0.5;
            let all = (0..N * N).map(|k| s.share(at(middle(k % N), middle(k / N)), 0.0));
            let all: Vec<f64> = all.collect();
            for t in [0.0, 0.04, 0.2, 0.5, 0.71, 0.97, 1.0] {
                let counted = all.iter().filter(|share| **share < t).count() as f64 / (N * N) as f64;
                assert!((s.held(t) - counted).abs() < 2e-3, "{degrees} {t}: {} {counted}", s.held(t));
            }
        }
        let flat = standing(Direction::Flat, None);
        assert!((flat.held(0.3) - 0.3).abs() < 1e-15);
    }

    /// On a slope a layer rises by the tangent of it along the bar, and every section holds each steel by its share.
    #[test]
    fn a_slope_runs_along_the_bar() {
        for (direction, across, p) in
            [(Direction::Upright, 16.0, at(1.0, 0.0)), (Direction::Flat, 10.0, at(0.0, 1.0))]
        {
            for degrees in [-50.0, -3.0, 8.0, 45.0_f64] {
                let slope = degrees.to_radians();
                let s = standing(direction, Some(slope));
                let run = 12.0;
                let rise = run * slope.tan() / across;
                let there = at(p.up * rise, p.through * rise);
                assert!((s.share(there, run) - s.share(at(0.0, 0.0), 0.0)).abs() < 1e-12, "{degrees}");
                assert!((s.stacked_thickness() - across * slope.cos()).abs() < 1e-9, "{degrees}");
                assert!((s.slice().unwrap() - across / slope.tan().abs()).abs() < 1e-9, "{degrees}");
                assert!((s.held(0.37) - 0.37).abs() < 1e-15);
            }
        }
        assert!(standing(Direction::Flat, None).slice().is_none());
    }
}
