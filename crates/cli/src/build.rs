//! `build`: makes every file of a design, puts them in place together, and prints what it wrote.

use std::fmt::Write;
use std::path::{Path, PathBuf};

use crate::arguments::Build;
use crate::pipeline::{self, Made, Order};
use crate::progress::Progress;
use crate::stop::Stop;
use crate::swap::Target;
use crate::{source, terminal};

/// Where builds go unless told otherwise.
const DEFAULT_FOLDER: &str = "build";

/// Builds one design.
pub(crate) fn run(build: &Build) -> Result<(), Stop> {
    let design = source::design(&build.design)?;
    let folder = build.out.clone().unwrap_or_else(|| Path::new(DEFAULT_FOLDER).join(design.slug()));
    let target = Target::claim(&folder)?;
    let order = Order::new(&build.stage, &build.only);
    let progress = Progress::begin(order.files());
    let made = pipeline::make(&design, &order, &progress)?;
    drop(progress);
    let named: Vec<_> = made.iter().map(|file| (file.name.as_str(), file.bytes.as_slice())).collect();
    target.replace(&named)?;
    terminal::say(table(&folder, &made).as_bytes())
}

/// One line a file: its path and how many bytes it has.
fn table(folder: &Path, made: &[Made]) -> String {
    let paths: Vec<PathBuf> = made.iter().map(|file| folder.join(&file.name)).collect();
    let width = paths.iter().map(|path| path.display().to_string().chars().count()).max().unwrap_or(0);
    let mut table = String::new();
    for (path, file) in paths.iter().zip(made) {
        // Writing to a String doesn't fail.
        let _ = writeln!(table, "{:width$}  {:>10} bytes", path.display().to_string(), file.bytes.len());
    }
    table
}
