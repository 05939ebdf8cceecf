//! Laying flat parts on the printer's bed, clear of its rim.

use design::{Problem, Shop};
use glam::DVec2;

use crate::slab::contour::{Contour, Motion};
use crate::slab::extrusion::Slab;

/// Turns tried, in parts of half a turn: quarter degrees, under a millimetre of sway on a bed of 200 mm.
const TURNS: u32 = 720;

/// Rounding that a part may stand over the room on the bed, mm.
const SLACK: f64 = 1e-9;

/// The motion that lays a contour on the bed with its least coordinates at 0: unturned if it fits so, on end if that
/// fits, otherwise with the least turn that does. `None` when nothing fits.
pub(crate) fn lay(outline: &Contour, shop: &Shop) -> Option<Motion> {
    let quarter = TURNS / 2;
    let turns = [0, quarter].into_iter().chain(1..TURNS);
    turns
        .map(|i| f64::from(i) * std::f64::consts::PI / f64::from(TURNS))
        .find_map(|turn| fits(outline, turn, shop))
}

/// The motion that lays an outline, turned by so much (rad), on the bed; `None` where it has no room.
fn fits(outline: &Contour, turn: f64, shop: &Shop) -> Option<Motion> {
    let [width, depth, _] = shop.room();
    let room = DVec2::new(width, depth) + SLACK;
    let turned = Motion { turn, shift: DVec2::ZERO };
    // Corners alone say soon that most turns are of no use; arcs can only reach further.
    let axis = DVec2::from_angle(turn);
    let range = outline
        .corners
        .iter()
        .map(|c| axis.rotate(c.at))
        .fold([DVec2::INFINITY, DVec2::NEG_INFINITY], |[low, high], p| [low.min(p), high.max(p)]);
    if (range[1] - range[0]).cmpgt(room).any() {
        return None;
    }
    let [low, high] = outline.moved(&turned).bounds();
    (high - low).cmple(room).all().then_some(Motion { turn, shift: -low })
}

impl Slab {
    /// The slab as it lies on the bed; `None` when the bed is too small or the printer too low for it.
    pub(crate) fn laid(&self, shop: &Shop) -> Option<Slab> {
        let motion = lay(&self.outline, shop).filter(|_| self.thickness <= shop.bed[2])?;
        Some(self.moved(&motion))
    }
}

/// What is said when a part does not fit the bed.
pub(crate) fn too_small(design: &design::Design, what: &str, size: [f64; 3]) -> Problem {
    let (figures, margin) = (design.figures(), design.shop().bed_margin);
    let told = |size: [f64; 3]| {
        format!("{} {}", size.map(|mm| figures.station(mm)).join(" × "), figures.unit.name())
    };
    let [wide, deep, high] = size;
    let (needed, bed) = (told(size), told(design.shop().bed));
    let least = [wide + 2.0 * margin, deep + 2.0 * margin, high].map(f64::ceil);
    let rim = if margin > 0.0 {
        format!(" with {} free on each side", figures.told(margin))
    } else {
        String::new()
    };
    let less = if margin > 0.0 { ", or a smaller bed_margin" } else { "" };
    design.problem(
        "shop.bed",
        "bed",
        format!("{what} needs {needed} and does not fit the bed of {bed}{rim}"),
        format!("give a bed of at least {}, if the printer has one{less}", told(least)),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_strip_lies_across_the_bed_and_a_longer_one_nowhere() {
        let shop = crate::fixtures::with_shop("bed = [208, 208, 100]\nbed_margin = 4", 200.0, [5.0, 3.0])
            .shop()
            .clone();
        // 200 × 200 mm are left.
        let strip = |length| Contour::rectangle(DVec2::ZERO, DVec2::new(length, 20.0));
        assert!(lay(&strip(200.0), &shop).is_some_and(|m| m.turn.abs() < 1e-12));
        // Across: (l + 20)/√2 ≤ 200.
        let motion = lay(&strip(262.0), &shop).unwrap();
        let [low, high] = strip(262.0).moved(&motion).bounds();
        assert!(low.abs().max_element() < 1e-9 && high.max_element() <= 200.0 + 1e-6);
        assert!(lay(&strip(263.5), &shop).is_none());
    }
}
