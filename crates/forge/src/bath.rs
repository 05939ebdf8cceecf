//! The quench bath for this blade.

use blade::Stage;
use design::{Design, Figures, Quench};
use serde::Serialize;
use steel::{Bath, BathFault, FLASH_MARGIN, least_litres, quench};

use crate::blade_heat::BladeHeat;
use crate::medium::QuenchMedium;
use crate::stock::Stock;

/// How warm the oil is before, °C: thin enough to wet the blade at once (common practice, no source).
const START: f64 = 50.0;
/// How much one blade may warm it, K (common practice, no source).
const RISE: f64 = 20.0;
/// How warm it may become before it must cool, °C (common practice, no source; the oil's data sheet comes first).
const MOST: f64 = 80.0;
/// Oil over the work and under it, mm: the least of 150 to 300 mm (Gear Solutions, sizing tanks).
const OVER: f64 = 150.0;
/// Bare wall over the oil, mm, so that what surges stays in (common practice, no source).
const RIM: f64 = 100.0;
/// Stations at which its breadth is looked at.
const LOOKS: u32 = 50;
/// Nearer than this to where martensite begins hardly half of it has formed, K: by Koistinen and Marburger 0.58 of the
/// austenite is left 50 K under it.
const FORMS: f64 = 50.0;
/// Room for the jaws of the tongs that hold the tang in a trough, mm (common practice, no source).
const TONGS: f64 = 100.0;

/// The bath of oil that one blade asks for.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct QuenchBath {
    /// Mass of the forged blade that goes in, kg, tang and all.
    pub mass_kg: f64,
    /// Mass of the ground blade, as it is hardened, kg, tang and all: the bath is worked out for the heavier, forged one.
    pub ground_kg: f64,
    /// The greatest heat that it comes from, °C.
    pub from_c: f64,
    /// How warm the oil is before, °C.
    pub start_c: f64,
    /// How much this least volume warms, K.
    pub rise_k: f64,
    /// Least volume of oil, L.
    pub least_litres: f64,
    /// Heat that the blade gives off, kJ.
    pub heat_kj: f64,
    /// Blades like this one in a row before that volume passes `most_c`.
    pub blades: usize,
    /// How warm the oil may become, °C.
    pub most_c: f64,
    /// Least flash point of the oil, °C: 50 °F over the warmest it becomes.
    pub least_flash_c: f64,
    /// How far an open bath stays below its flash point, K.
    pub flash_margin_k: f64,
    /// Depth of oil for a blade put in point first, and of the tank with its rim, mm.
    pub upright_mm: [f64; 2],
    /// Inner diameter of a round tank of that depth of oil that holds the least volume, mm.
    pub diameter_mm: f64,
    /// Inner length of a trough for a blade put in edge first, with tang and tongs, and depth of its oil, mm.
    pub trough_mm: [f64; 2],
    /// Inner width of a trough of that length and depth of oil that holds the least volume, and that blade and tongs go
    /// into, mm.
    pub trough_width_mm: f64,
    /// Whether the edge asks for water or brine, so that oil is only for trying.
    pub is_for_trying: bool,
    /// What it does to the shop's own bath; none where the file tells of no bath.
    pub own: Option<OwnBath>,
}

/// The shop's own bath with this blade in it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OwnBath {
    /// How much oil is in it, L.
    pub litres: f64,
    /// How warm it is before, °C.
    pub start_c: f64,
    /// Its flash point, °C.
    pub flash_c: f64,
    /// How warm it may become before it must cool, °C: as the file says, and never nearer to the flash point than 50 °F.
    pub warmest_c: f64,
    /// How warm it would be after the blade, °C; none where it is too warm before.
    pub end_c: Option<f64>,
    /// Blades like this one in a row before it must cool; 0 where the first already is too much.
    pub blades: usize,
    /// Least volume of that oil that would do, L; none where it is too warm before.
    pub least_litres: Option<f64>,
    /// Whether the oil is deep enough for the blade point first; none where its depth is not told.
    pub is_deep: Option<bool>,
    /// Where martensite begins in the edge, least and greatest, °C, where the oil gets so warm that little forms in it.
    pub martensite_c: Option<[f64; 2]>,
}

