//! Corners of contours, and the arcs that run from one to the next.

use glam::DVec2;

/// A corner and the way to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// Where, mm.
    pub at: DVec2,
    /// The tangent of a quarter of the arc's angle to the next corner: 0 for a straight line, positive for a turn to
    /// the left, between −1 and 1 (less than half a turn).
    pub bulge: f64,
}

/// The bulge of a quarter circle: tan(π/8) = √2 − 1.
pub(crate) const QUARTER: f64 = std::f64::consts::SQRT_2 - 1.0;

impl Corner {
    /// A corner with a straight way on.
    pub fn sharp(at: DVec2) -> Corner {
        Corner { at, bulge: 0.0 }
    }
}

/// Centre, radius and start and end angle (rad) of the arc from `a` with `bulge` to `b`.
pub(crate) fn arc_of(a: DVec2, bulge: f64, b: DVec2) -> (DVec2, f64, f64, f64) {
    let chord = b - a;
    // Sagitta is bulge times half the chord; the centre lies on the chord's normal.
    let centre = 0.5 * (a + b) + chord.perp() * ((1.0 - bulge * bulge) / (4.0 * bulge));
    let from = (a - centre).to_angle();
    (centre, centre.distance(a), from, from + 4.0 * bulge.atan())
}
