//! Volume, centre and second moments of a body from its shell.

use glam::{DMat3, DVec3};

use crate::numeric::gauss;
use crate::shell::{Curve, EdgeUse, Face, Shell, Surface};
use crate::strip::Across;

/// Volume integrals of a body of density 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moments {
    /// Volume, mm³.
    pub volume: f64,
    /// ∫ (x, y, z) dV, mm⁴.
    pub first: DVec3,
    /// ∫ r·rᵀ dV about the origin, mm⁵.
    pub second: DMat3,
}

/// The ten integrands 1, x, y, z, xx, yy, zz, xy, xz, yz, each integrated over z.
fn fluxes(p: DVec3) -> [f64; 10] {
    let DVec3 { x, y, z } = p;
    [
        z,
        x * z,
        y * z,
        z * z / 2.0,
        x * x * z,
        y * y * z,
        z * z * z / 3.0,
        x * y * z,
        x * z * z / 2.0,
        y * z * z / 2.0,
    ]
}

impl Moments {
    /// The integrals over the body inside `shell`: Gauss quadrature per knot interval, exact for ruled strips
    /// and planes with spline borders, to about 1e-12 for round strips. Faces parallel to z add nothing.
    pub fn of(shell: &Shell) -> Moments {
        let [v, x, y, z, xx, yy, zz, xy, xz, yz] = integrals(shell, fluxes);
        Moments {
            volume: v,
            first: DVec3::new(x, y, z),
            second: DMat3::from_cols(DVec3::new(xx, xy, xz), DVec3::new(xy, yy, yz), DVec3::new(xz, yz, zz)),
        }
    }

    /// Centre of the volume, mm.
    pub fn centre(&self) -> DVec3 {
        self.first / self.volume
    }
}

impl Shell {
    /// The volume inside, mm³: that of [`Moments::of`].
    pub fn volume(&self) -> f64 {
        let [volume] = integrals(self, |p| [p.z]);
        volume
    }

    /// The volume inside, mm³, and its first moment along x, mm⁴: those of [`Moments::of`], for less work.
    pub fn volume_along(&self) -> [f64; 2] {
        integrals(self, |p| [p.z, p.x * p.z])
    }
}

/// Volume integrals over the body inside a shell of functions given as they are integrated over z: by the divergence
/// theorem their flux in z through the boundary.
fn integrals<const N: usize>(shell: &Shell, f: impl Fn(DVec3) -> [f64; N]) -> [f64; N] {
    let mut sums = [0.0; N];
    for face in &shell.faces {
        let part = match &face.surface {
            Surface::Ruled { .. } | Surface::Round { .. } => strip(&face.surface, &f),
            Surface::Plane { normal, .. } if normal.z.abs() > 1e-12 => plane(shell, face, &f),
            Surface::Plane { .. } | Surface::Cylinder { .. } => continue,
        };
        for (sum, p) in sums.iter_mut().zip(part) {
            *sum += p;
        }
    }
    sums
}

/// The flux integrals of a ruled or round face by Gauss's rule; none for other faces.
fn strip<const N: usize>(surface: &Surface, f: &impl Fn(DVec3) -> [f64; N]) -> [f64; N] {
    let mut sums = [0.0; N];
    let (rail, across) = match surface {
        // Straight lines across: second moments come to degree 4 along them.
        Surface::Ruled { low, .. } => (low, gauss::three().to_vec()),
        // Two halves across an arc bring the rational integrand to 1e-12.
        Surface::Round { low, .. } => (low, [gauss::eight(0.0, 0.5), gauss::eight(0.5, 1.0)].concat()),
        Surface::Plane { .. } | Surface::Cylinder { .. } => return sums,
    };
    for pair in rail.breaks().windows(2) {
        for (u, wu) in gauss::eight(pair[0], pair[1]) {
            let Some(line) = Across::at(surface, u) else { continue };
            for &(v, wv) in &across {
                let (p, along, across) = line.point(v);
                let flux = (along.x * across.y - along.y * across.x) * wu * wv;
                for (sum, f) in sums.iter_mut().zip(f(p)) {
                    *sum += f * flux;
                }
            }
        }
    }
    sums
}

/// Flux through a plane region not parallel to z: Green's theorem on its projection, ∬ H dx dy = ∮ (∫ H dx) dy,
/// the inner integral from the plane's origin by quadrature exact for the polynomials at hand.
fn plane<const N: usize>(shell: &Shell, face: &Face, f: &impl Fn(DVec3) -> [f64; N]) -> [f64; N] {
    let Surface::Plane { origin, normal, .. } = face.surface else { return [0.0; N] };
    let lift = |x: f64, y: f64| {
        DVec3::new(x, y, origin.z - (normal.x * (x - origin.x) + normal.y * (y - origin.y)) / normal.z)
    };
    let mut sums = [0.0; N];
    for edge in face.loops.iter().flatten() {
        along_edge(shell, *edge, |p, d| {
            for (x, w) in gauss::eight(origin.x, p.x) {
                for (sum, f) in sums.iter_mut().zip(f(lift(x, p.y))) {
                    *sum += f * w * d.y;
                }
            }
        });
    }
    // Loops run counter-clockwise seen from outside, so the projection's sign is the normal's and the flux
    // n_z dA equals the signed dx dy.
    sums
}

