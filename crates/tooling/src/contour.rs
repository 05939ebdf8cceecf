//! Closed plane contours of straight lines and circular arcs: what plates, slots and engravings are cut from.

use glam::DVec2;

/// A closed contour without crossings: corner after corner, counter-clockwise where it bounds material from outside.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    /// The corners, at least two; the last leads back to the first.
    pub corners: Vec<Corner>,
}

/// A corner and the way to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// Where, mm.
    pub at: DVec2,
    /// The tangent of a quarter of the arc's angle to the next corner: 0 for a straight line, positive for a turn to
    /// the left, between −1 and 1 (less than half a turn).
    pub bulge: f64,
}

/// A region: an outer contour and the islands left standing in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Region {
    /// The outer contour, counter-clockwise.
    pub outer: Contour,
    /// The islands, counter-clockwise too; disjoint, inside the outer contour.
    pub islands: Vec<Contour>,
}
