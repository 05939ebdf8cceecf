//! Binary glTF 2.0: a mesh to look at, in metres, Y up.

use blade::Mesh;
use glam::Vec3;
use serde_json::{Value, json};

use crate::fault::ExportFault;
use crate::palette::{STEEL, linear};
use crate::single::single;

/// glTF counts in metres, the blade in mm. The blade's y, from edge up to back, is glTF's up as it stands.
const MILLIMETRES: f64 = 1000.0;

/// The file of `mesh` (mm), whose node and mesh bear `name`.
///
/// # Errors
/// [`ExportFault::Collapsed`], [`ExportFault::Degenerate`] or [`ExportFault::NotFinite`] when the mesh does
/// not survive single precision, [`ExportFault::TooMany`] beyond the format's 4 GiB.
pub fn glb(mesh: &Mesh, name: &str) -> Result<Vec<u8>, ExportFault> {
    let (vertices, triangles) = single(mesh)?;
    let vertices: Vec<_> = vertices.into_iter().map(|v| (v.as_dvec3() / MILLIMETRES).as_vec3()).collect();
    let text = document(name, &vertices, triangles.len()).to_string().into_bytes();
    let text = chunk(*b"JSON", text, b' ')?;
    let data = chunk(*b"BIN\0", buffer(&vertices, triangles), 0)?;
    let length = length(12 + text.len() + data.len())?;
    Ok([b"glTF".as_slice(), &2u32.to_le_bytes(), &length.to_le_bytes(), &text, &data].concat())
}

/// A chunk: length, kind, and bytes padded to a multiple of four.
fn chunk(kind: [u8; 4], mut bytes: Vec<u8>, padding: u8) -> Result<Vec<u8>, ExportFault> {
    bytes.resize(bytes.len().next_multiple_of(4), padding);
    Ok([length(bytes.len())?.to_le_bytes().as_slice(), &kind, &bytes].concat())
}

/// A length in bytes as the format writes it.
fn length(bytes: usize) -> Result<u32, ExportFault> {
    u32::try_from(bytes).map_err(|_| ExportFault::TooMany { what: "bytes", count: bytes })
}

/// Positions, then indices.
fn buffer(vertices: &[Vec3], triangles: &[[u32; 3]]) -> Vec<u8> {
    let positions = vertices.iter().flat_map(|v| v.to_array()).flat_map(f32::to_le_bytes);
    positions.chain(triangles.iter().flatten().flat_map(|i| i.to_le_bytes())).collect()
}

/// The scene: one node, one mesh, one material. Faceted, as it has no normals of its own.
fn document(name: &str, vertices: &[Vec3], triangles: usize) -> Value {
    let (low, high) = bounds(vertices);
    let (positions, indices) = (12 * vertices.len(), 12 * triangles);
    let [red, green, blue] = linear(STEEL);
    json!({
        "asset": { "version": "2.0", "generator": "Seaxwright" },
        "scene": 0,
        "scenes": [{ "name": name, "nodes": [0] }],
        "nodes": [{ "name": name, "mesh": 0 }],
        "meshes": [{
            "name": name,
            "primitives": [{ "attributes": { "POSITION": 0 }, "indices": 1, "material": 0 }]
        }],
        "materials": [{
            "name": "steel",
            "pbrMetallicRoughness": {
                "baseColorFactor": [red, green, blue, 1.0], "metallicFactor": 1.0, "roughnessFactor": 0.4
            }
        }],
        "accessors": [
            {
                "bufferView": 0, "componentType": 5126, "count": vertices.len(), "type": "VEC3",
                "min": low.to_array(), "max": high.to_array()
            },
            { "bufferView": 1, "componentType": 5125, "count": 3 * triangles, "type": "SCALAR" }
        ],
        "bufferViews": [
            { "buffer": 0, "byteOffset": 0, "byteLength": positions, "target": 34962 },
            { "buffer": 0, "byteOffset": positions, "byteLength": indices, "target": 34963 }
        ],
        "buffers": [{ "byteLength": positions + indices }]
    })
}

/// Least and greatest coordinates, m.
fn bounds(vertices: &[Vec3]) -> (Vec3, Vec3) {
    let start = (Vec3::INFINITY, Vec3::NEG_INFINITY);
    vertices.iter().fold(start, |(low, high), v| (low.min(*v), high.max(*v)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::tetrahedron;

    #[test]
    fn header_chunks_and_lengths_fit_together() {
        let bytes = glb(&tetrahedron(), "point").unwrap();
        let word = |at: usize| u32::from_le_bytes(bytes[at..at + 4].try_into().unwrap()) as usize;
        assert_eq!((&bytes[..4], word(4), word(8)), (b"glTF".as_slice(), 2, bytes.len()));
        let text = word(12);
        let json: Value = serde_json::from_slice(&bytes[20..20 + text]).unwrap();
        assert_eq!(json["accessors"][0]["max"], json!([0.01f32, 0.01f32, 0.01f32]));
        assert_eq!(json["buffers"][0]["byteLength"], 4 * 12 + 4 * 12);
        assert_eq!((word(20 + text), bytes.len()), (96, 28 + text + 96));
        assert_eq!(bytes, glb(&tetrahedron(), "point").unwrap());
    }
}
