//! The concentric map between square and disc, which keeps areas: Shirley and Chiu, A low distortion map between disk
//! and square, Journal of Graphics Tools 2(3), 1997 (from memory).
//!
//! Both are kept in square measure: the square reaches from −1/2 to 1/2, and a point of the disc is told by the side
//! of the square ring it came from (`ring`, 0 to 1/2) and by its angle. Turning the disc is adding to the angle.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

use glam::DVec2;

/// A point of the disc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Ringed {
    /// Half the side of the square ring that became this circle.
    ring: f64,
    /// Angle from the first axis, rad.
    angle: f64,
}

impl Ringed {
    /// Of a point of the square.
    pub(crate) fn of(p: DVec2) -> Self {
        let (ring, angle) = if p.x.abs() >= p.y.abs() {
            let turn = if p.x < 0.0 { 2.0 * FRAC_PI_2 } else { 0.0 };
            (p.x, turn + eighth(p.y, p.x))
        } else {
            let turn = if p.y < 0.0 { 3.0 * FRAC_PI_2 } else { FRAC_PI_2 };
            (p.y, turn - eighth(p.x, p.y))
        };
        Ringed { ring: ring.abs(), angle }
    }

    /// Turned by `angle`, rad.
    pub(crate) fn turned(self, angle: f64) -> Self {
        Ringed { angle: self.angle + angle, ..self }
    }

    /// Back in the square.
    pub(crate) fn square(self) -> DVec2 {
        // Which side of the square, and how far from its middle: −1 to 1.
        let quarters = (self.angle / FRAC_PI_2).round();
        let off = (self.angle - quarters * FRAC_PI_2) / FRAC_PI_4;
        let (r, s) = (self.ring, self.ring * off);
        match quarters.rem_euclid(4.0) as u8 {
            0 => DVec2::new(r, s),
            1 => DVec2::new(-s, r),
            2 => DVec2::new(-r, -s),
            _ => DVec2::new(s, -r),
        }
    }
}

/// The angle that a point `across` from the middle of a side at distance `out` gets: an eighth of a turn at the corner.
fn eighth(across: f64, out: f64) -> f64 {
    if out.abs() > 0.0 { FRAC_PI_4 * across / out } else { 0.0 }
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
            prop_assert!(Ringed::of(p).turned(4.0 * FRAC_PI_2).square().distance(p) < 1e-14);
            prop_assert!(Ringed::of(p).turned(FRAC_PI_2).square().distance(p.perp()) < 1e-14);
        }

        #[test]
        fn turning_keeps_areas(x in -0.49..0.49, y in -0.49..0.49, angle in -20.0..20.0f64) {
            let turn = |p: DVec2| Ringed::of(p).turned(angle).square();
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
            let turned = Ringed::of(edge).turned(f64::from(k) * 0.2).square();
            assert!((turned.x.abs().max(turned.y.abs()) - 0.25).abs() < 1e-15);
        }
    }
}
