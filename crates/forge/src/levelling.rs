//! Carbon between layers: how far it levels out, and what that makes of the steels.

use laminate::{Bar, Billet};
use serde::Serialize;
use steel::Composition;

use steel::{ac3, contrast, ms};

/// Welding heat and how long a billet is held there until the blade is forged, for the levelling of carbon: °C and s
/// (common practice, no source).
pub const HELD: (f64, f64) = (1150.0, 1200.0);
/// More carbon than this share still parted counts as layers that stay of different hardness (common practice, no source).
pub(crate) const PARTED: f64 = 0.5;

/// The levelling of carbon in a bar, as it is before the stack is forged.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Levelling {
    /// The bar.
    pub bar: String,
    /// Thickness of a layer when all are alike, mm.
    pub layer_mm: f64,
    /// Share of the first difference that is left, least and greatest over the sources.
    pub left: [f64; 2],
    /// Its steels with the carbon that they have then.
    pub steels: Vec<Levelled>,
}

/// A steel after carbon has moved; each value for the least and the greatest levelling over the sources.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Levelled {
    /// The steel.
    pub steel: String,
    /// Its carbon as bought, mass percent.
    pub bought_percent: f64,
    /// Its carbon then, mass percent.
    pub carbon_percent: [f64; 2],
    /// Where the last ferrite is gone then, °C; none above 0.77 % carbon.
    pub ac3_c: [Option<f64>; 2],
    /// Where martensite begins to form then, °C.
    pub ms_c: [f64; 2],
}

impl Levelling {
    /// Of every bar of several layers.
    pub fn all(billet: &Billet) -> Vec<Levelling> {
        let layered = billet.bars().iter().filter(|b| b.layers.layers().len() > 1);
        layered.map(|bar| Levelling::of(bar, billet)).collect()
    }

    /// The levelling of a bar's layers in its welding heats.
    fn of(bar: &Bar, billet: &Billet) -> Levelling {
        let layer_mm = (bar.height * billet.width()).sqrt() / bar.layers.layers().len() as f64;
        let left = contrast(layer_mm, HELD.0, HELD.1);
        let shares = shares(bar, billet.steels().len());
        let mean: f64 = shares.iter().zip(billet.steels()).map(|(s, steel)| s * steel.composition.c).sum();
        let present = shares.iter().zip(billet.steels()).filter(|(s, _)| **s > 0.0);
        let steels = present.map(|(_, steel)| {
            // The greatest share left is the least levelling.
            let levelled = [left[1], left[0]]
                .map(|k| Composition { c: mean + k * (steel.composition.c - mean), ..steel.composition });
            Levelled {
                steel: steel.name.clone(),
                bought_percent: steel.composition.c,
                carbon_percent: levelled.map(|c| c.c),
                ac3_c: levelled.map(|c| ac3(&c)),
                ms_c: levelled.map(|c| ms(&c)),
            }
        });
        Levelling { bar: bar.name.clone(), layer_mm, left, steels: steels.collect() }
    }
}

/// Share of each steel in a bar.
fn shares(bar: &Bar, count: usize) -> Vec<f64> {
    let mut shares = vec![0.0; count];
    for (i, layer) in bar.layers.layers().iter().enumerate() {
        shares[layer.steel] += layer.end - bar.layers.start(i);
    }
    shares
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn carbon_is_kept_while_it_levels() {
        let path =
            std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles/chain-smiths-trial.toml");
        let design = design::read(&std::fs::read(path).unwrap()).unwrap();
        let billet = design.billet().unwrap();
        let all = Levelling::all(billet);
        assert_eq!(all.len(), 2);
        for (levelling, bar) in all.iter().zip(billet.bars().iter().filter(|b| b.layers.layers().len() > 1)) {
            let shares: Vec<f64> =
                shares(bar, billet.steels().len()).into_iter().filter(|s| *s > 0.0).collect();
            let sum = |f: &dyn Fn(&Levelled) -> f64| {
                shares.iter().zip(&levelling.steels).map(|(s, l)| s * f(l)).sum::<f64>()
            };
            let bought = sum(&|l| l.bought_percent);
            for i in 0..2 {
                assert!((sum(&|l| l.carbon_percent[i]) - bought).abs() < 1e-12);
            }
            let spread = |i: usize| {
                (levelling.steels[0].carbon_percent[i] - levelling.steels[1].carbon_percent[i]).abs()
            };
            assert!(spread(1) < spread(0));
        }
    }
}
