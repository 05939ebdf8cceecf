//! What glTF 2.0 is made of: its one buffer with views and accessors, and the binary container.

use glam::Vec3;
use serde_json::{Map, Value, json};

use crate::fault::ExportFault;

// Numbers of the specification (§3.6.2.2, §5.11.5).
const UNSIGNED_INT: u32 = 5125;
const FLOAT: u32 = 5126;
const ARRAY_BUFFER: u32 = 34962;
const ELEMENT_ARRAY_BUFFER: u32 = 34963;

/// glTF counts in metres, the blade in mm. The blade's y, from edge up to back, is glTF's up as it stands.
const MILLIMETRES: f64 = 1000.0;

/// The buffer in the making.
#[derive(Default)]
pub(crate) struct Buffer {
    bytes: Vec<u8>,
    views: Vec<Value>,
    accessors: Vec<Value>,
}

impl Buffer {
    /// Adds the places of vertices, given in mm, and returns the accessor's index.
    pub(crate) fn positions(&mut self, vertices: &[Vec3]) -> usize {
        let vertices: Vec<_> = vertices.iter().map(|v| (v.as_dvec3() / MILLIMETRES).as_vec3()).collect();
        let (low, high) = bounds(&vertices);
        let view = self.floats(vertices.iter().flat_map(|v| v.to_array()));
        self.accessor(json!({
            "bufferView": view, "componentType": FLOAT, "count": vertices.len(), "type": "VEC3",
            "min": low.to_array(), "max": high.to_array()
        }))
    }

    /// Adds the vertices' places in a picture and returns the accessor's index.
    pub(crate) fn places(&mut self, uv: &[[f32; 2]]) -> usize {
        let view = self.floats(uv.iter().flatten().copied());
        let accessor =
            json!({ "bufferView": view, "componentType": FLOAT, "count": uv.len(), "type": "VEC2" });
        self.accessor(accessor)
    }

    /// Adds the corners of triangles and returns the accessor's index.
    pub(crate) fn triangles(&mut self, triangles: &[[u32; 3]]) -> usize {
        let bytes: Vec<_> = triangles.iter().flatten().flat_map(|i| i.to_le_bytes()).collect();
        let view = self.view(&bytes, Some(ELEMENT_ARRAY_BUFFER));
        self.accessor(json!({
            "bufferView": view, "componentType": UNSIGNED_INT, "count": 3 * triangles.len(), "type": "SCALAR"
        }))
    }

    /// Adds the bytes of a file and returns the view's index.
    pub(crate) fn file(&mut self, bytes: &[u8]) -> usize {
        self.view(bytes, None)
    }

    fn floats(&mut self, numbers: impl Iterator<Item = f32>) -> usize {
        let bytes: Vec<_> = numbers.flat_map(f32::to_le_bytes).collect();
        self.view(&bytes, Some(ARRAY_BUFFER))
    }

    /// Adds a view. Each begins at a multiple of four, as its numbers have four bytes (§3.6.2.4).
    fn view(&mut self, bytes: &[u8], target: Option<u32>) -> usize {
        self.bytes.resize(self.bytes.len().next_multiple_of(4), 0);
        let mut view = Map::new();
        view.insert("buffer".to_owned(), json!(0));
        view.insert("byteOffset".to_owned(), json!(self.bytes.len()));
        view.insert("byteLength".to_owned(), json!(bytes.len()));
        view.extend(target.map(|target| ("target".to_owned(), json!(target))));
        self.bytes.extend_from_slice(bytes);
        self.views.push(Value::Object(view));
        self.views.len() - 1
    }

    fn accessor(&mut self, accessor: Value) -> usize {
        self.accessors.push(accessor);
        self.accessors.len() - 1
    }

    /// The whole binary file: the document, told of this buffer, and its bytes.
    ///
    /// # Errors
    /// [`ExportFault::TooMany`] beyond the container's 4 GiB.
    pub(crate) fn container(self, mut document: Value) -> Result<Vec<u8>, ExportFault> {
        document["asset"] = json!({ "version": "2.0", "generator": "Seaxwright" });
        document["accessors"] = Value::Array(self.accessors);
        document["bufferViews"] = Value::Array(self.views);
        document["buffers"] = json!([{ "byteLength": self.bytes.len() }]);
        let text = chunk(*b"JSON", document.to_string().into_bytes(), b' ')?;
        let data = chunk(*b"BIN\0", self.bytes, 0)?;
        let length = length(12 + text.len() + data.len())?;
        Ok([b"glTF".as_slice(), &2u32.to_le_bytes(), &length.to_le_bytes(), &text, &data].concat())
    }
}

/// A chunk: length, kind, and bytes padded to a multiple of four.
fn chunk(kind: [u8; 4], mut bytes: Vec<u8>, padding: u8) -> Result<Vec<u8>, ExportFault> {
    bytes.resize(bytes.len().next_multiple_of(4), padding);
    Ok([length(bytes.len())?.to_le_bytes().as_slice(), &kind, &bytes].concat())
}

/// A length in bytes as the container writes it.
fn length(bytes: usize) -> Result<u32, ExportFault> {
    u32::try_from(bytes).map_err(|_| ExportFault::TooMany { what: "bytes", count: bytes })
}

/// Least and greatest coordinates.
fn bounds(vertices: &[Vec3]) -> (Vec3, Vec3) {
    let start = (Vec3::INFINITY, Vec3::NEG_INFINITY);
    vertices.iter().fold(start, |(low, high), v| (low.min(*v), high.max(*v)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn views_begin_at_multiples_of_four_and_the_document_knows_them() {
        let mut buffer = Buffer::default();
        assert_eq!(buffer.file(&[1, 2, 3, 4, 5]), 0);
        assert_eq!(buffer.triangles(&[[0, 1, 2]]), 0);
        assert_eq!(buffer.places(&[[0.5, 0.25]]), 1);
        let bytes = buffer.container(json!({})).unwrap();
        let word = |at: usize| u32::from_le_bytes(bytes[at..at + 4].try_into().unwrap()) as usize;
        let text = word(12);
        let json: Value = serde_json::from_slice(&bytes[20..20 + text]).unwrap();
        let offsets = [0, 8, 20].map(|offset| json!(offset));
        (0..3).for_each(|i| assert_eq!(json["bufferViews"][i]["byteOffset"], offsets[i]));
        assert_eq!(json["bufferViews"][0].get("target"), None);
        assert_eq!(json["buffers"][0]["byteLength"], 28);
        assert_eq!((text % 4, word(20 + text), bytes.len()), (0, 28, 28 + text + 28));
        assert_eq!(&bytes[28 + text..28 + text + 9], &[1, 2, 3, 4, 5, 0, 0, 0, 0]);
    }
}
