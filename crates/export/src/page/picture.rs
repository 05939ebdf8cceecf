//! SVG text read into a tree of shapes in which the carried typeface is the only one.

use drawing::Drawing;
use usvg::{Options, Tree};

use crate::fault::ExportFault;
use crate::page::font;
use crate::page::svg_text::whole;

/// Millimetres in an inch, by definition.
const INCH: f64 = 25.4;

/// A typeface in which a drawing's words are set: its name, and its file.
#[derive(Clone, Copy, Debug)]
pub struct Typeface {
    /// The family's name, as the file has it.
    pub family: &'static str,
    /// The file, TrueType or OpenType.
    pub file: &'static [u8],
}

/// A whole drawing with 5 mm of paper around it, for a page set in another typeface, with `scale` units to the millimetre.
///
/// # Errors
/// [`ExportFault::Empty`] where there is nothing to see, [`ExportFault::NotFinite`] for a number that is not
/// finite, [`ExportFault::Name`] for a control character in text or title.
pub fn vector_picture(
    drawing: &Drawing,
    title: &str,
    scale: f64,
    face: Typeface,
) -> Result<Tree, ExportFault> {
    tree(&whole(drawing, title)?, scale, face)
}

/// The tree of `text`, with `scale` units to the millimetre.
///
/// # Errors
/// [`ExportFault::Writer`] for text that cannot be read.
pub(crate) fn picture(text: &str, scale: f64) -> Result<Tree, ExportFault> {
    tree(text, scale, Typeface { family: font::FAMILY, file: font::BYTES })
}

/// The tree of `text` in which this typeface is the only one, under its own name and every other.
fn tree(text: &str, scale: f64, face: Typeface) -> Result<Tree, ExportFault> {
    let mut options =
        Options { dpi: (scale * INCH) as f32, font_family: face.family.to_owned(), ..Options::default() };
    let fonts = options.fontdb_mut();
    fonts.load_font_data(face.file.to_vec());
    fonts.set_monospace_family(face.family);
    Tree::from_str(text, &options).map_err(ExportFault::writer)
}
