//! Makes a design's files, puts them in place together, and prints what it wrote.

use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::ask::arguments::Output;
use crate::ask::order::Order;
use crate::make::made::{self, Made};
use crate::make::metal::Uncut;
use crate::make::pipeline::Plan;
use crate::terminal::error::CliError;
use crate::terminal::output;
use crate::terminal::source::Source;

/// Where builds go unless told otherwise.
const DEFAULT_FOLDER: &str = "build";

/// Makes what is ordered of one design, into the folder asked for or one with this `ending`.
pub(crate) fn run(output: &Output, ending: &str, order: &Order) -> Result<(), CliError> {
    let source = Source::read(&output.design)?;
    let design = source.design().map_err(|problems| CliError::problems(&source, problems))?;
    if design.billet().is_none() && order.needs_billet() {
        return Err(CliError::NoLayers(output.design.clone()));
    }
    let usual = || Path::new(DEFAULT_FOLDER).join(format!("{}{ending}", design.slug()));
    let folder = output.out.clone().unwrap_or_else(usual);
    let target = made::claim(&folder)?;
    let plan = Plan::new(&design, order).map_err(|why| match why {
        Uncut::Problems(problems) => CliError::problems(&source, problems),
        Uncut::Stopped(error) => error,
    })?;
    let made =
        target.replace_by(|outlet| plan.make(|file| outlet.put(&file.name, Arc::clone(&file.bytes))))?;
    output::say(table(&folder, &made).as_bytes())
}

/// One line a file: its path and how many bytes it has.
pub(crate) fn table(folder: &Path, made: &[Made]) -> String {
    let paths: Vec<PathBuf> = made.iter().map(|file| folder.join(&file.name)).collect();
    let width = paths.iter().map(|path| path.display().to_string().chars().count()).max().unwrap_or(0);
    let mut table = String::new();
    for (path, file) in paths.iter().zip(made) {
        // Writing to a String doesn't fail.
        let _ = writeln!(table, "{:width$}  {:>10} bytes", path.display().to_string(), file.bytes.len());
    }
    table
}
