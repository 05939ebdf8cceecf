//! PNG: a picture of a page on white paper.

use resvg::tiny_skia::{Color, Pixmap, Transform};

use crate::fault::ExportFault;
use crate::page::Page;
use crate::picture::picture;
use crate::svg_text::paged;

/// Most pixels a picture may have: 400 MB in memory, and an A1 sheet at 300 dots an inch still fits.
const MOST: f64 = 100e6;

/// The file of a page with `dots_per_mm` dots to the millimetre.
///
/// # Errors
/// [`ExportFault::TooMany`] beyond 100 million pixels, [`ExportFault::Size`] for a picture without pixels,
/// [`ExportFault::NotFinite`] for a number that is not finite, [`ExportFault::Name`] for a control character in
/// text.
pub fn png(page: &Page<'_>, dots_per_mm: f64) -> Result<Vec<u8>, ExportFault> {
    let mut paper = paper(page, dots_per_mm)?;
    paper.fill(Color::WHITE);
    let tree = picture(&paged(page, "")?, dots_per_mm)?;
    resvg::render(&tree, Transform::identity(), &mut paper.as_mut());
    paper.encode_png().map_err(ExportFault::writer)
}

/// Room for a page's pixels.
fn paper(page: &Page<'_>, dots_per_mm: f64) -> Result<Pixmap, ExportFault> {
    let size = (page.size * dots_per_mm).round();
    if size.min_element() >= 1.0 && size.element_product() > MOST {
        return Err(ExportFault::TooMany { what: "pixels", count: size.element_product() as usize });
    }
    let wrong = ExportFault::Size { width: page.size.x, height: page.size.y };
    Pixmap::new(size.x as u32, size.y as u32).ok_or(wrong)
}

#[cfg(test)]
mod tests {
    use glam::DVec2;
    use tooling::Drawing;

    use super::*;
    use crate::sample::{bar, page};

    #[test]
    fn lines_are_dark_and_paper_is_white() {
        let (sheet, drawing) = (Drawing::default(), bar());
        let bytes = png(&page(&sheet, &drawing, DVec2::new(50.0, 100.0)), 4.0).unwrap();
        let picture = Pixmap::decode_png(&bytes).unwrap();
        assert_eq!((picture.width(), picture.height()), (840, 1188));
        // The bar's lower line runs along y = 100 mm, 197 mm below the paper's upper edge.
        let reds = |x: u32, middle: u32| [middle - 1, middle].map(|y| picture.pixel(x, y).unwrap().red());
        assert!(reds(400, 788).iter().all(|red| *red < 200));
        for (x, y) in [(400, 770), (400, 800), (190, 788)] {
            assert_eq!(reds(x, y), [255, 255], "{x} {y}");
        }
    }

    #[test]
    fn pictures_too_large_or_without_pixels_are_refused() {
        let (sheet, drawing) = (Drawing::default(), bar());
        let page = page(&sheet, &drawing, DVec2::ZERO);
        assert_eq!(png(&page, 100.0), Err(ExportFault::TooMany { what: "pixels", count: 623_700_000 }));
        for dots in [0.0, -1.0, f64::NAN] {
            assert!(matches!(png(&page, dots), Err(ExportFault::Size { .. })), "{dots}");
        }
    }
}
