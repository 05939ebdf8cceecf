//! The design file as the hand writes it: whole, and never over what another program wrote meanwhile.

use std::fs;
use std::io;
use std::path::Path;

use crate::file::source::read;

/// Writes a text into a file that holds what was known of it; whether it did. The file keeps its rights, and a link stays one.
pub(crate) fn over(path: &Path, text: &str, known: &str) -> io::Result<bool> {
    let path = fs::canonicalize(path)?;
    let rights = fs::metadata(&path)?.permissions();
    if rights.readonly() {
        return Err(io::Error::new(io::ErrorKind::PermissionDenied, "the file may not be written"));
    }
    let file = files::write_beside(&path, text.as_bytes())?;
    fs::set_permissions(file.path(), rights)?;
    // As late as can be: what others wrote until now is seen.
    if read(&path)? != known.as_bytes() {
        return Ok(false);
    }
    file.persist(&path).map(|_| true).map_err(|fault| fault.error)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_is_known_is_written_over() {
        let room = tempfile::tempdir().unwrap();
        let path = room.path().join("a.toml");
        assert!(over(&path, "a = 1", "").is_err());
        fs::write(&path, "a = 1").unwrap();
        assert!(!over(&path, "a = 3", "a = 2").unwrap());
        assert!(over(&path, "a = 2", "a = 1").unwrap());
        assert_eq!(fs::read_to_string(&path).unwrap(), "a = 2");
        assert_eq!(fs::read_dir(room.path()).unwrap().count(), 1);
        let mut rights = fs::metadata(&path).unwrap().permissions();
        rights.set_readonly(true);
        fs::set_permissions(&path, rights).unwrap();
        assert!(over(&path, "a = 3", "a = 2").is_err());
        assert_eq!(fs::read_to_string(&path).unwrap(), "a = 2");
    }

    #[cfg(unix)]
    #[test]
    fn a_link_stays_a_link_and_rights_stay() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let room = tempfile::tempdir().unwrap();
        let [path, link] = ["a.toml", "b.toml"].map(|name| room.path().join(name));
        fs::write(&path, "a = 1").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
        symlink(&path, &link).unwrap();
        assert!(over(&link, "a = 2", "a = 1").unwrap());
        assert!(link.symlink_metadata().unwrap().is_symlink());
        assert_eq!(fs::read_to_string(&path).unwrap(), "a = 2");
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
    }
}
