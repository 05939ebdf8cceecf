//! The cut line of the tip before it is forged up, as a drawing at full size.

use blade::{Preform, Stage};
use brep::Piece;
use glam::DVec2;

use crate::paper::layout::{APART, FIGURE, GAP, HALF, LINE, WORDS, figures, tick};
use crate::paper::template::{Template, title};
use design::{Design, Figures, edge_curve};
use drawing::around;
use drawing::{Anchor, Drawing, Layer};

/// Length of a tick, mm, on paper and plate: seen at arm's length.
pub(crate) const TICK: f64 = 3.0;
/// The words over a short tip may be this wide, mm: they fit any page's window.
const ROOM: f64 = 150.0;
/// How far the cut line may leave a straight line and still be cut from mark to mark, mm: half of what a chisel's mark is wide
/// (common practice, no source).
const MARK: f64 = 0.5;
/// What is filed at the very point in any case, mm: its flat or its rounding.
const FILED: f64 = 3.0;
/// Places at which the cut line is looked at: on a tip of 100 mm every 2 mm.
const PLACES: u32 = 50;

/// Draws the piece to cut, s along its straight edge from 0 and its breadths, and under it the tip that it becomes.
/// `None` where the point is not forged up from a straight piece.
pub fn preform(design: &Design) -> Option<Template> {
    let preform = design.preform()?.ok()?;
    let sheet = Sheet { preform: &preform, figures: design.figures() };
    let mut drawing = Drawing::default();
    let cut = sheet.cut(&mut drawing);
    sheet.tip(&mut drawing, cut[0].y);
    sheet.words(design, &mut drawing, cut[1].y);
    let name = format!("{}, tip preform: the point before it is forged up", design.name());
    Some(Template { drawing, name, stage: Stage::Forged, hot: None, blade: cut })
}

/// What the drawing's parts share.
struct Sheet<'a> {
    preform: &'a Preform,
    figures: Figures,
}

impl Sheet<'_> {
    /// The piece to cut with its breadths above and the blade's stations below; returns the box around its outline.
    fn cut(&self, drawing: &mut Drawing) -> [DVec2; 2] {
        let outline = self.preform.outline();
        drawing.closed(Layer::Outline, outline.to_vec());
        let bounds = box_of(outline);
        for s in stations(self.preform, self.figures) {
            let Some((breadth, _)) = self.preform.breadth(s) else { continue };
            let near = [s - HALF, s, s + HALF].into_iter().filter_map(|s| self.preform.breadth(s));
            let top = near.map(|(b, _)| b).fold(0.0, f64::max) + GAP + TICK + GAP + LINE;
            tick(drawing, DVec2::new(s, breadth + GAP), TICK);
            tick(drawing, DVec2::new(s, -GAP), -TICK);
            let told = match self.preform.leeway(s) {
                Some(both) => both.map(|b| self.figures.length(b)).join("–"),
                None => self.figures.length(breadth),
            };
            let lines = [self.figures.station(s), format!("b {told}")];
            figures(drawing, DVec2::new(s, top), Anchor::Middle, &lines);
        }
        let long = self.figures.length(self.preform.edge_length());
        let ends = [DVec2::ZERO, DVec2::new(self.preform.edge_length(), 0.0)];
        let mark = crate::Mark::Dimension {
            from: ends[0],
            to: ends[1],
            offset: -(GAP + TICK + LINE),
            height: FIGURE,
            text: format!("{long} straight edge"),
        };
        drawing.add(Layer::Dimension, mark);
        bounds
    }

    /// The tip with the lines square to its edge that the piece's breadths become.
    fn tip(&self, drawing: &mut Drawing, floor: f64) {
        let tip = self.preform.tip();
        let [low, high] = box_of(&tip);
        let base = floor - (GAP + TICK + 2.0 * LINE) - APART - WORDS - (high.y - low.y) - LINE;
        let shift = DVec2::new(-low.x, base - low.y);
        drawing.closed(Layer::Outline, tip.iter().map(|p| p.moved(shift)).collect());
        let caption = DVec2::new(0.0, base + (high.y - low.y) + GAP + LINE);
        drawing.text(caption, WORDS, Anchor::Start, "What it becomes; stations of the blade below");
        for s in stations(self.preform, self.figures) {
            let Some([foot, head]) = self.preform.column(s) else { continue };
            drawing.line(Layer::Station, foot + shift, head + shift);
            // The edge rises to the right: figures begin under their place.
            let below = foot + shift - DVec2::new(0.0, GAP + LINE);
            drawing.text(below, FIGURE, Anchor::Start, self.figures.length(foot.x));
        }
    }

    /// The drawing's title and what to do with it.
    fn words(&self, design: &Design, drawing: &mut Drawing, ceiling: f64) {
        let unit = self.figures.unit.name();
        let start = self.figures.length(self.preform.start());
        let layers = if design.billet().is_some() { ", so that layers follow it" } else { "" };
        let mut text = format!(
            "Cut line of the tip before it is forged up, full size, unit {unit}. The straight side becomes the edge{layers}; \
             the cut side becomes the back. It begins square to the edge at the blade's station \
             {start}; over it lengths along the edge and b, the breadth there. Its area is the tip's: forge the edge to its \
             curve and keep the thickness."
        );
        if let (Some(between), Some(widest)) = (self.preform.forged_between(), self.preform.widest_leeway()) {
            text += &format!(" {}", edge_curve(between, widest, self.figures));
        }
        let low = ceiling + GAP + TICK + GAP + 2.0 * LINE + APART;
        title(drawing, DVec2::new(0.0, low), design.name(), &text, ROOM);
    }
}

