//! Standard output and standard error: what may be coloured, and writing that survives a closed pipe.

use std::io::{self, ErrorKind, IsTerminal, Write};

use serde::Serialize;

use crate::terminal::error::CliError;

/// How diagnostics may be drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ink {
    /// Frames and colours.
    Coloured,
    /// Frames without colours.
    Framed,
    /// Plain ASCII.
    Plain,
}

/// How diagnostics may be drawn on this process's standard error.
pub(crate) fn ink() -> Ink {
    choose(io::stderr().is_terminal(), std::env::var_os("NO_COLOR").is_some_and(|set| !set.is_empty()))
}

/// Plain unless on a terminal; without colours there when `NO_COLOR` is set to anything.
fn choose(terminal: bool, no_colour: bool) -> Ink {
    match (terminal, no_colour) {
        (false, _) => Ink::Plain,
        (true, true) => Ink::Framed,
        (true, false) => Ink::Coloured,
    }
}

/// Writes to standard output.
pub(crate) fn say(text: &[u8]) -> Result<(), CliError> {
    let mut out = io::stdout().lock();
    said(out.write_all(text).and_then(|()| out.flush()))
}

/// How writing to standard output ended. A reader that has gone (`seaxwright schema | head -1`) is no failure.
pub(crate) fn said(written: io::Result<()>) -> Result<(), CliError> {
    match written {
        Err(fault) if fault.kind() != ErrorKind::BrokenPipe => Err(CliError::Print(fault)),
        _ => Ok(()),
    }
}

/// Writes a value to standard output as indented JSON with a line end.
pub(crate) fn say_json(value: &impl Serialize) -> Result<(), CliError> {
    let mut text = serde_json::to_vec_pretty(value).map_err(|fault| CliError::Print(fault.into()))?;
    text.push(b'\n');
    say(&text)
}

/// Writes to standard error. When even that fails there is nowhere left to say so.
pub(crate) fn complain(text: &str) {
    let _ = io::stderr().lock().write_all(text.as_bytes());
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_only_on_a_terminal_that_allows_them() {
        assert_eq!(choose(true, false), Ink::Coloured);
        assert_eq!(choose(true, true), Ink::Framed);
        assert_eq!(choose(false, false), Ink::Plain);
        assert_eq!(choose(false, true), Ink::Plain);
    }
}
