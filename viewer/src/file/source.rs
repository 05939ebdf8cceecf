//! The design file as it lies on the disk, looked at again and again.

use std::io;
use std::path::{Path, PathBuf};

/// One byte above the 1 MiB that a design file may have: enough for `design` to see that a file is too long, without
/// reading the rest of it.
const READ_AT_MOST: u64 = (1 << 20) + 1;

/// A file that is looked at for changes. Its bytes are compared, not its time: quick savers write twice within one
/// tick of a file system's clock.
pub(crate) struct Source {
    path: PathBuf,
    /// What was last found: its bytes, or in words why it could not be read.
    last: Option<Result<Vec<u8>, String>>,
}

impl Source {
    pub(crate) fn new(path: &Path) -> Source {
        Source { path: path.to_owned(), last: None }
    }

    /// What is in the file, if it is not what was there before.
    pub(crate) fn changed(&mut self) -> Option<&Result<Vec<u8>, String>> {
        let now = read(&self.path).map_err(|why| why.to_string());
        if self.last.as_ref() == Some(&now) {
            return None;
        }
        self.last = Some(now);
        self.last.as_ref()
    }

    /// Where it lies.
    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// These bytes were written into it: they are no change.
    pub(crate) fn knows(&mut self, bytes: &[u8]) {
        self.last = Some(Ok(bytes.to_vec()));
    }

    /// What was last found.
    pub(crate) fn last(&self) -> Result<&[u8], &str> {
        match &self.last {
            Some(Ok(bytes)) => Ok(bytes),
            Some(Err(why)) => Err(why),
            None => Err("it was not looked at yet"),
        }
    }
}

/// A file's bytes, never more than a design may have.
pub(crate) fn read(path: &Path) -> io::Result<Vec<u8>> {
    files::read_at_most(path, READ_AT_MOST)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_change_is_seen_once() {
        let room = tempfile::tempdir().unwrap();
        let path = room.path().join("a.toml");
        let mut source = Source::new(&path);
        assert!(source.changed().is_some_and(|c| c.is_err()));
        assert!(source.changed().is_none());
        for text in ["one", "two", "six"] {
            std::fs::write(&path, text).unwrap();
            assert_eq!(source.changed(), Some(&Ok(text.as_bytes().to_vec())));
            assert!(source.changed().is_none());
        }
        std::fs::remove_file(&path).unwrap();
        assert!(source.changed().is_some_and(|c| c.is_err()));
    }
}
