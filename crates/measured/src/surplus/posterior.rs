//! The smooth surplus of steel over a reference: Gaussian-process regression on readings that are weighted sums of it.
//!
//! Rasmussen and Williams, Gaussian Processes for Machine Learning (2006): regression eqs. 2.23 to 2.25, the covariance
//! of waves eq. 4.17 (Matérn, ν = 5/2), predictions with one reading left out eqs. 5.10 to 5.12. Between and beyond the
//! readings it is the least change from the reference that explains them: where nothing was read it goes back to it.

use nalgebra::{DMatrix, DVector};

/// Where the surplus is read, with what weight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Place {
    /// Station in halves of the blade, from its middle: −1 at the shoulder, 1 at the point.
    pub(crate) along: f64,
    /// Height in halves of the breadth, from its middle: −1 at the edge, 1 at the back.
    pub(crate) up: f64,
    /// Weight of the surplus of thickness, mm.
    pub(crate) thickness: f64,
    /// Weight of the middle's lean to the right, mm.
    pub(crate) lean: f64,
}

/// A weighted sum of the field, its value, and the value's standard deviation.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Observation {
    pub(crate) places: Vec<Place>,
    pub(crate) value: f64,
    pub(crate) noise: f64,
}

/// How much the field is trusted to vary before anything was read: standard deviations in mm, lengths in the halves of
/// [`Place`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Prior {
    /// Of the level of thickness, of its tilt along the blade and of that up the breadth.
    pub(crate) level: f64,
    pub(crate) tilt: f64,
    /// Of waves about them.
    pub(crate) wave: f64,
    /// Of waves of the middle's lean, which has no level: one side is read at a few places, and fades beyond them.
    pub(crate) lean: f64,
    /// Over which waves forget their height.
    pub(crate) reach: [f64; 2],
}

impl Prior {
    /// Covariance of the field's values at two places, mm².
    fn places(&self, a: &Place, b: &Place) -> f64 {
        let both = matern((a.along - b.along) / self.reach[0]) * matern((a.up - b.up) / self.reach[1]);
        let tilts = self.tilt * self.tilt * (a.along * b.along + a.up * b.up);
        let thickness = self.level * self.level + tilts + self.wave * self.wave * both;
        let lean = self.lean * self.lean * both;
        a.thickness * b.thickness * thickness + a.lean * b.lean * lean
    }

    /// Covariance of two sums.
    fn sums(&self, a: &[Place], b: &[Place]) -> f64 {
        a.iter().map(|a| b.iter().map(|b| self.places(a, b)).sum::<f64>()).sum()
    }
}

/// Matérn's correlation with ν = 5/2 at a distance in lengths.
fn matern(distance: f64) -> f64 {
    let r = 5.0_f64.sqrt() * distance.abs();
    (1.0 + r + r * r / 3.0) * (-r).exp()
}

/// What all other readings say of one: its expected value, and how far it may be off, as a standard deviation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct LeftOut {
    pub(crate) expected: f64,
    pub(crate) spread: f64,
}

/// The fitted surplus.
#[derive(Clone, Debug)]
pub(crate) struct Posterior {
    prior: Prior,
    known: Vec<Observation>,
    weights: DVector<f64>,
    left_out: Vec<LeftOut>,
}

impl Posterior {
    /// Fits the field; without readings it is none everywhere. `None` only where a number is not finite or a noise not
    /// positive.
    pub(crate) fn fit(prior: Prior, known: Vec<Observation>) -> Option<Posterior> {
        let n = known.len();
        let matrix = DMatrix::from_fn(n, n, |i, j| {
            let own = if i == j { known[i].noise.powi(2) } else { 0.0 };
            // One half is enough: the factorisation reads no more.
            if j > i { 0.0 } else { prior.sums(&known[i].places, &known[j].places) + own }
        });
        let factor = matrix.cholesky()?;
        let weights = factor.solve(&DVector::from_iterator(n, known.iter().map(|k| k.value)));
        let inverse = factor.inverse();
        let left_out = (0..n)
            .map(|i| LeftOut {
                expected: known[i].value - weights[i] / inverse[(i, i)],
                spread: inverse[(i, i)].sqrt().recip(),
            })
            .collect();
        let finite = weights.iter().all(|w| w.is_finite());
        finite.then_some(Posterior { prior, known, weights, left_out })
    }

    /// The field's sum over some places.
    pub(crate) fn sum(&self, places: &[Place]) -> f64 {
        let each = self.known.iter().zip(self.weights.iter());
        each.map(|(k, w)| w * self.prior.sums(&k.places, places)).sum()
    }

    /// Surplus of thickness, and lean, at all crossings of some stations with some heights, mm; a row a station. The
    /// covariance of waves is a product, so that each of its factors is computed once a row and once a column.
    pub(crate) fn grid(&self, along: &[f64], up: &[f64]) -> [DMatrix<f64>; 2] {
        let places: Vec<(f64, &Place)> = self
            .known
            .iter()
            .zip(self.weights.iter())
            .flat_map(|(k, w)| k.places.iter().map(move |p| (*w, p)))
            .collect();
        let Prior { level, tilt, wave, lean, reach } = self.prior;
        let columns =
            DMatrix::from_fn(up.len(), places.len(), |j, p| matern((up[j] - places[p].1.up) / reach[1]));
        let waves = |of: &dyn Fn(&Place) -> f64| {
            let rows = DMatrix::from_fn(along.len(), places.len(), |i, p| {
                places[p].0 * of(places[p].1) * matern((along[i] - places[p].1.along) / reach[0])
            });
            rows * columns.transpose()
        };
        let sum =
            |of: &dyn Fn(&Place) -> f64| places.iter().map(|(w, p)| w * p.thickness * of(p)).sum::<f64>();
        let (flat, leaning, rising) = (sum(&|_| 1.0), sum(&|p| p.along), sum(&|p| p.up));
        let thickness = waves(&|p| p.thickness) * (wave * wave);
        let thickness = DMatrix::from_fn(along.len(), up.len(), |i, j| {
            thickness[(i, j)] + level * level * flat + tilt * tilt * (along[i] * leaning + up[j] * rising)
        });
        [thickness, waves(&|p| p.lean) * (lean * lean)]
    }

