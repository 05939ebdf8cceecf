//! A smooth monotone curve through given values.

/// A monotone piecewise cubic through (station, value) pairs, once continuously differentiable, going on
/// straight beyond its ends; between stations it never leaves the range of the values it joins. Fritsch and Carlson,
/// Monotone Piecewise Cubic Interpolation, SIAM J. Numer. Anal. 17 (1980), with the three-point slopes of Fritsch and
/// Butland (from memory).
#[derive(Clone, Debug, PartialEq)]
pub struct Monotone {
    at: Vec<f64>,
    value: Vec<f64>,
    slope: Vec<f64>,
}

impl Monotone {
    /// Through at least one pair, stations strictly increasing. The slopes are those of Fritsch and Butland (1984):
    /// harmonic means of neighbouring secants, none at a turning point.
    pub fn new(at: Vec<f64>, value: Vec<f64>) -> Self {
        let n = at.len();
        let secant: Vec<f64> = (1..n).map(|i| (value[i] - value[i - 1]) / (at[i] - at[i - 1])).collect();
        let slope = (0..n)
            .map(|i| match (i.checked_sub(1).map(|j| secant[j]), secant.get(i)) {
                (Some(a), Some(&b)) if a * b > 0.0 => {
                    let (h, k) = (at[i] - at[i - 1], at[i + 1] - at[i]);
                    3.0 * (h + k) / ((2.0 * k + h) / a + (k + 2.0 * h) / b)
                }
                (Some(_), Some(_)) | (None, None) => 0.0,
                (Some(a), None) => a,
                (None, Some(&b)) => b,
            })
            .collect();
        Monotone { at, value, slope }
    }

    /// The value at x; beyond the ends along the end's slope.
    pub fn at(&self, x: f64) -> f64 {
        let last = self.at.len() - 1;
        if x <= self.at[0] {
            return self.value[0] + self.slope[0] * (x - self.at[0]);
        }
        if x >= self.at[last] {
            return self.value[last] + self.slope[last] * (x - self.at[last]);
        }
        let i = self.at.partition_point(|&a| a <= x) - 1;
        let h = self.at[i + 1] - self.at[i];
        let t = (x - self.at[i]) / h;
        let s = 1.0 - t;
        let (b0, b3) = (self.value[i], self.value[i + 1]);
        let (b1, b2) = (b0 + self.slope[i] * h / 3.0, b3 - self.slope[i + 1] * h / 3.0);
        b0 * s * s * s + 3.0 * b1 * s * s * t + 3.0 * b2 * s * t * t + b3 * t * t * t
    }

    /// Where it is only once continuously differentiable.
    pub fn stations(&self) -> &[f64] {
        &self.at
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_met_and_never_overshot() {
        let curve = Monotone::new(vec![0.0, 10.0, 30.0, 40.0], vec![5.0, 4.0, 4.0, 1.0]);
        for (x, value) in [(0.0, 5.0), (10.0, 4.0), (20.0, 4.0), (30.0, 4.0), (40.0, 1.0)] {
            assert!((curve.at(x) - value).abs() < 1e-12, "{x}");
        }
        let all: Vec<f64> = (0..=400).map(|i| curve.at(f64::from(i) * 0.1)).collect();
        assert!(all.windows(2).all(|w| w[1] <= w[0] + 1e-12));
        // Straight on beyond its ends, by the slopes there: −0.1 and −0.3.
        assert!((curve.at(-10.0) - 6.0).abs() < 1e-12 && (curve.at(50.0) + 2.0).abs() < 1e-12);
        assert!((Monotone::new(vec![3.0], vec![7.0]).at(9.0) - 7.0).abs() < 1e-12);
    }
}
