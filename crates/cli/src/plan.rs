//! `plan`: from the finished blade back to the steel to cut.

use forge::Plan;

use crate::arguments::Check;
use crate::check::read;
use crate::stop::Stop;
use crate::terminal;

/// Plans one design and prints it.
pub(crate) fn run(asked: &Check) -> Result<(), Stop> {
    let plan = Plan::of(&read(asked)?).ok_or_else(|| Stop::NoBillet(asked.design.clone()))?;
    match asked.json {
        true => terminal::say_json(&plan),
        false => terminal::say(plan.text().as_bytes()),
    }
}
