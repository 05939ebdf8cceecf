//! `plan`: from the finished blade back to the steel to cut.

use forge::Plan;

use crate::ask::arguments::Check;
use crate::command::check::read;
use crate::terminal::error::CliError;
use crate::terminal::output;

/// Plans one design and prints it.
pub(crate) fn run(asked: &Check) -> Result<(), CliError> {
    let plan = Plan::of(&read(asked)?).ok_or_else(|| CliError::NoSteel(asked.design.clone()))?;
    match asked.json {
        true => output::say_json(&plan),
        false => output::say(plan.text().as_bytes()),
    }
}
