//! The surplus of steel over a reference, fitted: Gaussian-process regression on readings that are weighted sums of
//! it.
//!
//! Rasmussen and Williams, Gaussian Processes for Machine Learning (2006): regression eqs. 2.23 to 2.26, predictions
//! with readings left out eqs. 5.10 to 5.12. Between and beyond the readings it is the least change from the
//! reference that explains them: where nothing was read it goes back to it, and its spread says how little is known
//! there.

use nalgebra::{DMatrix, DVector, Matrix2, Vector2};

use crate::surplus::prior::{Patch, Prior, dot, matern};

/// A patch of the field, its value, and the value's standard deviation.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Observation {
    pub(crate) patch: Patch,
    pub(crate) value: f64,
    pub(crate) noise: f64,
}

/// What all other readings say of one: its expected value, and how far it may be off, as a standard deviation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct LeftOut {
    pub(crate) expected: f64,
    pub(crate) spread: f64,
}

/// The field at all crossings of some stations (rows) with some heights (columns), mm.
#[derive(Clone, Debug)]
pub(crate) struct Grid {
    pub(crate) thickness: DMatrix<f64>,
    pub(crate) lean: DMatrix<f64>,
}

/// The fitted surplus.
#[derive(Clone, Debug)]
pub(crate) struct Posterior {
    prior: Prior,
    known: Vec<Observation>,
    /// Of the known patches, as [`Prior::features`] tells them.
    features: Vec<Vec<f64>>,
    inverse: DMatrix<f64>,
    weights: DVector<f64>,
}

impl Posterior {
    /// Fits the field; without readings it is none everywhere. `None` only where a number is not finite or a noise not
    /// positive.
    pub(crate) fn fit(prior: Prior, known: Vec<Observation>) -> Option<Posterior> {
        let n = known.len();
        let features: Vec<Vec<f64>> = known.iter().map(|k| prior.features(&k.patch)).collect();
        let mut matrix = DMatrix::zeros(n, n);
        for i in 0..n {
            for j in 0..=i {
                // One half is enough: the factorisation reads no more.
                matrix[(i, j)] =
                    prior.waves(&known[i].patch, &known[j].patch) + dot(&features[i], &features[j]);
            }
            matrix[(i, i)] += known[i].noise.powi(2);
        }
        let inverse = matrix.cholesky()?.inverse();
        let weights = &inverse * DVector::from_iterator(n, known.iter().map(|k| k.value));
        let finite = weights.iter().all(|w| w.is_finite());
        finite.then_some(Posterior { prior, known, features, inverse, weights })
    }

    /// The same with another value of the last reading. `None` where it is not finite.
    pub(crate) fn with_last(mut self, value: f64) -> Option<Posterior> {
        self.known.last_mut()?.value = value;
        self.weights =
            &self.inverse * DVector::from_iterator(self.known.len(), self.known.iter().map(|k| k.value));
        self.weights.iter().all(|w| w.is_finite()).then_some(self)
    }

    /// The field over a patch.
    pub(crate) fn sum(&self, patch: &Patch) -> f64 {
        self.to(patch).iter().zip(self.weights.iter()).map(|(c, w)| c * w).sum()
    }

    /// Covariance of each known patch with another.
    fn to(&self, patch: &Patch) -> Vec<f64> {
        let own = self.prior.features(patch);
        let each = self.known.iter().zip(&self.features);
        each.map(|(k, f)| self.prior.waves(&k.patch, patch) + dot(f, &own)).collect()
    }

    /// Standard deviation of the field over a patch.
    pub(crate) fn spread(&self, patch: &Patch) -> f64 {
        self.joint(std::slice::from_ref(patch))[(0, 0)].max(0.0).sqrt()
    }

    /// Covariance of some patches, after the readings.
    pub(crate) fn joint(&self, patches: &[Patch]) -> DMatrix<f64> {
        let m = patches.len();
        let to = DMatrix::from_vec(self.known.len(), m, patches.iter().flat_map(|p| self.to(p)).collect());
        let own: Vec<Vec<f64>> = patches.iter().map(|p| self.prior.features(p)).collect();
        let before =
            DMatrix::from_fn(m, m, |i, j| self.prior.waves(&patches[i], &patches[j]) + dot(&own[i], &own[j]));
        before - to.transpose() * (&self.inverse * &to)
    }

