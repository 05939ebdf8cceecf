//! The tang-slot gauge: the slots that guard or grip needs to pass over a hidden tang.

use blade::{Stage, TangForm};
use design::{Design, FittingKind};
use glam::DVec2;

use crate::gauge::unlaid::Gauge;
use crate::slab::contour::Contour;
use crate::slab::corner::{Corner, QUARTER};
use crate::slab::extrusion::Slab;
use crate::slab::label;
use crate::slab::lettering::Lettering;
use crate::slab::writer::Writer;
use drawing::Anchor;

/// Wall around the slots, mm: bears a tang pushed through by hand (common practice, no source).
const WALL: f64 = 6.0;

/// Largest radius of the reliefs in a slot's corners, mm: a tang's sharp arrises never meet printed ones.
const RELIEF: f64 = 0.75;

/// The most of a slot's lesser side that a relief's radius takes: three fifths are left for the tang to bear on.
const RELIEF_SHARE: f64 = 0.2;

/// The gauge; none for a full tang, over which nothing is slid.
pub(crate) fn tang_gauge(design: &Design) -> Option<Gauge> {
    is_slid_over(design).then(|| Gauge {
        name: "tang-slot".to_owned(),
        title: "Tang-slot gauge".to_owned(),
        note: format!(
            "{} For cold steel only: printed plastic softens near hot steel.",
            used(design, "a sliding fit")
        ),
        stage: None,
        slab: slab(design),
    })
}

/// Whether guard or grip is slid over the tang.
pub(crate) fn is_slid_over(design: &Design) -> bool {
    matches!(design.blade().spec().tang.form, TangForm::Hidden { .. })
}

/// How a grip gets its hole: a tang that is hot enough to burn wood loses its temper, and the blade's with it.
const BURNT: &str = "cut the grip's hole to match, or burn it in with a hot scrap bar of the same size, never with the tempered tang; burn it outdoors, out of its smoke";

/// What the slots are for, where `gap` says how much room TANG leaves: for the guard where one is fitted, else for the grip.
pub(crate) fn used(design: &Design, gap: &str) -> String {
    let guarded = design.fittings().iter().any(|fitting| fitting.kind == FittingKind::Guard);
    let (part, opening, cut) = match guarded {
        true => ("guard", "slot", "cut the guard's slot to match"),
        false => ("grip", "hole", BURNT),
    };
    let radii = if slots(design).len() > 1 {
        format!(
            " If the {part} is to sit against the shoulder, open the mouth of its {opening} to the size marked +R, so that it clears the radii there."
        )
    } else {
        String::new()
    };
    format!(
        "The slot marked TANG passes over the finished tang's root with {gap}; file the tang until it does, then {cut}.{radii}"
    )
}

/// Sizes of the slots, mm: at the tang's root, and with room for the shoulder's radii where it has any.
pub(crate) fn slots(design: &Design) -> Vec<DVec2> {
    let root = design.blade().loft(Stage::Finished).tang_root() + DVec2::splat(2.0 * design.shop().sliding);
    let radius = match design.blade().spec().tang.form {
        TangForm::Hidden { shoulder_radius, .. } if shoulder_radius > 0.0 => Some(shoulder_radius),
        _ => None,
    };
    std::iter::once(root).chain(radius.map(|r| root + DVec2::new(2.0 * r, 0.0))).collect()
}

/// The gauge's plate as printed.
fn slab(design: &Design) -> Slab {
    let relief = |slot: DVec2| RELIEF.min(RELIEF_SHARE * slot.min_element());
    let Plate { outline, holes, marks } = plate(design, &Lettering::least(design.shop().nozzle), relief);
    let thickness = design.gauges().thickness;
    Slab { outline, holes, engraving: marks, thickness, depth: label::depth(thickness) }
}

/// What the gauge is made of, mm.
pub(crate) struct Plate<M> {
    pub(crate) outline: Contour,
    pub(crate) holes: Vec<Contour>,
    pub(crate) marks: Vec<M>,
}

