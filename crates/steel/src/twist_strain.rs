//! How far the corners of a square bar stretch when it is twisted, and how far they bear it.

use std::f64::consts::FRAC_1_SQRT_2;

/// Fibres on the corners that get longer by more than this share in one heat are likely to tear: the usual two turns in
/// 50 mm make it 1.36 on a 12 mm bar (common practice, no source). A fresh heat lets the steel recrystallise, so it
/// counts again from there.
pub const TEARING: f64 = 1.5;
/// Most rounds of heats in which a stretch is twisted further and further: then scale and cold shuts have opened its
/// corners (common practice, no source).
pub const ROUNDS: usize = 2;

/// How much longer, as a share, a fibre at radius `r` (mm) gets when the bar turns by `rate` rad/mm: √(1 + tan²ψ) − 1
/// with tan ψ = θ′·r, the helix unrolled.
pub fn fibre_stretch(rate: f64, r: f64) -> f64 {
    (rate.abs() * r).hypot(1.0) - 1.0
}

/// Rounds of heats over a stretch whose corners get longer by this share, each with at most [`TEARING`]: true strains
/// add, so n rounds bear (1 + [`TEARING`])ⁿ. `None` where [`ROUNDS`] are not enough: then the corners are likely to
/// tear.
pub fn twist_rounds(stretch: f64) -> Option<usize> {
    (1..=ROUNDS).find(|&n| 1.0 + stretch <= (1.0 + TEARING).powi(n as i32) * (1.0 + 1e-9))
}

/// The stretch of the corners that [`ROUNDS`] rounds of heats bear, as a share: 5.25.
pub fn most_stretch() -> f64 {
    (1.0 + TEARING).powi(ROUNDS as i32) - 1.0
}

/// The rate of twist, rad/mm, at which the corners of a square bar of this side (mm) get longer by this share.
pub fn rate_for(stretch: f64, side: f64) -> f64 {
    ((1.0 + stretch).powi(2) - 1.0).sqrt() / (side * FRAC_1_SQRT_2)
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use super::*;

    /// Two turns in 50 mm on 12 mm: √(1 + (0.08·π·12/√2)²) − 1 = 1.356 take one round; three, 2.33, take two; six,
    /// 5.5, tear.
    #[test]
    fn rounds_follow_the_strain() {
        let corner = |turns: f64| fibre_stretch(turns * TAU / 50.0, 12.0 * FRAC_1_SQRT_2);
        assert!((corner(2.0) - 1.356).abs() < 1e-3);
        assert_eq!([2.0, 3.0, 6.0].map(|turns| twist_rounds(corner(turns))), [Some(1), Some(2), None]);
        assert_eq!((twist_rounds(TEARING), twist_rounds(most_stretch())), (Some(1), Some(2)));
        assert!((most_stretch() - 5.25).abs() < 1e-12);
    }

    #[test]
    fn the_rate_makes_the_stretch() {
        for stretch in [0.1, 1.5, 5.25] {
            let found = fibre_stretch(rate_for(stretch, 12.0), 12.0 * FRAC_1_SQRT_2);
            assert!((found - stretch).abs() < 1e-9, "{found} {stretch}");
        }
    }
}
