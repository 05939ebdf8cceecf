//! Meshes of blades against their lofts.

#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests count as tests")]

use blade::{Blade, Stage};
use brep::{Across, Mesh, MeshFault, Shell, Surface};
use fixtures::specs::{plain, variants};
use glam::DVec3;

/// Distance from p to a triangle (Ericson, Real-Time Collision Detection, 5.1.5, from memory).
fn distance(p: DVec3, [a, b, c]: [DVec3; 3]) -> f64 {
    let n = (b - a).cross(c - a);
    let inside = [(a, b), (b, c), (c, a)].iter().all(|(q, r)| (*r - *q).cross(p - *q).dot(n) >= 0.0);
    if inside {
        return (p - a).dot(n.normalize()).abs();
    }
    let side = |q: DVec3, r: DVec3| {
        let t = ((p - q).dot(r - q) / (r - q).length_squared()).clamp(0.0, 1.0);
        p.distance(q.lerp(r, t))
    };
    side(a, b).min(side(b, c)).min(side(c, a))
}

fn greatest_distance(shell: &Shell, mesh: &Mesh) -> f64 {
    let triangles: Vec<[DVec3; 3]> = mesh.corners().collect();
    let mut worst: f64 = 0.0;
    for face in &shell.faces {
        let (Surface::Ruled { low, .. } | Surface::Round { low, .. }) = &face.surface else { continue };
        let (from, to) = low.domain();
        for i in 0..=160 {
            let u = from + (to - from) * (f64::from(i) + 0.37) / 161.0;
            for j in 0..=6 {
                let p = Across::at(&face.surface, u).unwrap().point(f64::from(j) / 6.0).0;
                // Only triangles whose box is within a millimetre can be nearest.
                let near = triangles.iter().filter(|t| {
                    let (low, high) = (t[0].min(t[1]).min(t[2]), t[0].max(t[1]).max(t[2]));
                    p.cmpge(low - 1.0).all() && p.cmple(high + 1.0).all()
                });
                worst = worst.max(near.map(|t| distance(p, *t)).fold(1.0, f64::min));
            }
        }
    }
    worst
}

#[test]
fn a_tolerance_that_takes_millions_is_refused() {
    let loft = Blade::new(&plain()).unwrap().loft(Stage::Finished);
    let tolerance = 1e-12;
    assert_eq!(Mesh::of(loft.shell(), tolerance), Err(MeshFault::TooFine { tolerance }));
}

#[test]
fn the_loft_lies_within_the_tolerance_of_its_mesh() {
    for (name, spec) in variants() {
        let blade = Blade::new(&spec).unwrap();
        for tolerance in [0.3, 0.1, 0.02] {
            let loft = blade.loft(Stage::Finished);
            let mesh = Mesh::of(loft.shell(), tolerance).unwrap();
            let worst = greatest_distance(loft.shell(), &mesh);
            assert!(worst <= tolerance, "{name}: {worst} at {tolerance}");
        }
    }
}
