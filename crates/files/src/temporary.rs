//! Temporary files and folders beside the real ones, whose place they will take.

use std::path::Path;

use tempfile::Builder;

use crate::platform::Platform;

/// What an ordinary new file gets before the user's mask is taken off (temporary ones are private otherwise).
pub(crate) const FILE_MODE: u32 = 0o666;

/// What an ordinary new folder gets before the user's mask is taken off.
pub(crate) const FOLDER_MODE: u32 = 0o777;

/// How temporary names begin and end.
const NAMES: [&str; 2] = [".seaxwright-", ".tmp"];

/// A temporary file or folder with the permissions that the real one is to have.
pub(crate) fn temporary(mode: u32, platform: &Platform) -> Builder<'static, 'static> {
    let mut builder = Builder::new();
    builder.prefix(NAMES[0]).suffix(NAMES[1]);
    if let Some(permissions) = (platform.permissions)(mode) {
        builder.permissions(permissions);
    }
    builder
}

/// Whether a name is one that [`temporary`] gives.
pub(crate) fn is_temporary(name: &str) -> bool {
    name.strip_prefix(NAMES[0]).is_some_and(|rest| rest.len() > NAMES[1].len() && rest.ends_with(NAMES[1]))
}

/// The folder that holds a path; the current one for a bare name.
pub(crate) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}
