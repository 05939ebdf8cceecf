//! Binary STL: a mesh as loose facets in single precision, mm by custom.

use brep::Mesh;
use glam::Vec3;
use stl_io::{Normal, Triangle, Vertex, write_stl};

use crate::fault::ExportFault;
use crate::mesh::single::{corners, single};

/// The header's length in bytes, fixed by the format.
const HEADER: usize = 80;

/// The file of `mesh` (mm), `name` in its header.
///
/// # Errors
/// When the mesh does not survive single precision: [`ExportFault::Collapsed`] for vertices that fall
/// together, [`ExportFault::Degenerate`] for facets without area, [`ExportFault::NotFinite`] beyond its range.
pub fn stl(mesh: &Mesh, name: &str) -> Result<Vec<u8>, ExportFault> {
    let (vertices, triangles) = single(mesh)?;
    let facets = triangles.iter().enumerate().map(|(i, t)| corners(i, *t, &vertices).map(facet));
    let facets = facets.collect::<Result<Vec<_>, _>>()?;
    if u32::try_from(facets.len()).is_err() {
        return Err(ExportFault::TooMany { what: "triangles", count: facets.len() });
    }
    let mut bytes = Vec::with_capacity(HEADER + 4 + 50 * facets.len());
    write_stl(&mut bytes, facets.iter()).map_err(ExportFault::writer)?;
    bytes.iter_mut().zip(header(name)).for_each(|(byte, letter)| *byte = letter);
    Ok(bytes)
}

/// The header: the program first, because readers take a file that begins with `solid` for text.
fn header(name: &str) -> impl Iterator<Item = u8> {
    let text = format!("Seaxwright, mm: {name}");
    let plain = text.chars().map(|c| if matches!(c, ' '..='~') { c as u8 } else { b'?' });
    plain.take(HEADER).collect::<Vec<_>>().into_iter()
}

/// A facet with its outward normal.
fn facet([a, b, c]: [Vec3; 3]) -> Triangle {
    let [p, q, r] = [a, b, c].map(|v| v.as_dvec3());
    let normal = (q - p).cross(r - p).normalize_or_zero().as_vec3();
    Triangle {
        normal: Normal::new(normal.to_array()),
        vertices: [a, b, c].map(|v| Vertex::new(v.to_array())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::tetrahedron;

    #[test]
    fn each_facet_takes_fifty_bytes_behind_header_and_count() {
        let bytes = stl(&tetrahedron(), "point").unwrap();
        assert_eq!(bytes.len(), 84 + 50 * 4);
        assert_eq!(bytes[80..84], 4u32.to_le_bytes());
        assert!(bytes.starts_with(b"Seaxwright, mm: point\0"));
    }

    #[test]
    fn a_long_or_foreign_name_stays_in_the_header() {
        let bytes = stl(&tetrahedron(), &"ᛋ".repeat(500)).unwrap();
        assert_eq!(bytes.len(), 84 + 50 * 4);
        assert!(bytes[..80].ends_with(b"???"));
    }

    #[test]
    fn it_reads_back_closed_with_unit_normals() {
        let bytes = stl(&tetrahedron(), "point").unwrap();
        let mesh = stl_io::read_stl(&mut std::io::Cursor::new(&bytes)).unwrap();
        assert_eq!((mesh.vertices.len(), mesh.faces.len()), (4, 4));
        mesh.validate().unwrap();
        for face in &mesh.faces {
            assert!((Vec3::from_array(face.normal.into()).length() - 1.0).abs() < 1e-6);
        }
        assert_eq!(bytes, stl(&tetrahedron(), "point").unwrap());
    }
}
