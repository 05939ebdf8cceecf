//! Stop blocks: laid beside the steel under the hammer, they end its way at a thickness.

use design::{Design, Problem};
use glam::DVec2;

use crate::names::in_name;
use crate::part::{Part, Stuff};
use crate::plate::bed::too_small;
use crate::slab::contour::{Contour, Motion};
use crate::slab::extrusion::Slab;
use crate::slab::label::{CLEAR, depth, label};
use crate::slab::lettering::Lettering;
use design::Figures;

/// Length and breadth of a block, mm: a hand's grip stays clear of the dies (common practice, no source).
const SIZE: DVec2 = DVec2::new(60.0, 25.0);
/// Radius of its corners, mm: no edge that cuts a hand.
const CORNER: f64 = 3.0;
/// Diameter of the hole for a cord or hook, mm.
const HOLE: f64 = 6.0;
/// From the hole to the borders, mm: as much material as hole.
const RIM: f64 = 6.0;
/// Height of the figures, mm: read at arm's length on the anvil (common practice, no source).
const FIGURES: f64 = 8.0;
/// Most decimals tried in names: where double precision ends.
const MOST_PLACES: usize = 15;

/// A block for each of the shop's stops.
///
/// # Errors
/// Every block that does not fit the bed.
pub(crate) fn stops(design: &Design) -> Result<Vec<Part>, Vec<Problem>> {
    let (stops, figures) = (&design.shop().stops, figures(design));
    let mut problems = Vec::new();
    let mut parts = Vec::new();
    for (&stop, name) in stops.iter().zip(names(stops, figures)) {
        match block(design, stop, name) {
            Ok(part) => parts.push(part),
            Err(problem) => problems.push(problem),
        }
    }
    if problems.is_empty() { Ok(parts) } else { Err(problems) }
}

/// Blocks of an inch shop are sawn to fractions, whatever else of the design is.
fn figures(design: &Design) -> Figures {
    Figures { fractions: true, ..design.figures() }
}

/// A stop block, laid on the bed.
fn block(design: &Design, stop: f64, name: String) -> Result<Part, Problem> {
    let text = figures(design).size(stop);
    let slab = slab(design, stop, &text);
    let [_, high] = slab.outline.bounds();
    let laid = slab.laid(design.shop());
    let laid = laid.ok_or_else(|| {
        too_small(design, &format!("the stop block of {text}"), high.extend(stop).to_array())
    })?;
    Ok(Part {
        name,
        title: format!("Stop block of {text}"),
        note: "Lay it flat on the anvil beside the steel, well clear of your hand: the hammer stops at its height. Strap it down or weld \
               a handle to it: a loose block flies off when it is struck off-centre. Make it of mild steel, not hardened: a hard block \
               chips. Never use a print of it: that is only a pattern."
            .into(),
        stage: None,
        stuff: Stuff::Steel,
        shell: laid.shell(),
    })
}

/// The block on z = 0, as large as its figures need.
fn slab(design: &Design, stop: f64, text: &str) -> Slab {
    let lettering = Lettering::of_height(FIGURES, design.shop().nozzle);
    let line = DVec2::new(lettering.width(text), lettering.height());
    let left = RIM + HOLE + CLEAR.max(0.5 * RIM);
    let size = SIZE.max(DVec2::new(left + line.x + RIM, line.y + 2.0 * RIM));
    let at = DVec2::new(0.5 * (left + size.x - RIM - line.x), 0.5 * (size.y - line.y));
    let inner = Contour::rectangle(DVec2::splat(CORNER), size - CORNER);
    let outline = inner.grown(CORNER).pop().unwrap_or(inner);
    Slab {
        outline,
        holes: vec![
            Contour::circle(DVec2::ZERO, 0.5 * HOLE)
                .moved(&Motion::shift(DVec2::new(RIM + 0.5 * HOLE, 0.5 * size.y))),
        ],
        engraving: label(&lettering, text, at).0,
        thickness: stop,
        depth: depth(stop),
    }
}

