//! `new`: a commented starter design or a sheet for measured values, never over an existing file.

use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use crate::arguments::New;
use crate::source::Source;
use crate::stop::Stop;
use crate::{swap, terminal};

/// Writes the starter file, or the sheet of a design to fill in, and says where.
pub(crate) fn run(new: &New) -> Result<(), Stop> {
    match (&new.name, &new.measured) {
        (Some(name), None) => starter(new, name),
        (_, Some(design)) => sheet(new, design),
        // The command line's own rules leave no other case.
        (None, None) => Err(Stop::Nothing),
    }
}

fn starter(new: &New, name: &str) -> Result<(), Stop> {
    let source =
        Source { path: PathBuf::from("the starter file"), bytes: design::starter(name).into_bytes() };
    let slug = match source.design() {
        Ok(design) => design.slug().to_owned(),
        Err(problems) => return Err(source.problems(problems)),
    };
    put(new.out.clone().unwrap_or_else(|| PathBuf::from(format!("{slug}.toml"))), &source.bytes)
}

fn sheet(new: &New, path: &Path) -> Result<(), Stop> {
    let source = Source::read(path)?;
    let design = source.design().map_err(|problems| source.problems(problems))?;
    let text = measured::sheet(&design, new.semicolons);
    let usual = || PathBuf::from(format!("{}-measured.csv", design.slug()));
    put(new.out.clone().unwrap_or_else(usual), text.as_bytes())
}

fn put(path: PathBuf, bytes: &[u8]) -> Result<(), Stop> {
    write(&path, bytes).map_err(|why| match why.kind() {
        ErrorKind::AlreadyExists => Stop::Exists(path.clone()),
        _ => Stop::Write { path: path.clone(), why },
    })?;
    terminal::say(format!("wrote {}\n", path.display()).as_bytes())
}

/// All of the file or none of it, and only where nothing is yet.
fn write(path: &Path, bytes: &[u8]) -> io::Result<()> {
    if path.try_exists()? {
        return Err(ErrorKind::AlreadyExists.into());
    }
    let mut file = swap::temporary(".seaxwright-", swap::FILE_MODE).tempfile_in(swap::folder_of(path))?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    file.persist_noclobber(path)?;
    Ok(())
}
