//! The template's seams: where the bars of the billet meet on the blade's side.

use blade::Piece;
use glam::DVec2;
use laminate::Lay;

use crate::drawing::{Anchor, Drawing, Layer};
use crate::template::{FIGURE, GAP, Plan, level};

/// How far a drawn seam may stand off the true one, mm: a tenth of its line's width.
const TRUE: f64 = 0.02;
/// Breadth of a bar under which its name does not stand in it, mm: the capitals and a gap on both sides.
const ROOM: f64 = FIGURE + GAP;

/// Draws the seams of blade and tang, and the bars' names beside the shoulder.
pub(crate) fn draw(plan: &Plan, drawing: &mut Drawing) {
    let Some(lay) = plan.design.lay() else { return };
    for tang in [false, true] {
        let seams = lay.seams(tang, TRUE);
        for heights in &seams.heights {
            let points = seams.stations.iter().zip(heights).map(|(&x, &y)| DVec2::new(x, y) * plan.scale);
            line(plan, drawing, &points.collect::<Vec<_>>());
        }
    }
    names(plan, drawing, &lay);
}

/// The pieces of a line that lie on the blade.
fn line(plan: &Plan, drawing: &mut Drawing, points: &[DVec2]) {
    let mut path = Vec::new();
    for pair in points.windows(2) {
        match inside(plan, pair[0], pair[1]) {
            Some(piece) => path.push(piece),
            None if path.is_empty() => {}
            None => drawing.open(Layer::Seam, std::mem::take(&mut path)),
        }
    }
    if !path.is_empty() {
        drawing.open(Layer::Seam, path);
    }
}

/// What of a straight way lies on the blade, if it enters or leaves it at most once.
fn inside(plan: &Plan, a: DVec2, b: DVec2) -> Option<Piece> {
    // The ends at shoulder and point lie on the border itself.
    const ON: f64 = 1e-3;
    let on = |p: DVec2| p.y >= level(&plan.edge, p.x) - ON && p.y <= level(&plan.back, p.x) + ON;
    // Ends stand a little off the shoulder plane, where the chains step.
    let (from, to) = (a.lerp(b, 1e-6), a.lerp(b, 1.0 - 1e-6));
    match (on(from), on(to)) {
        (true, true) => Some(Piece::Straight(a, b)),
        (false, false) => None,
        (starts, _) => {
            let (mut low, mut high) = (0.0, 1.0);
            // 40 halvings reach a nanometre on every blade.
            for _ in 0..40 {
                let t = 0.5 * (low + high);
                if on(a.lerp(b, t)) == starts { low = t } else { high = t }
            }
            let border = a.lerp(b, low);
            Some(if starts { Piece::Straight(a, border) } else { Piece::Straight(border, b) })
        }
    }
}

/// Each bar's name in its bar, where there is room, in front of the shoulder.
fn names(plan: &Plan, drawing: &mut Drawing, lay: &Lay) {
    /// Off the shoulder plane's line and the first station's tick, mm.
    const AHEAD: f64 = 4.0;
    let Some(plane) = lay.plane(AHEAD) else { return };
    let (low, high) = plane.range();
    let cuts: Vec<f64> = [low].into_iter().chain(plane.seams()).chain([high]).collect();
    for ((bar, _), pair) in lay.billet().stacked(false).zip(cuts.windows(2)) {
        if pair[1] - pair[0] > ROOM {
            let foot = DVec2::new(AHEAD, 0.5 * (pair[0] + pair[1]) - 0.5 * FIGURE) * plan.scale;
            drawing.text(foot, FIGURE, Anchor::Start, lay.billet().bars()[bar].name.clone());
        }
    }
}
