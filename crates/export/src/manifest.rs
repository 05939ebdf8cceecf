//! `manifest.json`: every file of a build with its facts and its SHA-256.

use glam::{DVec2, DVec3};
use serde::Serialize;
use sha2::{Digest, Sha256};

use crate::fault::ExportFault;

/// The list of a build's files.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Manifest {
    /// One entry a file, in any order; they are written by name.
    pub entries: Vec<Entry>,
    /// What the smith can act on, in words.
    pub findings: Vec<String>,
}

/// What a file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
#[non_exhaustive]
pub enum Kind {
    /// An exact solid, STEP AP242.
    Step,
    /// A mesh, binary STL.
    Stl,
    /// A mesh, 3MF.
    #[serde(rename = "3mf")]
    ThreeMf,
    /// A mesh to look at, binary glTF.
    Glb,
    /// A drawing at full size, SVG.
    Svg,
    /// A drawing at full size, DXF.
    Dxf,
    /// Pages at full size, PDF.
    Pdf,
    /// A picture, PNG.
    Png,
    /// Words, UTF-8.
    Text,
    /// A page, HTML.
    Html,
}

/// What is measured of a body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measure {
    /// Least and greatest coordinates, mm.
    pub bounds: (DVec3, DVec3),
    /// Volume, mm³.
    pub volume: f64,
}

/// What is known of a file's contents besides its bytes.
#[derive(Clone, Debug, PartialEq)]
pub struct Facts<'a> {
    /// The file's name in the output folder.
    pub name: &'a str,
    /// What the file is.
    pub kind: Kind,
    /// The part it holds, for example `blade`.
    pub part: &'a str,
    /// The stage of work it shows, for example `ground`, if it shows one.
    pub stage: Option<&'a str>,
    /// What the part is for, in a few words.
    pub note: Option<&'a str>,
    /// Box and volume, where the file holds a body.
    pub measure: Option<Measure>,
    /// Number of pages, where it has pages.
    pub pages: Option<usize>,
    /// Turn (rad, about the origin) and shift (mm) that brought a flat part from the blade's frame to its place on the
    /// printer's bed, where the part has a place in that frame.
    pub placed: Option<(f64, DVec2)>,
}

/// A file's entry. What is not known is left out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Entry {
    name: String,
    kind: Kind,
    part: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    stage: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    note: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    box_mm: Option<[[f64; 3]; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    volume_mm3: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pages: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    turned_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    shifted_mm: Option<[f64; 2]>,
    bytes: usize,
    sha256: String,
}

impl Measure {
    fn is_finite(self) -> bool {
        self.bounds.0.is_finite() && self.bounds.1.is_finite() && self.volume.is_finite()
    }
}

impl Entry {
    /// The entry of the file of which `facts` are true and which holds `bytes`.
    ///
    /// # Errors
    /// [`ExportFault::NotFinite`] for a bounding box or volume that is not finite.
    pub fn new(facts: &Facts<'_>, bytes: &[u8]) -> Result<Entry, ExportFault> {
        if !facts.measure.is_none_or(Measure::is_finite) {
            return Err(ExportFault::NotFinite { place: format!("box or volume of {}", facts.name) });
        }
        Ok(Entry {
            name: facts.name.to_owned(),
            kind: facts.kind,
            part: facts.part.to_owned(),
            stage: facts.stage.map(str::to_owned),
            note: facts.note.map(str::to_owned),
            box_mm: facts.measure.map(|m| [m.bounds.0.to_array(), m.bounds.1.to_array()]),
            volume_mm3: facts.measure.map(|m| m.volume),
            pages: facts.pages,
            turned_deg: facts.placed.map(|(turn, _)| turn.to_degrees()),
            shifted_mm: facts.placed.map(|(_, shift)| shift.to_array()),
            bytes: bytes.len(),
            sha256: sha256(bytes),
        })
    }
}

/// SHA-256 (FIPS 180-4) in hexadecimal.
fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The file's form.
#[derive(Serialize)]
struct Document<'a> {
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    findings: &'a [String],
    files: Vec<&'a Entry>,
}

