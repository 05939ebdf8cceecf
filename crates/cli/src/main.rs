//! The `seaxwright` command: arguments, progress, diagnostics, exit codes, and the only writer of files.

mod arguments;
mod build;
mod check;
mod diagnostics;
mod new;
mod pipeline;
mod progress;
mod reference;
mod source;
mod stop;
mod swap;
mod terminal;

use std::process::ExitCode;

use clap::Parser;

use arguments::{Arguments, Command};
use stop::Stop;

fn main() -> ExitCode {
    match run(Arguments::parse()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(stop) => {
            terminal::complain(&stop.text(terminal::ink()));
            stop.code()
        }
    }
}

fn run(arguments: Arguments) -> Result<(), Stop> {
    match arguments.command {
        Command::New(new) => new::run(&new),
        Command::Check(check) => check::run(&check),
        Command::Build(build) => build::run(&build),
        Command::Schema => reference::schema(),
        Command::Completions { shell } => reference::completions(shell),
        Command::Man => reference::man(),
    }
}
