//! Temporary files and folders beside the real ones, whose place they will take.

use std::fs::Permissions;
use std::path::Path;

use tempfile::Builder;

/// What an ordinary new file gets before the user's mask is taken off (temporary ones are private otherwise).
pub(crate) const FILE_MODE: u32 = 0o666;

/// What an ordinary new folder gets before the user's mask is taken off.
pub(crate) const FOLDER_MODE: u32 = 0o777;

/// A temporary file or folder with the permissions that the real one is to have.
pub(crate) fn temporary(mode: u32) -> Builder<'static, 'static> {
    let mut builder = Builder::new();
    builder.prefix(".seaxwright-").suffix(".tmp");
    if let Some(permissions) = permissions(mode) {
        builder.permissions(permissions);
    }
    builder
}

#[cfg(unix)]
fn permissions(mode: u32) -> Option<Permissions> {
    use std::os::unix::fs::PermissionsExt;
    Some(Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn permissions(_mode: u32) -> Option<Permissions> {
    None
}

/// The folder that holds a path; the current one for a bare name.
pub(crate) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}
