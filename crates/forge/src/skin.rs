//! The decarburised skin of the forged blade against what is ground off it.

use design::{Design, OutlineSkin, SKIN_HEATS};
use serde::Serialize;
use steel::{decarburised, diffusion};

use crate::blade_heat::BladeHeat;
use crate::stock::Stock;

/// Carbon that is enough left for the skin's end, as a share.
const ENOUGH: f64 = 0.9;
/// Carbon at whose depth half is left, as a share.
const HALF: f64 = 0.5;
/// Half of the hundredth to which depths are told, mm.
const HUNDREDTH: f64 = 0.005;
/// Carbon for which diffusion is taken where it is lost, mass percent: half of a blade steel's.
const LOST: f64 = 0.4;

/// The skin that has lost carbon, and what is ground off.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Skin {
    /// Depth from the forged surface at which half and nine tenths of the carbon are left, mm, what the scale of these
    /// heats took away counted off.
    pub depth_mm: [f64; 2],
    /// Depth at which nine tenths are left where nothing scaled off, as under flux or in a fire without free air, mm.
    pub most_mm: f64,
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
    /// Whether that takes off what such a soak adds, to the hundredth that is told.
    pub is_soak_ground_off: bool,
}

impl Skin {
    /// Of a design's forged blade: a surface without carbon in every heat, by the error function, which no fire without
    /// much free air makes worse.
    pub fn of(design: &Design, stock: &Stock, heat: &BladeHeat) -> Skin {
        let (forging, stages) = (design.forging(), &design.blade().spec().stages);
        let scale = forging.scale * forging.stack_heats as f64;
        let welded = welded(design, stock);
        let depth = |share: f64, scale: f64| forging.skin_depth(share, scale, welded);
        let most = depth(ENOUGH, 0.0);
        let hot_min = heat.soak_min[1] + heat.warming_min.unwrap_or_default();
        let soak = |[_, hot]: [f64; 2]| decarburised(ENOUGH, hot, 60.0 * hot_min, 0.0);
        let soak_mm = heat.hardening.celsius.map(soak);
        let allowance = stages.forged_allowance + stages.ground_allowance;
        Skin {
            depth_mm: [HALF, ENOUGH].map(|share| depth(share, scale)),
            most_mm: most,
            scale_mm: scale,
            allowance_mm: allowance,
            is_ground_off: allowance >= most,
            outline: OutlineSkin { depth_mm: most, ..OutlineSkin::of(design) },
            is_soak_ground_off: soak_mm.is_none_or(|soak| stages.ground_allowance + HUNDREDTH > soak),
            soak_mm,
            after_hardening_mm: stages.ground_allowance,
        }
    }
}

/// Seconds at the heat of forging that do to the forged skin what the last weld did to the stack's or the billet's, which
/// is thinned with it since; 0 where nothing is welded.
fn welded(design: &Design, stock: &Stock) -> f64 {
    let forging = design.forging();
    let block = stock.bars.iter().flat_map(|bar| &bar.blocks).next_back();
    let last =
        if stock.is_one_bar() { block.map(|b| b.section_mm) } else { Some(stock.stack.blade_section_mm) };
    // A block may have been stood on edge since: the thinner of its two ways is thinned least.
    let Some(wide) = last.map(|[high, wide]| high.min(wide)) else { return 0.0 };
    let (spec, stages) = (design.blade().spec(), &design.blade().spec().stages);
    let back = spec.taper.iter().map(|t| t.back.max(t.grind.unwrap_or(t.back))).fold(0.0, f64::max);
    let thinned = ((back + 2.0 * (stages.forged_allowance + stages.ground_allowance)) / wide).min(1.0);
    let faster = diffusion(forging.weld_heat, LOST) / diffusion(SKIN_HEATS.0, LOST);
    60.0 * forging.weld_minutes * faster * thinned * thinned
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
        assert!((five.most_mm - five.depth_mm[1]).abs() < 1e-9);
        // By Ågren 0.13 mm in ten minutes at 850 °C; the minutes in which it gets that hot count with them.
        let soak = five.soak_mm.unwrap();
        assert!(soak > 0.13 && soak < 0.2, "{five:?}");
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

    /// By Ågren ten minutes at 1150 °C lose a tenth of the carbon to 0.64 mm. A stack 12 mm thick whose blade is 6.9 mm
    /// thick keeps 0.37 mm of that; one bar of one steel was never welded.
    #[test]
    fn the_weld_s_skin_is_thinned_with_the_stack() {
        let layers = "name = 'Oar'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n[billet]\n\
                      width = 12\n[[bar]]\nheight = 20\nsteel = 'C75S'\n[[bar]]\nheight = 14\nsteel = 'C105U'\n\
                      [forging]\nscale = 0\nstack_heats = 1\n";
        let plan = Plan::of(&design::read(layers.as_bytes()).unwrap()).unwrap();
        let thick = plan.skin.most_mm;
        // 0.64 · 6.9/12 = 0.368, and the heat's own 0.14: the root of the sum of squares.
        assert!((thick - 0.395).abs() < 0.012, "{:?}", plan.skin);
        assert!(skin("[forging]\nscale = 0\nstack_heats = 1").most_mm < 0.15);
    }

    /// A block welded flat and stood on edge is thinned from its lesser way: 10 mm to 6.4, eight heats of two minutes at
    /// 1000 °C and ten minutes at 1150 keep nine tenths of the carbon 0.57 mm down (Ågren 1986, reckoned by hand).
    #[test]
    fn a_block_on_edge_is_thinned_by_its_thickness() {
        let plan = crate::fixtures::plan("ferrymans-knife");
        assert!((plan.skin.most_mm - 0.57).abs() < 0.02, "{:?}", plan.skin);
    }
}
