//! How a bench can fail to be served.

use std::io;
use std::path::PathBuf;

use files::FileFault;
use thiserror::Error;

/// Why a bench can't be served.
#[derive(Debug, Error)]
pub enum BenchFault {
    /// A file can't be read or written.
    #[error(transparent)]
    File(#[from] FileFault),
    /// What stands in the log's place is no log.
    #[error("{} is not the log of a bench{}", path.display(), line.map_or_else(String::new, |n| format!(": its line {n} can't be read")))]
    Log {
        /// The file.
        path: PathBuf,
        /// The line, from 1, where one of them is at fault.
        line: Option<usize>,
    },
    /// This machine is in no network.
    #[error("--lan: this machine has no address in a network")]
    NoNetwork,
    /// The port can't be had.
    #[error("{address} can't be opened: {why}")]
    Port {
        /// Address and port.
        address: String,
        /// What the system said.
        why: io::Error,
    },
    /// No threads, no random numbers, no signals.
    #[error("the bench could not be opened: {0}")]
    System(String),
}
