//! `fit`: the smallest change that brings a design to its targets, as a new design file.

use fit::{FitFault, Fitted, fit};

use crate::ask::arguments::Fit;
use crate::terminal::diagnostics;
use crate::terminal::error::CliError;
use crate::terminal::output;
use crate::terminal::source::Source;

/// Fits one design, tells what was changed, and writes the new file where one is asked for and all targets are reached.
pub(crate) fn run(asked: &Fit) -> Result<(), CliError> {
    let source = Source::read(&asked.design)?;
    let fitted = fit(&source.bytes).map_err(|why| match why {
        FitFault::Problems(problems) => diagnostics::told(&source, problems, asked.json),
        why => CliError::Unfit { path: asked.design.clone(), why },
    })?;
    if let Some(out) = asked.out.as_ref().filter(|_| fitted.reached) {
        files::write_new(out, fitted.file.as_bytes())?;
    }
    tell(asked, &source, &fitted)?;
    if fitted.reached { Ok(()) } else { Err(CliError::NotReached) }
}

/// Says what was fitted, as text or as JSON.
fn tell(asked: &Fit, source: &Source, fitted: &Fitted) -> Result<(), CliError> {
    if asked.json {
        return output::say_json(fitted);
    }
    let design = source.design().map_err(|problems| CliError::problems(source, problems))?;
    let mut text = fitted.text(&design);
    match &asked.out {
        Some(out) if fitted.reached => text += &format!("\nwrote {}\n", out.display()),
        None if fitted.reached && fitted.file.as_bytes() != source.bytes => {
            text += "\nNothing was written. Add --out FILE to write the new design file.\n"
        }
        _ => {}
    }
    output::say(text.as_bytes())
}
