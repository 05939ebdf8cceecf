//! The cut line of the tip before it is forged up, as a plate to scribe along.

use blade::{Preform, Stage};
use design::Design;
use glam::DVec2;

use crate::gauge::unlaid::Gauge;
use crate::paper::preform::{TICK, stations};
use crate::plate::panel::Panel;
use crate::plate::stamps::Stamps;
use crate::slab::contour::{Contour, Region};
use crate::slab::extrusion::Slab;
use crate::slab::label::{self, CLEAR};
use crate::slab::lettering::Lettering;
use design::Figures;

/// Where ticks begin above the straight edge, mm: clear of it by more than engravings must be.
const BASE: f64 = 1.25 * CLEAR;

/// The plate of the piece to cut; `None` where the point can't be forged up from a straight piece.
pub(crate) fn preform_plate(design: &Design) -> Option<Gauge> {
    let preform = Preform::of(design.blade()).ok()?;
    let figures = design.figures();
    let outline = Contour::of_pieces(preform.outline());
    let thickness = design.gauges().thickness;
    let engraving = engraved(design, &preform, figures, &outline);
    Some(Gauge {
        name: "tip-preform".to_owned(),
        title: "Tip preform".to_owned(),
        note: NOTE.to_owned(),
        stage: Some(Stage::Forged),
        slab: Slab { outline, holes: Vec::new(), engraving, thickness, depth: label::depth(thickness) },
    })
}

const NOTE: &str = "Lay its straight side along the edge of the cold bar's end and scribe along the other: cut there, then \
                    forge the edge up to its curve. Layers, if it has any, then follow the edge to the point. For cold steel only: printed \
                    plastic softens near hot steel.";

/// Ticks along the straight edge with their lengths, EDGE, and the name, as far as there is room.
fn engraved(design: &Design, preform: &Preform, figures: Figures, outline: &Contour) -> Vec<Region> {
    let lettering = Lettering::least(design.shop().nozzle);
    let mut stamps = Stamps::new(Panel::solid(outline).bars(), Vec::new());
    let half = 0.5 * (1.25 * design.shop().nozzle).max(0.6);
    let marked: Vec<f64> = stations(preform, figures).into_iter().skip(1).collect();
    for s in &marked {
        let bounds = [DVec2::new(s - half, BASE), DVec2::new(s + half, BASE + TICK)];
        let mark = Region { outer: Contour::rectangle(bounds[0], bounds[1]), islands: Vec::new() };
        stamps.put(vec![mark], bounds);
    }
    anywhere(&mut stamps, &lettering, preform, "EDGE");
    for s in &marked {
        let text = figures.station(*s);
        let up = BASE + TICK + CLEAR + label::room(&lettering);
        write(&mut stamps, &lettering, &text, DVec2::new(s - 0.5 * lettering.width(&text), up));
    }
    let name = label::short_name(&lettering, design.slug(), 0.5 * preform.edge_length());
    anywhere(&mut stamps, &lettering, preform, &name);
    stamps.regions().to_vec()
}

/// Engraves text at the first place with room for it, if there is one.
fn anywhere(stamps: &mut Stamps, lettering: &Lettering, preform: &Preform, text: &str) {
    let room = label::room(lettering);
    let size = DVec2::new(lettering.width(text), lettering.height()) + 2.0 * room;
    if let Some(at) = stamps.place(size, &[0], 0.0, preform.edge_length()) {
        write(stamps, lettering, text, at + room);
    }
}

fn write(stamps: &mut Stamps, lettering: &Lettering, text: &str, at: DVec2) {
    let (regions, bounds) = label::label(lettering, text, at);
    stamps.put(regions, bounds);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::profiles;

    #[test]
    fn every_profile_has_a_plate_of_its_cut_lines_area() {
        for (name, design) in profiles() {
            let [cut, _] = Preform::of(design.blade()).unwrap().areas();
            let plate = preform_plate(&design).unwrap();
            // Arcs keep within 2 µm of the curves, a perimeter of less than 1 m long.
            assert!(
                (plate.slab.outline.area() - cut).abs() < 1.0,
                "{name} {} {cut}",
                plate.slab.outline.area()
            );
            assert!(!plate.slab.engraving.is_empty(), "{name}");
        }
    }
}