/// A name for each stop (mm, decreasing): in mm with three decimals, in inches as a fraction or with four; or as many as it
/// takes to tell them apart.
fn names(stops: &[f64], figures: Figures) -> Vec<String> {
    let with = |places: usize| -> Vec<String> {
        stops.iter().map(|stop| format!("stop-{}", in_name(*stop, figures, places))).collect()
    };
    let apart = |names: &Vec<String>| names.windows(2).all(|pair| pair[0] != pair[1]);
    (3..MOST_PLACES).map(with).find(apart).unwrap_or_else(|| with(MOST_PLACES))
}

#[cfg(test)]
mod tests {
    use super::*;
    use brep::{Mesh, Moments};
    use std::f64::consts::PI;

    fn design(head: &str, shop: &str) -> Design {
        let text = format!(
            "name = \"Ferry-house stops\"\n{head}\n[[taper]]\nat = 0\nback = \"6 mm\"\n[outline]\nlength = \"300 mm\"\n\
             breadth = \"30 mm\"\n[shop]\n{shop}\n"
        );
        design::read(text.as_bytes()).unwrap_or_else(|problems| panic!("{text}\n{problems:#?}"))
    }

    #[test]
    fn every_stop_is_a_block_of_its_height() {
        for (head, shop) in
            [("", "nozzle = 0.4"), ("unit = \"in\"", ""), ("", "nozzle = 1.8\nstops = [30, 9.525, 2]")]
        {
            let design = design(head, shop);
            let parts = stops(&design).unwrap();
            assert_eq!(parts.len(), design.shop().stops.len());
            for (part, &stop) in parts.iter().zip(&design.shop().stops) {
                let (low, high) = part.shell.bounds();
                assert!(low.abs().max_element() < 1e-9 && (high.z - stop).abs() < 1e-12, "{}", part.name);
                let slab = slab(&design, stop, &figures(&design).size(stop));
                let words: f64 = slab
                    .engraving
                    .iter()
                    .map(|r| r.outer.area() - r.islands.iter().map(Contour::area).sum::<f64>())
                    .sum();
                let [_, size] = slab.outline.bounds();
                let area = size.x * size.y - (4.0 - PI) * 9.0 - 9.0 * PI;
                let wanted = area * stop - words * 0.6f64.min(stop / 3.0);
                let volume = Moments::of(&part.shell).volume;
                assert!((volume / wanted - 1.0).abs() < 1e-6, "{volume} {wanted}");
                let mesh = Mesh::of(&part.shell, 0.02).unwrap();
                assert!((mesh.volume() - wanted).abs() < 0.02 * mesh.surface());
                solid::solid(&part.shell).unwrap();
            }
        }
    }

    #[test]
    fn names_are_in_the_shops_unit_and_differ() {
        let metric = Figures::default();
        assert_eq!(names(&[25.0, 9.525, 38.1 - 29.1], metric), ["stop-25", "stop-9-525", "stop-9"]);
        assert_eq!(names(&[9.00002, 9.00001], metric), ["stop-9-00002", "stop-9-00001"]);
        let inch = Figures { fractions: true, ..Figures::of(design::Unit::Inch) };
        let stops = [5.8, 1.5, 1.0, 0.625, 0.58, 0.3125].map(|inches| inches * 25.4);
        let wanted = ["stop-5p8in", "stop-1-1-2in", "stop-1in", "stop-5-8in", "stop-0p58in", "stop-5-16in"];
        assert_eq!(names(&stops, inch), wanted);
    }

    #[test]
    fn blocks_of_an_inch_shop_are_fractions() {
        let parts = stops(&design("unit = \"in\"", "")).unwrap();
        let told: Vec<_> = parts.iter().map(|p| p.title.trim_start_matches("Stop block of ")).collect();
        assert_eq!(told[..5], ["1 1/2 in", "1 1/4 in", "1 in", "3/4 in", "5/8 in"]);
    }

    #[test]
    fn blocks_that_do_not_fit_are_all_named() {
        let problems = stops(&design("", "bed = [30, 30, 20]\nstops = [40, 20]")).err().unwrap();
        assert_eq!(problems.len(), 2);
        assert!(problems.iter().all(|p| p.field == "shop.bed"));
        assert!(problems[0].message.starts_with("the stop block of 40 mm needs 60 × 25 × 40 mm"));
    }
}
