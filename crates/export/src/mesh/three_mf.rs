//! 3MF (core specification 1.4): named and coloured meshes in mm for printing programs, packed as zip.

use std::io::{Cursor, Write};

use brep::Mesh;
use glam::Vec3;
use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesText, Event};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use crate::fault::ExportFault;
use crate::mesh::object::Object;
use crate::mesh::single::single;
use crate::paint::Paint;
use crate::sound::writable;

/// The core specification's namespace.
const CORE: &str = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02";

/// Which parts of the package are of what type.
const TYPES: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>
"#;

/// Which part is the model.
const RELATIONS: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Target="/3D/3dmodel.model" Id="rel0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>
"#;

/// The file of one mesh (mm), which bears `name` as object and title.
///
/// # Errors
/// Those of [`three_mf_set`].
pub fn three_mf(mesh: &Mesh, name: &str) -> Result<Vec<u8>, ExportFault> {
    three_mf_set(name, &[Object { name, mesh, paint: None }])
}

/// The file of several meshes (mm) that keep their places, under a common title. Paints become base materials
/// (§5.1), one for each that differs by name or colour; an object without paint has no material.
///
/// # Errors
/// [`ExportFault::Empty`] without meshes, [`ExportFault::Name`] for control characters in a name,
/// [`ExportFault::Colour`] for a colour that is none, and [`ExportFault::Collapsed`], [`ExportFault::Degenerate`] or [`ExportFault::NotFinite`] when a mesh does not
/// survive single precision, which is all that readers hold.
pub fn three_mf_set(title: &str, objects: &[Object<'_>]) -> Result<Vec<u8>, ExportFault> {
    if objects.is_empty() {
        return Err(ExportFault::Empty);
    }
    let names = objects.iter().map(|o| o.name);
    names.chain([title]).try_for_each(writable)?;
    objects.iter().filter_map(|o| o.paint).try_for_each(Paint::sound)?;
    let model = model(title, objects)?;
    pack(&[
        ("[Content_Types].xml", TYPES.as_bytes()),
        ("_rels/.rels", RELATIONS.as_bytes()),
        ("3D/3dmodel.model", &model),
    ])
}

/// How hard the package is pressed, of 9: of meshes the next level makes no smaller file, in twice the time.
const LEVEL: i64 = 5;

/// The parts as a zip file that bears no time.
fn pack(parts: &[(&str, &[u8])]) -> Result<Vec<u8>, ExportFault> {
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .compression_level(Some(LEVEL))
        .last_modified_time(DateTime::default());
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        zip.start_file(*name, options).map_err(ExportFault::writer)?;
        zip.write_all(bytes).map_err(ExportFault::writer)?;
    }
    zip.finish().map(Cursor::into_inner).map_err(ExportFault::writer)
}

/// A text writer that fills a vector.
type Xml = Writer<Vec<u8>>;

/// The model part.
fn model(title: &str, objects: &[Object<'_>]) -> Result<Vec<u8>, ExportFault> {
    let meshes = objects.iter().map(|o| single(o.mesh)).collect::<Result<Vec<_>, _>>()?;
    let bases = Bases::of(objects);
    let mut xml = Writer::new(Vec::new());
    let written = (|| {
        xml.write_event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)))?;
        let root = [("unit", "millimeter"), ("xml:lang", "en-US"), ("xmlns", CORE)];
        xml.create_element("model").with_attributes(root).write_inner_content(|xml| {
            metadata(xml, "Title", title)?;
            metadata(xml, "Application", "Seaxwright")?;
            xml.create_element("resources").write_inner_content(|xml| {
                bases.write(xml)?;
                let each = (1..).zip(objects).zip(&meshes);
                each.into_iter().try_for_each(|((id, o), (v, t))| object(xml, id, o, &bases, v, t))
            })?;
            xml.create_element("build")
                .write_inner_content(|xml| (1..=objects.len()).try_for_each(|id| item(xml, id)))?;
            Ok(())
        })?;
        Ok::<_, std::io::Error>(())
    })();
    written.map_err(ExportFault::writer)?;
    Ok(xml.into_inner())
}

/// The base materials of a model: name and colour of each, and the id of their group.
struct Bases<'a> {
    id: String,
    list: Vec<(&'a str, String)>,
}

