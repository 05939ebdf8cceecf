//! Why a file or folder was not read or written.

use std::io;
use std::path::PathBuf;

use thiserror::Error;

/// Why a file or folder was not read or written.
#[derive(Debug, Error)]
pub enum FileFault {
    /// A file or folder could not be read.
    #[error("{} could not be read: {why}", path.display())]
    Read {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        why: io::Error,
    },
    /// A file or folder could not be written.
    #[error("{} could not be written: {why}", path.display())]
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
