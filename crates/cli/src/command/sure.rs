//! `sure`: how far small slips at forge and grinder drive the pattern, in words, as JSON and as one page of pictures.

use std::ops::RangeInclusive;

use design::{Sureness, Unit};
use forge::Etching;

use crate::ask::arguments::Sure;
use crate::ask::cut_choice;
use crate::command::check::read_file;
use crate::command::layers;
use crate::terminal::error::CliError;
use crate::terminal::output;

/// Drifts accepted, mm: from a line's width to more than any pattern bears.
const DRIFTS: RangeInclusive<f64> = 0.1..=50.0;
/// A drift that is seen at arm's length unless another is asked for, mm and inches (common practice, no source).
const DRIFT: (f64, f64) = (2.0, 1.0 / 16.0);

/// The drift that is seen, mm.
fn seen(unit: Unit) -> f64 {
    match unit {
        Unit::Millimetre => DRIFT.0,
        Unit::Inch => DRIFT.1 * unit.millimetres(),
    }
}

/// Tells how sure the pattern of a design is, and writes the page that is asked for.
pub(crate) fn run(asked: &Sure) -> Result<(), CliError> {
    let page = asked.sheet.as_deref().map(|file| layers::ending(file).map(|ending| (file, ending)));
    let page = page.transpose()?;
    let design = read_file(&asked.design, asked.json)?;
    let drift = asked.drift.as_ref().map_or(Ok(seen(design.unit())), |given| {
        cut_choice::length("--drift", given, given, &DRIFTS, design.unit())
    })?;
    let none = || CliError::NoLayers(asked.design.clone());
    let (lay, sure) = design.lay().zip(Sureness::of(&design, drift)).ok_or_else(none)?;
    if let Some((file, ending)) = page {
        let etching = Etching::of(&design);
        let colours = layers::colours(asked.colours, etching.as_ref());
        let unmade = |why: sheet::SheetFault| crate::make::made::unmade(&file.display().to_string(), why);
        let made = sheet::sure_sheet(&design, lay, &sure, &colours).map_err(unmade)?;
        layers::write(&made, file, ending)?;
    }
    match (asked.json, &asked.sheet) {
        (true, _) => output::say_json(&sure),
        (false, None) => output::say(sure.text().as_bytes()),
        (false, Some(file)) => output::say(format!("{}\nwrote {}\n", sure.text(), file.display()).as_bytes()),
    }
}