impl<'a> Bases<'a> {
    /// Those of these objects, in the order in which they come. Objects are numbered from 1, so the first
    /// number after theirs is free for the group.
    fn of(objects: &[Object<'a>]) -> Self {
        let mut list = Vec::new();
        for base in objects.iter().filter_map(|o| o.paint).map(base) {
            if !list.contains(&base) {
                list.push(base);
            }
        }
        Bases { id: (objects.len() + 1).to_string(), list }
    }

    /// The group, where there is something in it.
    fn write(&self, xml: &mut Xml) -> std::io::Result<()> {
        if self.list.is_empty() {
            return Ok(());
        }
        let group = xml.create_element("basematerials").with_attribute(("id", self.id.as_str()));
        group.write_inner_content(|xml| {
            self.list.iter().try_for_each(|(name, colour)| {
                let attributes = [("name", *name), ("displaycolor", colour.as_str())];
                xml.create_element("base").with_attributes(attributes).write_empty().map(|_| ())
            })
        })?;
        Ok(())
    }

    /// The attributes by which an object of this paint names its base.
    fn attributes(&self, paint: Option<Paint<'_>>) -> Vec<(&'static str, String)> {
        let index = paint.map(base).and_then(|wanted| self.list.iter().position(|b| *b == wanted));
        let pair = index.map(|index| [("pid", self.id.clone()), ("pindex", index.to_string())]);
        pair.into_iter().flatten().collect()
    }
}

/// A paint as a base material: its name and colour.
fn base(paint: Paint<'_>) -> (&str, String) {
    (paint.name, paint.hex())
}

/// A line of metadata.
fn metadata(xml: &mut Xml, name: &str, text: &str) -> std::io::Result<()> {
    let element = xml.create_element("metadata").with_attribute(("name", name));
    element.write_text_content(BytesText::new(text)).map(|_| ())
}

/// An object with its mesh, given in single precision.
fn object(
    xml: &mut Xml,
    id: usize,
    object: &Object<'_>,
    bases: &Bases<'_>,
    vertices: &[Vec3],
    triangles: &[[u32; 3]],
) -> std::io::Result<()> {
    let (id, material) = (id.to_string(), bases.attributes(object.paint));
    let attributes = [("id", id.as_str()), ("type", "model"), ("name", object.name)];
    let attributes = attributes.into_iter().chain(material.iter().map(|(key, value)| (*key, value.as_str())));
    xml.create_element("object").with_attributes(attributes).write_inner_content(|xml| {
        xml.create_element("mesh").write_inner_content(|xml| {
            xml.create_element("vertices")
                .write_inner_content(|xml| vertices.iter().try_for_each(|v| vertex(xml, *v)))?;
            xml.create_element("triangles")
                .write_inner_content(|xml| triangles.iter().try_for_each(|t| triangle(xml, *t)))?;
            Ok(())
        })?;
        Ok(())
    })?;
    Ok(())
}

/// A vertex: shortest digits that read back as the same single-precision number. Plain text, as numbers
/// need no escapes and there are many of them.
fn vertex(xml: &mut Xml, v: Vec3) -> std::io::Result<()> {
    write!(xml.get_mut(), r#"<vertex x="{}" y="{}" z="{}"/>"#, v.x, v.y, v.z)
}

/// A triangle, as plain text like [`vertex`].
fn triangle(xml: &mut Xml, [a, b, c]: [u32; 3]) -> std::io::Result<()> {
    write!(xml.get_mut(), r#"<triangle v1="{a}" v2="{b}" v3="{c}"/>"#)
}

/// Says that the object is to be made.
fn item(xml: &mut Xml, id: usize) -> std::io::Result<()> {
    let element = xml.create_element("item").with_attribute(("objectid", id.to_string().as_str()));
    element.write_empty().map(|_| ())
}

#[cfg(test)]
mod tests {
    use std::io::Read;

    use zip::ZipArchive;

    use super::*;
    use crate::fixtures::{tetrahedron, two_shells};

    fn part(bytes: &[u8], name: &str) -> String {
        let mut archive = ZipArchive::new(Cursor::new(bytes)).unwrap();
        let mut text = String::new();
        archive.by_name(name).unwrap().read_to_string(&mut text).unwrap();
        text
    }

    #[test]
    fn the_package_holds_types_relations_and_model_without_a_time() {
        let bytes = three_mf(&tetrahedron(), "point").unwrap();
        let mut archive = ZipArchive::new(Cursor::new(&bytes)).unwrap();
        let names: Vec<_> =
            (0..archive.len()).map(|i| archive.by_index(i).unwrap().name().unwrap().into_owned()).collect();
        assert_eq!(names, ["[Content_Types].xml", "_rels/.rels", "3D/3dmodel.model"]);
        for i in 0..archive.len() {
            assert_eq!(archive.by_index(i).unwrap().last_modified(), Some(DateTime::default()));
        }
        assert_eq!(bytes, three_mf(&tetrahedron(), "point").unwrap());
    }

    #[test]
    fn the_model_has_unit_names_and_every_corner() {
        let model = part(&three_mf(&tetrahedron(), "smith's <\"blade\"> é").unwrap(), "3D/3dmodel.model");
        for (what, count) in [
            (r#"unit="millimeter""#, 1),
            (r#"<metadata name="Title">smith&apos;s &lt;&quot;blade&quot;&gt; é</metadata>"#, 1),
            (r#"<metadata name="Application">Seaxwright</metadata>"#, 1),
            (r#"name="smith&apos;s &lt;&quot;blade&quot;&gt; é">"#, 1),
            ("<vertex ", 4),
            ("<triangle ", 4),
            (r#"<item objectid="1"/>"#, 1),
        ] {
            assert_eq!(model.matches(what).count(), count, "{what} in {model}");
        }
    }

    #[test]
    fn paints_become_base_materials_and_each_is_written_once() {
        let mesh = tetrahedron();
        let edge = Some(Paint { name: "edge <\"1095\"> & é", srgb: [0.2, 0.4, 0.6] });
        let back = Some(Paint { name: "back", srgb: [1.0, 0.0, 0.5] });
        let objects = [("edge", edge), ("bar", None), ("back", back), ("inlay", edge)];
        let objects = objects.map(|(name, paint)| Object { name, mesh: &mesh, paint });
        let model = part(&three_mf_set("stack", &objects).unwrap(), "3D/3dmodel.model");
        let group = "<resources><basematerials id=\"5\">\
            <base name=\"edge &lt;&quot;1095&quot;&gt; &amp; é\" displaycolor=\"#336699\"/>\
            <base name=\"back\" displaycolor=\"#FF0080\"/></basematerials><object id=\"1\"";
        for what in [
            group,
            r#"<object id="1" type="model" name="edge" pid="5" pindex="0"><mesh>"#,
            r#"<object id="2" type="model" name="bar"><mesh>"#,
            r#"<object id="3" type="model" name="back" pid="5" pindex="1"><mesh>"#,
            r#"<object id="4" type="model" name="inlay" pid="5" pindex="0"><mesh>"#,
            r#"<item objectid="4"/></build>"#,
        ] {
            assert_eq!(model.matches(what).count(), 1, "{what} in {model}");
        }
    }

    #[test]
    fn without_paint_there_are_no_materials_and_an_object_may_have_two_shells() {
        let model = part(&three_mf(&two_shells(), "two").unwrap(), "3D/3dmodel.model");
        assert!(model.contains(r#"<resources><object id="1" type="model" name="two"><mesh>"#), "{model}");
        assert_eq!((model.matches("<vertex ").count(), model.matches("<triangle ").count()), (8, 8));
        assert!(!model.contains("base") && !model.contains("pid"));
    }

    #[test]
    fn nothing_and_control_characters_are_refused() {
        assert_eq!(three_mf_set("none", &[]), Err(ExportFault::Empty));
        assert_eq!(three_mf(&tetrahedron(), "a\u{1}"), Err(ExportFault::Name { name: "a\u{1}".to_owned() }));
        let paint = Some(Paint { name: "blue", srgb: [0.0, 0.0, 255.0] });
        let objects = [Object { name: "bar", mesh: &tetrahedron(), paint }];
        assert_eq!(three_mf_set("stack", &objects), Err(ExportFault::Colour { name: "blue".to_owned() }));
    }
}