    /// What it was fitted to.
    pub(crate) fn known(&self) -> &[Observation] {
        &self.known
    }

    /// How it was trusted to vary.
    pub(crate) fn prior(&self) -> Prior {
        self.prior
    }

    /// What the other readings say of each, in the order of the fit.
    pub(crate) fn left_out(&self) -> &[LeftOut] {
        &self.left_out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PRIOR: Prior = Prior { level: 2.0, tilt: 1.0, wave: 0.5, lean: 0.3, reach: [0.6, 1.4] };

    fn at(along: f64, up: f64) -> Place {
        Place { along, up, thickness: 1.0, lean: 0.0 }
    }

    fn read(along: f64, up: f64, value: f64) -> Observation {
        Observation { places: vec![at(along, up)], value, noise: 0.02 }
    }

    #[test]
    fn the_covariance_of_waves_is_matern_s() {
        // (1 + √5 + 5/3) e^−√5 at one length.
        assert!((matern(1.0) - 0.523_994).abs() < 1e-6 && (matern(0.0) - 1.0).abs() < 1e-15);
        assert!((matern(-1.0) - matern(1.0)).abs() < 1e-15);
    }

    #[test]
    fn nothing_read_is_nothing_over() {
        let none = Posterior::fit(PRIOR, Vec::new()).unwrap();
        assert_eq!((none.sum(&[at(0.3, 0.1)]), none.left_out().len()), (0.0, 0));
    }

    #[test]
    fn one_reading_lifts_the_whole_and_two_sides_part() {
        let one = Posterior::fit(PRIOR, vec![read(0.0, 0.0, 1.0)]).unwrap();
        assert!((one.sum(&[at(0.0, 0.0)]) - 1.0).abs() < 1e-3);
        assert!(one.sum(&[at(0.9, -0.9)]) > 0.8);
        let side = |lean: f64, value| Observation {
            places: vec![Place { thickness: 0.5, lean, ..at(0.0, 0.0) }],
            value,
            noise: 0.02,
        };
        let both = Posterior::fit(PRIOR, vec![side(1.0, 0.7), side(-1.0, 0.3)]).unwrap();
        let lean = Place { thickness: 0.0, lean: 1.0, ..at(0.0, 0.0) };
        assert!((both.sum(&[at(0.0, 0.0)]) - 1.0).abs() < 0.01);
        assert!((both.sum(&[lean]) - 0.2).abs() < 0.01);
    }

    /// Eq. 5.12 is exact: leaving a reading out and fitting anew says the same.
    #[test]
    fn a_reading_left_out_is_foretold_by_the_others() {
        let known: Vec<Observation> =
            (0..9).map(|i| read(0.25 * f64::from(i) - 1.0, 0.3, (f64::from(i) * 0.7).sin())).collect();
        let all = Posterior::fit(PRIOR, known.clone()).unwrap();
        for i in 0..known.len() {
            let mut rest = known.clone();
            let out = rest.remove(i);
            let expected = Posterior::fit(PRIOR, rest).unwrap().sum(&out.places);
            assert!((all.left_out()[i].expected - expected).abs() < 1e-6, "{i}");
        }
    }

    #[test]
    fn sums_are_known_too() {
        let places: Vec<Place> =
            (0..20).map(|i| Place { thickness: 0.05, ..at(0.1 * f64::from(i) - 0.95, 0.0) }).collect();
        let known =
            vec![read(-1.0, 0.0, 0.5), Observation { places: places.clone(), value: 0.8, noise: 0.01 }];
        let field = Posterior::fit(PRIOR, known).unwrap();
        assert!((field.sum(&places) - 0.8).abs() < 0.01 && (field.sum(&[at(-1.0, 0.0)]) - 0.5).abs() < 0.01);
    }

    #[test]
    fn grids_are_sums_at_their_crossings() {
        let side = Observation {
            places: vec![Place { thickness: 0.5, lean: -1.0, ..at(0.5, 0.4) }],
            value: 0.4,
            noise: 0.05,
        };
        let field = Posterior::fit(PRIOR, vec![read(-0.8, 0.9, 0.5), read(0.2, -0.5, 0.1), side]).unwrap();
        let (along, up) = ([-1.0, 0.1, 0.7], [-1.0, 0.3]);
        let [thickness, lean] = field.grid(&along, &up);
        for (i, a) in along.into_iter().enumerate() {
            for (j, u) in up.into_iter().enumerate() {
                assert!((thickness[(i, j)] - field.sum(&[at(a, u)])).abs() < 1e-12);
                let leaning = Place { thickness: 0.0, lean: 1.0, ..at(a, u) };
                assert!((lean[(i, j)] - field.sum(&[leaning])).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn no_numbers_give_no_field() {
        assert!(Posterior::fit(PRIOR, vec![read(0.0, 0.0, f64::NAN)]).is_none());
    }
}