    /// The readings' say about each other.
    pub(crate) fn votes(&self) -> Votes<'_> {
        Votes { field: self, inverse: self.inverse.clone(), weights: self.weights.clone() }
    }

    /// Surplus of thickness, and lean, at all crossings of some stations (mm) with some heights (halves of the
    /// breadth).
    pub(crate) fn grid(&self, along: &[f64], up: &[f64]) -> Grid {
        let n = self.known.len();
        let weighted = |of: &dyn Fn(&Patch) -> f64| {
            DMatrix::from_fn(n, 1, |p, _| self.weights[p] * of(&self.known[p].patch))
        };
        let mut all = Grid {
            thickness: DMatrix::zeros(along.len(), up.len()),
            lean: DMatrix::zeros(along.len(), up.len()),
        };
        let factors = self.factors(along, up);
        for (k, (rows, columns)) in factors.iter().enumerate() {
            let sum = |weights: &DMatrix<f64>| {
                let mut scaled = rows.clone();
                for p in 0..n {
                    scaled.column_mut(p).scale_mut(weights[(p, 0)]);
                }
                scaled * columns.transpose()
            };
            all.thickness += sum(&weighted(&|p| p.thickness)) * self.prior.waves[k].high.powi(2);
            if k == 0 {
                all.lean = sum(&weighted(&|p| p.lean)) * self.prior.lean.powi(2);
            }
        }
        let sums = self.feature_sums();
        let place = |i: usize, j: usize| dot(&sums, &self.prior.features(&Patch::at(along[i], up[j])));
        all.thickness += DMatrix::from_fn(along.len(), up.len(), place);
        all
    }

    /// The known patches' features, summed by their weights.
    fn feature_sums(&self) -> Vec<f64> {
        let mut sums = vec![0.0; self.prior.features(&Patch::at(0.0, 0.0)).len()];
        for (features, weight) in self.features.iter().zip(self.weights.iter()) {
            sums.iter_mut().zip(features).for_each(|(sum, f)| *sum += weight * f);
        }
        sums
    }

    /// For each length of waves, the readings' correlation along the blade and up the breadth: rows are stations or
    /// heights, columns readings.
    fn factors(&self, along: &[f64], up: &[f64]) -> [(DMatrix<f64>, DMatrix<f64>); 3] {
        let of = |at: &[f64], reach: f64, places: &dyn Fn(&Patch) -> &[[f64; 2]]| {
            DMatrix::from_fn(at.len(), self.known.len(), |i, p| {
                places(&self.known[p].patch).iter().map(|[y, w]| w * matern((at[i] - y) / reach)).sum()
            })
        };
        self.prior.waves.map(|w| (of(along, w.along, &|p| &p.along), of(up, w.up, &|p| &p.up)))
    }

    /// Standard deviations of thickness and lean, at the same crossings.
    pub(crate) fn spreads(&self, along: &[f64], up: &[f64]) -> Grid {
        let (n, columns) = (self.known.len(), up.len());
        let factors = self.factors(along, up);
        let count = along.len() * columns;
        // Where no side was read on its own both are taken alike, and nothing is told of a lean.
        let leans = self.known.iter().any(|k| k.patch.lean.abs() > 0.0);
        let mut thick = DMatrix::zeros(n, count);
        let mut lean = DMatrix::zeros(n, if leans { count } else { 0 });
        for at in 0..count {
            let (i, j) = (at / columns, at % columns);
            let own = self.prior.features(&Patch::at(along[i], up[j]));
            for (p, known) in self.known.iter().enumerate() {
                let each = |k: usize| factors[k].0[(i, p)] * factors[k].1[(j, p)];
                let waves: f64 = (0..3).map(|k| self.prior.waves[k].high.powi(2) * each(k)).sum();
                thick[(p, at)] = known.patch.thickness * waves + dot(&self.features[p], &own);
                if leans {
                    lean[(p, at)] = known.patch.lean * self.prior.lean.powi(2) * each(0);
                }
            }
        }
        let left = |to: &DMatrix<f64>, before: &dyn Fn(usize) -> f64| {
            let solved = &self.inverse * to;
            DMatrix::from_fn(along.len(), columns, |i, j| {
                let at = i * columns + j;
                (before(at) - to.column(at).dot(&solved.column(at))).max(0.0).sqrt()
            })
        };
        let whole = |at: usize| {
            let place = Patch::at(along[at / columns], up[at % columns]);
            self.prior.between(&place, &place)
        };
        let lean = if leans {
            left(&lean, &|_| self.prior.lean.powi(2))
        } else {
            DMatrix::zeros(along.len(), columns)
        };
        Grid { thickness: left(&thick, &whole), lean }
    }

    /// What it was fitted to.
    pub(crate) fn known(&self) -> &[Observation] {
        &self.known
    }

    /// How it was trusted to vary.
    pub(crate) fn prior(&self) -> &Prior {
        &self.prior
    }
}