impl Manifest {
    /// The file, JSON, entries by name.
    ///
    /// # Errors
    /// [`ExportFault::Writer`] if the JSON writer fails.
    pub fn to_bytes(&self) -> Result<Vec<u8>, ExportFault> {
        let mut files: Vec<_> = self.entries.iter().collect();
        files.sort_by(|a, b| a.name.cmp(&b.name));
        let mut bytes = serde_json::to_vec_pretty(&Document { findings: &self.findings, files })
            .map_err(ExportFault::writer)?;
        bytes.push(b'\n');
        Ok(bytes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn facts(name: &str) -> Facts<'_> {
        let bounds = (DVec3::ZERO, DVec3::new(480.0, 30.5, 6.0));
        let measure = Some(Measure { bounds, volume: 0.1 });
        let (kind, stage) = (Kind::ThreeMf, Some("ground"));
        Facts { name, kind, part: "blade", stage, note: None, measure, pages: None, placed: None }
    }

    /// FIPS 180-2, appendix B.1.
    #[test]
    fn the_hash_is_that_of_the_standards_example() {
        assert_eq!(sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }

    #[test]
    fn entries_stand_by_name_with_all_facts() {
        let entries = ["b.3mf", "a.3mf"].map(|name| Entry::new(&facts(name), b"abc").unwrap()).to_vec();
        let bytes = Manifest { entries, findings: vec!["the seam".to_owned()] }.to_bytes().unwrap();
        let json: serde_json::Value = serde_json::from_slice(&bytes).unwrap();
        let want = serde_json::json!({
            "name": "a.3mf", "kind": "3mf", "part": "blade", "stage": "ground",
            "box_mm": [[0.0, 0.0, 0.0], [480.0, 30.5, 6.0]], "volume_mm3": 0.1, "bytes": 3,
            "sha256": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        });
        assert_eq!(json["findings"], serde_json::json!(["the seam"]));
        assert_eq!(json["files"][0], want);
        assert_eq!(json["files"][1]["name"], "b.3mf");
        assert!(bytes.ends_with(b"}\n"));
    }

    #[test]
    fn a_drawing_has_pages_and_a_note_but_neither_box_nor_volume() {
        let note = Some("hold against the back");
        let facts = Facts { kind: Kind::Pdf, note, measure: None, pages: Some(3), ..facts("a.pdf") };
        let entry = serde_json::to_value(Entry::new(&facts, b"abc").unwrap()).unwrap();
        let want = serde_json::json!({
            "name": "a.pdf", "kind": "pdf", "part": "blade", "stage": "ground", "note": "hold against the back",
            "pages": 3, "bytes": 3,
            "sha256": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        });
        assert_eq!(entry, want);
        let names = [Kind::Svg, Kind::Dxf, Kind::Png, Kind::Text, Kind::Html]
            .map(|k| serde_json::to_value(k).unwrap());
        assert_eq!(names, ["svg", "dxf", "png", "text", "html"]);
    }

    #[test]
    fn a_flat_part_tells_how_it_was_laid_on_the_bed() {
        let placed = Some((std::f64::consts::FRAC_PI_2, DVec2::new(40.0, -1.5)));
        let facts = Facts { stage: None, measure: None, placed, ..facts("a.stl") };
        let entry = serde_json::to_value(Entry::new(&facts, b"abc").unwrap()).unwrap();
        assert_eq!(entry["turned_deg"], 90.0);
        assert_eq!(entry["shifted_mm"], serde_json::json!([40.0, -1.5]));
        assert!(entry.get("stage").is_none());
    }

    #[test]
    fn a_volume_that_is_not_finite_is_refused() {
        let measure = Some(Measure { bounds: (DVec3::ZERO, DVec3::ONE), volume: f64::NAN });
        let wrong = Facts { measure, ..facts("a.stl") };
        assert!(matches!(Entry::new(&wrong, b""), Err(ExportFault::NotFinite { .. })));
    }
}
