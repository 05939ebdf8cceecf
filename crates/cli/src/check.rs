//! `check`: every problem of a design, or its sizes, weight and balance.

use design::{Design, Summary};

use crate::arguments::Check;
use crate::source::Source;
use crate::stop::Stop;
use crate::{diagnostics, terminal};

/// Checks one design and prints what it finds.
pub(crate) fn run(check: &Check) -> Result<(), Stop> {
    summarise(&read(check)?, check.json)
}

/// Reads a design; its problems as JSON are printed at once.
pub(crate) fn read(check: &Check) -> Result<Design, Stop> {
    read_source(check).map(|(_, design)| design)
}

/// The same, with the file.
pub(crate) fn read_source(check: &Check) -> Result<(Source, Design), Stop> {
    let source = Source::read(&check.design)?;
    match source.design() {
        Ok(design) => Ok((source, design)),
        Err(problems) if check.json => Err(diagnostics::print(&source, &problems)),
        Err(problems) => Err(Stop::Problems { source_file: source, problems }),
    }
}

fn summarise(design: &Design, json: bool) -> Result<(), Stop> {
    let summary = Summary::of(design);
    match json {
        true => terminal::say_json(&summary),
        false => terminal::say(summary.text().as_bytes()),
    }
}
