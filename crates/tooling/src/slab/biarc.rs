//! Smooth pieces as circular arcs, which printers, cutters and CAD programs all keep exactly.

use brep::Piece;
use glam::DVec2;

use crate::slab::corner::Corner;

/// How far (mm) arcs may lie from the curve they stand for: far under what a printer or a hand cutter can hold.
pub(crate) const FIT: f64 = 0.002;

/// Halvings of a curve at most: 2¹² parts of a blade's line are shorter than a millimetre.
const ROUNDS: u32 = 12;

/// The corners of a piece, without its end point.
pub(crate) fn corners(piece: &Piece) -> Vec<Corner> {
    match *piece {
        Piece::Straight(a, _) => vec![Corner::sharp(a)],
        Piece::Arc(centre, radius, from, to) => arc(centre, radius, from, to),
        Piece::Cubic(_) => cubic(piece, ROUNDS),
    }
}

/// An arc in parts of at most a quarter turn.
fn arc(centre: DVec2, radius: f64, from: f64, to: f64) -> Vec<Corner> {
    let parts = ((to - from).abs() / std::f64::consts::FRAC_PI_2).ceil().max(1.0);
    let step = (to - from) / parts;
    let bulge = (0.25 * step).tan();
    let at = |i: u32| centre + DVec2::from_angle(from + step * f64::from(i)) * radius;
    (0..parts as u32).map(|i| Corner { at: at(i), bulge }).collect()
}

fn cubic(piece: &Piece, rounds: u32) -> Vec<Corner> {
    let pair = pair(piece);
    if rounds == 0 || pair.as_ref().is_some_and(|p| deviation(piece, p) < FIT) {
        return pair.map_or_else(|| vec![Corner::sharp(piece.at(0.0).0)], |p| p[..2].to_vec());
    }
    let (first, last) = piece.cut(0.5);
    [cubic(&first, rounds - 1), cubic(&last, rounds - 1)].concat()
}

/// Start, joint and end of the two arcs tangent to the piece at its ends whose tangent lengths are alike (Bolton,
/// Biarc curves, 1975; from memory). `None` where a tangent is missing or an arc would be half a turn.
fn pair(piece: &Piece) -> Option<[Corner; 3]> {
    let ((a, start), (b, end)) = (tangent(piece, 0.0), tangent(piece, 1.0));
    let (start, end) = (start?, end?);
    let (chord, sum) = (b - a, start + end);
    let (along, slack) = (chord.dot(sum), 2.0 * (1.0 - start.dot(end)));
    // d² slack + 2d along − chord² = 0 for the tangent length d, in the form that bears slack = 0.
    let reach = chord.length_squared() / (along + (along * along + slack * chord.length_squared()).sqrt());
    if !(reach.is_finite() && reach > 0.0) {
        return None;
    }
    let joint = 0.5 * (a + b + (start - end) * reach);
    let bulges = [bulge(start, joint - a), bulge(b - joint, end)];
    // Past a quarter turn an arc is no good fit, and a CAD kernel's weight would near 0.
    if bulges.iter().any(|k| k.abs() > 0.42) {
        return None;
    }
    Some([Corner { at: a, bulge: bulges[0] }, Corner { at: joint, bulge: bulges[1] }, Corner::sharp(b)])
}

/// Point and unit tangent; next to an end where the slope vanishes.
fn tangent(piece: &Piece, t: f64) -> (DVec2, Option<DVec2>) {
    let (p, slope) = piece.at(t);
    let near = piece.at(if t < 0.5 { 1e-6 } else { 1.0 - 1e-6 }).1;
    (p, slope.try_normalize().or(near.try_normalize()))
}

/// Half the angle between tangent and chord is a quarter of the arc's angle.
fn bulge(from: DVec2, to: DVec2) -> f64 {
    (0.5 * from.angle_to(to)).tan()
}

/// Greatest distance of the curve from its two arcs, of fifteen probes.
fn deviation(piece: &Piece, [a, joint, b]: &[Corner; 3]) -> f64 {
    let normal = b.at - a.at;
    let from = |one: &Corner, other: &Corner, p: DVec2| {
        if one.bulge.abs() < 1e-9 {
            return (p - one.at).perp_dot((other.at - one.at).normalize_or_zero()).abs();
        }
        let (centre, radius, ..) = crate::slab::corner::arc_of(one.at, one.bulge, other.at);
        (p.distance(centre) - radius).abs()
    };
    let probe = |i: i32| {
        let p = piece.at(f64::from(i) / 16.0).0;
        if (p - joint.at).dot(normal) < 0.0 { from(a, joint, p) } else { from(joint, b, p) }
    };
    (1..16).map(probe).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::slab::corner::arc_of;

    #[test]
    fn arcs_keep_to_a_curve_that_turns_both_ways() {
        let p = |x, y| DVec2::new(x, y);
        let curve = Piece::Cubic([p(0.0, 0.0), p(60.0, 30.0), p(90.0, -30.0), p(200.0, 10.0)]);
        let corners = corners(&curve);
        assert!(corners.len() > 4 && corners.len() < 80, "{}", corners.len());
        let ends = corners.iter().skip(1).map(|c| c.at).chain([p(200.0, 10.0)]);
        let arcs: Vec<_> = corners.iter().zip(ends).map(|(c, e)| arc_of(c.at, c.bulge, e)).collect();
        for i in 0..=2000 {
            let q = curve.at(f64::from(i) / 2000.0).0;
            let off = arcs.iter().map(|(c, r, ..)| (q.distance(*c) - r).abs()).fold(f64::INFINITY, f64::min);
            assert!(off < 1.2 * FIT, "{off}");
        }
    }

    #[test]
    fn a_straight_cubic_stays_straight_and_an_arc_exact() {
        let p = |x, y| DVec2::new(x, y);
        let line = corners(&Piece::Cubic([p(0.0, 0.0), p(1.0, 1.0), p(2.0, 2.0), p(9.0, 9.0)]));
        assert!(line.iter().all(|c| c.bulge.abs() < 1e-9), "{line:?}");
        let round = corners(&Piece::Arc(p(1.0, 2.0), 5.0, 0.0, -3.0));
        assert_eq!(round.len(), 2);
        assert!(round.iter().all(|c| (c.at.distance(p(1.0, 2.0)) - 5.0).abs() < 1e-12 && c.bulge < 0.0));
    }
}
