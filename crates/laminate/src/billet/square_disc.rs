//! The concentric map between square and disc, which keeps areas: Shirley and Chiu, A low distortion map between disk
//! and square, Journal of Graphics Tools 2(3), 1997 (from memory).
//!
//! Both are kept in square measure: the square reaches from −1/2 to 1/2, and a point of the disc is told by the side
//! of the square ring it came from (`ring`, 0 to 1/2) and by its way around it, the angle in quarter turns times `ring`. So
//! nothing is divided, and turning the disc is adding to the way.

use std::f64::consts::FRAC_PI_2;

use glam::DVec2;

/// A point of the disc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Ringed {
    /// Half the side of the square ring that became this circle.
    ring: f64,
    /// Quarter turns from the first axis times `ring`: −6 to 6 times it.
    way: f64,
}

/// Quarter turns in `angle` (rad), whole turns left out: −2 to 2.
pub(crate) fn quarters(angle: f64) -> f64 {
    let turns = angle / (4.0 * FRAC_PI_2);
    4.0 * (turns - turns.round())
}

impl Ringed {
    /// Of a point of the square.
    #[inline]
    pub(crate) fn of(p: DVec2) -> Self {
        let (x, y) = (p.x, p.y.abs());
        // An eighth of a turn at the corner, in proportion to the way along the side: half of y up to the first corner, from
        // there on more, from the second on still more.
        let way = 0.5 * y + larger(larger(0.5 * (y - x), -2.0 * x - y), 0.0);
        Ringed { ring: larger(x.abs(), y), way: way.copysign(p.y) }
    }

    /// Turned by quarter turns: with those of the point and of other turns not more than six.
    #[inline]
    pub(crate) fn turned(self, quarters: f64) -> Self {
        Ringed { way: self.way + quarters * self.ring, ..self }
    }

    /// The first coordinate, back in the square: along the ring's four sides `ring`, falling, −`ring`, rising.
    #[inline]
    pub(crate) fn first(self) -> f64 {
        // It is the same both ways around, and the shorter one is at most two quarters long.
        let way = self.way.abs();
        let shorter = smaller(way, (way - 4.0 * self.ring).abs());
        larger(smaller(2.0 * self.ring - 2.0 * shorter, self.ring), -self.ring)
    }

    /// Back in the square.
    pub(crate) fn square(self) -> DVec2 {
        // The second coordinate is the first one of a quarter turn less.
        DVec2::new(self.first(), self.turned(-1.0).first())
    }
}

/// The larger of two numbers, neither of which is none: one step of the processor.
#[inline]
fn larger(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}

/// The smaller one.
#[inline]
fn smaller(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn there_and_back(x in -0.5..0.5, y in -0.5..0.5) {
            let p = DVec2::new(x, y);
            prop_assert!(Ringed::of(p).square().distance(p) < 1e-15);
        }

        #[test]
        fn a_full_turn_changes_nothing_and_quarters_turn_the_square(x in -0.5..0.5, y in -0.5..0.5) {
            let p = DVec2::new(x, y);
            prop_assert!(Ringed::of(p).turned(quarters(8.0 * FRAC_PI_2)).square().distance(p) < 1e-14);
            prop_assert!(Ringed::of(p).turned(quarters(FRAC_PI_2)).square().distance(p.perp()) < 1e-14);
        }

        #[test]
        fn turning_keeps_areas(x in -0.49..0.49, y in -0.49..0.49, angle in -20.0..20.0f64) {
            let turn = |p: DVec2| Ringed::of(p).turned(quarters(angle)).square();
            let (p, h) = (DVec2::new(x, y), 1e-6);
            let sectors = [DVec2::ZERO, DVec2::X * h, DVec2::Y * h].map(|d| (p + d, turn(p + d)));
            // Off the diagonals the map is smooth; there its slope jumps.
            let clear = |q: DVec2| (q.x.abs() - q.y.abs()).abs() > 1e-3 && q.length() > 0.05;
            prop_assume!(sectors.iter().all(|s| clear(s.0) && clear(s.1)));
            let (a, b) = (sectors[1].1 - sectors[0].1, sectors[2].1 - sectors[0].1);
            prop_assert!((a.perp_dot(b) / (h * h) - 1.0).abs() < 1e-4);
        }
    }

    #[test]
    fn rings_become_circles_of_like_area() {
        // The ring of half side 1/4 holds a quarter of the square, and its points keep their distance when turned.
        let edge = DVec2::new(0.25, 0.1);
        for k in 0..32 {
            let turned = Ringed::of(edge).turned(quarters(f64::from(k) * 0.2)).square();
            assert!((turned.x.abs().max(turned.y.abs()) - 0.25).abs() < 1e-15);
        }
    }
}
