//! How far the blade is ground when it is hardened: the same words in plan, sheet and page.

use design::{Design, Figures};
use serde::Serialize;

/// The blade as it is hardened: ground, not yet finished.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct HardenedAs {
    /// Its edge's thickness, mm.
    pub edge_mm: f64,
    /// What is ground off each side after it is tempered, mm.
    pub left_mm: f64,
}

impl HardenedAs {
    /// Of a design.
    pub(crate) fn of(design: &Design) -> HardenedAs {
        let stages = &design.blade().spec().stages;
        HardenedAs { edge_mm: stages.ground_edge, left_mm: stages.ground_allowance }
    }

    /// When to harden it and what is done after that, in sentences: thin edges warp and crack, and a belt takes the temper
    /// away unseen (common practice, no source).
    pub fn told(self, l: Figures) -> [String; 2] {
        [
            format!(
                "Harden it after rough grinding, while its edge is still {} thick: a thinner one warps and cracks sooner.",
                l.gap(self.edge_mm)
            ),
            format!(
                "If the tang hardened too, soften it after tempering: heat it to blue with the blade kept cold in a wet rag. A hard \
                 tang snaps at the shoulder. Once the blade is tempered, grind the last {} off each side and sharpen it: cool it in \
                 water often. Too hot to touch, and the temper is at risk.",
                l.gap(self.left_mm)
            ),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The figures are those of the file's stages: the ground edge, and what lies between ground and finished.
    #[test]
    fn edge_and_rest_are_those_of_the_stages() {
        let text = "name = 'Oar'\nsteel = '1084'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n\
                    [stages]\nground = { allowance = 0.2, edge = 1.4 }\n";
        let design = design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"));
        let [when, then] = HardenedAs::of(&design).told(design.figures());
        assert!(
            when.contains("1.40 mm thick") && then.contains("last 0.20 mm off each side"),
            "{when} {then}"
        );
    }
}
