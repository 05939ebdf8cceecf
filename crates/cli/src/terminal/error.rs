//! Everything that ends a command early, with its exit code.

use std::io;
use std::path::PathBuf;
use std::process::{ExitCode, ExitStatus};

use bench::BenchFault;
use design::Problem;
use files::FileFault;
use thiserror::Error;

use crate::terminal::source::Source;

/// Why a command stopped.
#[derive(Debug, Error)]
pub(crate) enum CliError {
    /// The design has problems.
    #[error("the design has problems")]
    Problems {
        /// The file they are in.
        source_file: Source,
        /// All of them.
        problems: Vec<Problem>,
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
    /// The pictures asked for would be too large.
    #[error("--dots {dots}: a picture of this blade would have more than {most} pixels")]
    TooManyDots {
        /// Dots a mm asked for.
        dots: f64,
        /// The most pixels of a picture.
        most: usize,
    },
    /// An argument that is no length, or out of its range.
    #[error("{argument} `{given}` {why}: give a length {accepted}")]
    Argument {
        /// The argument.
        argument: &'static str,
        /// What was given.
        given: String,
        /// What is wrong with it.
        why: String,
        /// What would do.
        accepted: String,
    },
    /// A point to look up that is none, or off the blade.
    #[error("--at `{given}` {why}")]
    Place {
        /// What was given.
        given: String,
        /// What is wrong with it, and what would do.
        why: String,
    },
    /// More than one stage where one is shown.
    #[error("--at and --page show one stage")]
    OneStage,
    /// A page of layers in a format that is not made.
    #[error("--page {}: the page of the layers is a PDF or a PNG", .0.display())]
    SheetEnding(PathBuf),
    /// The kerf closes what it should cut.
    #[error("--kerf {kerf}: this cut is too wide for the notches of the gauge `{gauge}`")]
    WideKerf {
        /// The kerf, with its unit.
        kerf: String,
        /// The gauge.
        gauge: String,
    },
    /// A sheet too small for a gauge.
    #[error("the gauge `{gauge}` needs a sheet of {least}, rim included: {sheet} is too small")]
    SmallSheet {
        /// The gauge.
        gauge: String,
        /// The least sheet for it.
        least: String,
        /// The sheet there is.
        sheet: String,
    },
    /// The choices leave nothing to make.
    #[error("nothing to make with these options")]
    Nothing,
    /// A file or folder was not read or written.
    #[error(transparent)]
    File(#[from] FileFault),
    /// There is no steel to plan.
    #[error("{} does not say what the blade is forged from, so there is nothing to plan", .0.display())]
    NoSteel(PathBuf),
    /// A temperature for which the length of steel is not known.
    #[error("--hot: {0}")]
    Hot(String),
    /// There is no billet, so no layers.
    #[error("{} has no billet: a blade of one steel has no bars and no layers to show", .0.display())]
    NoLayers(PathBuf),
    /// A measured file with nothing filled in.
    #[error("{} has no measured value, so there is nothing to compare", .0.display())]
    NothingMeasured(PathBuf),
    /// The bench can't be served.
    #[error(transparent)]
    Bench(#[from] bench::BenchFault),
    /// The design can't be fitted to targets.
    #[error("{} can't be fitted: {why}", path.display())]
    Unfit {
        /// The design file.
        path: PathBuf,
        /// Why not.
        why: fit::FitFault,
    },
    /// A fit does not reach every target; what it found has been told.
    #[error("targets missed, so nothing was written")]
    NotReached,
    /// The program that draws blades is not there, or could not be built.
    #[error("the window is a separate program, seaxwright-view, and it is not installed")]
    NoViewer,
    /// The program that draws blades is another build than this one.
    #[error("the window program at {} is not from the same build as this program", .0.display())]
    OtherViewer(PathBuf),
    /// It could not be started.
    #[error("{} could not be started: {why}", program.display())]
    Start {
        /// The program.
        program: PathBuf,
        /// What the system said.
        why: io::Error,
    },
    /// It did not come to its own end, and could not say why.
    #[error("the window program was stopped before its end: {0}")]
    Stopped(ExitStatus),
    /// It ended with this exit code, having said why.
    #[error("the viewer stopped")]
    Told(u8),
    /// Standard output could not be written.
    #[error("could not print: {0}")]
    Print(io::Error),
}

impl CliError {
    /// These problems of a file.
    pub(crate) fn problems(source: &Source, problems: Vec<Problem>) -> CliError {
        CliError::Problems { source_file: source.clone(), problems }
    }

    /// What the process returns: 1 problems in the design or in what was measured, 2 could not read or write.
    pub(crate) fn code(&self) -> ExitCode {
        match self {
            CliError::Told(code) => ExitCode::from(*code),
            CliError::Problems { .. }
            | CliError::ProblemsPrinted
            | CliError::NoSteel(_)
            | CliError::NoLayers(_)
            | CliError::NothingMeasured(_)
            | CliError::Unfit { .. }
            | CliError::NotReached
            | CliError::Shape { .. } => ExitCode::from(1),
            _ => ExitCode::from(2),
        }
    }

    /// What to do about it, where there is something.
    pub(crate) fn help(&self) -> Option<&'static str> {
        match self {
            CliError::Bench(BenchFault::NoNetwork) => {
                Some("join a network, or give this machine's address in it, as --lan=192.168.1.5")
            }
            CliError::Bench(BenchFault::Port { .. }) => Some(
                "choose another --port, or 0 for any that is free; with --lan give an address of this machine",
            ),
            CliError::Bench(BenchFault::Log { .. }) => {
                Some("mend it, or move it away to begin a new one; or give another --measured FILE")
            }
            CliError::Nothing => Some(
                "blades come as step, stl, 3mf, glb; parts as step, stl, 3mf; templates as pdf, svg, dxf, png; gauges of sheet steel as svg, dxf; bars as step, 3mf, glb and layers as png, glb where the design has a billet; see --only, --stage, --make",
            ),
            CliError::Argument { .. } => {
                Some("a plain number is in the design's unit; 9.5mm and 3/8in name their own")
            }
            CliError::Place { .. } => Some(
                "plain numbers are in the design's unit and fractions will do, as 120,14.5 or \"4 3/4,9/16\"; on the tang stations are below 0 and heights count from its lower border",
            ),
            CliError::OneStage => Some("give --stage once, or leave it out for the finished blade"),
            CliError::SheetEnding(_) => Some("let the file's name end in .pdf or .png"),
            CliError::WideKerf { .. } => Some(
                "if your cutter's cut is narrower, give a smaller --kerf, or 0 and let the cutter compensate",
            ),
            CliError::SmallSheet { .. } => Some(
                "give a larger --sheet to `metal`, or leave these gauges out of a build with --make: they are not cut into pieces",
            ),
            CliError::TooManyDots { .. } => Some("give fewer dots per mm, such as 10"),
            CliError::NoSteel(_) => Some(design::NO_STEEL),
            CliError::NoLayers(_) => {
                Some("add [billet] with the width of the bars, and [[bar]] for each of them")
            }
            CliError::NothingMeasured(_) => {
                Some("fill in the `measured` column, and the date in the first row")
            }
            CliError::Unfit { why, .. } => why.help(),
            CliError::OtherViewer(_) => Some(
                "run the same command with --build, which builds it again; or, in the sources: cargo build --release --package viewer",
            ),
            CliError::Stopped(_) => Some("what it saved is whole; start it again"),
            CliError::NotReached => Some("allow more change in [targets], or change the targets"),
            CliError::NoViewer => Some(
                "run the same command with --build, which needs Rust and the sources and takes some minutes once; or, in the sources: cargo build --release --package viewer. It needs a graphics driver for Vulkan, Metal or DirectX 12",
            ),
            CliError::File(FileFault::Read { why, .. }) if why.kind() == io::ErrorKind::NotFound => {
                Some("check its name, its ending and its folder; put quotes around a name with spaces")
            }
            CliError::File(FileFault::Read { why, .. }) if why.kind() == io::ErrorKind::IsADirectory => {
                Some("give the file in it, as in profiles/landing-seax.toml")
            }
            CliError::File(FileFault::Exists(_)) => Some("choose another file, or move that one away"),
            CliError::File(FileFault::Foreign { .. }) => {
                Some("choose another folder with --out, or move those files away")
            }
            CliError::File(FileFault::Overtaken(_)) => Some(
                "run the command again to put its files there, or give each run a folder of its own with --out",
            ),
            CliError::File(FileFault::Reserved { .. }) => {
                Some("choose another name with --out, so that it opens on every machine")
            }
            CliError::File(FileFault::Folder { .. }) => Some("name a new folder with --out"),
            CliError::Shape { .. } => Some(
                "nothing was written; this is a mistake in seaxwright: please report it and send the design",
            ),
            _ => None,
        }
    }
}
