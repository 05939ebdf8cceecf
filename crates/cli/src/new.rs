//! `new`: a commented starter design, never over an existing file.

use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use crate::arguments::New;
use crate::source::Source;
use crate::stop::Stop;
use crate::{swap, terminal};

/// Writes the starter file and says where.
pub(crate) fn run(new: &New) -> Result<(), Stop> {
    let source =
        Source { path: PathBuf::from("the starter file"), bytes: design::starter(&new.name).into_bytes() };
    let slug = match source.design() {
        Ok(design) => design.slug().to_owned(),
        Err(problems) => return Err(Stop::Problems { source_file: source, problems }),
    };
    let path = new.out.clone().unwrap_or_else(|| PathBuf::from(format!("{slug}.toml")));
    write(&path, &source.bytes).map_err(|why| match why.kind() {
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
