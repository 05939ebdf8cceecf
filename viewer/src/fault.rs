//! Everything that ends the viewer early, with its words and its exit code.

use std::io;
use std::path::PathBuf;
use std::process::ExitCode;

use thiserror::Error;

use crate::file::problems::LocatedProblem;

/// Why the viewer stopped.
#[derive(Debug, Error)]
pub enum Fault {
    /// A file could not be read.
    #[error("{} can't be read: {}", path.display(), files::unread(why))]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system said.
        why: io::Error,
    },
    /// A file could not be written.
    #[error("{} can't be written: {}", path.display(), files::unwritten(why))]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system said.
        why: io::Error,
    },
    /// The picture would take the place of something that is no picture.
    #[error("{} is already there and is not a PNG, so it was left alone", .0.display())]
    Foreign(PathBuf),
    /// The design has problems.
    #[error("the design has problems")]
    Problems {
        /// The file they are in.
        path: PathBuf,
        /// All of them.
        problems: Vec<LocatedProblem>,
    },
    /// Nothing is filled in in a measured file.
    #[error("nothing is filled in in {}", .0.display())]
    Empty(PathBuf),
    /// A sound design could not be shown.
    #[error("the blade could not be drawn: {0}")]
    Shape(String),
    /// No window or no picture can be opened on this machine.
    #[error("{0}")]
    Screen(String),
}

impl Fault {
    /// What the process returns: 1 problems in the design, 2 could not read, write or draw.
    pub fn code(&self) -> ExitCode {
        match self {
            Fault::Problems { .. } | Fault::Empty(_) | Fault::Shape(_) => ExitCode::from(1),
            _ => ExitCode::from(2),
        }
    }

    /// What the smith reads.
    pub fn text(&self) -> String {
        match self {
            Fault::Problems { path, problems } => {
                let line = |p: &LocatedProblem| {
                    format!("{}:{}: {}\n  help: {}\n", path.display(), p.line, p.message, p.help)
                };
                problems.iter().map(line).collect()
            }
            Fault::Foreign(_) => format!("error: {self}\n help: choose another file with --out\n"),
            Fault::Shape(_) => {
                format!(
                    "error: {self}\n help: this is a mistake in seaxwright: please report it and send the design\n"
                )
            }
            _ => format!("error: {self}\n"),
        }
    }
}
