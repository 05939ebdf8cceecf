//! The forging plan of a design.

use design::{Design, Figures};
use serde::Serialize;
use steel::{Steel, ac3, is_low_alloy};

use crate::bath::QuenchBath;
use crate::bevel_lift::BevelLift;
use crate::blade_heat::BladeHeat;
use crate::clock::WorkingHeat;
use crate::hammer::DrawingOut;
use crate::hardened_as::HardenedAs;
use crate::heat::SteelHeat;
use crate::hot::HotLength;
use crate::levelling::Levelling;
use crate::skin::Skin;
use crate::stock::Stock;
use crate::tip::TipPreform;
use crate::twisting::Twisting;
use crate::welding::WeldingHeat;

/// Everything between the steel rack and the forged blade. Lengths in mm, masses in g, temperatures in °C.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Plan {
    /// The design's name.
    pub name: String,
    /// The design file's unit, `mm` or `in`.
    pub unit: &'static str,
    /// How its text writes lengths, heat, weight and torque.
    #[serde(skip)]
    pub figures: Figures,
    /// What to cut, and what it becomes.
    pub stock: Stock,
    /// Mass of each steel to cut, g.
    pub steel_g: Vec<(String, f64)>,
    /// Heats in which the stack is forged into the blade.
    pub stack_heats: usize,
    /// How bars are twisted.
    pub twisting: Vec<Twisting>,
    /// The tip before it is forged up.
    pub tip: TipPreform,
    /// How hot the steels are held.
    pub heat: Vec<SteelHeat>,
    /// How hot the blade is held as a whole.
    pub blade_heat: BladeHeat,
    /// How far it is ground when it is hardened.
    pub hardened_as: HardenedAs,
    /// The welding heat against what its steels bear; none where nothing is welded.
    pub welding: Option<WeldingHeat>,
    /// How long each step's steel stays hot enough to work.
    pub clock: Vec<WorkingHeat>,
    /// What drawing out asks of the hammer.
    pub drawing_out: Vec<DrawingOut>,
    /// The quench bath for this blade; none where its edge does not harden.
    pub bath: Option<QuenchBath>,
    /// The skin that loses its carbon, against what is ground off.
    pub skin: Skin,
    /// How far carbon evens out between the layers of each laminated bar.
    pub levelling: Vec<Levelling>,
    /// How long the forged blade is while it is hot.
    pub hot: Vec<HotLength>,
    /// How forging the bevels bends it; none where there are none to forge.
    pub bevel_lift: Option<BevelLift>,
}

impl Plan {
    /// The plan of a design; `None` where the file tells neither a billet nor the blade's one steel.
    pub fn of(design: &Design) -> Option<Plan> {
        let (billet, lay, stock) = (design.forged_from()?, design.laid()?, Stock::of(design)?);
        let heat: Vec<SteelHeat> = billet.steels().iter().map(SteelHeat::of).collect();
        let levelling = Levelling::all(design, &stock);
        let blade_heat = BladeHeat::of(design, lay, &heat, &levelling)?;
        Some(Plan {
            name: design.name().to_owned(),
            unit: design.unit().name(),
            figures: design.figures(),
            steel_g: stock.masses(),
            stack_heats: design.forging().stack_heats,
            twisting: Twisting::all(design, &stock),
            tip: TipPreform::of(design),
            hardened_as: HardenedAs::of(design),
            welding: WeldingHeat::of(design, &stock, billet.steels(), &blade_heat.forging),
            clock: WorkingHeat::all(design, lay, &stock, &heat),
            drawing_out: DrawingOut::all(billet, &stock),
            bath: QuenchBath::of(design, &stock, &blade_heat),
            skin: Skin::of(design, &stock, &blade_heat),
            blade_heat,
            heat,
            levelling,
            bevel_lift: BevelLift::of(design, lay),
            hot: HotLength::all(design.blade().length_at(blade::Stage::Forged), turns(billet.steels())),
            stock,
        })
    }
}

/// Where the first of these steels begins to turn as it cools, °C: the highest Ac3, as far as it is known. Cooling in air
/// none turns above it.
fn turns(steels: &[Steel]) -> f64 {
    let low_alloy = steels.iter().map(|s| &s.composition).filter(|c| is_low_alloy(c));
    low_alloy.filter_map(ac3).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;

    #[test]
    fn every_billet_has_a_plan_that_can_be_read() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles");
        let (mut with, mut without) = (0, 0);
        for entry in std::fs::read_dir(folder).unwrap() {
            let bytes = std::fs::read(entry.unwrap().path()).unwrap();
            let design = design::read(&bytes).unwrap();
            let Some(plan) = Plan::of(&design) else {
                without += 1;
                continue;
            };
            with += 1;
            let text = plan.text();
            let wide: Vec<&str> = text.lines().filter(|l| l.chars().count() > 130).collect();
            assert!(wide.is_empty(), "{wide:?}");
            let broken = |word: &str| word == "NaN" || word == "inf";
            assert!(!text.split(|c: char| !c.is_alphanumeric()).any(broken), "{text}");
            for cut in &plan.stock.cuts {
                assert!(cut.size_mm.iter().all(|s| s.is_finite() && *s > 0.0) && cut.count > 0);
                assert!(text.contains(&cut.steel));
            }
            let all: f64 = plan.steel_g.iter().map(|s| s.1).sum();
            let forged = plan.stock.stack.forged_volume_mm3.iter().sum::<f64>() * design.density();
            assert!(all > forged && all < 12.0 * forged, "{all} g for {forged} g");
        }
        assert!(with > 5 && without > 0);
    }
}
