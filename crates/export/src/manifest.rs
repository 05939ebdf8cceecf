//! `manifest.json`: every file of a build with its facts and its SHA-256.

use glam::DVec3;
use serde::Serialize;
use sha2::{Digest, Sha256};

use crate::fault::ExportFault;

/// The list of a build's files.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Manifest {
    /// One entry a file, in any order; they are written by name.
    pub entries: Vec<Entry>,
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
    /// The stage of work it shows, for example `ground`.
    pub stage: &'a str,
    /// Least and greatest coordinates, mm.
    pub bounds: (DVec3, DVec3),
    /// Volume, mm³.
    pub volume: f64,
}

/// A file's entry.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Entry {
    name: String,
    kind: Kind,
    part: String,
    stage: String,
    box_mm: [[f64; 3]; 2],
    volume_mm3: f64,
    bytes: usize,
    sha256: String,
}

impl Entry {
    /// The entry of the file of which `facts` are true and which holds `bytes`.
    ///
    /// # Errors
    /// [`ExportFault::NotFinite`] for a bounding box or volume that is not finite.
    pub fn new(facts: &Facts<'_>, bytes: &[u8]) -> Result<Entry, ExportFault> {
        let (low, high) = facts.bounds;
        if !(low.is_finite() && high.is_finite() && facts.volume.is_finite()) {
            return Err(ExportFault::NotFinite { place: format!("box or volume of {}", facts.name) });
        }
        Ok(Entry {
            name: facts.name.to_owned(),
            kind: facts.kind,
            part: facts.part.to_owned(),
            stage: facts.stage.to_owned(),
            box_mm: [low.to_array(), high.to_array()],
            volume_mm3: facts.volume,
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
        let mut bytes = serde_json::to_vec_pretty(&Document { files }).map_err(ExportFault::writer)?;
        bytes.push(b'\n');
        Ok(bytes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn facts(name: &str) -> Facts<'_> {
        let bounds = (DVec3::ZERO, DVec3::new(480.0, 30.5, 6.0));
        Facts { name, kind: Kind::ThreeMf, part: "blade", stage: "ground", bounds, volume: 0.1 }
    }

    /// FIPS 180-2, appendix B.1.
    #[test]
    fn the_hash_is_that_of_the_standards_example() {
        assert_eq!(sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }

    #[test]
    fn entries_stand_by_name_with_all_facts() {
        let entries = ["b.3mf", "a.3mf"].map(|name| Entry::new(&facts(name), b"abc").unwrap()).to_vec();
        let bytes = Manifest { entries }.to_bytes().unwrap();
        let json: serde_json::Value = serde_json::from_slice(&bytes).unwrap();
        let want = serde_json::json!({
            "name": "a.3mf", "kind": "3mf", "part": "blade", "stage": "ground",
            "box_mm": [[0.0, 0.0, 0.0], [480.0, 30.5, 6.0]], "volume_mm3": 0.1, "bytes": 3,
            "sha256": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        });
        assert_eq!(json["files"][0], want);
        assert_eq!(json["files"][1]["name"], "b.3mf");
        assert!(bytes.ends_with(b"}\n"));
    }

    #[test]
    fn a_volume_that_is_not_finite_is_refused() {
        let wrong = Facts { volume: f64::NAN, ..facts("a.stl") };
        assert!(matches!(Entry::new(&wrong, b""), Err(ExportFault::NotFinite { .. })));
    }
}
