//! How a blade's surplus of steel is trusted to vary before anything was read, and what a reading tells of it.
//!
//! Rasmussen and Williams, Gaussian Processes for Machine Learning (2006), eq. 4.17: Matérn's covariance, ν = 5/2. It
//! stands at three lengths: readings further apart than one of them tell each other nothing on it, so what a dip is
//! told to be as wide as follows from how close it was read, not from the blade's length.

/// A patch of the field, a product of places along the blade and places up the breadth, each with its weight: one of
/// each for a caliper, all of them for the scales.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Patch {
    /// Stations in mm from the shoulder, and their weights.
    pub(crate) along: Vec<[f64; 2]>,
    /// Heights in halves of the breadth from its middle (−1 at the edge, 1 at the back), and their weights.
    pub(crate) up: Vec<[f64; 2]>,
    /// Weight of the surplus of thickness, mm.
    pub(crate) thickness: f64,
    /// Weight of the middle's lean to the right, mm.
    pub(crate) lean: f64,
    /// Weight of what the tang has more than the shoulder tells, mm³.
    pub(crate) tang: f64,
}

impl Patch {
    /// Thickness at one place.
    pub(crate) fn at(station: f64, up: f64) -> Patch {
        Patch { along: vec![[station, 1.0]], up: vec![[up, 1.0]], thickness: 1.0, lean: 0.0, tang: 0.0 }
    }
}

/// Waves of one length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Waves {
    /// Standard deviation, mm.
    pub(crate) high: f64,
    /// Over which they forget their height along the blade, mm.
    pub(crate) along: f64,
    /// The same up the breadth, in halves of it.
    pub(crate) up: f64,
}

/// A dip or a hump that was found: there the field may be off more than waves are, by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Dip {
    /// mm from the shoulder.
    pub(crate) station: f64,
    /// In halves of the breadth from its middle.
    pub(crate) up: f64,
    /// Standard deviation of its depth, mm.
    pub(crate) deep: f64,
}

impl Dip {
    /// How much of it a patch has.
    fn share(&self, patch: &Patch, wide: &Waves) -> f64 {
        double(&patch.along, &[[self.station, 1.0]], wide.along)
            * double(&patch.up, &[[self.up, 1.0]], wide.up)
    }
}

/// How much the field is trusted to vary: standard deviations in mm.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Prior {
    /// Of the level of thickness.
    pub(crate) level: f64,
    /// Of its tilt from the middle of the blade to an end, and from the middle of the breadth to the back.
    pub(crate) tilt: f64,
    /// Of waves about them, the longest first.
    pub(crate) waves: [Waves; 3],
    /// Dips and humps, as wide as the middle waves.
    pub(crate) dips: Vec<Dip>,
    /// Of the middle's lean, in the longest waves: one side is read at a few places, and fades beyond them.
    pub(crate) lean: f64,
    /// Of the tang's volume beyond what the shoulder tells, mm³.
    pub(crate) tang: f64,
    /// The blade's length, mm.
    pub(crate) length: f64,
}

impl Prior {
    /// The same with waves `times` as high.
    pub(crate) fn rougher(&self, times: f64) -> Prior {
        Prior { waves: self.waves.map(|w| Waves { high: times * w.high, ..w }), ..self.clone() }
    }

    /// Covariance of two patches.
    pub(crate) fn between(&self, a: &Patch, b: &Patch) -> f64 {
        self.waves(a, b) + dot(&self.features(a), &self.features(b))
    }

    /// The part of it that is in waves.
    pub(crate) fn waves(&self, a: &Patch, b: &Patch) -> f64 {
        let both: [f64; 3] =
            self.waves.map(|w| double(&a.along, &b.along, w.along) * double(&a.up, &b.up, w.up));
        let waves: f64 = self.waves.iter().zip(both).map(|(w, c)| w.high * w.high * c).sum();
        a.thickness * b.thickness * waves + a.lean * b.lean * self.lean * self.lean * both[0]
    }

    /// What a patch has of level, tilts, dips and tang, each by its standard deviation: the other part of a
    /// covariance is the product of two of these.
    pub(crate) fn features(&self, patch: &Patch) -> Vec<f64> {
        let ([sum, moment], [up, rise]) = (sums(&patch.along), sums(&patch.up));
        let lever = 2.0 * moment / self.length - sum;
        let thick = patch.thickness;
        let plane =
            [self.level * sum * up, self.tilt * lever * up, self.tilt * sum * rise].map(|f| thick * f);
        let dips = self.dips.iter().map(|d| thick * d.deep * d.share(patch, &self.waves[1]));
        plane.into_iter().chain(dips).chain([self.tang * patch.tang]).collect()
    }
}

/// Sum of products.
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Sum of weights, and their moment.
fn sums(all: &[[f64; 2]]) -> [f64; 2] {
    all.iter().fold([0.0; 2], |[sum, moment], [at, weight]| [sum + weight, moment + weight * at])
}

/// Sum of weighted correlations.
pub(crate) fn double(a: &[[f64; 2]], b: &[[f64; 2]], reach: f64) -> f64 {
    a.iter().map(|[x, v]| v * b.iter().map(|[y, w]| w * matern((x - y) / reach)).sum::<f64>()).sum()
}

/// Matérn's correlation with ν = 5/2 at a distance in lengths.
pub(crate) fn matern(distance: f64) -> f64 {
    let r = 5.0_f64.sqrt() * distance.abs();
    // Beyond so many lengths there is less than 1e-12 of it.
    if r > 35.0 { 0.0 } else { (1.0 + r + r * r / 3.0) * (-r).exp() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_covariance_of_waves_is_matern_s() {
        // (1 + √5 + 5/3) e^−√5 at one length.
        assert!((matern(1.0) - 0.523_994).abs() < 1e-6 && (matern(0.0) - 1.0).abs() < 1e-15);
        assert!((matern(-1.0) - matern(1.0)).abs() < 1e-15 && matern(1e9) < 1e-300);
    }
}
