//! Roots of functions of one variable inside a bracket.

/// Halvings after which a bracket has shrunk to the last bit of numbers of its own size.
pub const TO_THE_LAST_BIT: usize = 60;

/// Chords tried before halving: smooth functions are done within ten.
const CHORDS: usize = 24;

/// The zero of a function that rises from at most 0 at `low` to above 0 at `high`, to the last bit; the end at which it has
/// the other sign where it has none between. By chords whose kept end counts half (the Illinois rule: Dowell and Jarratt,
/// BIT 11, 1971), and by halving where they don't settle.
pub fn zero(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut at_low, mut at_high) = (f(low), f(high));
    if at_low > 0.0 || at_high <= 0.0 {
        return if at_low > 0.0 { low } else { high };
    }
    let (mut before, mut was_above) = (f64::INFINITY, None);
    for _ in 0..CHORDS {
        let x = low - at_low * (high - low) / (at_high - at_low);
        if (x - before).abs() <= f64::EPSILON * x.abs() || !(x > low && x < high) {
            return x.clamp(low, high);
        }
        let at = f(x);
        let is_above = at > 0.0;
        // An end that is kept twice counts half.
        let kept = if was_above == Some(is_above) { 0.5 } else { 1.0 };
        match is_above {
            true => (high, at_high, at_low) = (x, at, kept * at_low),
            false => (low, at_low, at_high) = (x, at, kept * at_high),
        }
        (before, was_above) = (x, Some(is_above));
    }
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
    fn roots_are_found_to_the_last_bit() {
        let root = zero(1.0, 2.0, |x| x * x - 2.0);
        assert!((root - std::f64::consts::SQRT_2).abs() <= f64::EPSILON);
        // Flat at the root, steep beside it, a step, and a root at an end.
        assert!((zero(0.0, 1.0, |x| (x - 0.3).powi(3)) - 0.3).abs() < 1e-5);
        assert!((zero(0.0, 1.0, |x| x.powi(40) - 0.5) - 0.5f64.powf(1.0 / 40.0)).abs() < 1e-15);
        assert!((zero(-1.0, 4.0, |x| if x > 0.7 { 1.0 } else { -1e-3 }) - 0.7).abs() < 1e-15);
        assert!(zero(0.0, 1.0, |x| x).abs() < 1e-300);
    }

    #[test]
    fn without_a_change_of_sign_it_is_the_nearer_end() {
        assert!(
            (zero(1.0, 2.0, |x| x) - 1.0).abs() < 1e-15 && (zero(1.0, 2.0, |x| x - 3.0) - 2.0).abs() < 1e-15
        );
    }

    #[test]
    fn smooth_functions_take_a_dozen_looks() {
        let looks = std::cell::Cell::new(0);
        zero(0.0, 3.0, |x| {
            looks.set(looks.get() + 1);
            x.exp() - 4.0
        });
        assert!(looks.get() <= 14, "{}", looks.get());
    }

    #[test]
    fn a_bracket_holds_the_change() {
        let (low, high) = bracket(0.0, 1.0, 10, |x| x > 0.3);
        assert!(low <= 0.3 && high > 0.3 && (high - low - 1.0 / 1024.0).abs() < 1e-15);
    }
}
