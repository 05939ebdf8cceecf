//! How far marks reach: boxes around pieces, lines of text and whole drawings, mm.

use std::f64::consts::FRAC_PI_2;

use brep::Piece;
use drawing::{Anchor, Drawing, Item, Mark};
use glam::DVec2;

use crate::page::font;

/// A box: least and greatest coordinates, mm.
pub(crate) type Extent = [DVec2; 2];

/// The box around an item of a plain drawing with its stroke; `None` where there is nothing to see.
pub(crate) fn item(item: &Item) -> Option<Extent> {
    let points = match &item.mark {
        Mark::Path { pieces, .. } => pieces.iter().flat_map(turning_points).collect(),
        Mark::Text { at, height, anchor, turn, text } => corners(*at, *height, *anchor, *turn, text).to_vec(),
        Mark::Dimension { .. } => Vec::new(),
    };
    let half = DVec2::splat(0.5 * item.layer.pen().width);
    around(points).map(|[low, high]| [low - half, high + half])
}

/// The box around all items of a plain drawing.
pub(crate) fn drawing(drawing: &Drawing) -> Option<Extent> {
    around(drawing.items.iter().filter_map(item).flatten())
}

/// Whether two boxes meet.
pub(crate) fn meet(a: Extent, b: Extent) -> bool {
    a[0].cmple(b[1]).all() && b[0].cmple(a[1]).all()
}

fn around(points: impl IntoIterator<Item = DVec2>) -> Option<Extent> {
    points.into_iter().map(|p| [p, p]).reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])])
}

/// Ends of a piece, and the points where it turns back in x or y.
fn turning_points(piece: &Piece) -> Vec<DVec2> {
    let within = match piece {
        Piece::Straight(..) => Vec::new(),
        Piece::Cubic(controls) => cubic_turns(controls),
        Piece::Arc(_, _, from, to) => arc_turns(*from, *to),
    };
    within.into_iter().chain([0.0, 1.0]).map(|t| piece.at(t).0).collect()
}

/// Where the derivative of either coordinate is zero, t in (0, 1).
fn cubic_turns([a, b, c, d]: &[DVec2; 4]) -> Vec<f64> {
    let (p, q, r) = (*b - *a, *c - *b, *d - *c);
    let (second, first) = (p - q * 2.0 + r, (q - p) * 2.0);
    let roots = [roots(second.x, first.x, p.x), roots(second.y, first.y, p.y)];
    roots.into_iter().flatten().filter(|t| *t > 0.0 && *t < 1.0).collect()
}

/// Real roots of a t² + b t + c; those of no meaning (no quadratic term, no real root) are not finite.
fn roots(a: f64, b: f64, c: f64) -> [f64; 2] {
    // The stable form: the larger root by magnitude first, the other from their product c / a.
    let sum = -0.5 * (b + (b * b - 4.0 * a * c).sqrt().copysign(b));
    [sum / a, c / sum]
}

/// Where an arc passes a multiple of a right angle, t in (0, 1).
fn arc_turns(from: f64, to: f64) -> Vec<f64> {
    let (low, high) = (from.min(to), from.max(to));
    let first = (low / FRAC_PI_2).ceil();
    // Four right angles visit every extreme; more turns would visit them again.
    let angles = [0.0, 1.0, 2.0, 3.0].map(|i| (first + i) * FRAC_PI_2);
    angles.into_iter().filter(|angle| *angle < high).map(|angle| (angle - from) / (to - from)).collect()
}

/// The corners of a line of text, accents and all.
fn corners(at: DVec2, height: f64, anchor: Anchor, turn: f64, text: &str) -> [DVec2; 4] {
    let size = height / font::CAPITALS;
    let width = size * font::ADVANCE * text.chars().count() as f64;
    let start = match anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -0.5 * width,
        Anchor::End => -width,
    };
    let (low, high) = (-size * font::DESCENT, size * font::ASCENT);
    let corners = [(start, low), (start + width, low), (start + width, high), (start, high)];
    corners.map(|(x, y)| at + DVec2::from_angle(turn).rotate(DVec2::new(x, y)))
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;

    fn extent(piece: &Piece) -> Extent {
        around(turning_points(piece)).unwrap()
    }

    fn close(found: Extent, want: [[f64; 2]; 2]) {
        let want = want.map(DVec2::from_array);
        assert!(found[0].distance(want[0]) < 1e-9 && found[1].distance(want[1]) < 1e-9, "{found:?}");
    }

    #[test]
    fn boxes_of_arcs_hold_their_extremes() {
        close(extent(&Piece::Arc(DVec2::ONE, 2.0, 0.0, PI)), [[-1.0, 1.0], [3.0, 3.0]]);
        close(extent(&Piece::Arc(DVec2::ONE, 2.0, PI, -PI)), [[-1.0, -1.0], [3.0, 3.0]]);
        close(
            extent(&Piece::Arc(DVec2::ZERO, 1.0, -0.1, 0.1)),
            [[0.1f64.cos(), -0.1f64.sin()], [1.0, 0.1f64.sin()]],
        );
    }

    /// A cubic with controls at heights 0, 1, 1, 0 rises to 3/4.
    #[test]
    fn boxes_of_cubics_hold_their_extremes() {
        let controls = [[0.0, 0.0], [1.0, 1.0], [2.0, 1.0], [3.0, 0.0]].map(DVec2::from_array);
        close(extent(&Piece::Cubic(controls)), [[0.0, 0.0], [3.0, 0.75]]);
        let loose = [[0.0, 0.0], [4.0, 1.0], [-1.0, 2.0], [3.0, 5.0]].map(DVec2::from_array);
        let curve = Piece::Cubic(loose);
        let [low, high] = extent(&curve);
        let points: Vec<_> = (0..=1000).map(|i| curve.at(f64::from(i) / 1000.0).0).collect();
        let [least, most] = around(points).unwrap();
        assert!(low.distance(least) < 1e-4 && high.distance(most) < 1e-4, "{low} {least} {high} {most}");
    }

    #[test]
    fn text_reaches_from_its_anchor() {
        let found = around(corners(DVec2::ZERO, 1493.0, Anchor::End, FRAC_PI_2, "ab")).unwrap();
        close(found, [[-1901.0, -2466.0], [483.0, 0.0]]);
    }

    #[test]
    fn boxes_meet_or_do_not() {
        let unit = [DVec2::ZERO, DVec2::ONE];
        assert!(meet(unit, [DVec2::ONE, DVec2::splat(2.0)]));
        assert!(!meet(unit, [DVec2::new(0.0, 1.5), DVec2::splat(2.0)]));
    }
}
