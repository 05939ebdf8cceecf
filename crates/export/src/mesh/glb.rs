//! Binary glTF 2.0, to look at: coloured bodies, or a surface with a picture on it. In metres, Y up.

use glam::DVec3;
use serde_json::{Value, json};

use crate::fault::ExportFault;
use crate::mesh::gltf::Buffer;
use crate::mesh::object::Object;
use crate::mesh::single::{single, surface};
use crate::page::raster::Raster;
use crate::paint::Paint;

/// A surface with a picture on it.
#[derive(Clone, Copy, Debug)]
pub struct Textured<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its vertices, mm; those on a seam of the picture stand there twice.
    pub positions: &'a [DVec3],
    /// Where each vertex lies in the picture: shares of its width from the left and of its height from the
    /// top. What lies beyond 0 … 1 shows the dots of the border.
    pub uv: &'a [[f64; 2]],
    /// Vertex indices of each triangle, counter-clockwise seen from outside.
    pub triangles: &'a [[u32; 3]],
    /// The picture. Where its sides are powers of two, viewers on old graphics need not resample it.
    pub picture: &'a Raster<'a>,
}

/// Bare metal mirrors its surroundings and nothing else (§3.9.2), so in the many viewers that have none it is
/// black. Not being metal, a body shows its colour under any lamp.
const METALLIC: f64 = 0.0;

/// Satin, as ground steel is: the lamp's reflection is wide and soft, and doesn't wash out colours.
const ROUGHNESS: f64 = 0.5;

// The specification's numbers for how a picture is read (§5.26).
const LINEAR: u32 = 9729;
const LINEAR_MIPMAP_LINEAR: u32 = 9987;
const CLAMP_TO_EDGE: u32 = 33071;