impl OwnBath {
    /// Of a blade of `mass` (kg) and `length` (mm) quenched from `from` (°C).
    fn of(own: &Quench, mass: f64, from: f64, length: f64) -> OwnBath {
        let bath = Bath { litres: own.litres, start: own.start, flash: own.flash_point };
        let warmest = own.warmest.min(own.flash_point - FLASH_MARGIN);
        let told = quench(mass, from, &bath, own.warmest);
        OwnBath {
            litres: own.litres,
            start_c: own.start,
            flash_c: own.flash_point,
            warmest_c: warmest,
            end_c: match &told {
                Ok(told) => Some(told.end),
                Err(BathFault::Flash { end, .. }) => Some(*end),
                Err(_) => None,
            },
            blades: told.map_or(0, |told| told.blades),
            least_litres: least_litres(mass, from, own.start, warmest - own.start),
            is_deep: own.depth.map(|depth| depth >= length + OVER),
            martensite_c: None,
        }
    }

    /// With what its warmth means for this blade's edge.
    fn against(self, heat: &BladeHeat) -> OwnBath {
        let warm = self.end_c.unwrap_or(self.start_c).max(self.start_c);
        let ms = heat.quenched.map(|q| q.ms_c).filter(|[least, _]| warm > least - FORMS);
        OwnBath { martensite_c: ms, ..self }
    }

    /// The bath and what this blade does to it, in the file's units.
    pub fn told(&self, figures: Figures) -> String {
        let warmest = figures.temperature(self.warmest_c);
        let end = self.end_c.map(|end| figures.temperature(end));
        let words = match (end, self.blades) {
            (None, _) => format!(
                "do not quench in it: it must be cooler than {warmest} before, well below its flash point"
            ),
            (Some(end), 0) => format!(
                "do not quench in it: one blade warms it to {end}, over {warmest}; {}",
                self.instead(figures)
            ),
            (Some(end), 1) => format!("one blade warms it to {end}; then let it cool: never over {warmest}"),
            (Some(end), blades) => format!(
                "one blade warms it to {end}; {blades} blades in a row, then let it cool: never over {warmest}"
            ),
        };
        let shallow = match self.is_deep {
            Some(false) => "; too shallow to quench this blade point first: use a trough, or more depth",
            Some(true) => "; deep enough to quench it point first",
            None => "",
        };
        let soft = self.martensite_c.map_or_else(String::new, |ms| {
            format!(
                "; martensite begins at {} {}: in oil this warm the blade is not hard yet, it hardens as it cools on in air",
                figures.degree_band(ms),
                figures.temperature.name()
            )
        });
        let (oil, start) = (figures.volume(self.litres), figures.temperature(self.start_c));
        format!("{oil} at {start}: {words}{shallow}{soft}")
    }

    /// What a bath that is too small should be.
    fn instead(&self, figures: Figures) -> String {
        self.least_litres.map_or_else(
            || "let it cool first".to_owned(),
            |litres| format!("take {} or more, or start cooler", figures.least_volume(litres)),
        )
    }
}

impl QuenchBath {
    /// Of a design's blade; `None` where its edge has no hardening heat.
    pub fn of(design: &Design, stock: &Stock, heat: &BladeHeat) -> Option<QuenchBath> {
        let [_, from] = heat.hardening.celsius?;
        let mass = stock.stack.forged_volume_mm3.iter().sum::<f64>() * design.density() * 1e-3;
        let litres = least_litres(mass, from, START, RISE)?;
        let least_flash = MOST + FLASH_MARGIN;
        // A hair over the limit of flash, so that the warmest allowed is not refused.
        let told =
            quench(mass, from, &Bath { litres, start: START, flash: least_flash + 1.0 }, MOST + 1e-6).ok()?;
        let length = design.blade().length();
        let upright = length + OVER;
        let trough = [length + design.blade().spec().tang.length + TONGS, breadth(design) + OVER];
        Some(QuenchBath {
            mass_kg: mass,
            ground_kg: 1e-3 * design.density() * design.blade().loft(Stage::Ground).moments().volume,
            from_c: from,
            start_c: START,
            rise_k: RISE,
            least_litres: litres,
            heat_kj: told.heat * 1e-3,
            blades: told.blades,
            most_c: MOST,
            least_flash_c: least_flash,
            flash_margin_k: FLASH_MARGIN,
            upright_mm: [upright, upright + RIM],
            diameter_mm: 2.0 * (litres * 1e6 / (std::f64::consts::PI * upright)).sqrt(),
            trough_mm: trough,
            trough_width_mm: (litres * 1e6 / (trough[0] * trough[1])).max(NARROWEST),
            is_for_trying: heat.medium.as_ref().is_some_and(QuenchMedium::is_water),
            own: design.quench().map(|own| OwnBath::of(own, mass, from, length).against(heat)),
        })
    }
}

/// Width of the narrowest trough that blade and tongs go into without touching its sides, mm (common practice, no source).
const NARROWEST: f64 = 75.0;

