//! Plain forms of a solid's edges and faces, as a writer of exchange files reads them.

use brep::EdgeUse;
use glam::DVec3;

/// An edge between two vertices.
#[derive(Clone, Debug, PartialEq)]
pub struct Edge {
    /// Index of the first vertex in [`crate::Solid::vertices`].
    pub start: usize,
    /// Index of the last vertex.
    pub end: usize,
    /// The curve from the first to the last.
    pub curve: Curve,
}

/// The geometry of an edge.
#[derive(Clone, Debug, PartialEq)]
pub enum Curve {
    /// The straight segment between the vertices.
    Line,
    /// A B-spline over its whole domain.
    Spline(Spline),
}

/// A clamped B-spline curve, rational if it has weights.
#[derive(Clone, Debug, PartialEq)]
pub struct Spline {
    /// Degree, at least 1.
    pub degree: usize,
    /// Knots, non-decreasing, each as often as its multiplicity says.
    pub knots: Vec<f64>,
    /// Control points, mm (not homogeneous).
    pub points: Vec<DVec3>,
    /// One positive weight a control point, or none if all are one.
    pub weights: Option<Vec<f64>>,
}

/// A face: a surface and the loops that bound it.
#[derive(Clone, Debug, PartialEq)]
pub struct Face {
    /// What the face is on the body.
    pub name: String,
    /// The surface it lies on.
    pub surface: Surface,
    /// Whether the surface's own normal points out of the body: that of a plane is its `normal`, that of
    /// a cylinder points away from the axis, that of a patch is ∂S/∂u × ∂S/∂v.
    pub along_normal: bool,
    /// Loops of edges, the outer one first, counter-clockwise seen from outside the body; holes clockwise.
    pub loops: Vec<Vec<EdgeUse>>,
}

/// The geometry of a face.
#[derive(Clone, Debug, PartialEq)]
pub enum Surface {
    /// A plane.
    Plane {
        /// A point of the plane, mm.
        origin: DVec3,
        /// Unit normal.
        normal: DVec3,
        /// Unit direction in the plane.
        along: DVec3,
    },
    /// A circular cylinder.
    Cylinder {
        /// A point of the axis, mm.
        origin: DVec3,
        /// Unit direction of the axis.
        axis: DVec3,
        /// Unit direction square to the axis, where the angle is zero.
        along: DVec3,
        /// Radius, mm.
        radius: f64,
    },
    /// A B-spline patch over its whole domain.
    Patch(Patch),
}

/// A clamped B-spline surface, rational if it has weights.
#[derive(Clone, Debug, PartialEq)]
pub struct Patch {
    /// Degrees along u and v, at least 1.
    pub degrees: [usize; 2],
    /// Knots along u and v, each as often as its multiplicity says.
    pub knots: [Vec<f64>; 2],
    /// Control points, mm: `points[i][j]` has the i-th place along u and the j-th along v.
    pub points: Vec<Vec<DVec3>>,
    /// One positive weight a control point, in the same order, or none if all are one.
    pub weights: Option<Vec<Vec<f64>>>,
}
