//! The concentric map between square and disc, which keeps areas: Shirley and Chiu, A low distortion map between disk
//! and square, Journal of Graphics Tools 2(3), 1997 (from memory).
//!
//! Both are kept in square measure: the square reaches from −1/2 to 1/2, and a point of the disc is told by the side
//! of the square ring it came from (`ring`, 0 to 1/2) and by its angle in quarter turns. Turning the disc is adding to
//! the angle.

use std::f64::consts::FRAC_PI_2;

use glam::DVec2;

/// A point of the disc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Ringed {
    /// Half the side of the square ring that became this circle.
    ring: f64,
    /// Quarter turns from the first axis, −2 to 2.
    quarters: f64,
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
        let (x, y) = (p.x.abs(), p.y.abs());
        // An eighth of a turn at the corner, in proportion to the way along the side.
        let quarters = if x >= y {
            let off = if x > 0.0 { 0.5 * p.y / x } else { 0.0 };
            if p.x < 0.0 { 2.0_f64.copysign(p.y) - off } else { off }
        } else {
            (1.0 - 0.5 * p.x / y).copysign(p.y)
        };
        Ringed { ring: x.max(y), quarters }
    }

    /// Turned by quarter turns between −2 and 2.
    #[inline]
    pub(crate) fn turned(self, quarters: f64) -> Self {
        Ringed { quarters: wrapped(self.quarters + quarters), ..self }
    }

    /// The first coordinate, back in the square.
    #[inline]
    pub(crate) fn first(self) -> f64 {
        self.ring * side(self.quarters)
    }

    /// Back in the square.
    pub(crate) fn square(self) -> DVec2 {
        let second = self.ring * side(wrapped(self.quarters - 1.0));
        DVec2::new(self.first(), second)
    }
}

/// Of −6 … 6 quarter turns the ones between −2 and 2.
#[inline]
pub(crate) fn wrapped(quarters: f64) -> f64 {
    if quarters > 2.0 {
        quarters - 4.0
    } else if quarters < -2.0 {
        quarters + 4.0
    } else {
        quarters
    }
}

/// First coordinate on the ring of half side 1: along its four sides 1, falling, −1, rising.
#[inline]
fn side(quarters: f64) -> f64 {
    (2.0 - 2.0 * quarters.abs()).clamp(-1.0, 1.0)
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