/// What each reading's fellows say of it, once some are left out.
#[derive(Clone, Debug)]
pub(crate) struct Votes<'a> {
    field: &'a Posterior,
    inverse: DMatrix<f64>,
    weights: DVector<f64>,
}

impl Votes<'_> {
    /// Leaves out reading `i` too: the inverse of what is left (partitioned inverse, Rasmussen and Williams, A.3).
    pub(crate) fn leave_out(&mut self, i: usize) {
        let own = self.inverse[(i, i)];
        let column = self.inverse.column(i).into_owned();
        self.weights -= &column * (self.weights[i] / own);
        self.inverse -= &column * column.transpose() / own;
    }

    /// What all that are not left out say of the reading `i`, which is not either.
    pub(crate) fn of(&self, i: usize) -> LeftOut {
        let own = self.inverse[(i, i)];
        let expected = self.field.known[i].value - self.weights[i] / own;
        LeftOut { expected, spread: own.recip().max(0.0).sqrt() }
    }

    /// What they say of two readings, each without the other.
    pub(crate) fn of_two(&self, i: usize, j: usize) -> Option<[LeftOut; 2]> {
        let at = [i, j];
        let block = Matrix2::from_fn(|a, b| self.inverse[(at[a], at[b])]);
        let spread = block.try_inverse()?;
        let off = spread * Vector2::new(self.weights[i], self.weights[j]);
        let of = |k: usize| LeftOut {
            expected: self.field.known[at[k]].value - off[k],
            spread: spread[(k, k)].max(0.0).sqrt(),
        };
        Some([of(0), of(1)])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surplus::prior::Waves;

    use crate::surplus::prior::Dip;

    /// One with everything in it.
    fn prior() -> Prior {
        Prior {
            level: 2.0,
            tilt: 1.0,
            waves: [
                Waves { high: 0.5, along: 100.0, up: 1.4 },
                Waves { high: 0.2, along: 20.0, up: 0.8 },
                Waves { high: 0.1, along: 3.0, up: 0.5 },
            ],
            dips: vec![Dip { station: 170.0, up: 0.2, deep: 0.4 }],
            lean: 0.3,
            tang: 100.0,
            length: 300.0,
        }
    }

    fn read(x: f64, up: f64, value: f64) -> Observation {
        Observation { patch: Patch::at(x, up), value, noise: 0.02 }
    }

    fn side(lean: f64, value: f64) -> Observation {
        let patch = Patch { thickness: 0.5, lean, ..Patch::at(150.0, 0.0) };
        Observation { patch, value, noise: 0.02 }
    }

    #[test]
    fn nothing_read_is_nothing_over_and_nothing_known() {
        let none = Posterior::fit(prior(), Vec::new()).unwrap();
        let place = Patch::at(200.0, 0.1);
        assert!(none.sum(&place).abs() < 1e-12);
        assert!((none.spread(&place).powi(2) - prior().between(&place, &place)).abs() < 1e-12);
    }

    #[test]
    fn one_reading_lifts_the_whole_and_two_sides_part() {
        let one = Posterior::fit(prior(), vec![read(150.0, 0.0, 1.0)]).unwrap();
        assert!((one.sum(&Patch::at(150.0, 0.0)) - 1.0).abs() < 1e-3);
        assert!(one.sum(&Patch::at(285.0, -0.9)) > 0.8);
        assert!(one.spread(&Patch::at(150.0, 0.0)) < 0.021 && one.spread(&Patch::at(200.0, 0.0)) > 0.2);
        let both = Posterior::fit(prior(), vec![side(1.0, 0.7), side(-1.0, 0.3)]).unwrap();
        let lean = Patch { thickness: 0.0, lean: 1.0, ..Patch::at(150.0, 0.0) };
        assert!((both.sum(&Patch::at(150.0, 0.0)) - 1.0).abs() < 0.01);
        assert!((both.sum(&lean) - 0.2).abs() < 0.01);
    }

    /// Eqs. 5.11 and 5.12 are exact: leaving readings out and fitting anew says the same.
    #[test]
    fn readings_left_out_are_foretold_by_the_others() {
        let known: Vec<Observation> =
            (0..9).map(|i| read(35.0 * f64::from(i), 0.3, (f64::from(i) * 0.7).sin())).collect();
        let all = Posterior::fit(prior(), known.clone()).unwrap();
        for i in 0..known.len() - 1 {
            let mut rest = known.clone();
            let (next, out) = (rest.remove(i + 1), rest.remove(i));
            let fitted = Posterior::fit(prior(), rest).unwrap();
            let [one, two] = all.votes().of_two(i, i + 1).unwrap();
            assert!((one.expected - fitted.sum(&out.patch)).abs() < 1e-6, "{i}");
            assert!((two.expected - fitted.sum(&next.patch)).abs() < 1e-6, "{i}");
            let own = fitted.spread(&out.patch).hypot(0.02);
            assert!((one.spread - own).abs() < 1e-6, "{i}");
            let mut votes = all.votes();
            votes.leave_out(i + 1);
            assert!(
                (votes.of(i).expected - one.expected).abs() < 1e-9 && (votes.of(i).spread - own).abs() < 1e-6
            );
        }
    }

    #[test]
    fn sums_are_known_too() {
        let along = (0..20).map(|i| [15.0 * f64::from(i) + 7.5, 0.05]).collect();
        let patch = Patch { along, ..Patch::at(0.0, 0.0) };
        let known = vec![read(0.0, 0.0, 0.5), Observation { patch: patch.clone(), value: 0.8, noise: 0.001 }];
        let field = Posterior::fit(prior(), known).unwrap();
        assert!((field.sum(&patch) - 0.8).abs() < 1e-3 && field.spread(&patch) < 0.001_1);
        assert!((field.sum(&Patch::at(0.0, 0.0)) - 0.5).abs() < 0.01);
    }

    #[test]
    fn grids_are_sums_and_spreads_at_their_crossings() {
        let known = vec![read(30.0, 0.9, 0.5), read(180.0, -0.5, 0.1), side(-1.0, 0.4)];
        let field = Posterior::fit(prior(), known).unwrap();
        let (along, up) = ([0.0, 165.0, 255.0], [-1.0, 0.3]);
        let (grid, spread) = (field.grid(&along, &up), field.spreads(&along, &up));
        for (i, x) in along.into_iter().enumerate() {
            for (j, u) in up.into_iter().enumerate() {
                let place = Patch::at(x, u);
                let leaning = Patch { thickness: 0.0, lean: 1.0, ..place.clone() };
                assert!((grid.thickness[(i, j)] - field.sum(&place)).abs() < 1e-12);
                assert!((grid.lean[(i, j)] - field.sum(&leaning)).abs() < 1e-12);
                assert!((spread.thickness[(i, j)] - field.spread(&place)).abs() < 1e-9);
                assert!((spread.lean[(i, j)] - field.spread(&leaning)).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn no_numbers_give_no_field() {
        assert!(Posterior::fit(prior(), vec![read(0.0, 0.0, f64::NAN)]).is_none());
    }
}
