//! A finished file with its entry in the manifest, and how it fails to be made.

use export::{Entry, Facts, Kind};

use crate::stop::Stop;

/// A finished file.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Made {
    /// Its name in the output folder, with the folder inside that it stands in.
    pub(crate) name: String,
    /// What it holds.
    pub(crate) bytes: Vec<u8>,
}

impl Made {
    /// The file of these facts, with its entry in the manifest.
    pub(crate) fn listed(facts: &Facts<'_>, bytes: Vec<u8>) -> Result<(Made, Entry), Stop> {
        let entry = Entry::new(facts, &bytes).map_err(|why| unmade(facts.name, why))?;
        Ok((Made { name: facts.name.to_owned(), bytes }, entry))
    }
}

/// Facts of a file of which no more is known than its name, its kind and the part that it holds.
pub(crate) fn plain_facts<'a>(name: &'a str, kind: Kind, part: &'a str) -> Facts<'a> {
    Facts { name, kind, part, stage: None, note: None, measure: None, pages: None, placed: None }
}

/// The stop that says which file could not be made, and why.
pub(crate) fn unmade(file: &str, why: impl ToString) -> Stop {
    Stop::Shape { file: file.to_owned(), why: why.to_string() }
}