/// The file of several meshes (mm) that keep their places, in a scene with this title. Each is a node of its
/// own, with a mesh under the same name and a material under its paint's; without paint it is
/// [`Paint::STEEL`].
///
/// # Errors
/// [`ExportFault::Empty`] without meshes, [`ExportFault::Colour`] or [`ExportFault::Name`] for a colour or its
/// name that cannot be written, [`ExportFault::Collapsed`], [`ExportFault::Degenerate`] or
/// [`ExportFault::NotFinite`] when a mesh does not survive single precision, [`ExportFault::TooMany`] beyond
/// the format's 4 GiB.
pub fn glb_set(title: &str, objects: &[Object<'_>]) -> Result<Vec<u8>, ExportFault> {
    if objects.is_empty() {
        return Err(ExportFault::Empty);
    }
    let mut buffer = Buffer::default();
    let meshes = (0..).zip(objects).map(|(i, object)| mesh(&mut buffer, i, object));
    let meshes = meshes.collect::<Result<Vec<_>, _>>()?;
    let materials = objects.iter().map(material).collect::<Result<Vec<_>, _>>()?;
    let nodes = (0..).zip(objects).map(|(i, object)| json!({ "name": object.name, "mesh": i }));
    let nodes: Vec<Value> = nodes.collect();
    buffer.container(json!({
        "scene": 0,
        "scenes": [{ "name": title, "nodes": (0..nodes.len()).collect::<Vec<_>>() }],
        "nodes": nodes,
        "meshes": meshes,
        "materials": materials
    }))
}

/// A mesh of the material with the same number. Faceted, as it has no normals of its own (§3.7.2.1).
fn mesh(buffer: &mut Buffer, number: usize, object: &Object<'_>) -> Result<Value, ExportFault> {
    let (vertices, triangles) = single(object.mesh)?;
    let attributes = json!({ "POSITION": buffer.positions(&vertices) });
    let indices = buffer.triangles(triangles);
    let primitive = json!({ "attributes": attributes, "indices": indices, "material": number });
    Ok(json!({ "name": object.name, "primitives": [primitive] }))
}

/// An object's material.
fn material(object: &Object<'_>) -> Result<Value, ExportFault> {
    let paint = object.paint.unwrap_or(Paint::STEEL);
    paint.sound()?;
    let [red, green, blue] = paint.linear();
    Ok(json!({ "name": paint.name, "pbrMetallicRoughness": {
        "baseColorFactor": [red, green, blue, 1.0], "metallicFactor": METALLIC, "roughnessFactor": ROUGHNESS
    } }))
}

/// The file of a surface with its picture in it.
///
/// # Errors
/// [`ExportFault::Empty`] without triangles, [`ExportFault::Places`] when positions and places in the picture
/// differ in number, [`ExportFault::NoVertex`] for a vertex that is not there, [`ExportFault::Raster`] for a
/// picture that is none, [`ExportFault::Degenerate`] or [`ExportFault::NotFinite`] when the surface does not
/// survive single precision, [`ExportFault::TooMany`] beyond the format's 4 GiB.
pub fn glb_textured(body: &Textured<'_>) -> Result<Vec<u8>, ExportFault> {
    let vertices = surface(body.positions, body.triangles)?;
    let (places, picture) = (places(body)?, body.picture.png(None)?);
    let mut buffer = Buffer::default();
    let (positions, places) = (buffer.positions(&vertices), buffer.places(&places));
    let (indices, picture) = (buffer.triangles(body.triangles), buffer.file(&picture));
    let attributes = json!({ "POSITION": positions, "TEXCOORD_0": places });
    let primitive = json!({ "attributes": attributes, "indices": indices, "material": 0 });
    buffer.container(pictured(body.name, &primitive, picture))
}

/// The scene of one primitive with the picture in this view.
fn pictured(name: &str, primitive: &Value, view: usize) -> Value {
    json!({
        "scene": 0,
        "scenes": [{ "name": name, "nodes": [0] }],
        "nodes": [{ "name": name, "mesh": 0 }],
        "meshes": [{ "name": name, "primitives": [primitive] }],
        "materials": [{ "name": name, "pbrMetallicRoughness": {
            "baseColorTexture": { "index": 0 }, "metallicFactor": METALLIC, "roughnessFactor": ROUGHNESS
        } }],
        "textures": [{ "sampler": 0, "source": 0 }],
        "images": [{ "name": name, "bufferView": view, "mimeType": "image/png" }],
        "samplers": [{
            "magFilter": LINEAR, "minFilter": LINEAR_MIPMAP_LINEAR, "wrapS": CLAMP_TO_EDGE, "wrapT": CLAMP_TO_EDGE
        }]
    })
}

/// The vertices' places in the picture, in single precision.
fn places(body: &Textured<'_>) -> Result<Vec<[f32; 2]>, ExportFault> {
    if body.uv.len() != body.positions.len() {
        return Err(ExportFault::Places { vertices: body.positions.len(), places: body.uv.len() });
    }
    let places: Vec<_> = body.uv.iter().map(|place| place.map(|share| share as f32)).collect();
    match places.iter().position(|place| !place.iter().all(|share| share.is_finite())) {
        Some(i) => Err(ExportFault::NotFinite { place: format!("the place in the picture of vertex {i}") }),
        None => Ok(places),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::{tetrahedron, two_shells};

    const PICTURE: Raster<'static> = Raster { width: 2, height: 1, rgb: &[10, 20, 30, 200, 210, 220] };

    fn word(bytes: &[u8], at: usize) -> usize {
        u32::from_le_bytes(bytes[at..at + 4].try_into().unwrap()) as usize
    }

    /// A file's document and data, once header, chunks and lengths fit together.
    fn read(bytes: &[u8]) -> (Value, &[u8]) {
        assert_eq!((&bytes[..4], word(bytes, 4), word(bytes, 8)), (b"glTF".as_slice(), 2, bytes.len()));
        let text = word(bytes, 12);
        let json: Value = serde_json::from_slice(&bytes[20..20 + text]).unwrap();
        let data = &bytes[28 + text..];
        assert_eq!(word(bytes, 20 + text), data.len());
        let length = json["buffers"][0]["byteLength"].as_u64().unwrap() as usize;
        assert_eq!(length.next_multiple_of(4), data.len());
        (json, data)
    }

    #[test]
    fn one_body_is_in_metres_and_of_steel() {
        let mesh = tetrahedron();
        let object = Object { name: "a\u{1}<é>\"", mesh: &mesh, paint: None };
        let bytes = glb_set("point", &[object]).unwrap();
        let (json, data) = read(&bytes);
        assert_eq!(json["accessors"][0]["max"], json!([0.01f32, 0.01f32, 0.01f32]));
        assert_eq!(data.len(), 4 * 12 + 4 * 12);
        assert_eq!(json["nodes"], json!([{ "name": "a\u{1}<é>\"", "mesh": 0 }]));
        assert_eq!(
            (&json["scenes"][0]["name"], &json["materials"][0]["name"]),
            (&json!("point"), &json!("steel"))
        );
        assert_eq!(bytes, glb_set("point", &[object]).unwrap());
    }

    #[test]
    fn every_body_has_its_node_mesh_and_colour() {
        let (one, two) = (tetrahedron(), two_shells());
        let blue = Paint { name: "smith's blue", srgb: [0.0, 0.5, 1.0] };
        let objects = [
            Object { name: "edge", mesh: &one, paint: Some(blue) },
            Object { name: "back", mesh: &two, paint: Some(Paint::STEEL) },
        ];
        let bytes = glb_set("stack", &objects).unwrap();
        let (json, data) = read(&bytes);
        assert_eq!(json["scenes"], json!([{ "name": "stack", "nodes": [0, 1] }]));
        assert_eq!(json["nodes"], json!([{ "name": "edge", "mesh": 0 }, { "name": "back", "mesh": 1 }]));
        let primitive =
            |i: usize| json!({ "attributes": { "POSITION": 2 * i }, "indices": 2 * i + 1, "material": i });
        (0..2).for_each(|i| assert_eq!(json["meshes"][i]["primitives"], json!([primitive(i)])));
        assert_eq!(json["accessors"][3]["count"], 24);
        assert_eq!(json["materials"][0]["name"], "smith's blue");
        let colour = &json["materials"][0]["pbrMetallicRoughness"]["baseColorFactor"];
        assert!((colour[1].as_f64().unwrap() - 0.214_041).abs() < 1e-6, "{colour}");
        assert_eq!((&colour[0], &colour[2], &colour[3]), (&json!(0.0), &json!(1.0), &json!(1.0)));
        // 4 vertices and 4 triangles of 12 bytes each, then 8 and 8.
        assert_eq!(data.len(), 12 * (4 + 4 + 8 + 8));
        let second = json["bufferViews"][2]["byteOffset"].as_u64().unwrap() as usize;
        assert_eq!(data[second + 48..second + 52], 0.02f32.to_le_bytes());
    }

    /// A square of 10 mm.
    const SQUARE: [DVec3; 4] =
        [DVec3::ZERO, DVec3::new(10.0, 0.0, 0.0), DVec3::new(10.0, 10.0, 0.0), DVec3::new(0.0, 10.0, 0.0)];

    fn square() -> Textured<'static> {
        Textured {
            name: "flank",
            positions: &SQUARE,
            uv: &[[0.0, 1.0], [1.0, 1.0], [1.0, 0.0], [0.0, 0.0]],
            triangles: &[[0, 1, 2], [0, 2, 3]],
            picture: &PICTURE,
        }
    }

    #[test]
    fn a_picture_lies_in_the_file_and_every_vertex_has_its_place() {
        let bytes = glb_textured(&square()).unwrap();
        let (json, data) = read(&bytes);
        let attributes = &json["meshes"][0]["primitives"][0]["attributes"];
        assert_eq!(*attributes, json!({ "POSITION": 0, "TEXCOORD_0": 1 }));
        let view = &json["bufferViews"][json["images"][0]["bufferView"].as_u64().unwrap() as usize];
        let [at, length] = ["byteOffset", "byteLength"].map(|key| view[key].as_u64().unwrap() as usize);
        assert_eq!(&data[at..at + length], PICTURE.png(None).unwrap());
        assert_eq!(json["samplers"][0]["wrapS"], CLAMP_TO_EDGE);
        let places = &json["bufferViews"][1]["byteOffset"].as_u64().unwrap();
        let first = *places as usize;
        assert_eq!(data[first..first + 8], [0.0f32.to_le_bytes(), 1.0f32.to_le_bytes()].concat());
        assert_eq!(bytes, glb_textured(&square()).unwrap());
    }

    #[test]
    fn what_cannot_be_shown_is_refused() {
        assert_eq!(glb_set("none", &[]), Err(ExportFault::Empty));
        let mesh = tetrahedron();
        let dark = Paint { name: "dark", srgb: [f64::NAN; 3] };
        let object = Object { name: "bar", mesh: &mesh, paint: Some(dark) };
        assert_eq!(glb_set("dark", &[object]), Err(ExportFault::Colour { name: "dark".to_owned() }));
        let fault = |body: Textured<'_>| glb_textured(&body).unwrap_err();
        let few = ExportFault::Places { vertices: 4, places: 1 };
        assert_eq!(fault(Textured { uv: &[[0.0; 2]], ..square() }), few);
        let nowhere = fault(Textured { uv: &[[0.0, f64::NAN]; 4], ..square() });
        assert!(matches!(nowhere, ExportFault::NotFinite { .. }), "{nowhere}");
        let missing = ExportFault::NoVertex { triangle: 0, vertex: 4 };
        assert_eq!(fault(Textured { triangles: &[[0, 1, 4]], ..square() }), missing);
        let none = Raster { width: 1, ..PICTURE };
        let raster = ExportFault::Raster { width: 1, height: 1, bytes: 6 };
        assert_eq!(fault(Textured { picture: &none, ..square() }), raster);
    }
}
