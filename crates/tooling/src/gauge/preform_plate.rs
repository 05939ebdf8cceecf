//! The cut line of the tip before it is forged up, as a plate to scribe along.

use blade::{Preform, Stage};
use design::Design;
use glam::DVec2;

use crate::gauge::unlaid::Gauge;
use crate::paper::preform::{TICK, stations};
use crate::plate::panel::Panel;
use crate::plate::stamps::Stamps;
use crate::slab::contour::Contour;
use crate::slab::extrusion::Slab;
use crate::slab::label::{self, CLEAR};
use crate::slab::lettering::Lettering;
use crate::slab::writer::Writer;
use design::Figures;

/// Where ticks begin above the straight edge, mm: clear of it by more than engravings must be.
const BASE: f64 = 1.25 * CLEAR;

/// The plate of the piece to cut; `None` where the point is not forged up from a straight piece.
pub(crate) fn preform_plate(design: &Design) -> Option<Gauge> {
    let preform = design.preform()?.ok()?;
    let outline = Contour::of_pieces(preform.outline());
    let thickness = design.gauges().thickness;
    let writer = Lettering::least(design.shop().nozzle);
    let tip = Tip { preform: &preform, figures: design.figures(), outline: &outline, scale: 1.0 };
    let (engraving, missing) = tip.marks(&writer, &[vec!["EDGE".to_owned()], label::names(design.slug())]);
    let small = if missing.contains(&1) { label::NO_ROOM_FOR_NAME } else { "" };
    Some(Gauge {
        name: "tip-preform".to_owned(),
        title: "Tip-preform gauge".to_owned(),
        note: note(design) + small,
        stage: Some(Stage::Forged),
        slab: Slab { outline, holes: Vec::new(), engraving, thickness, depth: label::depth(thickness) },
    })
}

/// What it is for.
fn note(design: &Design) -> String {
    format!(
        "Lay its straight side on the cutting-edge side of the cold bar, at the point end, scribe along its other side and cut \
         just outside the line. {} For cold steel only: printed plastic softens near hot steel.",
        forged_up(design)
    )
}

/// What comes after the cut.
pub(crate) fn forged_up(design: &Design) -> &'static str {
    match design.billet() {
        Some(_) => "Then forge the edge up to its curve, so that the layers follow it to the point.",
        None => "Then forge the edge up to its curve.",
    }
}

/// The piece to cut, perhaps scaled for hot steel.
pub(crate) struct Tip<'a> {
    pub(crate) preform: &'a Preform,
    pub(crate) figures: Figures,
    /// Its outline, `scale` times as large as cold.
    pub(crate) outline: &'a Contour,
    pub(crate) scale: f64,
}

impl Tip<'_> {
    /// Ticks along the straight edge, each with the length up to it on cold steel, and words: of each group the first that
    /// finds room. Also the numbers of the groups of which none did.
    pub(crate) fn marks<W: Writer>(&self, writer: &W, words: &[Vec<String>]) -> (Vec<W::Mark>, Vec<usize>) {
        let mut stamps = Stamps::new(Panel::solid(self.outline).bars(), Vec::new());
        for s in stations(self.preform, self.figures).into_iter().skip(1) {
            let (x, text) = (self.scale * s, self.figures.station(s));
            let (tick, bounds) = writer.tick(x, [BASE, BASE + TICK]);
            let up = BASE + TICK + CLEAR + label::room(writer);
            let number = writer.line(&text, DVec2::new(x - 0.5 * writer.width(&text), up));
            stamps.put_all(vec![(vec![tick], bounds), number]);
        }
        let most = self.scale * self.preform.edge_length();
        let sizes = writer.sizes();
        let mut written = |group: &Vec<String>| {
            let mut tries = group.iter().flat_map(|text| sizes.iter().map(move |size| (size, text)));
            tries.any(|(size, text)| anywhere(&mut stamps, size, most, text))
        };
        let missing = words.iter().enumerate().filter(|(_, group)| !written(group)).map(|(i, _)| i).collect();
        (stamps.marks().to_vec(), missing)
    }
}

/// Writes text at the first place with room for it up to `most` mm along the edge; says whether there was one.
fn anywhere<W: Writer>(stamps: &mut Stamps<W::Mark>, writer: &W, most: f64, text: &str) -> bool {
    let room = label::room(writer);
    let size = DVec2::new(writer.width(text), writer.height()) + 2.0 * room;
    let Some(at) = stamps.place(size, &[0], 0.0, most) else { return false };
    let (marks, bounds) = writer.line(text, at + room);
    stamps.put(marks, bounds)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::profiles;

    #[test]
    fn every_profile_has_a_plate_of_its_cut_lines_area() {
        for (name, design) in profiles() {
            let Some(Ok(preform)) = design.preform() else {
                assert!(preform_plate(&design).is_none() && design.preform().is_none(), "{name}");
                continue;
            };
            let [cut, _] = preform.areas();
            let plate = preform_plate(&design).unwrap();
            // Arcs keep within 2 µm of the curves, a perimeter of less than 1 m long.
            assert!(
                (plate.slab.outline.area() - cut).abs() < 1.0,
                "{name} {} {cut}",
                plate.slab.outline.area()
            );
            // A tip of a few millimetres has room for nothing, and the note tells.
            let told = plate.note.ends_with(label::NO_ROOM_FOR_NAME);
            assert!(told || !plate.slab.engraving.is_empty(), "{name}");
        }
    }
}
