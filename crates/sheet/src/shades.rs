//! The map of what to take off, small enough for the page.

use export::{ExportFault, Raster};
use measured::{Bench, Shade};
use serde::Serialize;
use typst::foundations::Bytes;

use crate::fault::SheetFault;
use crate::pictures::{DOTS, Files};

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
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let raster =
        Raster { width: count(shade.dots.width), height: count(shade.dots.height), rgb: &shade.dots.rgb };
    let png = export::picture_png(&raster, (1000.0 * DOTS) as u32)?;
    files.insert(file.clone(), Bytes::new(png));
    Ok(Shown { file, title: shade.title.clone() })
}
