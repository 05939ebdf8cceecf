//! The boundary of a body as vertices, edges and faces: the one form that mesh, solid and mass read.

use glam::{DVec2, DVec3};

use crate::curve::{Arc, Spline3, Spline4};

/// A closed, oriented boundary. Every edge is used exactly twice, once in each direction.
#[derive(Clone, Debug)]
pub struct Shell {
    /// Corner points, mm; no two coincide.
    pub vertices: Vec<DVec3>,
    /// Edges between two vertices.
    pub edges: Vec<Edge>,
    /// Faces; all normals point out of the body.
    pub faces: Vec<Face>,
}

/// A bounded curve from vertex `start` to vertex `end` (indices into [`Shell::vertices`]).
#[derive(Clone, Debug)]
pub struct Edge {
    /// Index of the first vertex.
    pub start: usize,
    /// Index of the last vertex.
    pub end: usize,
    /// The curve between them.
    pub curve: Curve,
}

/// The geometry of an edge; its end points are the edge's vertices.
#[derive(Clone, Debug)]
pub enum Curve {
    /// A straight segment.
    Line,
    /// A circular arc of less than half a turn as a rational quadratic Bézier curve:
    /// control points start, `middle`, end with weights 1, `weight`, 1.
    Arc {
        /// The middle control point (where the end tangents meet), mm.
        middle: DVec3,
        /// Its weight, the cosine of half the arc's angle, in (0, 1].
        weight: f64,
    },
    /// A clamped cubic spline whose end points are the edge's vertices.
    Spline(Spline3),
}

/// An edge as a face's loop runs through it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct EdgeUse {
    /// Index into [`Shell::edges`].
    pub edge: usize,
    /// Whether the loop runs from the edge's start to its end.
    pub forward: bool,
}

/// A piece of the boundary: a surface and the loops that bound it.
#[derive(Clone, Debug)]
pub struct Face {
    /// What the face is on the blade, for example `flank right` or `tang end`.
    pub name: String,
    /// The surface it lies on.
    pub surface: Surface,
    /// Loops of edges: the outer one first, counter-clockwise seen from outside the body; holes clockwise.
    pub loops: Vec<Vec<EdgeUse>>,
}

/// The geometry of a face. For strips the parameters are u along the rails and v from `low` to `high`;
/// ∂S/∂u × ∂S/∂v points out of the body.
#[derive(Clone, Debug)]
pub enum Surface {
    /// A plane through `origin`; `normal` (unit) points out of the body, `along` (unit) lies in it.
    Plane {
        /// A point of the plane, mm.
        origin: DVec3,
        /// Unit normal, outwards.
        normal: DVec3,
        /// Unit direction in the plane.
        along: DVec3,
    },
    /// Straight lines between two rails: S = (1 − v)·low(u) + v·high(u), v in [0, 1]. Both rails have
    /// the same knots.
    Ruled {
        /// The rail at v = 0.
        low: Spline3,
        /// The rail at v = 1.
        high: Spline3,
    },
    /// Circular arcs between two rails: the rational quadratic in v with rows `low` (weight 1),
    /// `middle` (homogeneous) and `high` (weight 1). All three have the same knots.
    Round {
        /// The rail at v = 0.
        low: Spline3,
        /// The middle row, homogeneous `(w·P, w)`.
        middle: Spline4,
        /// The rail at v = 1.
        high: Spline3,
    },
    /// A circular cylinder's wall with its axis along z. Its loop runs along one rim, to the other rim, back along that
    /// and back: four uses of edges.
    Cylinder {
        /// Centre in x and y, mm.
        centre: DVec2,
        /// Radius, mm.
        radius: f64,
        /// From here (mm) ...
        low: f64,
        /// ... to here (mm) along z: at least the extent of the face.
        high: f64,
        /// Unit direction from the axis from which turns are counted; it lies beside the face, not inside it.
        seam: DVec2,
        /// Whether the normal points away from the axis: a round corner. A hole's wall looks at its axis.
        convex: bool,
    },
}

impl Shell {
    /// An edge between its vertices as a circular arc with this middle (mm) and weight.
    pub fn arc(&self, edge: &Edge, middle: DVec3, weight: f64) -> Arc<DVec3> {
        Arc { start: self.vertices[edge.start], middle, weight, end: self.vertices[edge.end] }
    }

    /// The point (mm) of an edge at a share of its parameter, 0 at its start and 1 at its end.
    pub fn edge_point(&self, edge: &Edge, share: f64) -> DVec3 {
        match &edge.curve {
            Curve::Line => self.vertices[edge.start].lerp(self.vertices[edge.end], share),
            Curve::Arc { middle, weight } => self.arc(edge, *middle, *weight).point(share),
            Curve::Spline(spline) => {
                let (from, to) = spline.domain();
                spline.point(from + (to - from) * share)
            }
        }
    }
}
