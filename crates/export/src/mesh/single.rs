//! A mesh in single precision, as printing formats and their readers hold it.

use brep::Mesh;
use glam::{DVec3, Vec3};

use crate::fault::ExportFault;

/// The mesh's vertices in single precision, mm, and its triangles. Fails when a coordinate is not finite,
/// when two vertices fall together or when a triangle loses its area: such a file would no longer be closed.
pub(crate) fn single(mesh: &Mesh) -> Result<(Vec<Vec3>, &[[u32; 3]]), ExportFault> {
    rounded(mesh.vertices(), mesh.triangles()).map(|vertices| (vertices, mesh.triangles()))
}

/// The vertices in single precision, held against the triangles that use them.
fn rounded(vertices: &[DVec3], triangles: &[[u32; 3]]) -> Result<Vec<Vec3>, ExportFault> {
    if triangles.is_empty() {
        return Err(ExportFault::Empty);
    }
    let vertices = finite(vertices)?;
    apart(&vertices)?;
    have_area(&vertices, triangles)?;
    Ok(vertices)
}

/// The vertices of an open surface in single precision. Unlike a closed mesh's they may fall together, as they
/// do along a seam where the picture on either side is another.
///
/// # Errors
/// [`ExportFault::Empty`] without triangles, [`ExportFault::NotFinite`], [`ExportFault::Degenerate`] or
/// [`ExportFault::NoVertex`].
pub(crate) fn surface(vertices: &[DVec3], triangles: &[[u32; 3]]) -> Result<Vec<Vec3>, ExportFault> {
    if triangles.is_empty() {
        return Err(ExportFault::Empty);
    }
    let vertices = finite(vertices)?;
    have_area(&vertices, triangles)?;
    Ok(vertices)
}

/// The vertices in single precision, if they are finite there.
fn finite(vertices: &[DVec3]) -> Result<Vec<Vec3>, ExportFault> {
    // Adding zero makes negative zeros positive, so that equal coordinates have equal bits.
    let vertices: Vec<_> = vertices.iter().map(|v| v.as_vec3() + Vec3::ZERO).collect();
    match vertices.iter().position(|v| !v.is_finite()) {
        Some(i) => Err(ExportFault::NotFinite { place: format!("vertex {i}") }),
        None => Ok(vertices),
    }
}

/// Fails if a triangle has no area.
fn have_area(vertices: &[Vec3], triangles: &[[u32; 3]]) -> Result<(), ExportFault> {
    triangles.iter().enumerate().try_for_each(|(i, triangle)| has_area(i, *triangle, vertices))
}

/// Fails if two vertices are the same point.
fn apart(vertices: &[Vec3]) -> Result<(), ExportFault> {
    let mut order: Vec<_> = (0..vertices.len()).collect();
    let bits = |i: &usize| vertices[*i].to_array().map(f32::to_bits);
    order.sort_unstable_by_key(|i| (bits(i), *i));
    match order.windows(2).find(|pair| bits(&pair[0]) == bits(&pair[1])) {
        Some(pair) => Err(ExportFault::Collapsed { one: pair[0], other: pair[1] }),
        None => Ok(()),
    }
}

/// Fails if triangle `index` has no area. Differences and products of single-precision numbers are exact in
/// double precision, so a straight triangle gives exactly zero.
fn has_area(index: usize, triangle: [u32; 3], vertices: &[Vec3]) -> Result<(), ExportFault> {
    let corners = corners(index, triangle, vertices)?.map(|c| c.as_dvec3());
    let [a, b, c] = corners;
    match (b - a).cross(c - a) == DVec3::ZERO {
        true => Err(ExportFault::Degenerate { triangle: index }),
        false => Ok(()),
    }
}

/// The corners of triangle `index`.
pub(crate) fn corners(index: usize, triangle: [u32; 3], vertices: &[Vec3]) -> Result<[Vec3; 3], ExportFault> {
    let corner = |vertex: u32| {
        let found = usize::try_from(vertex).ok().and_then(|i| vertices.get(i));
        found.copied().ok_or(ExportFault::NoVertex { triangle: index, vertex })
    };
    let [a, b, c] = triangle;
    Ok([corner(a)?, corner(b)?, corner(c)?])
}

#[cfg(test)]
mod tests {
    use super::*;

    const FACES: [[u32; 3]; 4] = [[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]];

    fn corners_with(extra: DVec3) -> Vec<DVec3> {
        vec![DVec3::ZERO, DVec3::X, DVec3::Y, extra]
    }

    #[test]
    fn a_tetrahedron_passes() {
        assert_eq!(rounded(&corners_with(DVec3::Z), &FACES).unwrap()[3], Vec3::Z);
    }

    #[test]
    fn vertices_that_fall_together_are_refused() {
        let close = corners_with(DVec3::new(1.0 + 1e-9, 0.0, -0.0));
        assert_eq!(rounded(&close, &FACES), Err(ExportFault::Collapsed { one: 1, other: 3 }));
    }

    #[test]
    fn a_surface_may_have_a_seam_but_no_straight_triangle() {
        let seam = [corners_with(DVec3::Z), corners_with(DVec3::Z)].concat();
        let triangles = [FACES[0], FACES[1].map(|i| i + 4)];
        assert_eq!(surface(&seam, &triangles).unwrap().len(), 8);
        assert!(matches!(rounded(&seam, &triangles), Err(ExportFault::Collapsed { .. })));
        let straight = corners_with(DVec3::new(0.5, 1e-60, 0.0));
        assert_eq!(surface(&straight, &FACES), Err(ExportFault::Degenerate { triangle: 1 }));
        assert_eq!(surface(&seam, &[]), Err(ExportFault::Empty));
    }

    #[test]
    fn a_straight_triangle_is_refused() {
        let straight = corners_with(DVec3::new(0.5, 1e-60, 0.0));
        assert_eq!(rounded(&straight, &FACES), Err(ExportFault::Degenerate { triangle: 1 }));
    }

    #[test]
    fn numbers_too_large_and_missing_vertices_are_refused() {
        let large = corners_with(DVec3::splat(1e300));
        assert_eq!(rounded(&large, &FACES), Err(ExportFault::NotFinite { place: "vertex 3".to_owned() }));
        let missing = [[0, 1, 9]];
        assert_eq!(
            rounded(&corners_with(DVec3::Z), &missing),
            Err(ExportFault::NoVertex { triangle: 0, vertex: 9 })
        );
        assert_eq!(rounded(&[], &[]), Err(ExportFault::Empty));
    }
}
