//! The `seaxwright-view` program, which `seaxwright view` and `seaxwright picture` start.

use std::io::Write;
use std::process::ExitCode;

use clap::Parser;

/// The window of Seaxwright: started by `seaxwright view` and `seaxwright picture`.
#[derive(Debug, Parser)]
#[command(name = "seaxwright-view", version = look::BUILD)]
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

/// Says why the program ends, where anybody can hear it: a full disk behind the error channel is no reason to panic.
fn tell(fault: &viewer::Fault) {
    let _ = std::io::stderr().write_all(fault.text().as_bytes());
}
