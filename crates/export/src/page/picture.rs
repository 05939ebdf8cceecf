//! SVG text read into a tree of shapes in which the carried typeface is the only one.

use usvg::{Options, Tree};

use crate::fault::ExportFault;
use crate::page::font;

/// Millimetres in an inch, by definition.
const INCH: f64 = 25.4;

/// The tree of `text`, with `scale` units to the millimetre.
///
/// # Errors
/// [`ExportFault::Writer`] for text that cannot be read.
pub(crate) fn picture(text: &str, scale: f64) -> Result<Tree, ExportFault> {
    let mut options =
        Options { dpi: (scale * INCH) as f32, font_family: font::FAMILY.to_owned(), ..Options::default() };
    let fonts = options.fontdb_mut();
    fonts.load_font_data(font::BYTES.to_vec());
    fonts.set_monospace_family(font::FAMILY);
    Tree::from_str(text, &options).map_err(ExportFault::writer)
}
