//! Roots of functions of one variable inside a bracket.

/// Halvings after which a bracket has shrunk to the last bit of numbers of its own size.
pub const TO_THE_LAST_BIT: usize = 60;

/// The zero of a function that rises from at most 0 at `low` to above 0 at `high`, by bisection to the last bit.
pub fn bisect(low: f64, high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (low, high) = bracket(low, high, TO_THE_LAST_BIT, |x| f(x) > 0.0);
    0.5 * (low + high)
}

/// The bracket of a change from `false` at `low` to `true` at `high` after `halvings` bisections: `low` is the last
/// place found before it (or the given one), `high` the first place found beyond it (or the given one). Once no number
/// lies between the two it ends early.
pub fn bracket(mut low: f64, mut high: f64, halvings: usize, beyond: impl Fn(f64) -> bool) -> (f64, f64) {
    for _ in 0..halvings {
        let middle = 0.5 * (low + high);
        let is_shut = [low, high].map(f64::to_bits).contains(&middle.to_bits());
        if beyond(middle) {
            high = middle
        } else {
            low = middle
        }
        if is_shut {
            break;
        }
    }
    (low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bisection_finds_a_root_to_the_last_bit() {
        let root = bisect(1.0, 2.0, |x| x * x - 2.0);
        assert!((root - std::f64::consts::SQRT_2).abs() <= f64::EPSILON);
    }

    #[test]
    fn a_bracket_holds_the_change() {
        let (low, high) = bracket(0.0, 1.0, 10, |x| x > 0.3);
        assert!(low <= 0.3 && high > 0.3 && (high - low - 1.0 / 1024.0).abs() < 1e-15);
    }
}
