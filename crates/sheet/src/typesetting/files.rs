//! What pages are set from: files by name, in memory.

use std::collections::BTreeMap;

use drawing::Drawing;
use export::{ExportFault, Raster};
use typst::foundations::Bytes;

/// Fineness of pictures on paper, dots a mm: about 200 to the inch, as fine as common printers show greys.
pub(crate) const DOTS: f64 = 8.0;

/// Files by name.
pub(crate) type Files = BTreeMap<String, Bytes>;

/// Puts a drawing among the files.
pub(crate) fn add_drawing(files: &mut Files, name: &str, drawing: &Drawing) -> Result<(), ExportFault> {
    files.insert(name.to_owned(), Bytes::new(export::svg(drawing, name)?));
    Ok(())
}

/// Puts a picture of [`DOTS`] among the files.
pub(crate) fn add_picture(files: &mut Files, name: &str, picture: &Raster<'_>) -> Result<(), ExportFault> {
    let png = export::picture_png(picture, (1000.0 * DOTS) as u32)?;
    files.insert(name.to_owned(), Bytes::new(png));
    Ok(())
}
