//! When Newton's way has come to its end.

/// The least bend that a line is taken to have, so that a last step never passes a corner unseen that is rounded within a
/// ten-thousandth of the parameter's unit.
const BEND: f64 = 1e4;

/// Whether a step of Newton's way leaves less than `allowed`: each leaves about its square times the curve's bend, which is
/// told by the step `before` (infinite where there was none) and taken as [`BEND`] at least.
#[inline]
pub(crate) fn is_last(step: f64, before: f64, allowed: f64) -> bool {
    step * step * (step / (before * before)).abs().max(BEND) < allowed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_step_told_to_be_the_last_leaves_less_than_allowed() {
        // The root of x³ = 2 from afar, and the one of eˣ = 1000, whose bend is as its slope.
        type Function = fn(f64) -> (f64, f64);
        let cube: Function = |x| (x * x * x - 2.0, 3.0 * x * x);
        let power: Function = |x| (x.exp() - 1000.0, x.exp());
        for (f, start, root) in [(cube, 5.0, 2f64.cbrt()), (power, 9.0, 1000f64.ln())] {
            let (mut x, mut before) = (start, f64::INFINITY);
            let met = (0..30).any(|_| {
                let (value, slope) = f(x);
                let step = value / slope;
                x -= step;
                let is_last = is_last(step, before, 1e-13);
                before = step;
                is_last
            });
            assert!(met && (x - root).abs() < 1e-13, "{x} {root}");
        }
    }
}
