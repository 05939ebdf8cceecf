//! The `seaxwright-view` program, which `seaxwright view` and `seaxwright picture` start.

use std::process::ExitCode;

use clap::Parser;

/// The window of Seaxwright: started by `seaxwright view` and `seaxwright picture`.
#[derive(Debug, Parser)]
#[command(name = "seaxwright-view", version)]
enum Command {
    /// Show the blade in a window
    View(look::View),
    /// Draw the blade into a PNG
    Picture(look::Picture),
}

/// Runs the command, and ends with its code.
fn main() -> ExitCode {
    let done = match Command::parse() {
        Command::View(view) => viewer::view(&view),
        Command::Picture(picture) => viewer::picture(&picture),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(fault) => {
            tell(&fault);
            fault.code()
        }
    }
}

#[allow(clippy::print_stderr, reason = "the one place where the program speaks to its starter")]
fn tell(fault: &viewer::Fault) {
    eprint!("{}", fault.text());
}