/// Whether the cut line is straight but for the very point, so that marks at its two ends show all of it.
pub(crate) fn is_straight(preform: &Preform) -> bool {
    let end = preform.edge_length() - FILED;
    let [_, high] = box_of(preform.outline());
    let at = |s: f64| preform.breadth(s).map(|(breadth, _)| breadth);
    let (Some(first), Some(last)) = (at(0.0), at(end)) else { return false };
    let on_chord = |i: u32| {
        let share = f64::from(i) / f64::from(PLACES);
        at(share * end).is_some_and(|breadth| (breadth - first - share * (last - first)).abs() <= MARK)
    };
    end > FILED && high.x <= preform.edge_length() + FILED && (0..=PLACES).all(on_chord)
}

/// Lengths along the edge that are marked, mm: every 25 mm or every inch.
pub(crate) fn stations(preform: &Preform, figures: Figures) -> Vec<f64> {
    let pitch = figures.pitch();
    let most = preform.edge_length() - 1.0;
    (0..).map(|i| f64::from(i) * pitch).take_while(|s| *s < most).collect()
}

fn box_of(pieces: &[Piece]) -> [DVec2; 2] {
    // Curves bulge from their chords by less than a 16th of a piece shows.
    let points: Vec<DVec2> =
        pieces.iter().flat_map(|p| (0..=16).map(|i| p.at(f64::from(i) / 16.0).0)).collect();
    around(&points)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::profiles;
    use drawing::overlap;

    #[test]
    fn every_profile_has_a_cut_line_of_the_tips_area() {
        for (name, design) in profiles() {
            let Some(Ok(preform)) = design.preform() else { continue };
            let [cut, tip] = preform.areas();
            assert!(tip > 100.0 && (cut / tip - 1.0).abs() < 1e-6, "{name}: {cut} {tip}");
        }
    }

    /// A broken back with a straight edge is cut from mark to mark; over an edge that sweeps up the cut is curved.
    #[test]
    fn only_a_straight_cut_is_shown_by_its_ends() {
        for (name, design) in profiles() {
            let preform = Preform::of(design.blade()).unwrap();
            let swept = preform.tightest() > 0.02;
            let curved = [
                "inch-barge-seax",
                "oar-wrights-knife",
                "left-bank-seax",
                "net-menders-knife",
                "reed-cutters-seax",
            ];
            let straight = ["landing-seax", "bell-ringers-seax", "chain-smiths-trial"];
            assert!(!(swept && is_straight(&preform)), "{name}");
            assert!(!curved.contains(&name.as_str()) || !is_straight(&preform), "{name}");
            assert!(!straight.contains(&name.as_str()) || is_straight(&preform), "{name}");
            let Some(told) = preform_words(&design) else {
                assert!(design.preform().is_none(), "{name}");
                continue;
            };
            assert_eq!(told.contains("layers follow"), design.billet().is_some(), "{name}: {told}");
        }
    }

    /// What stands over the drawing, where there is one.
    fn preform_words(design: &Design) -> Option<String> {
        let texts = preform(design)?.drawing.plain().items.into_iter();
        let words =
            texts.filter_map(|i| if let crate::Mark::Text { text, .. } = i.mark { Some(text) } else { None });
        Some(words.collect::<Vec<_>>().join(" "))
    }

    #[test]
    fn no_text_lies_over_another() {
        for (name, design) in profiles() {
            let boxes = preform(&design).map_or_else(Vec::new, |page| page.drawing.text_extents());
            for (i, a) in boxes.iter().enumerate() {
                assert!(boxes[..i].iter().all(|b| !overlap(a, b)), "{name}: {a:?}");
            }
        }
    }
}
