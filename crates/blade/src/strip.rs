//! Points of strips and arcs, and how far they reach.

use glam::{DVec3, DVec4};

use crate::shell::{Curve, Shell, Surface};
use crate::spline::Spline3;

/// One line across a strip: its rows of control points at a u, and their derivatives along it.
pub(crate) enum Across {
    Ruled([(DVec3, DVec3); 2]),
    Round((DVec3, DVec3), (DVec4, DVec4), (DVec3, DVec3)),
}

impl Across {
    /// The line across at u; `None` for a surface that is no strip.
    pub(crate) fn at(surface: &Surface, u: f64) -> Option<Across> {
        match surface {
            Surface::Ruled { low, high } => Some(Across::Ruled([low.at(u), high.at(u)])),
            Surface::Round { low, middle, high } => Some(Across::Round(low.at(u), middle.at(u), high.at(u))),
            Surface::Plane { .. } | Surface::Cylinder { .. } => None,
        }
    }

    /// The point at v in [0, 1].
    pub(crate) fn place(&self, v: f64) -> DVec3 {
        match *self {
            Across::Ruled([(a, _), (b, _)]) => a.lerp(b, v),
            Across::Round((a, _), (m, _), (b, _)) => {
                let s = 1.0 - v;
                let w = s * s + 2.0 * s * v * m.w + v * v;
                (a * (s * s) + m.truncate() * (2.0 * s * v) + b * (v * v)) / w
            }
        }
    }

    /// Point and partial derivatives at v in [0, 1].
    pub(crate) fn point(&self, v: f64) -> (DVec3, DVec3, DVec3) {
        match *self {
            Across::Ruled([(a, da), (b, db)]) => (a.lerp(b, v), da.lerp(db, v), b - a),
            Across::Round((a, da), (m, dm), (b, db)) => {
                let s = 1.0 - v;
                let row = |a: DVec3, m: DVec3, b: DVec3| a * (s * s) + m * (2.0 * s * v) + b * (v * v);
                let w = s * s + 2.0 * s * v * m.w + v * v;
                let point = row(a, m.truncate(), b) / w;
                let w_u = 2.0 * s * v * dm.w;
                let along = (row(da, dm.truncate(), db) - point * w_u) / w;
                let w_v = -2.0 * s + 2.0 * (s - v) * m.w + 2.0 * v;
                let across_h = a * (-2.0 * s) + m.truncate() * (2.0 * (s - v)) + b * (2.0 * v);
                (point, along, (across_h - point * w_v) / w)
            }
        }
    }
}

/// Point and derivative of a rational quadratic arc at t in [0, 1].
pub(crate) fn arc_at(a: DVec3, middle: DVec3, weight: f64, b: DVec3, t: f64) -> (DVec3, DVec3) {
    let s = 1.0 - t;
    let w = s * s + 2.0 * s * t * weight + t * t;
    let p = (a * (s * s) + middle * (2.0 * s * t * weight) + b * (t * t)) / w;
    let dw = -2.0 * s + 2.0 * (s - t) * weight + 2.0 * t;
    let dh = a * (-2.0 * s) + middle * (2.0 * (s - t) * weight) + b * (2.0 * t);
    (p, (dh - p * dw) / w)
}

/// The points of a rational quadratic arc at which a coordinate turns back: with s = 1 − t its slope is proportional to
/// w(m − a)·s² + (b − a)·st + w(b − m)·t².
fn turning_points(a: DVec3, middle: DVec3, weight: f64, b: DVec3) -> impl Iterator<Item = DVec3> {
    let slopes = [(middle - a) * weight, b - a, (b - middle) * weight].map(|v| v.to_array());
    let ratios = (0..3).flat_map(move |axis| {
        let [p, q, r] = slopes.map(|v| v[axis]);
        let root = (q * q - 4.0 * p * r).max(0.0).sqrt();
        // The pair of roots in the form that loses no digits.
        let sum = -0.5 * (q + root.copysign(q));
        [sum / r, p / sum]
    });
    let inside = ratios.filter(|ratio| ratio.is_finite() && *ratio > 0.0);
    inside.map(move |ratio| arc_at(a, middle, weight, b, ratio / (1.0 + ratio)).0)
}

impl Shell {
    /// Least and greatest coordinates, mm: those of arcs exactly, rails and round strips sampled finely enough to be true to
    /// 1e-3 mm.
    pub fn bounds(&self) -> (DVec3, DVec3) {
        let mut range = (DVec3::INFINITY, DVec3::NEG_INFINITY);
        let mut take = |p: DVec3| range = (range.0.min(p), range.1.max(p));
        self.vertices.iter().for_each(|&v| take(v));
        for edge in &self.edges {
            if let Curve::Arc { middle, weight } = &edge.curve {
                let (a, b) = (self.vertices[edge.start], self.vertices[edge.end]);
                turning_points(a, *middle, *weight, b).for_each(&mut take);
            }
        }
        for face in &self.faces {
            // Every rail is the low one of a strip; the middle line of an arc may stand out further.
            let (rail, lines): (&Spline3, &[f64]) = match &face.surface {
                Surface::Ruled { low, .. } => (low, &[0.0]),
                Surface::Round { low, .. } => (low, &[0.0, 0.25, 0.5, 0.75]),
                Surface::Plane { .. } | Surface::Cylinder { .. } => continue,
            };
            for pair in rail.breaks().windows(2) {
                for i in 0..8 {
                    let u = pair[0] + (pair[1] - pair[0]) * f64::from(i) / 8.0;
                    if let Some(line) = Across::at(&face.surface, u) {
                        lines.iter().for_each(|&v| take(line.point(v).0));
                    }
                }
            }
        }
        range
    }
}
