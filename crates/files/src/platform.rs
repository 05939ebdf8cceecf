//! What systems do differently with files, each as one value: this system's ways, and the plain ones that all have.
//!
//! Tests run through both, so that no branch waits for another machine to be tried.

use std::fs::Permissions;
use std::io;
use std::path::Path;

/// The ways of a system.
#[derive(Debug)]
pub(crate) struct Platform {
    /// Exchanges two folders in one step; false when the system or the file system can't.
    pub(crate) exchange: fn(&Path, &Path) -> bool,
    /// Has a folder's entries on disk before it is moved into place.
    pub(crate) sync_folder: fn(&Path) -> io::Result<()>,
    /// The permissions that a mode means, where the system knows modes.
    pub(crate) permissions: fn(u32) -> Option<Permissions>,
}

impl Platform {
    /// What every system can: folders take two steps, are not opened as files, and modes mean nothing.
    #[cfg(any(test, not(target_os = "linux")))]
    pub(crate) const PLAIN: Platform =
        Platform { exchange: |_, _| false, sync_folder: |_| Ok(()), permissions: |_| None };

    /// This system's.
    #[cfg(target_os = "linux")]
    pub(crate) const HERE: Platform = Platform {
        exchange: linux::exchange,
        sync_folder: unix::sync_folder,
        permissions: unix::permissions,
    };

    /// This system's.
    #[cfg(all(unix, not(target_os = "linux")))]
    pub(crate) const HERE: Platform =
        Platform { sync_folder: unix::sync_folder, permissions: unix::permissions, ..Platform::PLAIN };

    /// This system's.
    #[cfg(not(unix))]
    pub(crate) const HERE: Platform = Platform::PLAIN;
}

#[cfg(target_os = "linux")]
mod linux {
    use std::path::Path;

    use rustix::fs::{CWD, RenameFlags, renameat_with};

    pub(super) fn exchange(one: &Path, other: &Path) -> bool {
        renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE).is_ok()
    }
}

#[cfg(unix)]
mod unix {
    use std::fs::{File, Permissions};
    use std::io;
    use std::os::unix::fs::PermissionsExt;
    use std::path::Path;

    pub(super) fn sync_folder(folder: &Path) -> io::Result<()> {
        File::open(folder)?.sync_all()
    }

    // What the table of a platform holds is the same on all of them.
    #[allow(clippy::unnecessary_wraps, reason = "other systems have none")]
    pub(super) fn permissions(mode: u32) -> Option<Permissions> {
        Some(Permissions::from_mode(mode))
    }
}
