//! What every part of a full-size sheet shares: the blade as it is drawn, and the sizes of figures, ticks and gaps.

use blade::{Loft, Stage};
use brep::Piece;
use design::Design;
use drawing::{Anchor, Drawing, Layer, around};
use glam::DVec2;
use std::sync::Arc;

use design::Figures;

/// Height of the capitals of figures, mm: the least lettering of ISO 3098 (2.5 mm; from memory) less a little, so that
/// a thickness to 0.001 in and its letter stay clear of their neighbours 25 mm on.
pub(crate) const FIGURE: f64 = 2.2;
/// From one line of figures to the next, mm: about one and a half times their height.
pub(crate) const LINE: f64 = 3.4;
/// Gap between the steel's border and marks beside it, mm: wide enough to cut along the border and leave them.
pub(crate) const GAP: f64 = 1.0;
/// Length of a station's tick, mm: seen at a glance, yet no line of the blade.
pub(crate) const TICK: f64 = 3.0;
/// Room for a station's figures to each side of its tick, mm: half of seven characters and a gap.
pub(crate) const HALF: f64 = 7.5;
/// Height of the capitals of words, mm: ISO 3098 (from memory).
pub(crate) const WORDS: f64 = 2.5;
/// Clear room between the views, mm.
pub(crate) const APART: f64 = 3.5;
/// From one dimension line to the next, mm: figures of one stand clear of the other.
pub(crate) const STEP: f64 = 5.0;
/// Room left of the tang for three breadths, mm.
pub(crate) const BREADTHS: f64 = 3.0 * STEP + FIGURE + 1.5;

/// What every part of the template needs to know.
pub(crate) struct Layout<'a> {
    pub(crate) design: &'a Design,
    pub(crate) loft: Arc<Loft>,
    pub(crate) scale: f64,
    pub(crate) figures: Figures,
    /// The outline, scaled, from the tang's end round the edge.
    pub(crate) outline: Vec<Piece>,
    /// Points along the upper and the lower chain, scaled.
    pub(crate) back: Vec<DVec2>,
    pub(crate) edge: Vec<DVec2>,
    /// The box around the outline.
    pub(crate) low: DVec2,
    pub(crate) high: DVec2,
}

impl<'a> Layout<'a> {
    pub(crate) fn new(design: &'a Design, stage: Stage, scale: f64) -> Layout<'a> {
        let loft = design.blade().loft(stage);
        let silhouette = loft.silhouette();
        let [back, edge] = [&silhouette.back, &silhouette.edge].map(|chain| points(chain, scale));
        let [low, high] = around(&[back.clone(), edge.clone()].concat());
        let outline = silhouette.closed().iter().map(|p| p.scaled(scale)).collect();
        let figures = design.figures();
        Layout { design, loft, scale, figures, outline, back, edge, low, high }
    }

    /// The stations with a tick, mm when cold: every 25 mm or every inch as long as the figures have room.
    pub(crate) fn stations(&self) -> Vec<f64> {
        let pitch = self.figures.pitch();
        let last = self.loft.length() - HALF;
        (0..).map(|i| f64::from(i) * pitch).take_while(|&x| x <= last.max(0.0)).collect()
    }

    /// Where the drawing's left border lies: the widest things left of the tang are its breadths.
    pub(crate) fn left(&self) -> f64 {
        self.low.x - BREADTHS
    }
}

/// Points along a chain, scaled, for finding room beside it.
fn points(chain: &[Piece], scale: f64) -> Vec<DVec2> {
    // 64 to a piece: a curved point's piece of 60 mm is sampled every millimetre.
    let along = |p: &Piece| (0..=64).map(|i| p.at(f64::from(i) / 64.0).0 * scale).collect::<Vec<_>>();
    chain.iter().flat_map(along).collect()
}

/// Height of a chain at x, on the blade's side of the shoulder.
pub(crate) fn level(chain: &[DVec2], x: f64) -> f64 {
    let i = chain.partition_point(|p| p.x <= x);
    match (i.checked_sub(1).map(|k| chain[k]), chain.get(i)) {
        (Some(a), Some(b)) => a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x),
        (Some(p), None) => p.y,
        (None, p) => p.map_or(0.0, |p| p.y),
    }
}

/// Heights of a chain at most `half` from x.
pub(crate) fn levels(chain: &[DVec2], x: f64, half: f64) -> impl Iterator<Item = f64> {
    let near = chain.iter().filter(move |p| (p.x - x).abs() <= half).map(|p| p.y);
    near.chain([x - half, x, x + half].map(|x| level(chain, x)))
}

/// Adds a station's tick from `from` by `reach` upwards.
pub(crate) fn tick(drawing: &mut Drawing, from: DVec2, reach: f64) {
    drawing.line(Layer::Station, from, from + DVec2::new(0.0, reach));
}

/// Adds lines of figures one under the other, the first with its base line at `at`.
pub(crate) fn figures(drawing: &mut Drawing, at: DVec2, anchor: Anchor, lines: &[String]) {
    for (i, line) in lines.iter().enumerate() {
        drawing.text(at - DVec2::new(0.0, LINE * i as f64), FIGURE, anchor, line.as_str());
    }
}