/// A slot for the tang as planned and one with the allowance, each with its words; `relief` is the radius (mm) of the
/// rounds about the corners of a slot of this size (mm).
pub(crate) fn plate<W: Writer>(design: &Design, writer: &W, relief: impl Fn(DVec2) -> f64) -> Plate<W::Mark> {
    let slots = slots(design);
    let (room, line) = (label::room(writer), label::line(writer));
    let size = size(design);
    let words = [["TANG", &size], ["+R", ""]];
    let broadest = slots.iter().map(|s| s.x + 2.0 * WALL).fold(0.0, f64::max);
    let widest = label::widest(writer, std::slice::from_ref(&size)).max(writer.width("TANG"));
    let widest = widest.max(label::least_name(writer, design.slug()));
    let width = broadest.max(widest + 2.0 * room);
    let (mut y, mut holes, mut marks) = (0.0, Vec::new(), Vec::new());
    for (slot, words) in slots.iter().zip(words) {
        y += WALL;
        let relief = relief(*slot);
        holes.push(hole(DVec2::new(0.5 * width, y + 0.5 * slot.y), *slot, relief));
        y += slot.y + WALL.min(room + relief.max(RELIEF));
        for text in words.iter().rev().filter(|text| !text.is_empty()) {
            marks.extend(label::anchored(writer, text, DVec2::new(0.5 * width, y), Anchor::Middle));
            y += line;
        }
    }
    let (small, name) = label::fitting(writer, design.slug(), width - 2.0 * room);
    marks.extend(label::anchored(&small, &name, DVec2::new(0.5 * width, y), Anchor::Middle));
    Plate { outline: Contour::rectangle(DVec2::ZERO, DVec2::new(width, y + line)), holes, marks }
}

/// The tang's nominal breadth and thickness in figures.
fn size(design: &Design) -> String {
    let figures = design.figures();
    let root = design.blade().loft(Stage::Finished).tang_root();
    format!("{}×{}", figures.length(root.x), figures.thickness(root.y))
}

/// A slot around its middle, with a round relief of radius `r` (mm) about each corner.
fn hole(middle: DVec2, size: DVec2, r: f64) -> Contour {
    let half = 0.5 * size;
    let signs = [DVec2::new(1.0, -1.0), DVec2::ONE, DVec2::new(-1.0, 1.0), DVec2::NEG_ONE];
    // Each relief is entered along a side and turns three quarters around its corner.
    let entries = [DVec2::NEG_X, DVec2::NEG_Y, DVec2::X, DVec2::Y];
    let relief = |(sign, entry): (DVec2, DVec2)| {
        let corner = middle + sign * half;
        let at = move |turns: u32| corner + (0..turns).fold(entry, |d, _| d.perp()) * r;
        (0..4).map(move |i| Corner { at: at(i), bulge: if i < 3 { QUARTER } else { 0.0 } })
    };
    Contour { corners: signs.into_iter().zip(entries).flat_map(relief).collect() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::profiles;

    #[test]
    fn slots_leave_a_sliding_gap_and_room_for_the_radius() {
        for (name, design) in profiles() {
            let slots = slots(&design);
            let (root, gap) = (design.blade().loft(Stage::Finished).tang_root(), design.shop().sliding);
            assert!((slots[0] - root - DVec2::splat(2.0 * gap)).length() < 1e-12, "{name}");
            if let TangForm::Hidden { shoulder_radius, .. } = design.blade().spec().tang.form {
                assert!((slots[1].x - slots[0].x - 2.0 * shoulder_radius).abs() < 1e-12, "{name}");
            } else {
                assert_eq!(slots.len(), 1, "{name}");
            }
        }
    }

    #[test]
    fn a_hole_is_its_rectangle_and_four_reliefs() {
        let hole = hole(DVec2::new(5.0, 6.0), DVec2::new(14.0, 4.0), RELIEF);
        // Three quarters of a disc outside each corner.
        let due = 56.0 + 3.0 * std::f64::consts::PI * RELIEF * RELIEF;
        assert!((hole.area() - due).abs() < 1e-9, "{}", hole.area());
        let [low, high] = hole.bounds();
        assert!((high - low - DVec2::new(15.5, 5.5)).length() < 1e-9);
    }
}
