//! A finished file with its entry in the manifest, and how it fails to be made.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

use export::{Entry, Facts, Kind};
use files::{FileFault, Manifest, OutputFolder};

use crate::terminal::error::CliError;

/// A finished file.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Made {
    /// Its name in the output folder, with the folder inside that it stands in.
    pub(crate) name: String,
    /// What it holds: for the disk, and for the pages that show it.
    pub(crate) bytes: Arc<[u8]>,
}

impl Made {
    /// The file of these facts, with its entry in the manifest.
    pub(crate) fn listed(facts: &Facts<'_>, bytes: Vec<u8>) -> Result<(Made, Entry), CliError> {
        let entry = Entry::new(facts, &bytes).map_err(|why| unmade(facts.name, why))?;
        Ok((Made { name: facts.name.to_owned(), bytes: bytes.into() }, entry))
    }
}

/// Facts of a file of which no more is known than its name, its kind and the part that it holds.
pub(crate) fn plain_facts<'a>(name: &'a str, kind: Kind, part: &'a str) -> Facts<'a> {
    Facts { name, kind, part, stage: None, note: None, measure: None, pages: None, placed: None }
}

/// The stop that says which file could not be made, and why.
pub(crate) fn unmade(file: &str, why: impl ToString) -> CliError {
    CliError::Shape { file: file.to_owned(), why: why.to_string() }
}

/// The list of what a build wrote; its presence says that a folder is ours.
pub(crate) const MANIFEST: &str = "manifest.json";

/// An output folder that may be replaced.
pub(crate) fn claim(folder: &Path) -> Result<OutputFolder, FileFault> {
    OutputFolder::claim(folder, Manifest { name: MANIFEST, listed })
}

/// The names that a manifest lists.
fn listed(manifest: &[u8]) -> Option<BTreeSet<String>> {
    let manifest: serde_json::Value = serde_json::from_slice(manifest).ok()?;
    let files = manifest.get("files")?.as_array()?;
    files.iter().map(|file| Some(file.get("name")?.as_str()?.to_owned())).collect()
}
