//! Layer sets: alternating layers, restacked, as they lie through a bar's square section.

/// More layers than this are refused: at 50 mm they would be thinner than a grain of steel.
pub const MOST_LAYERS: usize = 5000;

/// One layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// Index into the billet's steels.
    pub steel: usize,
    /// Share of the set's thickness at which it ends.
    pub end: f64,
}

/// Layers through a bar, in shares of its thickness.
#[derive(Clone, Debug, PartialEq)]
pub struct LayerSet {
    layers: Vec<Layer>,
    /// Number of layers when all are alike, as a factor.
    even: Option<f64>,
}

impl LayerSet {
    /// A bar of one steel.
    pub fn plain(steel: usize) -> Self {
        LayerSet { layers: vec![Layer { steel, end: 1.0 }], even: Some(1.0) }
    }

    /// Layers of (steel, thickness), thicknesses positive in any one unit, stacked `times` over as they are. `None`
    /// without layers or with more than 5000.
    pub fn stacked(layers: &[(usize, f64)], times: usize) -> Option<Self> {
        let count = layers.len().checked_mul(times).filter(|n| (1..=MOST_LAYERS).contains(n))?;
        let sum: f64 = layers.iter().map(|l| l.1).sum();
        let mut built = Vec::with_capacity(count);
        for round in 0..times {
            let mut at = 0.0;
            for &(steel, thickness) in layers {
                at += thickness;
                built.push(Layer { steel, end: (round as f64 + at / sum) / times as f64 });
            }
        }
        built.last_mut()?.end = 1.0;
        let alike = layers.iter().all(|l| (l.1 / layers[0].1 - 1.0).abs() < 1e-12);
        Some(LayerSet { even: alike.then_some(count as f64), layers: built })
    }

    /// The layers from one face to the other.
    pub fn layers(&self) -> &[Layer] {
        &self.layers
    }

    /// Index of the layer at share `t` of the thickness; beyond the ends the outermost.
    #[inline]
    pub fn at(&self, t: f64) -> usize {
        let last = self.layers.len() - 1;
        match self.even {
            // A negative product becomes 0. Half as many bits take half the time, and there are fewer layers.
            Some(n) => ((t * n) as u32 as usize).min(last),
            None => self.layers.partition_point(|l| l.end <= t).min(last),
        }
    }

    /// Share of the thickness where layer `i` begins; 0 for the first.
    pub fn start(&self, i: usize) -> f64 {
        if i == 0 { 0.0 } else { self.layers[i - 1].end }
    }

    /// Share of the thickness of the thinnest run of one steel between two of another; `None` for a single steel.
    pub fn thinnest(&self) -> Option<f64> {
        let runs = self.layers.chunk_by(|a, b| a.steel == b.steel);
        let (mut start, mut least, mut count) = (0.0, f64::INFINITY, 0);
        for run in runs {
            let end = run[run.len() - 1].end;
            least = least.min(end - start);
            start = end;
            count += 1;
        }
        (count > 1).then_some(least)
    }

    /// Whether the set looks the same from both faces.
    pub fn is_symmetric(&self) -> bool {
        let n = self.layers.len();
        (0..n).all(|i| {
            let (a, b) = (i, n - 1 - i);
            let thick = |k: usize| self.layers[k].end - self.start(k);
            self.layers[a].steel == self.layers[b].steel && (thick(a) - thick(b)).abs() < 1e-9
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn restacking_multiplies_the_layers() {
        let set = LayerSet::stacked(&[(0, 1.0), (1, 1.0), (0, 1.0)], 4).unwrap();
        assert_eq!(set.layers().len(), 12);
        // Where like layers are welded to each other they show as one.
        assert!((set.thinnest().unwrap() - 1.0 / 12.0).abs() < 1e-12);
        let steels: Vec<_> = set.layers().iter().map(|l| l.steel).collect();
        assert_eq!(steels, [0, 1, 0, 0, 1, 0, 0, 1, 0, 0, 1, 0]);
        assert!(set.is_symmetric());
    }

    #[test]
    fn an_odd_count_has_the_same_steel_outside_on_both_sides() {
        for n in 1..12 {
            let layers: Vec<_> = (0..n).map(|i| (i % 2, 1.0)).collect();
            let set = LayerSet::stacked(&layers, 1).unwrap();
            let same = set.layers()[0].steel == set.layers()[n - 1].steel;
            assert_eq!(same, n % 2 == 1);
        }
    }

    #[test]
    fn every_share_finds_its_layer() {
        let even = LayerSet::stacked(&[(0, 2.0), (1, 2.0)], 3).unwrap();
        let uneven = LayerSet::stacked(&[(0, 1.0), (1, 3.0)], 2).unwrap();
        assert_eq!([-0.1, 0.0, 0.17, 0.5, 0.999, 1.0, 1.2].map(|t| even.at(t)), [0, 0, 1, 3, 5, 5, 5]);
        assert_eq!([-0.1, 0.0, 0.126, 0.5, 0.63, 1.0].map(|t| uneven.at(t)), [0, 0, 1, 2, 3, 3]);
        for set in [even, uneven] {
            for i in 0..set.layers().len() {
                assert_eq!(set.at(0.5 * (set.start(i) + set.layers()[i].end)), i);
            }
        }
    }

    #[test]
    fn too_many_or_none_are_refused() {
        assert!(LayerSet::stacked(&[], 3).is_none() && LayerSet::stacked(&[(0, 1.0)], 0).is_none());
        assert!(LayerSet::stacked(&[(0, 1.0); 100], 51).is_none());
        assert!(LayerSet::stacked(&[(0, 1.0); 100], usize::MAX).is_none());
    }
}
