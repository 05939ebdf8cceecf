//! The least turn of several knobs that brings linear misses as near to nothing as their limits allow.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettings, DefaultSettingsBuilder, DefaultSolver, IPSolver, NonnegativeConeT, SolverStatus,
    ZeroConeT,
};

/// How much a miss of a whole target weighs against a knob turned to its limit: the miss left by it is under a hundred
/// thousandth of a target that can be reached.
pub(crate) const MISS: f64 = 1e6;

/// Misses around a point: `miss[j] + Σ slope[j][i]·(z[i] − at[i])`, in shares of the targets; knobs z in shares of their
/// limits.
pub(crate) struct Linear<'a> {
    pub(crate) at: &'a [f64],
    pub(crate) miss: &'a [f64],
    pub(crate) slope: &'a [Vec<f64>],
    /// How many misses count on both sides, the first ones; of the others only what is positive.
    pub(crate) two_sided: usize,
    /// Rules in the way.
    pub(crate) cuts: &'a [Cut],
}

/// A rule of the blade as a plane: slope·z is `most` at most.
#[derive(Clone, Debug)]
pub(crate) struct Cut {
    pub(crate) slope: Vec<f64>,
    pub(crate) most: f64,
}

impl Linear<'_> {
    /// The turn z, each of −1 to 1 and within the cuts, that makes Σ z² + 1e6·Σ miss² least; `None` where the solver gives up.
    pub(crate) fn least(&self) -> Option<Vec<f64>> {
        let (n, m) = (self.at.len(), self.miss.len());
        let weights: Vec<f64> =
            std::iter::repeat_n(2.0, n).chain(std::iter::repeat_n(2.0 * MISS, m)).collect();
        let squares = diagonal(&weights);
        // slope·z − s = slope·at − miss, then z ≤ 1 and −z ≤ 1, then the cuts.
        let mut rows: Vec<Vec<f64>> = Vec::new();
        let mut bounds = Vec::new();
        for (j, slope) in self.slope.iter().enumerate() {
            let own = (0..m).map(|k| if k == j { -1.0 } else { 0.0 });
            rows.push(slope.iter().copied().chain(own).collect());
            bounds.push(slope.iter().zip(self.at).map(|(s, z)| s * z).sum::<f64>() - self.miss[j]);
        }
        for (i, sign) in (0..n).flat_map(|i| [(i, 1.0), (i, -1.0)]) {
            rows.push((0..n + m).map(|k| if k == i { sign } else { 0.0 }).collect());
            bounds.push(1.0);
        }
        for cut in self.cuts {
            rows.push(cut.slope.iter().copied().chain(std::iter::repeat_n(0.0, m)).collect());
            bounds.push(cut.most);
        }
        let constraints = CscMatrix::from(rows.as_slice());
        // One-sided: slope·z − s at most that, so that s is the positive part.
        let one_sided = m - self.two_sided.min(m);
        let cones = [ZeroConeT(m - one_sided), NonnegativeConeT(one_sided + 2 * n + self.cuts.len())];
        let settings: DefaultSettings<f64> =
            DefaultSettingsBuilder::default().verbose(false).max_threads(1).build().ok()?;
        let mut solver =
            DefaultSolver::new(&squares, &vec![0.0; n + m], &constraints, &bounds, &cones, settings).ok()?;
        solver.solve();
        let solved = matches!(solver.solution.status, SolverStatus::Solved | SolverStatus::AlmostSolved);
        solved.then(|| solver.solution.x[..n].iter().map(|z| z.clamp(-1.0, 1.0)).collect())
    }
}

fn diagonal(values: &[f64]) -> CscMatrix<f64> {
    let n = values.len();
    CscMatrix::new(n, n, (0..=n).collect(), (0..n).collect(), values.to_vec())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// With one miss r and slopes s the least turn is −s·r/|s|² (the pseudo-inverse; any text on least squares).
    #[test]
    fn one_target_is_met_by_the_pseudo_inverse() {
        let slope = [vec![0.3, 0.4]];
        let z = Linear { at: &[0.0, 0.0], miss: &[0.05], slope: &slope, two_sided: 1, cuts: &[] }
            .least()
            .unwrap();
        assert!((z[0] + 0.06).abs() < 1e-4 && (z[1] + 0.08).abs() < 1e-4, "{z:?}");
    }

    #[test]
    fn cuts_hold() {
        let cut = Cut { slope: vec![-1.0, -1.0], most: 0.1 };
        let z =
            Linear { at: &[0.0, 0.0], miss: &[0.5], slope: &[vec![0.3, 0.1]], two_sided: 1, cuts: &[cut] }
                .least()
                .unwrap();
        assert!((z[0] + z[1] + 0.1).abs() < 1e-4 && (0.3 * z[0] + 0.1 * z[1] + 0.5).abs() > 0.1, "{z:?}");
    }

    #[test]
    fn one_sided_misses_count_only_above_nothing() {
        let slope = [vec![0.3, 0.4], vec![0.3, 0.4]];
        let z =
            Linear { at: &[0.0, 0.0], miss: &[0.05, -0.2], slope: &slope, two_sided: 0, cuts: &[] }.least();
        let z = z.unwrap();
        assert!((z[0] + 0.06).abs() < 1e-4 && (z[1] + 0.08).abs() < 1e-4, "{z:?}");
    }

    /// The first miss counts below nothing too, the second only above: worked by hand, each on a knob of its own.
    #[test]
    fn misses_of_both_kinds_stand_side_by_side() {
        let slope = [vec![0.5, 0.0], vec![0.0, 0.5]];
        for (miss, wanted) in [([-0.1, -0.1], [0.2, 0.0]), ([-0.1, 0.1], [0.2, -0.2])] {
            let z = Linear { at: &[0.0, 0.0], miss: &miss, slope: &slope, two_sided: 1, cuts: &[] };
            let z = z.least().unwrap();
            assert!(z.iter().zip(wanted).all(|(z, w)| (z - w).abs() < 1e-4), "{z:?}");
        }
    }

    #[test]
    fn limits_hold() {
        let slope = [vec![0.1, 0.1]];
        let z = Linear { at: &[0.2, -0.3], miss: &[2.0], slope: &slope, two_sided: 1, cuts: &[] }
            .least()
            .unwrap();
        assert!(z.iter().all(|z| (z + 1.0).abs() < 1e-4), "{z:?}");
    }
}
