//! What hot steel asks of hammer and wrench.

use design::{Figures, MassUnit, Torque};
use laminate::Billet;
use serde::Serialize;
use steel::{flow_band, work};

use crate::stock::{BarStock, Stock};
use crate::text::bands::span;

/// Heats of hammering, °C, and its rates of strain, 1/s: a blow of some m/s on some tens of mm.
const HAMMER: ([f64; 2], [f64; 2]) = ([1100.0, 900.0], [10.0, 50.0]);
/// Share of a blow that deforms the steel: the rest goes into anvil, rebound and friction (common practice, no source).
const EFFICIENCY: [f64; 2] = [0.8, 0.4];
/// A blow of a hand hammer, J: 1.5 kg at 7 m/s, rounded (common practice, no source).
const BLOW: f64 = 40.0;

/// That hammer, kg.
const HAMMER_KG: f64 = 1.5;
/// J in a kJ.
const KILO: f64 = 1000.0;
/// Foot-pounds are told to so many.
const HUNDRED: f64 = 100.0;

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
        let bars = stock.bars.iter().enumerate();
        bars.filter_map(|(bar, made)| DrawingOut::of(made, billet.carbon(bar))).collect()
    }

    fn of(made: &BarStock, carbon: f64) -> Option<DrawingOut> {
        let block = made.blocks.last()?;
        let strain =
            (block.section_mm.iter().product::<f64>() / made.drawn_mm().iter().product::<f64>()).ln();
        // A billet thinner than the bar is not drawn out.
        let stress = (strain > 0.0).then(|| flow_band(carbon, HAMMER))??;
        let energy = [0, 1].map(|i| work(made.volume_mm3, stress[i], strain) / EFFICIENCY[i]);
        Some(DrawingOut { bar: made.name.clone(), strain, energy_j: energy, blows: energy.map(|e| e / BLOW) })
    }

    /// What drawing it out asks of the hammer, on the file's scales.
    pub fn told(&self, l: Figures) -> String {
        let up_to = |[low, high]: [f64; 2]| {
            if low < 1.0 { format!("up to {high:.0}") } else { span([low, high]) }
        };
        let energy = match l.torque {
            Torque::NewtonMetre => {
                let kilo = self.energy_j.map(|j| (j / KILO).round());
                if kilo[1] < 1.0 { "under 1 kJ".to_owned() } else { format!("{} kJ", up_to(kilo)) }
            }
            Torque::FootPound => {
                let hundreds = |j: f64| HUNDRED * (j / l.torque.newton_metres() / HUNDRED).round();
                format!("{} {}", up_to(self.energy_j.map(hundreds)), l.torque.name())
            }
        };
        let hammer = match l.mass {
            MassUnit::Gram => format!("{HAMMER_KG} kg"),
            MassUnit::Ounce | MassUnit::Pound => {
                format!("{:.0} lb", 1000.0 * HAMMER_KG / MassUnit::Pound.grams())
            }
        };
        let blows = up_to(self.blows.map(|n| 10.0 * (0.1 * n).round()).map(|n| n.max(0.0)));
        format!("Drawing out {}: {energy}, or {blows} blows of a {hammer} hammer", self.bar)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
        let [low, high] = flow_band(0.45, HAMMER).unwrap();
        assert!((told.energy_j[0] - 69.3147 * low / 0.8).abs() < 0.1 && told.energy_j[1] > told.energy_j[0]);
        assert!((told.energy_j[1] / (69.3147 * high / 0.4) - 1.0).abs() < 1e-5);
        made.blocks[last].section_mm = [10.0, 10.0];
        assert!(DrawingOut::of(&made, 0.45).is_none());
        assert!(!DrawingOut::all(billet, &stock).is_empty());
    }

    /// 6100 J are 4499 ft·lb (1.355818 J each), 1.5 kg 3.3 lb.
    #[test]
    fn blows_are_told_on_the_shop_s_scales() {
        let told = DrawingOut {
            bar: "Oar".into(),
            strain: 1.0,
            energy_j: [6100.0, 35_000.0],
            blows: [152.5, 875.0],
        };
        assert_eq!(
            told.told(Figures::default()),
            "Drawing out Oar: 6 to 35 kJ, or 150 to 880 blows of a 1.5 kg hammer"
        );
        let yard = Figures { torque: Torque::FootPound, mass: MassUnit::Ounce, ..Figures::default() };
        assert_eq!(
            told.told(yard),
            "Drawing out Oar: 4500 to 25800 ft·lb, or 150 to 880 blows of a 3 lb hammer"
        );
    }
}
