//! Pictures and drawings among words.

use std::rc::Rc;

use drawing::Drawing;
use export::{ExportFault, Raster};
use glam::DVec2;
use krilla::image::Image;

use crate::typesetting::face::FACE;
use crate::typesetting::shape::{MM, Pen, Shape, frame};
use crate::typesetting::text::Mark;

/// Fineness of pictures on paper, dots a mm: about 200 to the inch, as fine as common printers show greys.
pub(crate) const DOTS: f64 = 8.0;
/// Paper around an exported drawing that a page does not need, mm.
const TRIM: f64 = 4.0;

/// A drawing at full size (1 mm of it is 1 mm on paper), standing on the base line.
///
/// # Errors
/// Those of [`export::vector_picture`].
pub(crate) fn drawn(drawing: &Drawing, name: &str) -> Result<Mark, ExportFault> {
    let tree = export::vector_picture(drawing, name, MM, FACE)?;
    let size = DVec2::new(f64::from(tree.size().width()), f64::from(tree.size().height())) - 2.0 * TRIM * MM;
    let at = DVec2::new(0.0, -size.y) - TRIM * MM;
    let shapes = vec![Shape::Drawing { at, tree: Rc::new(tree) }];
    Ok(Mark { width: size.x, rise: size.y, drop: 0.0, shapes })
}

/// A picture so high, or so wide, in points, standing on the base line; framed where a pen is given.
///
/// # Errors
/// [`ExportFault::Raster`] without dots or when bytes and dots differ in number.
pub(crate) fn dots(picture: &Raster<'_>, size: Size, pen: Option<Pen>) -> Result<Mark, ExportFault> {
    let rgba = picture.rgba()?;
    let ratio = f64::from(picture.width) / f64::from(picture.height);
    let size = match size {
        Size::Width(width) => DVec2::new(width, width / ratio),
        Size::Height(height) => DVec2::new(height * ratio, height),
    };
    let at = DVec2::new(0.0, -size.y);
    let image = Image::from_rgba8(rgba, picture.width, picture.height);
    let mut shapes = vec![Shape::Dots { at, size, image }];
    shapes.extend(pen.map(|pen| frame(at, size, pen)));
    Ok(Mark { width: size.x, rise: size.y, drop: 0.0, shapes })
}

/// One side of a picture, in points; the other follows.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Size {
    Width(f64),
    Height(f64),
}
