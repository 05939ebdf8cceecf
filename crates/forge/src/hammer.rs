//! What hot steel asks of hammer and wrench.

use laminate::{Bar, Billet};
use serde::Serialize;
use steel::{flow_stress, work};

use crate::stock::{BarStock, Stock};

/// Carbon for which the flow stress is known, mass percent: what lies outside is taken at the nearer end.
const CARBON: [f64; 2] = [0.07, 1.2];
/// Carbon beyond which alloyed steels may be softer, mass percent, and how much: Mauk's 100Cr6 against Shida's law.
const SOFTER: (f64, f64) = (0.9, 0.65);
/// How far Shida's law lies from measurements of plain steels either way, as a share (Spittel's C45, Mauk's C15).
const LAW: f64 = 0.1;
/// Twisting heats, °C, and the rates of strain of a slow and a quick wrench, 1/s (common practice, no source).
const TWIST: ([f64; 2], [f64; 2]) = ([1100.0, 900.0], [0.1, 1.0]);
/// Strain at which a bar's flow is told: where Shida's law is measured from.
const STRAIN: f64 = 0.2;
/// The same for hammering, °C and 1/s: a blow of some m/s on some tens of mm.
const HAMMER: ([f64; 2], [f64; 2]) = ([1100.0, 900.0], [10.0, 50.0]);
/// Share of a blow that deforms the steel: the rest goes into anvil, rebound and friction (common practice, no source).
const EFFICIENCY: [f64; 2] = [0.8, 0.4];
/// A blow of a hand hammer, J: 1.5 kg at 7 m/s, rounded (common practice, no source).
const BLOW: f64 = 40.0;

/// Energy of the blows that draw a bar out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DrawingOut {
    /// The bar.
    pub bar: String,
    /// How much longer it gets, as a true strain.
    pub strain: f64,
    /// Energy of all blows, J, least and greatest: hot, slow and square on, or cool, quick and glancing.
    pub energy_j: [f64; 2],
    /// Blows of a hand hammer of 1.5 kg for the same.
    pub blows: [f64; 2],
}

impl DrawingOut {
    /// Of every bar drawn out of a billet, from that billet's section to the bar's.
    pub fn all(billet: &Billet, stock: &Stock) -> Vec<DrawingOut> {
        let bars = billet.bars().iter().zip(&stock.bars);
        bars.filter_map(|(bar, made)| DrawingOut::of(made, carbon(bar, billet))).collect()
    }

    fn of(made: &BarStock, carbon: f64) -> Option<DrawingOut> {
        let block = made.blocks.last()?;
        let strain =
            (block.section_mm.iter().product::<f64>() / made.made_section_mm.iter().product::<f64>()).ln();
        // A billet thinner than the bar is not drawn out.
        let stress = (strain > 0.0).then(|| flow(carbon, HAMMER))??;
        let energy = [0, 1].map(|i| work(made.volume_mm3, stress[i], strain) / EFFICIENCY[i]);
        Some(DrawingOut { bar: made.name.clone(), strain, energy_j: energy, blows: energy.map(|e| e / BLOW) })
    }
}

/// Flow stress of a bar at twisting heats, MPa, least and greatest.
pub(crate) fn twisting_flow(bar: &Bar, billet: &Billet) -> Option<[f64; 2]> {
    flow(carbon(bar, billet), TWIST)
}

/// Mean carbon of a bar, mass percent.
fn carbon(bar: &Bar, billet: &Billet) -> f64 {
    let layers = bar.layers.layers().iter().enumerate();
    layers.map(|(i, l)| (l.end - bar.layers.start(i)) * billet.steels()[l.steel].composition.c).sum()
}

/// Flow stress (MPa) from hot and slow to cool and quick, with what the law itself may be off.
fn flow(carbon: f64, (celsius, rates): ([f64; 2], [f64; 2])) -> Option<[f64; 2]> {
    let c = carbon.clamp(CARBON[0], CARBON[1]);
    let least = flow_stress(c, celsius[0], STRAIN, rates[0])?;
    let most = flow_stress(c, celsius[1], STRAIN, rates[1])?;
    let softer = if c > SOFTER.0 { SOFTER.1 } else { 1.0 - LAW };
    Some([least * softer, most * (1.0 + LAW)])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Spittel's C45 (Landolt–Börnstein VIII/2), strain 0.2: 52 MPa at 1100 °C and 0.1 1/s, 137 at 900 °C and 1 1/s;
    /// Mauk's 100Cr6 31 and 91, all within the bands.
    #[test]
    fn bands_hold_what_others_measured() {
        let [low, high] = flow(0.45, TWIST).unwrap();
        assert!(low < 52.0 && low > 0.85 * 52.0 && high > 137.0 && high < 1.2 * 137.0, "{low} {high}");
        let [low, high] = flow(1.0, TWIST).unwrap();
        assert!(low < 31.5 && high > 91.0, "{low} {high}");
        // Iron is taken at the law's end.
        assert_eq!(flow(0.01, TWIST), flow(0.07, TWIST));
    }

    /// 100 cm³ of C45 to half its section, by hand: ln 2 · 100 cm³ · σ over the share of the blow.
    #[test]
    fn energy_is_stress_times_strain_times_volume() {
        let path =
            std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles/chain-smiths-trial.toml");
        let design = design::read(&std::fs::read(path).unwrap()).unwrap();
        let (billet, stock) = (design.billet().unwrap(), Stock::of(&design).unwrap());
        let mut made = stock.bars.iter().find(|b| !b.blocks.is_empty()).unwrap().clone();
        let last = made.blocks.len() - 1;
        (made.blocks[last].section_mm, made.made_section_mm, made.volume_mm3) =
            ([20.0, 20.0], [20.0, 10.0], 1e5);
        let told = DrawingOut::of(&made, 0.45).unwrap();
        let [low, high] = flow(0.45, HAMMER).unwrap();
        assert!((told.energy_j[0] - 69.3147 * low / 0.8).abs() < 0.1 && told.energy_j[1] > told.energy_j[0]);
        assert!((told.energy_j[1] / (69.3147 * high / 0.4) - 1.0).abs() < 1e-5);
        made.blocks[last].section_mm = [10.0, 10.0];
        assert!(DrawingOut::of(&made, 0.45).is_none());
        assert!(!DrawingOut::all(billet, &stock).is_empty());
    }
}
