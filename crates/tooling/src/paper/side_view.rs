//! The template's view from the right: outline, lines on the surface, stations, dimensions.

use std::f64::consts::TAU;

use blade::{Part, Stage, TangForm, Trace, TraceLine};
use brep::Piece;
use glam::DVec2;

use crate::paper::layout::{
    FIGURE, GAP, HALF, LINE, Layout, STEP, TICK, WORDS, figures, level, levels, tick,
};
use crate::paper::seam_lines;
use drawing::{Anchor, Drawing, Layer, Mark};

/// Height over the back that ticks and three lines of figures take, mm.
pub(crate) const LABELS: f64 = GAP + TICK + GAP + 2.0 * LINE + FIGURE;
/// Depth under the edge that ticks and a line of figures take, mm.
const NUMBERS: f64 = GAP + TICK + GAP + FIGURE + GAP;

/// Draws the view and returns how far down it reaches, mm.
pub(crate) fn draw(plan: &Layout, drawing: &mut Drawing) -> f64 {
    steel(plan, drawing);
    stations(plan, drawing);
    breadths(plan, drawing);
    // Between the first station's figures and the tang's breadths, which may stand above it.
    let caption = DVec2::new(-HALF - GAP, plan.high.y + GAP + TICK + GAP);
    drawing.text(caption, WORDS, Anchor::End, "From the right");
    lengths(plan, drawing)
}

/// The steel with the lines on it, and its centre lines.
pub(crate) fn steel(plan: &Layout, drawing: &mut Drawing) {
    drawing.closed(Layer::Outline, plan.outline.clone());
    holes(plan, drawing);
    surface(plan, drawing);
    seam_lines::draw(plan, drawing);
    centre(plan, drawing);
}

/// The tang's holes; they are drilled after the hammer.
fn holes(plan: &Layout, drawing: &mut Drawing) {
    let holes = &plan.design.blade().spec().tang.holes;
    for hole in holes.iter().filter(|_| plan.loft.stage() != Stage::Forged) {
        let centre = DVec2::new(-hole.at, hole.offset) * plan.scale;
        drawing.closed(Layer::Outline, vec![Piece::Arc(centre, 0.5 * hole.diameter * plan.scale, 0.0, TAU)]);
    }
}

/// Grind line, fullers and secondary bevel of the right side; of the left side what the right one lacks.
fn surface(plan: &Layout, drawing: &mut Drawing) {
    let traces = plan.loft.traces();
    for kind in [TraceLine::Grind, TraceLine::Fuller, TraceLine::SecondaryBevel] {
        let of_kind = || traces.iter().filter(move |t| t.line == kind && t.part == Part::Blade);
        let right = of_kind().any(|t| t.right);
        for trace in of_kind().filter(|t| t.right == right) {
            drawing.open(Layer::Surface, bevelled(plan, trace));
        }
    }
    ricasso(plan, drawing);
}

/// A line's pieces, scaled, without what would run along the unbevelled ricasso.
fn bevelled(plan: &Layout, trace: &Trace) -> Vec<Piece> {
    let ricasso = plan.design.blade().spec().ricasso.filter(|_| trace.line != TraceLine::Fuller);
    let from = ricasso.map_or(f64::NEG_INFINITY, |r| r.length);
    trace.from_side().iter().filter_map(|p| beyond(p, from)).map(|p| p.scaled(plan.scale)).collect()
}

/// What of a piece along which x grows lies beyond x.
fn beyond(piece: &Piece, x: f64) -> Option<Piece> {
    let at = |t: f64| piece.at(t).0.x;
    if at(0.0) >= x || at(1.0) <= x {
        return (at(1.0) > x).then(|| piece.clone());
    }
    let (mut low, mut high) = (0.0, 1.0);
    // 50 halvings reach a nanometre on every blade.
    for _ in 0..50 {
        let t = 0.5 * (low + high);
        if at(t) < x { low = t } else { high = t }
    }
    Some(piece.cut(high).1)
}

/// Where the ricasso ends and the bevel begins: square across, from the edge to the grind line.
fn ricasso(plan: &Layout, drawing: &mut Drawing) {
    let Some(x) = plan.design.blade().spec().ricasso.map(|r| r.length) else { return };
    let Some(station) = plan.loft.station(x) else { return };
    let low = level(&plan.edge, plan.scale * x);
    let rise = station.grind_height.unwrap_or(station.breadth);
    let at = |rise: f64| DVec2::new(plan.scale * x, low + plan.scale * rise);
    drawing.line(Layer::Surface, at(0.0), at(rise));
}

/// The tang's centre line and the shoulder plane, a little beyond the steel.
fn centre(plan: &Layout, drawing: &mut Drawing) {
    drawing.line(Layer::Centre, DVec2::new(plan.low.x - 2.0 * GAP, 0.0), DVec2::new(2.0 * TICK, 0.0));
    let [low, high] = [level(&plan.edge, 0.0), level(&plan.back, 0.0)];
    let over = GAP + TICK;
    drawing.line(Layer::Centre, DVec2::new(0.0, low - over), DVec2::new(0.0, high + over));
}

/// Ticks at back and edge with the station's number, breadth and thickness. The shoulder plane is its own tick.
fn stations(plan: &Layout, drawing: &mut Drawing) {
    for at in plan.stations() {
        let x = plan.scale * at;
        let highest = levels(&plan.back, x, HALF).fold(f64::NEG_INFINITY, f64::max);
        let top = DVec2::new(x, highest + LABELS - FIGURE);
        figures(drawing, top, Anchor::Middle, &labels(plan, at));
        if at > 0.0 {
            tick(drawing, DVec2::new(x, level(&plan.back, x) + GAP), TICK);
            number(plan, drawing, at);
        }
    }
}

