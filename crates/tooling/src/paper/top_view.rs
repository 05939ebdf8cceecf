//! The template's view from above: the thickness along blade and tang.

use blade::TraceLine;
use brep::Piece;
use glam::DVec2;

use crate::paper::layout::{FIGURE, GAP, HALF, Layout, TICK, WORDS, tick};
use drawing::around;
use drawing::{Anchor, Drawing, Layer};

/// Draws the view with its upper end at `ceiling` and returns how far down it reaches, mm.
pub(crate) fn draw(plan: &Layout, drawing: &mut Drawing, ceiling: f64) -> f64 {
    let flat = outline(plan);
    let [low, high] = around(&flat.iter().flat_map(|p| [p.at(0.0).0, p.at(1.0).0]).collect::<Vec<_>>());
    let middle = ceiling - TICK - GAP - high.y;
    let shift = DVec2::new(0.0, middle);
    drawing.closed(Layer::Outline, flat.iter().map(|p| p.moved(shift)).collect());
    let beyond = 2.0 * GAP;
    drawing.line(Layer::Centre, DVec2::new(low.x - beyond, middle), DVec2::new(plan.high.x + beyond, middle));
    stations(plan, drawing, [middle + low.y - GAP, middle + high.y + GAP]);
    let caption = DVec2::new(plan.left(), middle + high.y + GAP);
    drawing.text(caption, WORDS, Anchor::Start, "From above");
    tang(plan, drawing, middle + low.y - TICK - 2.0 * GAP - FIGURE);
    middle + low.y - GAP - TICK - GAP - FIGURE
}

/// The tang's thickness at its end and at the shoulder, on one line under the view.
fn tang(plan: &Layout, drawing: &mut Drawing, foot: f64) {
    let thick = |size: DVec2| format!("t {}", plan.figures.thickness(size.y));
    let (end, root) = (plan.loft.tang_end(), plan.loft.tang_root());
    drawing.text(DVec2::new(plan.low.x, foot), FIGURE, Anchor::Start, thick(end));
    drawing.text(DVec2::new(-HALF, foot), FIGURE, Anchor::End, thick(root));
}

/// The flanks' upper borders, closed at the tang's end and at the point, scaled.
fn outline(plan: &Layout) -> Vec<Piece> {
    let mut all = flank(plan, true);
    all.extend(flank(plan, false).iter().rev().map(Piece::reversed));
    if let Some(first) = all.first().cloned() {
        all.push(first);
        all = joined(all);
        all.pop();
    }
    all
}

/// The upper border of one flank from the tang's end to the point.
fn flank(plan: &Layout, right: bool) -> Vec<Piece> {
    let traces = plan.loft.traces();
    let flank = traces.iter().filter(|t| t.line == TraceLine::Flank && t.right == right);
    flank.flat_map(|t| t.from_above()).map(|p| p.scaled(plan.scale)).collect()
}

/// The pieces with straight steps where one does not begin where the one before ends.
fn joined(pieces: Vec<Piece>) -> Vec<Piece> {
    let mut all: Vec<Piece> = Vec::new();
    for piece in pieces {
        let (from, to) = (all.last().map(|p| p.at(1.0).0), piece.at(0.0).0);
        // Steps under a nanometre are rounding.
        all.extend(from.filter(|f| f.distance(to) > 1e-6).map(|f| Piece::Straight(f, to)));
        all.push(piece);
    }
    all
}

/// Ticks on both sides, numbers under the lower ones.
fn stations(plan: &Layout, drawing: &mut Drawing, [low, high]: [f64; 2]) {
    for at in plan.stations() {
        let x = plan.scale * at;
        tick(drawing, DVec2::new(x, high), TICK);
        tick(drawing, DVec2::new(x, low), -TICK);
        let foot = DVec2::new(x, low - TICK - GAP - FIGURE);
        drawing.text(foot, FIGURE, Anchor::Middle, plan.figures.station(at));
    }
}
