//! PDF: pages at full size with text that can be searched.

use krilla::Document;
use krilla::geom::Size;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};

use crate::fault::ExportFault;
use crate::page::picture::picture;
use crate::page::svg_text::paged;
use crate::page::view::Page;

/// Points in a millimetre: 72 in an inch of 25.4 mm (PDF 32000-1, 8.3.2.3).
const POINTS: f64 = 72.0 / 25.4;

/// Name of the program, as author and creator.
const PROGRAM: &str = "Seaxwright";

/// The file of `pages`. It bears no date.
///
/// # Errors
/// [`ExportFault::Empty`] without pages, [`ExportFault::Size`] for a page without a size,
/// [`ExportFault::NotFinite`] for a number that is not finite, [`ExportFault::Name`] for a control character in
/// text or title.
pub fn pdf(title: &str, pages: &[Page<'_>]) -> Result<Vec<u8>, ExportFault> {
    if pages.is_empty() {
        return Err(ExportFault::Empty);
    }
    let mut document = Document::new();
    document.set_metadata(about(title));
    pages.iter().try_for_each(|page| add(&mut document, title, page))?;
    document.finish().map_err(|why| ExportFault::writer(format!("{why:?}")))
}

fn about(title: &str) -> Metadata {
    let names = Metadata::new().title(title.to_owned()).creator(PROGRAM.to_owned());
    names.authors(vec![PROGRAM.to_owned()])
}

/// Adds a page to the document.
fn add(document: &mut Document, title: &str, page: &Page<'_>) -> Result<(), ExportFault> {
    let tree = picture(&paged(page, title)?, POINTS)?;
    let size = page.size * POINTS;
    let wrong = ExportFault::Size { width: page.size.x, height: page.size.y };
    let size = Size::from_wh(size.x as f32, size.y as f32).ok_or(wrong)?;
    let mut sheet = document.start_page_with(PageSettings::new(size));
    let mut surface = sheet.surface();
    let drawn = surface.draw_svg(&tree, size, SvgSettings::default());
    surface.finish();
    sheet.finish();
    drawn.ok_or_else(|| ExportFault::writer("the page could not be drawn"))
}

#[cfg(test)]
mod tests {
    use drawing::Drawing;
    use glam::DVec2;

    use super::*;
    use crate::fixtures::{bar, every_mark, page};

    fn count(bytes: &[u8], what: &str) -> usize {
        bytes.windows(what.len()).filter(|window| *window == what.as_bytes()).count()
    }

    #[test]
    fn every_page_has_its_box_and_the_same_bytes() {
        let (sheet, drawing) = (every_mark(), bar());
        let first = page(&sheet, &drawing, DVec2::new(50.0, 100.0));
        let second = Page { size: DVec2::new(297.0, 210.0), ..first.clone() };
        let bytes = pdf("bar é", &[first.clone(), second.clone()]).unwrap();
        assert!(bytes.starts_with(b"%PDF"));
        assert_eq!(count(&bytes, "/MediaBox"), 2);
        assert_eq!(count(&bytes, "/MediaBox[0 0 595.2756 841.8898]"), 1);
        assert_eq!(count(&bytes, "/MediaBox[0 0 841.8898 595.2756]"), 1);
        assert_eq!(count(&bytes, "/Count 2"), 1);
        assert_eq!((count(&bytes, "Date"), count(&bytes, "Seaxwright") > 0), (0, true));
        assert!(bytes == pdf("bar é", &[first, second]).unwrap());
    }

    #[test]
    fn no_pages_and_empty_paper() {
        assert_eq!(pdf("none", &[]), Err(ExportFault::Empty));
        let sheet = Drawing::default();
        let blank = Page { size: DVec2::splat(100.0), sheet: &sheet, views: Vec::new() };
        assert!(pdf("blank", &[blank]).unwrap().starts_with(b"%PDF"));
    }
}
