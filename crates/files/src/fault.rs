//! Why a file or folder was not read or written.

use std::io;
use std::path::PathBuf;

use thiserror::Error;

/// Why a file or folder was not read or written.
#[derive(Debug, Error)]
pub enum FileFault {
    /// A file or folder could not be read.
    #[error("{} can't be read: {}", path.display(), unread(why))]
    Read {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        why: io::Error,
    },
    /// A file or folder could not be written.
    #[error("{} can't be written: {}", path.display(), unwritten(why))]
    Write {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        why: io::Error,
    },
    /// The file is there already.
    #[error("{} exists already and was left as it is", .0.display())]
    Exists(PathBuf),
    /// The output folder holds something that no run of ours wrote.
    #[error("{} holds {found}, which no build wrote, so the folder was left as it is", folder.display())]
    Foreign {
        /// The folder.
        folder: PathBuf,
        /// What it holds.
        found: String,
    },
    /// The path can't be an output folder.
    #[error("{} can't be the output folder: {why}", folder.display())]
    Folder {
        /// The path.
        folder: PathBuf,
        /// Why not.
        why: &'static str,
    },
    /// Another run wrote the folder while this one was at work.
    #[error("{} was written by another run meanwhile, and was left as that one wrote it", .0.display())]
    Overtaken(PathBuf),
    /// A name that some system keeps for itself, or can't have.
    #[error("{} can't be written: {why}", path.display())]
    Reserved {
        /// The file or folder.
        path: PathBuf,
        /// What is wrong with its name.
        why: &'static str,
    },
}

/// Why something can't be read, in plain words where it is one of the usual reasons.
pub fn unread(why: &io::Error) -> String {
    match why.kind() {
        io::ErrorKind::NotFound => "there is no file of this name here".to_owned(),
        io::ErrorKind::IsADirectory => "this is a folder, not a file".to_owned(),
        io::ErrorKind::PermissionDenied => "you may not read it".to_owned(),
        _ => why.to_string(),
    }
}

/// Why something can't be written, in plain words where it is one of the usual reasons.
pub fn unwritten(why: &io::Error) -> String {
    match why.kind() {
        io::ErrorKind::NotFound => "its folder is not there".to_owned(),
        io::ErrorKind::IsADirectory => "there is a folder of this name".to_owned(),
        io::ErrorKind::NotADirectory => "what should be its folder is a file".to_owned(),
        io::ErrorKind::PermissionDenied => "you may not write there".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "this disk can't be written to".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        _ => why.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn usual_reasons_are_told_in_plain_words() {
        let read =
            |kind: io::ErrorKind| FileFault::Read { path: "seax.toml".into(), why: kind.into() }.to_string();
        let write =
            |kind: io::ErrorKind| FileFault::Write { path: "out".into(), why: kind.into() }.to_string();
        assert_eq!(
            read(io::ErrorKind::NotFound),
            "seax.toml can't be read: there is no file of this name here"
        );
        assert_eq!(write(io::ErrorKind::StorageFull), "out can't be written: the disk is full");
        // What has no words of ours keeps the system's.
        assert!(read(io::ErrorKind::TimedOut).contains("timed out"));
        assert!(write(io::ErrorKind::TimedOut).contains("timed out"));
    }
}
