//! The design file as read from disk, never more of it than a design may have.

use std::path::{Path, PathBuf};

use design::Design;
use files::FileFault;

/// One byte above the 1 MiB that a design file may have: enough for `design` to see that a file is too
/// long, without reading the rest of it.
const READ_AT_MOST: u64 = (1 << 20) + 1;

/// A design file's name and bytes.
#[derive(Clone, Debug)]
pub(crate) struct Source {
    /// As given on the command line.
    pub(crate) path: PathBuf,
    /// At most [`READ_AT_MOST`] of its bytes.
    pub(crate) bytes: Vec<u8>,
}

impl Source {
    /// Reads a file.
    pub(crate) fn read(path: &Path) -> Result<Source, FileFault> {
        let bytes = files::read_at_most(path, READ_AT_MOST)
            .map_err(|why| FileFault::Read { path: path.to_owned(), why })?;
        Ok(Source { path: path.to_owned(), bytes })
    }

    /// The checked design, or all its problems.
    pub(crate) fn design(&self) -> Result<Design, Vec<design::Problem>> {
        design::read(&self.bytes)
    }

    /// The same without warnings: they take as long as the rest of the reading.
    pub(crate) fn unwarned(&self) -> Result<Design, Vec<design::Problem>> {
        design::read_candidate(&self.bytes)
    }
}
