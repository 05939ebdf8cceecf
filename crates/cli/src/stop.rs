//! Everything that ends a command early, with its words and its exit code.

use std::io;
use std::path::PathBuf;
use std::process::ExitCode;

use thiserror::Error;

use crate::diagnostics;
use crate::source::Source;
use crate::terminal::Ink;

/// Why a command stopped.
#[derive(Debug, Error)]
pub(crate) enum Stop {
    /// The design has problems.
    #[error("the design has problems")]
    Problems {
        /// The file they are in.
        source_file: Source,
        /// All of them.
        problems: Vec<design::Problem>,
    },
    /// The design has problems and they were already printed as JSON.
    #[error("the design has problems")]
    ProblemsPrinted,
    /// A sound design could not be turned into this file.
    #[error("{file} could not be made: {why}")]
    Shape {
        /// The file.
        file: String,
        /// What the maker of the file said.
        why: String,
    },
    /// The choices leave nothing to make.
    #[error("these choices leave nothing to make")]
    Nothing,
    /// A file could not be read.
    #[error("{} could not be read: {why}", path.display())]
    Read {
        /// The file.
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
    /// The starter file is there already.
    #[error("{} exists already and was left as it is", .0.display())]
    Exists(PathBuf),
    /// The output folder holds something that no build of ours wrote.
    #[error("{} holds {found}, which no build wrote, so it was left as it is", folder.display())]
    Foreign {
        /// The folder.
        folder: PathBuf,
        /// What it holds.
        found: String,
    },
    /// The output path can't be a folder of ours.
    #[error("{} can't be the output folder: {why}", folder.display())]
    Folder {
        /// The path.
        folder: PathBuf,
        /// Why not.
        why: &'static str,
    },
    /// There is no billet to plan.
    #[error("{} has no billet, so there is nothing to plan", .0.display())]
    NoBillet(PathBuf),
    /// A measured file with nothing filled in.
    #[error("{} has no measured value, so there is nothing to compare", .0.display())]
    NothingMeasured(PathBuf),
    /// The design can't be fitted to targets.
    #[error("{} can't be fitted: {why}", path.display())]
    Unfit {
        /// The design file.
        path: PathBuf,
        /// Why not.
        why: fit::FitFault,
    },
    /// A fit does not reach every target; what it found has been told.
    #[error("the targets are not all reached, so nothing was written")]
    NotReached,
    /// The program that draws blades is not there and could not be built.
    #[error("the window is a program of its own, seaxwright-view, and it is not there")]
    NoViewer,
    /// It could not be started.
    #[error("{} could not be started: {why}", program.display())]
    Start {
        /// The program.
        program: PathBuf,
        /// What the system said.
        why: io::Error,
    },
    /// It ended with this exit code, having said why.
    #[error("the viewer stopped")]
    Told(u8),
    /// Standard output could not be written.
    #[error("could not print: {0}")]
    Print(io::Error),
}

impl Stop {
    /// What the process returns: 1 problems in the design or in what was measured, 2 could not read or write.
    pub(crate) fn code(&self) -> ExitCode {
        match self {
            Stop::Told(code) => ExitCode::from(*code),
            Stop::Problems { .. }
            | Stop::ProblemsPrinted
            | Stop::NoBillet(_)
            | Stop::NothingMeasured(_)
            | Stop::Unfit { .. }
            | Stop::NotReached
            | Stop::Shape { .. } => ExitCode::from(1),
            _ => ExitCode::from(2),
        }
    }

    /// What the smith reads.
    pub(crate) fn text(&self, ink: Ink) -> String {
        match self {
            Stop::Problems { source_file, problems } => diagnostics::text(source_file, problems, ink),
            Stop::ProblemsPrinted | Stop::Told(_) => String::new(),
            _ => self.plain(),
        }
    }

    fn plain(&self) -> String {
        match self.help() {
            Some(help) => format!("error: {self}\n help: {help}\n"),
            None => format!("error: {self}\n"),
        }
    }

    fn help(&self) -> Option<&'static str> {
        match self {
            Stop::Nothing => Some(
                "blades come as step, stl, 3mf, glb; parts as step, stl, 3mf; templates as pdf, svg, dxf, png; bars as step, 3mf, glb and layers as png, glb where the design has a billet; see --only, --stage, --make",
            ),
            Stop::NoBillet(_) => {
                Some("add [billet] with the width of the bars, and [[bar]] for each of them")
            }
            Stop::NothingMeasured(_) => Some("fill in the column `measured`, and the date of the first row"),
            Stop::Unfit { .. } => Some(
                "give [targets] mass, steel, balance or percussion, and how far taper, breadth or fittings may change, in percent",
            ),
            Stop::NotReached => Some("allow more in [targets], or change the targets"),
            Stop::NoViewer => Some(
                "build it beside this program, in its sources: cargo build --release --package viewer; it needs a screen and a graphics driver that knows Vulkan, Metal or DirectX 12",
            ),
            Stop::Exists(_) => Some("choose another file with --out"),
            Stop::Foreign { .. } => Some("choose another folder with --out, or move those files away"),
            Stop::Folder { .. } => Some("name a new folder with --out"),
            Stop::Shape { .. } => {
                Some("nothing was written; this is a fault of seaxwright, please report it with the design")
            }
            _ => None,
        }
    }
}
