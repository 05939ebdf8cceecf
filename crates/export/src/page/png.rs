//! PNG: a drawing on white paper, or a picture made of dots.

use ::png::{BitDepth, ColorType, Filter, Info};
use drawing::Drawing;
use glam::DVec2;
use resvg::tiny_skia::{Color, Pixmap, PremultipliedColorU8, Transform};

use crate::fault::ExportFault;
use crate::page::picture::picture;
use crate::page::raster::{Raster, encoded};
use crate::page::svg_text::{self, whole};

/// Most pixels a picture may have: 400 MB in memory, and an A1 sheet at 300 dots an inch still fits.
const MOST: f64 = 100e6;

/// The file of a whole drawing with 5 mm of paper around it and `dots_per_mm` dots to the millimetre.
///
/// # Errors
/// [`ExportFault::TooMany`] beyond 100 million pixels, [`ExportFault::Size`] for a picture without pixels,
/// [`ExportFault::Empty`] where there is nothing to see, [`ExportFault::NotFinite`] for a number that is not finite,
/// [`ExportFault::Name`] for a control character in text.
pub fn png(drawing: &Drawing, dots_per_mm: f64) -> Result<Vec<u8>, ExportFault> {
    png_over(drawing, dots_per_mm, &[])
}

/// The same over pictures of as many dots to the millimetre, each with its upper left corner at a place of the drawing
/// (mm). What lies off the paper is not seen.
///
/// # Errors
/// Those of [`png()`], and [`ExportFault::Raster`] for a picture without dots or when bytes and dots differ in number.
pub fn png_over(
    drawing: &Drawing,
    dots_per_mm: f64,
    pictures: &[(Raster<'_>, DVec2)],
) -> Result<Vec<u8>, ExportFault> {
    let tree = picture(&whole(drawing, "")?, dots_per_mm)?;
    let mut paper = paper(tree.size())?;
    paper.fill(Color::WHITE);
    let [low, high] = svg_text::paper(drawing)?;
    for (raster, at) in pictures {
        raster.whole()?;
        lay(&mut paper, raster, DVec2::new(at.x - low.x, high.y - at.y) * dots_per_mm);
    }
    resvg::render(&tree, Transform::identity(), &mut paper.as_mut());
    let mut info = Info::with_size(paper.width(), paper.height());
    (info.color_type, info.bit_depth) = (ColorType::Rgba, BitDepth::Eight);
    // Lines on white paper are pressed best as they are.
    encoded(info, &paper.take_demultiplied(), Filter::NoFilter, 4)
}

/// Lays a picture on paper, its upper left dot nearest to a place from the paper's, in dots.
fn lay(paper: &mut Pixmap, raster: &Raster<'_>, at: DVec2) {
    let (left, top) = (at.x.round() as i64, at.y.round() as i64);
    let (width, height) = (i64::from(paper.width()), i64::from(paper.height()));
    for (i, dot) in raster.rgb.chunks_exact(3).enumerate() {
        let (across, down) = (i as u32 % raster.width, i as u32 / raster.width);
        let (x, y) = (left + i64::from(across), top + i64::from(down));
        let colour = PremultipliedColorU8::from_rgba(dot[0], dot[1], dot[2], u8::MAX);
        if let (true, Some(colour)) = ((0..width).contains(&x) && (0..height).contains(&y), colour) {
            paper.pixels_mut()[(y * width + x) as usize] = colour;
        }
    }
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
    use crate::fixtures::bar;

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
    fn pictures_lie_under_the_lines_where_they_were_laid() {
        let red = Raster { width: 8, height: 4, rgb: &[200, 10, 10].repeat(32) };
        let at = |x: f64, y: f64| vec![(red, glam::DVec2::new(x, y))];
        let shown = |bytes: Vec<u8>, x: u32, y: u32| {
            let p = Pixmap::decode_png(&bytes).unwrap().pixel(x, y).unwrap();
            [p.red(), p.green()]
        };
        // The bar's paper begins 5.125 mm before it and ends as much above it: 4 dots to the mm.
        let bytes = png_over(&bar(), 4.0, &at(20.0, 6.0)).unwrap();
        assert_eq!(shown(bytes.clone(), 102, 38), [200, 10]);
        assert_eq!(shown(bytes, 110, 38), [255, 255]);
        assert_eq!(png_over(&bar(), 4.0, &at(-900.0, 6.0)).unwrap(), png(&bar(), 4.0).unwrap());
        let odd = Raster { width: 9, ..red };
        assert!(png_over(&bar(), 4.0, &[(odd, glam::DVec2::ZERO)]).is_err());
    }

    #[test]
    fn pictures_too_large_or_without_pixels_are_refused() {
        assert!(matches!(png(&bar(), 1000.0), Err(ExportFault::TooMany { what: "pixels", .. })));
        for dots in [0.0, -1.0, f64::NAN] {
            assert!(png(&bar(), dots).is_err(), "{dots}");
        }
    }
}
