//! Cubic Bézier curves by their four control points.

use std::ops::{Add, Mul, Sub};

/// The point at t in [0, 1], by the Bernstein polynomials of degree three.
pub fn cubic_point<V>([a, b, c, d]: [V; 4], t: f64) -> V
where
    V: Copy + Add<Output = V> + Mul<f64, Output = V>,
{
    let s = 1.0 - t;
    a * (s * s * s) + b * (3.0 * s * s * t) + c * (3.0 * s * t * t) + d * (t * t * t)
}

/// Its derivative there.
#[inline]
pub(super) fn cubic_slope<V>([a, b, c, d]: [V; 4], t: f64) -> V
where
    V: Copy + Add<Output = V> + Sub<Output = V> + Mul<f64, Output = V>,
{
    let s = 1.0 - t;
    ((b - a) * (s * s) + (c - b) * (2.0 * s * t) + (d - c) * (t * t)) * 3.0
}
