//! The template's seams: where the bars of the billet meet on the blade's side.

use blade::Part;
use brep::Piece;
use glam::DVec2;

use crate::paper::layout::{Layout, level};
use drawing::{Drawing, Layer};

/// How far a drawn seam may stand off the true one, mm: a tenth of its line's width.
const TRUE: f64 = 0.02;
/// Draws the seams of blade and tang.
pub(crate) fn draw(plan: &Layout, drawing: &mut Drawing) {
    let Some(lay) = plan.design.lay() else { return };
    for part in Part::ALL {
        let seams = lay.seams(part, TRUE);
        for heights in &seams.heights {
            let points = seams.stations.iter().zip(heights).map(|(&x, &y)| DVec2::new(x, y) * plan.scale);
            line(plan, drawing, &points.collect::<Vec<_>>());
        }
    }
}

/// The pieces of a line that lie on the blade.
fn line(plan: &Layout, drawing: &mut Drawing, points: &[DVec2]) {
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
fn inside(plan: &Layout, a: DVec2, b: DVec2) -> Option<Piece> {
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
