//! `check`: every problem of a design, or its sizes, weight and balance.

use std::path::Path;

use design::{Design, Summary};

use crate::ask::arguments::Check;
use crate::terminal::diagnostics;
use crate::terminal::error::CliError;
use crate::terminal::output;
use crate::terminal::source::Source;

/// Checks one design and prints what it finds.
pub(crate) fn run(check: &Check) -> Result<(), CliError> {
    summarise(&read(check)?, check.json)
}

/// Reads a design; its problems as JSON are printed at once.
pub(crate) fn read(check: &Check) -> Result<Design, CliError> {
    let source = Source::read(&check.design)?;
    source.design().map_err(|problems| diagnostics::told(&source, problems, check.json))
}

/// Reads the design of a file; its problems are printed as JSON at once where `json` is asked for.
pub(crate) fn read_file(design: &Path, json: bool) -> Result<Design, CliError> {
    read(&Check { design: design.to_owned(), json })
}

fn summarise(design: &Design, json: bool) -> Result<(), CliError> {
    let summary = Summary::from_design(design);
    match json {
        true => output::say_json(&summary),
        false => output::say(summary.text().as_bytes()),
    }
}
