//! One file: read no further than it may reach, written whole or not at all.

use std::fs::File;
use std::io::{self, ErrorKind, Read, Write};
use std::path::Path;

use tempfile::NamedTempFile;

use crate::fault::FileFault;
use crate::names;
use crate::scratch;

/// The first `limit` bytes of a file, or all of it when it is shorter.
///
/// # Errors
/// What the system says when the file can't be opened or read.
pub fn read_at_most(path: &Path, limit: u64) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    File::open(path)?.take(limit).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// The bytes on the disk in a new file of the same folder, ready to take the place of `path`.
///
/// # Errors
/// What the system says when the file can't be made or written; nothing is left then.
pub fn write_beside(path: &Path, bytes: &[u8]) -> io::Result<NamedTempFile> {
    let mut file = scratch::file_beside(path)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    Ok(file)
}

/// Writes all of a file or none of it, and only where nothing is yet.
///
/// # Errors
/// [`FileFault::Exists`] where something is, [`FileFault::Write`] when it can't be written.
pub fn write_new(path: &Path, bytes: &[u8]) -> Result<(), FileFault> {
    let unwritable = |why: io::Error| match why.kind() {
        ErrorKind::AlreadyExists => FileFault::Exists(path.to_owned()),
        _ => FileFault::Write { path: path.to_owned(), why },
    };
    names::refuse(path)?;
    if path.try_exists().map_err(unwritable)? {
        return Err(FileFault::Exists(path.to_owned()));
    }
    let file = write_beside(path, bytes).map_err(unwritable)?;
    file.persist_noclobber(path).map(drop).map_err(|fault| unwritable(fault.error))
}

/// Writes all of a file or none of it, where nothing is yet or a file that begins with `start`, as every file of its format
/// does.
///
/// # Errors
/// [`FileFault::Exists`] where something else is, [`FileFault::Write`] when it can't be written.
pub fn write_over(path: &Path, bytes: &[u8], start: &[u8]) -> Result<(), FileFault> {
    let unwritable = |why: io::Error| FileFault::Write { path: path.to_owned(), why };
    names::refuse(path)?;
    if path.try_exists().map_err(unwritable)? {
        let found = read_at_most(path, start.len() as u64).unwrap_or_default();
        if found != start {
            return Err(FileFault::Exists(path.to_owned()));
        }
    }
    let file = write_beside(path, bytes).map_err(unwritable)?;
    file.persist(path).map(drop).map_err(|fault| unwritable(fault.error))
}

/// Writes all of a file or none of it, where still is what was `known` of it, nothing in particular where it was `None`;
/// whether it did. The file keeps its rights, and a link stays one.
///
/// # Errors
/// [`FileFault::Write`] when it can't be written.
pub fn write_known(path: &Path, bytes: &[u8], known: Option<&[u8]>) -> Result<bool, FileFault> {
    names::refuse(path)?;
    let put = || match known {
        None => put_new(path, bytes),
        Some(known) => put_over(path, bytes, known),
    };
    put().map_err(|why| FileFault::Write { path: path.to_owned(), why })
}

/// Writes a file that is not there yet; whether it still was not.
fn put_new(path: &Path, bytes: &[u8]) -> io::Result<bool> {
    match write_beside(path, bytes)?.persist_noclobber(path) {
        Err(fault) if fault.error.kind() == ErrorKind::AlreadyExists => Ok(false),
        done => done.map(|_| true).map_err(|fault| fault.error),
    }
}

/// Writes over a file that is known; whether it still was as known.
fn put_over(path: &Path, bytes: &[u8], known: &[u8]) -> io::Result<bool> {
    let Ok(path) = std::fs::canonicalize(path) else { return Ok(false) };
    let rights = std::fs::metadata(&path)?.permissions();
    if rights.readonly() {
        return Err(io::Error::new(ErrorKind::PermissionDenied, "the file may not be written"));
    }
    let file = write_beside(&path, bytes)?;
    std::fs::set_permissions(file.path(), rights)?;
    // As late as can be, so that what others wrote until now is seen; a byte more than is known shows what grew.
    if read_at_most(&path, known.len() as u64 + 1)? != known {
        return Ok(false);
    }
    file.persist(&path).map(|_| true).map_err(|fault| fault.error)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_its_own_kind_is_written_over() {
        let room = tempfile::tempdir().expect("a folder");
        let (path, other) = (room.path().join("a.pdf"), room.path().join("b.pdf"));
        std::fs::write(&other, "%PD").expect("a file");
        for bytes in [b"%PDF-1", b"%PDF-2"] {
            write_over(&path, bytes, b"%PDF-").expect("its own");
        }
        assert_eq!(std::fs::read(&path).expect("it"), b"%PDF-2");
        assert!(matches!(write_over(&other, b"%PDF-3", b"%PDF-"), Err(FileFault::Exists(_))));
        assert_eq!(std::fs::read(&other).expect("it"), b"%PD");
        assert!(matches!(write_over(room.path(), b"%PDF-3", b"%PDF-"), Err(FileFault::Exists(_))));
    }

    #[test]
    fn no_more_is_read_than_asked_for() {
        let room = tempfile::tempdir().expect("a folder");
        let path = room.path().join("a");
        std::fs::write(&path, "seven letters").expect("a file");
        assert_eq!(read_at_most(&path, 5).expect("its start"), b"seven");
        assert_eq!(read_at_most(&path, 500).expect("all of it"), b"seven letters");
        assert!(read_at_most(&room.path().join("b"), 5).is_err());
    }

    #[test]
    fn a_new_file_takes_nothing_elses_place() {
        let room = tempfile::tempdir().expect("a folder");
        let path = room.path().join("a");
        write_new(&path, b"first").expect("a file");
        assert!(matches!(write_new(&path, b"second"), Err(FileFault::Exists(_))));
        assert_eq!(std::fs::read(&path).expect("the first"), b"first");
        assert!(matches!(write_new(&room.path().join("no/a"), b""), Err(FileFault::Write { .. })));
        assert_eq!(std::fs::read_dir(room.path()).expect("a folder").count(), 1);
    }

    #[test]
    fn only_what_is_known_is_written_over() {
        let room = tempfile::tempdir().expect("a folder");
        let path = room.path().join("a");
        assert!(!write_known(&path, b"1", Some(b"")).expect("nothing there"));
        assert!(write_known(&path, b"1", None).expect("new"));
        assert!(!write_known(&path, b"2", None).expect("there already"));
        for wrong in [&b""[..], b"12", b"2"] {
            assert!(!write_known(&path, b"3", Some(wrong)).expect("other bytes"), "{wrong:?}");
        }
        assert!(write_known(&path, b"34", Some(b"1")).expect("known"));
        assert_eq!(std::fs::read(&path).expect("it"), b"34");
        assert!(!write_known(&path, b"5", Some(b"3")).expect("grown"));
        assert_eq!(std::fs::read_dir(room.path()).expect("a folder").count(), 1);
    }
}
