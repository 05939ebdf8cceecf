//! The decarburised skin of the forged blade against what is ground off it.

use design::{Design, OutlineSkin};
use serde::Serialize;
use steel::decarburised;

use crate::blade_heat::BladeHeat;

/// Carbon that is enough left for the skin's end, as a share.
const ENOUGH: f64 = 0.9;
/// Carbon at whose depth half is left, as a share.
const HALF: f64 = 0.5;

/// The skin that has lost carbon, and what is ground off.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Skin {
    /// Depth from the forged surface at which half and nine tenths of the carbon are left, mm, what the scale of these
    /// heats took away counted off.
    pub depth_mm: [f64; 2],
    /// Scale of all those heats, a face, mm.
    pub scale_mm: f64,
    /// Ground off each side after the hammer and after hardening, mm.
    pub allowance_mm: f64,
    /// Whether that takes off the skin.
    pub is_ground_off: bool,
    /// What the outline has for it at edge, back and point.
    pub outline: OutlineSkin,
    /// What a soak in hardening heat without protection adds, nine tenths left, mm; none without a hardening heat.
    pub soak_mm: Option<f64>,
    /// Ground off each side after hardening, mm.
    pub after_hardening_mm: f64,
}

impl Skin {
    /// Of a design's forged blade: a surface without carbon in every heat, by the error function, which no fire without
    /// much free air makes worse.
    pub fn of(design: &Design, heat: &BladeHeat) -> Skin {
        let (forging, stages) = (design.forging(), &design.blade().spec().stages);
        let scale = forging.scale * forging.stack_heats as f64;
        let depth = [HALF, ENOUGH].map(|share| forging.skin_depth(share));
        let soak = |[_, hot]: [f64; 2]| decarburised(ENOUGH, hot, 60.0 * heat.soak_min[1], 0.0);
        let allowance = stages.forged_allowance + stages.ground_allowance;
        Skin {
            depth_mm: depth,
            scale_mm: scale,
            allowance_mm: allowance,
            is_ground_off: allowance >= depth[1],
            outline: OutlineSkin::of(design),
            soak_mm: heat.hardening.celsius.map(soak),
            after_hardening_mm: stages.ground_allowance,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Plan;

    fn skin(more: &str) -> Skin {
        let text = format!(
            "name = 'Oar'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n[billet]\nwidth = 12\n\
             [[bar]]\nheight = 34\nsteel = 'C75S'\n{more}\n"
        );
        Plan::of(&design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"))).unwrap().skin
    }

    /// Ågren's diffusion at 0.4 % carbon and 1000 °C, 3.01e-11 m²/s: ten minutes lose a tenth of the carbon to 0.31 mm.
    #[test]
    fn the_skin_is_as_deep_as_the_law_says() {
        let five = skin("[forging]\nscale = 0\nstack_heats = 5");
        assert!(
            (five.depth_mm[0] - 0.128).abs() < 0.003 && (five.depth_mm[1] - 0.313).abs() < 0.006,
            "{five:?}"
        );
        // By Ågren 0.13 mm in ten minutes at 850 °C.
        assert!((five.soak_mm.unwrap() - 0.125).abs() < 0.015, "{five:?}");
    }

    #[test]
    fn too_little_grinding_is_told() {
        let deep = "[forging]\nscale = 0\nstack_heats = 60\n[stages]\nforged = { allowance = 0.3 }\nground = { allowance = 0.1 }";
        assert!(!skin(deep).is_ground_off && skin("").is_ground_off);
        assert!(
            skin("[forging]\nscale = 0.05\nstack_heats = 5").depth_mm[1]
                < skin("[forging]\nscale = 0\nstack_heats = 5").depth_mm[1]
        );
    }
}
