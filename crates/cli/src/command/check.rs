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
    read_source(check).map(|(_, design)| design)
}

/// Reads the design of a file; its problems are printed as JSON at once where `json` is asked for.
pub(crate) fn read_file(design: &Path, json: bool) -> Result<Design, CliError> {
    read(&Check { design: design.to_owned(), json })
}

/// The same, with the file.
pub(crate) fn read_source(check: &Check) -> Result<(Source, Design), CliError> {
    let source = Source::read(&check.design)?;
    match source.design() {
        Ok(design) => Ok((source, design)),
        Err(problems) if check.json => Err(diagnostics::print(&source, &problems)),
        Err(problems) => Err(CliError::Problems { source_file: source, problems }),
    }
}

fn summarise(design: &Design, json: bool) -> Result<(), CliError> {
    let summary = Summary::from_design(design);
    match json {
        true => output::say_json(&summary),
        false => output::say(summary.text().as_bytes()),
    }
}
