//! Points of strips and arcs, and how far they reach.

use glam::{DVec3, DVec4};

use crate::curve::Spline3;
use crate::numeric::newton;
use crate::shell::{Curve, Shell, Surface};

/// One line across a strip: its rows of control points at a u, and their derivatives along it.
#[derive(Clone, Debug, PartialEq)]
pub enum Across {
    /// A straight line: point and derivative of both rails.
    Ruled([(DVec3, DVec3); 2]),
    /// An arc: point and derivative of the low rail, the homogeneous middle row and the high rail.
    Round((DVec3, DVec3), (DVec4, DVec4), (DVec3, DVec3)),
}

impl Across {
    /// The line across at u; `None` for a surface that is no strip.
    pub fn at(surface: &Surface, u: f64) -> Option<Across> {
        match surface {
            Surface::Ruled { low, high } => Some(Across::Ruled([low.at(u), high.at(u)])),
            Surface::Round { low, middle, high } => Some(Across::Round(low.at(u), middle.at(u), high.at(u))),
            Surface::Plane { .. } | Surface::Cylinder { .. } => None,
        }
    }

    /// The point at v in [0, 1].
    #[inline]
    pub fn place(&self, v: f64) -> DVec3 {
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
    #[inline]
    pub fn point(&self, v: f64) -> (DVec3, DVec3, DVec3) {
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

/// A parameter is met where what is left is lost in its rounding: some hundred times the last bit of 1.
const LAST_BIT: f64 = 1e-13;

/// Parameter and point of a line along a strip at station `x`, clamped to the range; `line` gives point and slope, x
/// growing. `guess` lies near.
pub fn station_on(
    line: impl Fn(f64) -> (DVec3, DVec3, DVec3),
    (mut low, mut high): (f64, f64),
    x: f64,
    guess: Option<f64>,
) -> (f64, DVec3) {
    let mut u = guess.filter(|g| *g > low && *g < high).unwrap_or(0.5 * (low + high));
    let mut before = f64::INFINITY;
    // Newton's way with halving to fall back on: 60 halvings alone reach the last bit.
    for _ in 0..60 {
        let (point, slope, _) = line(u);
        let off = point.x - x;
        if off > 0.0 {
            high = u
        } else {
            low = u
        }
        let step = off / slope.x;
        let (met, within) = (LAST_BIT * (1.0 + u.abs()), u - step > low && u - step < high);
        // Where the last step leads needs no look.
        if within && newton::is_last(step, before, met) {
            return (u - step, point - slope * step);
        }
        // The bracket may have shut on u.
        if step.abs() < met {
            return (u, point);
        }
        (u, before) = if within { (u - step, step) } else { (0.5 * (low + high), f64::INFINITY) };
    }
    (u, line(u).0)
}

impl Shell {
    /// Least and greatest coordinates, mm: those of arcs exactly, rails and round strips sampled finely enough to be true to
    /// 1e-3 mm.
    pub fn bounds(&self) -> (DVec3, DVec3) {
        let mut range = (DVec3::INFINITY, DVec3::NEG_INFINITY);
        self.vertices.iter().for_each(|&v| take(&mut range, v));
        for edge in &self.edges {
            if let Curve::Arc { middle, weight } = &edge.curve {
                self.arc(edge, *middle, *weight).turning_points().for_each(|p| take(&mut range, p));
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
                // Most pieces of strips lie within what is known, and need no look.
                let mut hull = range;
                hull_at(&face.surface, pair[0]).into_iter().for_each(|p| take(&mut hull, p));
                if hull == range {
                    continue;
                }
                for i in 0..8 {
                    let u = pair[0] + (pair[1] - pair[0]) * f64::from(i) / 8.0;
                    if let Some(line) = Across::at(&face.surface, u) {
                        lines.iter().for_each(|&v| take(&mut range, line.point(v).0));
                    }
                }
            }
        }
        range
    }
}

/// Widens a range to hold a point.
fn take(range: &mut (DVec3, DVec3), p: DVec3) {
    *range = (range.0.min(p), range.1.max(p));
}

/// Points whose convex hull holds the piece of a strip between the knots about `u`: control points, weights taken out.
fn hull_at(surface: &Surface, u: f64) -> Vec<DVec3> {
    match surface {
        Surface::Ruled { low, .. } => low.controls_at(u).to_vec(),
        Surface::Round { low, middle, high } => {
            let middle = middle.controls_at(u).iter().map(|m| m.truncate() / m.w);
            low.controls_at(u).iter().chain(high.controls_at(u)).copied().chain(middle).collect()
        }
        Surface::Plane { .. } | Surface::Cylinder { .. } => Vec::new(),
    }
}