/// Calls `f(point, weighted tangent)` at quadrature points along an edge in the direction it is used.
fn along_edge(shell: &Shell, used: EdgeUse, mut f: impl FnMut(DVec3, DVec3)) {
    let edge = &shell.edges[used.edge];
    let (a, b) = (shell.vertices[edge.start], shell.vertices[edge.end]);
    let sign = if used.forward { 1.0 } else { -1.0 };
    match &edge.curve {
        Curve::Line => {
            gauss::eight(0.0, 1.0).iter().for_each(|&(t, w)| f(a.lerp(b, t), (b - a) * (w * sign)))
        }
        Curve::Arc { middle, weight } => {
            let arc = shell.arc(edge, *middle, *weight);
            for half in 0..4 {
                for (t, w) in gauss::eight(f64::from(half) / 4.0, f64::from(half + 1) / 4.0) {
                    let (p, d) = arc.at(t);
                    f(p, d * (w * sign));
                }
            }
        }
        Curve::Spline(spline) => {
            for pair in spline.breaks().windows(2) {
                for (t, w) in gauss::eight(pair[0], pair[1]) {
                    let (p, d) = spline.at(t);
                    f(p, d * (w * sign));
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curve::{Spline, Spline3};

    fn straight(a: DVec3, b: DVec3) -> Spline3 {
        let slope = b - a;
        Spline::through(&[0.0, 1.0], &[a, b], &[0, 1], &[slope, slope])
    }

    /// The four sides of a frustum of rectangular section: half breadth and half thickness at x = 0 and x = l.
    fn frustum(l: f64, first: [f64; 2], last: [f64; 2]) -> Shell {
        let rail = |y: f64, z: f64| {
            straight(DVec3::new(0.0, y * first[0], z * first[1]), DVec3::new(l, y * last[0], z * last[1]))
        };
        let around = [(-1.0, 1.0), (1.0, 1.0), (1.0, -1.0), (-1.0, -1.0)];
        let faces = (0..4)
            .map(|i| {
                let (a, b) = (around[i], around[(i + 1) % 4]);
                let surface = Surface::Ruled { low: rail(a.0, a.1), high: rail(b.0, b.1) };
                Face { name: String::new(), surface, loops: Vec::new() }
            })
            .collect();
        Shell { vertices: Vec::new(), edges: Vec::new(), faces }
    }

    #[test]
    fn a_prism_has_its_closed_forms() {
        let m = Moments::of(&frustum(100.0, [10.0, 3.0], [10.0, 3.0]));
        assert!((m.volume - 12_000.0).abs() < 1e-9);
        assert!((m.centre() - DVec3::new(50.0, 0.0, 0.0)).length() < 1e-12);
        let second = [m.second.x_axis.x, m.second.y_axis.y, m.second.z_axis.z];
        let closed = [12_000.0 * 1e4 / 3.0, 12_000.0 * 100.0 / 3.0, 12_000.0 * 9.0 / 3.0];
        for (s, c) in second.iter().zip(closed) {
            assert!((s / c - 1.0).abs() < 1e-12, "{s} {c}");
        }
    }

    #[test]
    fn a_pyramids_frustum_has_prismoidal_volume() {
        // Prismoidal formula L/6·(A₀ + 4Aₘ + A₁), exact here.
        let shell = frustum(90.0, [10.0, 3.0], [4.0, 1.0]);
        let m = Moments::of(&shell);
        assert_eq!(m.volume.to_bits(), shell.volume().to_bits());
        assert_eq!(shell.volume_along().map(f64::to_bits), [m.volume, m.first.x].map(f64::to_bits));
        let closed = 90.0 / 6.0 * (120.0 + 4.0 * (14.0 * 4.0) + 16.0);
        assert!((m.volume / closed - 1.0).abs() < 1e-12, "{} {closed}", m.volume);
    }

    #[test]
    fn a_bar_tapering_to_a_quarter_balances_at_two_fifths() {
        // Area linear down to a quarter: centroid 2/5 L, inertia about the base 7/30 m L² (derived here).
        let m = Moments::of(&frustum(300.0, [8.0, 2.0], [2.0, 2.0]));
        assert!((m.centre().x / 300.0 - 0.4).abs() < 1e-12);
        assert!((m.second.x_axis.x / (m.volume * 9e4) - 7.0 / 30.0).abs() < 1e-12);
    }

    #[test]
    fn wrought_iron_weighs_what_the_handbook_says() {
        // Bacon, Weight of Forging (c. 1906): 171 3/7 in³ of wrought iron weigh 47.64 lb; a bar of 2 × 2 in
        // weighs 13.33 lb a foot.
        let per_cubic_inch = 47.64 / (171.0 + 3.0 / 7.0);
        let foot = Moments::of(&frustum(304.8, [25.4, 25.4], [25.4, 25.4])).volume / 25.4f64.powi(3);
        assert!((foot * per_cubic_inch - 13.33).abs() < 0.02, "{}", foot * per_cubic_inch);
    }
}