/// The blade's breadth at its broadest, mm.
fn breadth(design: &Design) -> f64 {
    let sections = blade::Sections::of(&design.blade().loft(Stage::Forged));
    let end = sections.range().1;
    let at = |i: u32| sections.at(end * f64::from(i) / f64::from(LOOKS));
    (0..LOOKS).filter_map(at).map(|s| s.range().1 - s.range().0).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use steel::{OIL_DENSITY, OIL_HEAT};

    use super::*;
    use crate::fixtures::{design, plan};

    fn own(litres: f64, flash_point: f64, start: f64) -> OwnBath {
        let own = Quench { litres, flash_point, start, warmest: 80.0, depth: Some(700.0) };
        OwnBath::of(&own, 0.6, 800.0, 560.0)
    }

    /// 0.6 kg from 800 °C warm 10 L of oil by about 19 K (enthalpy by EN 1993-1-2), so two blades pass 80 °C; a bath is
    /// refused within 50 °F of its flash point (29 CFR 1910.126(a)(2)).
    #[test]
    fn the_shop_s_own_bath_is_told() {
        let ten = own(10.0, 170.0, 50.0);
        assert!(
            (ten.end_c.unwrap() - 69.0).abs() < 0.5 && ten.blades == 1 && ten.is_deep == Some(false),
            "{ten:?}"
        );
        assert_eq!(own(100.0, 170.0, 50.0).blades, 15);
        let small = own(3.0, 170.0, 50.0);
        assert!(small.blades == 0 && small.end_c.unwrap() > 80.0 && small.least_litres.unwrap() > 3.0);
        assert!(own(small.least_litres.unwrap() * 1.001, 170.0, 50.0).blades == 1);
        let near = own(10.0, 90.0, 50.0);
        assert!(near.blades == 0 && (near.warmest_c - 62.2).abs() < 0.05 && near.end_c.is_some(), "{near:?}");
        assert!(own(10.0, 78.0, 51.0).end_c.is_none());
    }

    /// Koistinen and Marburger: 50 K under its beginning 0.58 of the austenite is left. 1084 begins at about 200 °C: oil that
    /// gets over 150 °C leaves it soft, oil from 50 does not.
    #[test]
    fn oil_too_warm_for_martensite_is_told() {
        let told = |start: u32| {
            let text = format!(
                "name = 'Oar'\nsteel = '1084'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n\
                 [quench]\noil = 30\nflash_point = 260\nstart = {start}\nwarmest = 210\n"
            );
            let design = ::design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"));
            crate::plan::Plan::of(&design).unwrap().bath.unwrap()
        };
        let (warm, cool) = (told(150), told(50));
        assert!(
            warm.own.as_ref().unwrap().martensite_c.is_some() && cool.own.unwrap().martensite_c.is_none()
        );
        let words = warm.own.unwrap().told(Figures::of(::design::Unit::Millimetre));
        assert!(words.contains("not hard yet"), "{words}");
        // 28 mm of breadth and 150 of oil over it; 6.35 mm (Heat Treater's Guide, from memory) lets 5.3 have oil.
        assert!((warm.trough_mm[1] - 178.0).abs() < 4.0 && !warm.is_for_trying, "{:?}", warm.trough_mm);
    }

    /// The file's table is what the plan tells of.
    #[test]
    fn a_file_s_bath_stands_in_its_plan() {
        assert!(design("chain-smiths-trial").quench().is_none());
        let own = plan("inch-barge-seax").bath.unwrap().own.unwrap();
        assert!(own.blades > 0 && own.is_deep == Some(true), "{own:?}");
    }

    /// The least volume takes the blade's heat with just the rise told; 0.6 kg from 800 °C take about 9.5 L.
    #[test]
    fn the_bath_fits_the_blade() {
        let bath = plan("chain-smiths-trial").bath.unwrap();
        let warmed = bath.least_litres * OIL_DENSITY * OIL_HEAT * bath.rise_k * 1e-3;
        assert!((warmed / bath.heat_kj - 1.0).abs() < 1e-9, "{bath:?}");
        let per_kg = bath.least_litres / bath.mass_kg;
        assert!((14.0..18.0).contains(&per_kg), "{per_kg} L/kg");
        assert_eq!(bath.blades, 1);
        let volume = std::f64::consts::PI * (0.5 * bath.diameter_mm).powi(2) * bath.upright_mm[0] * 1e-6;
        assert!((volume / bath.least_litres - 1.0).abs() < 1e-12);
        // 80 °C and 50 °F.
        assert!((bath.least_flash_c - 107.8).abs() < 0.03);
    }
}
