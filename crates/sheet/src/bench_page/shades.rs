//! The map of what to take off, small enough for the page.

use export::{ExportFault, Raster};
use measured::{Bench, Shade};
use serde::Serialize;

use crate::fault::SheetFault;
use crate::typesetting::files::{DOTS, Files, add_picture};

/// A picture and what it is.
#[derive(Serialize)]
pub(crate) struct Shown {
    file: String,
    title: String,
}

/// Draws the sides, each `width` (mm) wide, and the legend's fields into `files`.
///
/// # Errors
/// [`SheetFault::Picture`] when one can't be drawn.
pub(crate) fn shades(bench: &Bench, width: f64, files: &mut Files) -> Result<[Vec<Shown>; 2], SheetFault> {
    let shades = bench.shades(DOTS * width / bench.history().length_mm);
    let mut drawn = |shades: &[Shade], name: &str| -> Result<Vec<Shown>, SheetFault> {
        let shown = |(i, shade)| draw(shade, format!("{name}-{i}.png"), files);
        Ok(shades.iter().enumerate().map(shown).collect::<Result<_, _>>()?)
    };
    Ok([drawn(&shades.sides, "side")?, drawn(&shades.legend, "band")?])
}

fn draw(shade: &Shade, file: String, files: &mut Files) -> Result<Shown, ExportFault> {
    add_picture(files, &file, &Raster::new(shade.dots.width, shade.dots.height, &shade.dots.rgb)?)?;
    Ok(Shown { file, title: shade.title.clone() })
}
