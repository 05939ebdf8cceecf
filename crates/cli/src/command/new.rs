//! `new`: a commented starter design or a table for measured values, never over an existing file.

use std::path::{Path, PathBuf};

use crate::ask::arguments::New;
use crate::terminal::error::CliError;
use crate::terminal::output;
use crate::terminal::source::Source;

/// Writes the starter file, or the table of a design to fill in, and says where.
pub(crate) fn run(new: &New) -> Result<(), CliError> {
    match (&new.name, &new.measured) {
        (Some(name), None) => starter(new, name),
        (_, Some(design)) => blank(new, design),
        // The command line's own rules leave no other case.
        (None, None) => Err(CliError::Nothing),
    }
}

/// Writes the starter design file, in its unit.
fn starter(new: &New, name: &str) -> Result<(), CliError> {
    let source = Source {
        path: PathBuf::from("the starter file"),
        bytes: design::starter(name, new.unit.unit()).into_bytes(),
    };
    let slug = match source.design() {
        Ok(design) => design.slug().to_owned(),
        Err(problems) => return Err(CliError::problems(&source, problems)),
    };
    put(new.out.clone().unwrap_or_else(|| PathBuf::from(format!("{slug}.toml"))), &source.bytes)
}

fn blank(new: &New, path: &Path) -> Result<(), CliError> {
    let source = Source::read(path)?;
    let design = source.design().map_err(|problems| CliError::problems(&source, problems))?;
    let text = measured::blank(&design, new.semicolons);
    let usual = || PathBuf::from(format!("{}-measured.csv", design.slug()));
    put(new.out.clone().unwrap_or_else(usual), text.as_bytes())
}

fn put(path: PathBuf, bytes: &[u8]) -> Result<(), CliError> {
    files::write_new(&path, bytes)?;
    output::say(format!("wrote {}\n", path.display()).as_bytes())
}
