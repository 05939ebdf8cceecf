//! PNG: a drawing on white paper, or a picture made of dots.

use resvg::tiny_skia::{Color, Pixmap, Transform};
use tooling::Drawing;

use crate::fault::ExportFault;
use crate::picture::picture;
use crate::raster::Raster;
use crate::svg_text::whole;

/// Most pixels a picture may have: 400 MB in memory, and an A1 sheet at 300 dots an inch still fits.
const MOST: f64 = 100e6;

/// The file of a whole drawing with 5 mm of paper around it and `dots_per_mm` dots to the millimetre.
///
/// # Errors
/// [`ExportFault::TooMany`] beyond 100 million pixels, [`ExportFault::Size`] for a picture without pixels,
/// [`ExportFault::Empty`] where there is nothing to see, [`ExportFault::NotFinite`] for a number that is not finite,
/// [`ExportFault::Name`] for a control character in text.
pub fn png(drawing: &Drawing, dots_per_mm: f64) -> Result<Vec<u8>, ExportFault> {
    let tree = picture(&whole(drawing, "")?, dots_per_mm)?;
    let mut paper = paper(tree.size())?;
    paper.fill(Color::WHITE);
    resvg::render(&tree, Transform::identity(), &mut paper.as_mut());
    paper.encode_png().map_err(ExportFault::writer)
}

/// The file of a picture, which prints at `dots_per_metre` (1 … 2^31 - 1) dots to the metre, so at full size where
/// it was drawn at as many.
///
/// # Errors
/// [`ExportFault::Raster`] without dots or when bytes and dots differ in number, [`ExportFault::Density`] for
/// a density that the format cannot hold.
pub fn picture_png(picture: &Raster<'_>, dots_per_metre: u32) -> Result<Vec<u8>, ExportFault> {
    picture.png(Some(dots_per_metre))
}

/// Room for a picture of this size in pixels.
fn paper(size: usvg::Size) -> Result<Pixmap, ExportFault> {
    let (width, height) = (f64::from(size.width()).round(), f64::from(size.height()).round());
    if width * height > MOST {
        return Err(ExportFault::TooMany { what: "pixels", count: (width * height) as usize });
    }
    Pixmap::new(width as u32, height as u32).ok_or(ExportFault::Size { width, height })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::bar;

    #[test]
    fn lines_are_dark_and_paper_is_white() {
        let bytes = png(&bar(), 4.0).unwrap();
        let picture = Pixmap::decode_png(&bytes).unwrap();
        // 110.25 × 20.25 mm with its paper; the lower line runs 5.125 mm above the lower edge.
        assert_eq!((picture.width(), picture.height()), (441, 81));
        let red = |x: u32, y: u32| picture.pixel(x, y).unwrap().red();
        assert!(red(200, 60) < 200, "{}", red(200, 60));
        for (x, y) in [(200, 40), (200, 75), (4, 60)] {
            assert_eq!(red(x, y), 255, "{x} {y}");
        }
    }

    #[test]
    fn pictures_too_large_or_without_pixels_are_refused() {
        assert!(matches!(png(&bar(), 1000.0), Err(ExportFault::TooMany { what: "pixels", .. })));
        for dots in [0.0, -1.0, f64::NAN] {
            assert!(png(&bar(), dots).is_err(), "{dots}");
        }
    }
}