fn labels(plan: &Layout, at: f64) -> Vec<String> {
    let f = plan.figures;
    let sizes = plan.loft.station(at).into_iter();
    let sizes =
        sizes.flat_map(|s| [format!("b {}", f.length(s.breadth)), format!("t {}", f.thickness(s.back))]);
    std::iter::once(f.station(at)).chain(sizes).collect()
}

/// Tick and number under the edge.
pub(crate) fn number(plan: &Layout, drawing: &mut Drawing, at: f64) {
    let x = plan.scale * at;
    let lowest = levels(&plan.edge, x, 0.5 * HALF).fold(f64::INFINITY, f64::min);
    mark(plan, drawing, at);
    let foot = DVec2::new(x, lowest - NUMBERS + GAP);
    drawing.text(foot, FIGURE, Anchor::Middle, plan.figures.station(at));
}

/// Tick under the edge.
pub(crate) fn mark(plan: &Layout, drawing: &mut Drawing, at: f64) {
    let x = plan.scale * at;
    tick(drawing, DVec2::new(x, level(&plan.edge, x) - GAP), -TICK);
}

/// Tang, blade and overall length under the edge. Returns how far down they reach.
pub(crate) fn lengths(plan: &Layout, drawing: &mut Drawing) -> f64 {
    let (tang, blade) = (plan.design.blade().spec().tang.length, plan.loft.length());
    let from = plan.low.y - NUMBERS;
    let at = |x: f64| DVec2::new(plan.scale * x, from);
    for (x, y) in [(-tang, plan.edge[0].y), (0.0, level(&plan.edge, 0.0) - TICK), (blade, point(plan).y)] {
        drawing.line(Layer::Dimension, DVec2::new(plan.scale * x, y - GAP), at(x) - DVec2::new(0.0, STEP));
    }
    let mut spans = vec![(-tang, 0.0, 1.0, ""), (0.0, blade, 1.0, ""), (-tang, blade, 2.0, "")];
    let broken = breaks(plan);
    spans.extend(broken.iter().enumerate().map(|(i, &x)| (0.0, x, (i + 3) as f64, " to the break")));
    for (a, b, row, what) in spans {
        let text = plan.figures.dimension(b - a) + what;
        drawing.add(Layer::Dimension, dimension([at(a), at(b)], -row * STEP, text));
    }
    for (i, &x) in broken.iter().enumerate() {
        // From under the numbers, so as not to run through one.
        drawing.line(Layer::Dimension, at(x), at(x) - DVec2::new(0.0, (i + 3) as f64 * STEP));
    }
    from - (2 + broken.len()) as f64 * STEP - GAP
}

/// Stations of the back line's corners between shoulder and point, mm when cold.
fn breaks(plan: &Layout) -> Vec<f64> {
    let back = plan.loft.silhouette().back;
    let corner = |pair: &[Piece]| {
        let (before, after) = (pair[0].at(1.0).1, pair[1].at(0.0).1);
        let joint = pair[1].at(0.0).0.x;
        // A degree and less is how smooth pieces join, not a break that a smith forges.
        (before.angle_to(after).abs() > 0.02 && joint > GAP).then_some(joint)
    };
    let all: Vec<f64> = back.windows(2).filter_map(corner).collect();
    all.into_iter().filter(|x| *x < plan.loft.length() - GAP).collect()
}

/// The lowest point of the blade's end.
fn point(plan: &Layout) -> DVec2 {
    plan.edge.last().copied().unwrap_or(plan.low)
}

fn dimension([from, to]: [DVec2; 2], offset: f64, text: String) -> Mark {
    Mark::Dimension { from, to, offset, height: FIGURE, text }
}

/// Breadths of the tang's end, of its root and of the blade at the shoulder, left of the tang from narrow to broad.
fn breadths(plan: &Layout, drawing: &mut Drawing) {
    let [low, high] = [level(&plan.edge, 0.0), level(&plan.back, 0.0)];
    let mut all = vec![[plan.edge[0], plan.back[0]], [DVec2::new(-GAP, low), DVec2::new(-GAP, high)]];
    if let TangForm::Hidden { shoulder_radius, .. } = plan.design.blade().spec().tang.form {
        let root = plan.scale * DVec2::new(-shoulder_radius, 0.5 * plan.loft.tang_root().x);
        all.push([DVec2::new(root.x, -root.y), root]);
    }
    all.sort_by(|a, b| (a[1].y - a[0].y).total_cmp(&(b[1].y - b[0].y)));
    for (i, pair) in all.into_iter().enumerate() {
        breadth(plan, drawing, pair, (i + 1) as f64 * STEP);
    }
}

/// One breadth, with thin lines from where it is measured to the tang's end.
fn breadth(plan: &Layout, drawing: &mut Drawing, pair: [DVec2; 2], offset: f64) {
    let ends = pair.map(|p| DVec2::new(plan.low.x, p.y));
    for (p, end) in pair.iter().zip(ends) {
        if p.x > end.x + GAP {
            drawing.line(Layer::Dimension, *p, end - DVec2::new(offset, 0.0));
        }
    }
    let cold = (pair[1].y - pair[0].y) / plan.scale;
    drawing.add(Layer::Dimension, dimension(ends, offset, plan.figures.dimension(cold)));
}
