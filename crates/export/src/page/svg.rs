//! SVG 1.1: a drawing or a page at full size, one group a layer.

use drawing::Drawing;
use glam::DVec2;

use crate::fault::ExportFault;
use crate::page::svg_text;
use crate::page::view::Page;

/// The file of a whole drawing with 5 mm of paper around it. Width and height are in mm, and so is every number
/// inside; y points down.
///
/// # Errors
/// [`ExportFault::Empty`] where there is nothing to see, [`ExportFault::NotFinite`] for a number that is not
/// finite, [`ExportFault::Name`] for a control character in text or title.
pub fn svg(drawing: &Drawing, title: &str) -> Result<Vec<u8>, ExportFault> {
    svg_text::whole(drawing, title).map(String::into_bytes)
}

/// The file of a drawing on a sheet of this size (mm) whose lower left corner is the drawing's origin.
///
/// # Errors
/// [`ExportFault::Size`] for a sheet that has none, [`ExportFault::NotFinite`] for a number that is not finite,
/// [`ExportFault::Name`] for a control character in text or title.
pub fn svg_sheet(drawing: &Drawing, size: DVec2, title: &str) -> Result<Vec<u8>, ExportFault> {
    let page = Page { size, sheet: drawing, views: Vec::new() };
    svg_text::paged(&page, title).map(String::into_bytes)
}

#[cfg(test)]
mod tests {
    use drawing::Layer;

    use super::*;
    use crate::fixtures::{bar, every_mark, label, page};
    use crate::page::picture::picture;

    fn text(bytes: Vec<u8>) -> String {
        String::from_utf8(bytes).unwrap()
    }

    /// The lines of text in a group.
    fn words(group: &usvg::Group) -> Vec<String> {
        let each = group.children().iter().map(|node| match node {
            usvg::Node::Group(group) => words(group),
            usvg::Node::Text(text) => text.chunks().iter().map(|chunk| chunk.text().to_owned()).collect(),
            _ => Vec::new(),
        });
        each.flatten().collect()
    }

    /// The bar is 100 mm long and 10 mm high, its pen 0.25 mm wide.
    #[test]
    fn a_sheet_has_its_size_in_millimetres() {
        let text = text(svg(&bar(), "bar").unwrap());
        assert!(text.contains(r#"width="110.25mm" height="20.25mm" viewBox="0 0 110.25 20.25""#), "{text}");
        let size = picture(&text, 1.0).unwrap().size();
        assert!((size.width() - 110.25).abs() < 1e-4 && (size.height() - 20.25).abs() < 1e-4, "{size:?}");
    }

    #[test]
    fn layers_stand_in_order_with_their_pens() {
        let text = text(svg(&every_mark(), "all").unwrap());
        let places = ["outline", "centre", "dimension", "text", "sheet"]
            .map(|name| text.find(&format!("id=\"{name}\"")));
        assert!(places.iter().all(Option::is_some) && places.is_sorted(), "{places:?}");
        assert!(text.contains(r##"stroke="#000000" stroke-width="0.13" stroke-dasharray="6 1.5 1 1.5""##));
        assert!(text.contains(r##"id="sheet" fill="none" stroke="#595959""##));
        assert!(!text.contains("surface"));
        assert_eq!(text.as_bytes(), svg(&every_mark(), "all").unwrap());
    }

    #[test]
    fn words_are_escaped_and_keep_their_accents() {
        let drawing = Drawing { items: vec![label("é < ü & \"ᛋ\" > 漢", DVec2::ZERO)] };
        let text = text(svg(&drawing, "ferry & house").unwrap());
        assert!(text.contains("<title>ferry &amp; house</title>"));
        assert!(text.contains(">é &lt; ü &amp; &quot;ᛋ&quot; &gt; 漢</text>"), "{text}");
        // Capitals 3.5 mm high: 3.5 × 2048 / 1493.
        assert!(text.contains(r#"font-size="4.8011""#));
        assert_eq!(words(picture(&text, 1.0).unwrap().root()), ["é < ü & \"ᛋ\" > 漢"]);
    }

    #[test]
    fn a_page_shows_what_its_window_meets() {
        let (sheet, drawing) = (every_mark(), bar());
        let shown = svg_text::paged(&page(&sheet, &drawing, DVec2::new(50.0, 100.0)), "page").unwrap();
        assert!(shown.contains(r#"<rect x="20" y="187" width="170" height="80"/>"#), "{shown}");
        assert!(shown.contains(r#"clip-path="url(#view-1-window)""#));
        assert!(shown.contains(r#"d="M50 197L150 197L150 187L50 187L50 197Z""#), "{shown}");
        let missed = svg_text::paged(&page(&sheet, &drawing, DVec2::new(50.0, 200.0)), "page").unwrap();
        assert!(!missed.contains("view-1"));
    }

    #[test]
    fn a_sheet_to_cut_has_its_own_size_and_inks() {
        let mut drawing = Drawing::default();
        drawing.rectangle(Layer::Cut, [DVec2::new(20.0, 30.0), DVec2::new(60.0, 50.0)], false);
        drawing.line(Layer::Mark, DVec2::new(25.0, 40.0), DVec2::new(35.0, 40.0));
        let text = text(svg_sheet(&drawing, DVec2::new(500.0, 250.0), "sheet").unwrap());
        assert!(text.contains(r#"width="500mm" height="250mm" viewBox="0 0 500 250""#), "{text}");
        assert!(text.contains(r##"id="cut" fill="none" stroke="#ff0000""##), "{text}");
        assert!(text.contains(r##"id="mark" fill="none" stroke="#0000ff""##), "{text}");
        assert!(text.contains(r#"d="M20 220L60 220L60 200L20 200L20 220Z""#), "{text}");
        let flat = svg_sheet(&drawing, DVec2::new(500.0, 0.0), "sheet");
        assert_eq!(flat, Err(ExportFault::Size { width: 500.0, height: 0.0 }));
    }

    #[test]
    fn nothing_and_a_page_without_size_are_refused() {
        assert_eq!(svg(&Drawing::default(), "none"), Err(ExportFault::Empty));
        let sheet = Drawing::default();
        let flat = Page { size: DVec2::new(210.0, 0.0), sheet: &sheet, views: Vec::new() };
        assert_eq!(svg_text::paged(&flat, "none"), Err(ExportFault::Size { width: 210.0, height: 0.0 }));
    }
}
