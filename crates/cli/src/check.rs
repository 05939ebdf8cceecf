//! `check`: every problem of a design, or its sizes, weight and balance.

use design::{Design, Summary};
use serde_json::json;

use crate::arguments::Check;
use crate::source::Source;
use crate::stop::Stop;
use crate::{diagnostics, terminal};

/// Checks one design and prints what it finds.
pub(crate) fn run(check: &Check) -> Result<(), Stop> {
    let source = Source::read(&check.design)?;
    match source.design() {
        Ok(design) => summarise(&design, check.json),
        Err(problems) if check.json => print_problems(&source, &problems),
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

fn print_problems(source: &Source, problems: &[design::Problem]) -> Result<(), Stop> {
    terminal::say_json(&json!({ "problems": diagnostics::json(source, problems) }))?;
    Err(Stop::ProblemsPrinted)
}
