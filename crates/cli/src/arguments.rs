//! The command line: what may be asked for, in clap's terms.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};
use clap_complete::Shell;

use crate::pipeline::{Kind, StageName};

/// From one design file to an exact blade: CAD solid, printable meshes, weight and balance.
#[derive(Debug, Parser)]
#[command(name = "seaxwright", version, after_help = EXIT_CODES)]
pub(crate) struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// What scripts need to know, at the foot of the help and of the manual page.
const EXIT_CODES: &str = "Exit codes: 0 done, 1 problems in the design, 2 could not read or write.";

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Write a commented starter design
    New(New),
    /// Report every problem of a design, or its sizes, weight and balance
    Check(Check),
    /// Write a design's solids and meshes
    Build(Build),
    /// Print the JSON Schema of the design file
    Schema,
    /// Print a shell's completion script
    Completions {
        /// The shell to complete for
        shell: Shell,
    },
    /// Print the manual page
    Man,
}

/// `new`.
#[derive(Args, Debug)]
pub(crate) struct New {
    /// The blade's name
    pub(crate) name: String,
    /// The file to write; it must not exist yet [default: the name with .toml]
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
}

/// `check`.
#[derive(Args, Debug)]
pub(crate) struct Check {
    /// The design file
    pub(crate) design: PathBuf,
    /// Print JSON, for a good design and for one with problems
    #[arg(long)]
    pub(crate) json: bool,
}

/// `build`.
#[derive(Args, Debug)]
pub(crate) struct Build {
    /// The design file
    pub(crate) design: PathBuf,
    /// The folder to write; one that an earlier build wrote is replaced as a whole
    /// [default: build/ and the design's short name]
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// Only these stages; may be repeated or separated by commas [default: all]
    #[arg(long, value_name = "STAGE", value_delimiter = ',')]
    pub(crate) stage: Vec<StageName>,
    /// Only these kinds of file; may be repeated or separated by commas [default: all]
    #[arg(long, value_name = "KIND", value_delimiter = ',')]
    pub(crate) only: Vec<Kind>,
}
