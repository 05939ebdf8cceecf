//! The SVG 1.1 text of drawings and pages, in mm, from which SVG, PDF and PNG files are made.

use std::fmt::Write;

use brep::Piece;
use drawing::{Anchor, Drawing, Ink, Item, Layer, Mark};
use glam::DVec2;
use quick_xml::escape::escape;

use crate::arcs::short;
use crate::fault::ExportFault;
use crate::page::extent::{self, Extent};
use crate::page::font;
use crate::page::view::{Page, View};
use crate::sound::{sound, writable};

/// Paper around a whole sheet's drawing, mm: room to hold it and to cut.
const MARGIN: f64 = 5.0;

/// Digits behind the point of a coordinate in mm: a ten-thousandth is far below any printer's dot.
const DIGITS: usize = 4;

/// The whole of `drawing` with a margin of 5 mm around it.
///
/// # Errors
/// [`ExportFault::Empty`] where there is nothing to see, and those of [`sound`].
pub(crate) fn whole(drawing: &Drawing, title: &str) -> Result<String, ExportFault> {
    let [low, high] = paper(drawing)?;
    let plain = sound(drawing)?;
    let items = visible(&plain, [low, high]);
    document(high - low, title, &layers(&items, Flip(DVec2::new(-low.x, high.y)), ""))
}

/// The paper of [`whole`], mm.
///
/// # Errors
/// As [`whole`].
pub(crate) fn paper(drawing: &Drawing) -> Result<Extent, ExportFault> {
    let [low, high] = extent::drawing(&sound(drawing)?).ok_or(ExportFault::Empty)?;
    Ok([low - MARGIN, high + MARGIN])
}

/// A page with its views, each clipped by its window.
///
/// # Errors
/// [`ExportFault::Size`] for a page that has none, [`ExportFault::NotFinite`] for a shift or window that is not
/// finite, and those of [`sound`].
pub(crate) fn paged(page: &Page<'_>, title: &str) -> Result<String, ExportFault> {
    let mut body = String::new();
    for (number, view) in (1..).zip(&page.views) {
        body += &seen(number, view, page.size.y)?;
    }
    let sheet = sound(page.sheet)?;
    body += &layers(&visible(&sheet, [DVec2::ZERO, page.size]), Flip(DVec2::new(0.0, page.size.y)), "");
    document(page.size, title, &body)
}

/// The root element.
fn document(size: DVec2, title: &str, body: &str) -> Result<String, ExportFault> {
    if !(size.is_finite() && size.min_element() > 0.0) {
        return Err(ExportFault::Size { width: size.x, height: size.y });
    }
    writable(title)?;
    let (width, height, title) = (number(size.x), number(size.y), escape(title));
    Ok(format!(
        r#"<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}">
<title>{title}</title>
{body}</svg>
"#
    ))
}

/// A view behind its window.
fn seen(number: usize, view: &View<'_>, height: f64) -> Result<String, ExportFault> {
    let [low, high] = view.window;
    if !(low.is_finite() && high.is_finite() && view.shift.is_finite()) {
        return Err(ExportFault::NotFinite { place: format!("shift or window of view {number}") });
    }
    let plain = sound(view.drawing)?;
    let items = visible(&plain, [low - view.shift, high - view.shift]);
    if items.is_empty() || !high.cmpgt(low).all() {
        return Ok(String::new());
    }
    let name = format!("view-{number}");
    let layers = layers(&items, Flip(DVec2::new(view.shift.x, height - view.shift.y)), &format!("{name}-"));
    let window = rectangle(view.window, height);
    Ok(format!(
        "<clipPath id=\"{name}-window\">{window}</clipPath>\n\
         <g id=\"{name}\" clip-path=\"url(#{name}-window)\">\n{layers}</g>\n"
    ))
}

/// A window as an element, y down.
fn rectangle([low, high]: Extent, height: f64) -> String {
    let [x, y, width, height] = [low.x, height - high.y, high.x - low.x, high.y - low.y].map(number);
    format!(r#"<rect x="{x}" y="{y}" width="{width}" height="{height}"/>"#)
}

/// The items that reach into a window.
fn visible(drawing: &Drawing, window: Extent) -> Vec<&Item> {
    let reaches = |item: &&Item| extent::item(item).is_some_and(|extent| extent::meet(extent, window));
    drawing.items.iter().filter(reaches).collect()
}

/// A group for each layer in use, its name after `prefix`.
fn layers(items: &[&Item], flip: Flip, prefix: &str) -> String {
    let on = |layer| items.iter().filter(move |item| item.layer == layer).map(|item| &item.mark);
    let used = Layer::ALL.into_iter().filter(|layer| on(*layer).next().is_some());
    used.map(|layer| group(layer, on(layer), flip, prefix)).collect()
}

/// A layer's group, drawn with its pen.
fn group<'a>(layer: Layer, marks: impl Iterator<Item = &'a Mark>, flip: Flip, prefix: &str) -> String {
    let pen = layer.pen();
    let (name, ink, width) = (layer.name(), ink(layer), number(pen.width));
    let dashes = pen.dashes.iter().map(|dash| number(*dash)).collect::<Vec<_>>().join(" ");
    let dashes = if dashes.is_empty() { dashes } else { format!(r#" stroke-dasharray="{dashes}""#) };
    let marks: String = marks.map(|mark| element(mark, &ink, flip)).collect();
    format!(
        "<g id=\"{prefix}{name}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"{width}\"{dashes}>\n{marks}</g>\n"
    )
}

/// A layer's colour: its grey, unless it has an ink.
fn ink(layer: Layer) -> String {
    match layer.ink() {
        Some(Ink::Red) => return "#ff0000".to_owned(),
        Some(Ink::Blue) => return "#0000ff".to_owned(),
        None => {}
    }
    let level = (layer.pen().grey.clamp(0.0, 1.0) * 255.0).round();
    format!("#{level:02x}{level:02x}{level:02x}", level = level as u8)
}

/// A mark, on a line of its own.
fn element(mark: &Mark, ink: &str, flip: Flip) -> String {
    match mark {
        Mark::Path { pieces, closed, filled } => {
            let inside = if *filled { format!(r#" fill="{ink}" stroke="none""#) } else { String::new() };
            format!("<path{inside} d=\"{}\"/>\n", outline(pieces, *closed, flip))
        }
        Mark::Text { at, height, anchor, turn, text } => line(*at, *height, *anchor, *turn, text, ink, flip),
        Mark::Dimension { .. } => String::new(),
    }
}

/// A line of text.
fn line(at: DVec2, height: f64, anchor: Anchor, turn: f64, text: &str, ink: &str, flip: Flip) -> String {
    let (family, size, text) = (font::FAMILY, number(height / font::CAPITALS), escape(text));
    let (at, degrees) = (flip.point(at), number(-turn.to_degrees()));
    let anchor = match anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    format!(
        "<text fill=\"{ink}\" stroke=\"none\" font-family=\"{family}, monospace\" font-size=\"{size}\" \
         text-anchor=\"{anchor}\" transform=\"translate({at}) rotate({degrees})\" xml:space=\"preserve\">{text}</text>\n"
    )
}

/// Path data.
fn outline(pieces: &[Piece], closed: bool, flip: Flip) -> String {
    let Some(first) = pieces.first() else { return String::new() };
    let mut data = format!("M{}", flip.point(first.at(0.0).0));
    for piece in pieces.iter().flat_map(short) {
        data += &command(&piece, flip);
    }
    if closed {
        data.push('Z');
    }
    data
}

/// The path command that draws a piece; an arc is under half a turn.
fn command(piece: &Piece, flip: Flip) -> String {
    match piece {
        Piece::Straight(_, to) => format!("L{}", flip.point(*to)),
        Piece::Cubic([_, b, c, d]) => format!("C{} {} {}", flip.point(*b), flip.point(*c), flip.point(*d)),
        Piece::Arc(_, radius, from, to) => {
            let (radius, clockwise) = (number(*radius), u8::from(to < from));
            format!("A{radius} {radius} 0 0 {clockwise} {}", flip.point(piece.at(1.0).0))
        }
    }
}

/// From a drawing's coordinates to the file's, whose y points down: where the drawing's origin lies in the file.
#[derive(Clone, Copy)]
struct Flip(DVec2);

impl Flip {
    fn point(self, p: DVec2) -> String {
        format!("{} {}", number(self.0.x + p.x), number(self.0.y - p.y))
    }
}

/// A number without needless digits.
fn number(value: f64) -> String {
    let mut text = String::new();
    // Writing to a string cannot fail.
    let _ = write!(text, "{value:.DIGITS$}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_have_one_zero() {
        let texts = [100.0, -0.00001, 0.25, -12.34567, 0.0].map(number);
        assert_eq!(texts, ["100", "0", "0.25", "-12.3457", "0"]);
    }

    #[test]
    fn arcs_turn_the_other_way_when_y_points_down() {
        let flip = Flip(DVec2::new(0.0, 10.0));
        let left = Piece::Arc(DVec2::ZERO, 2.0, 0.0, std::f64::consts::FRAC_PI_2);
        assert_eq!(outline(std::slice::from_ref(&left), false, flip), "M2 10A2 2 0 0 0 0 8");
        assert_eq!(outline(&[left.reversed()], true, flip), "M0 8A2 2 0 0 1 2 10Z");
        let round = Piece::Arc(DVec2::ZERO, 2.0, 0.0, std::f64::consts::TAU);
        assert_eq!(outline(&[round], true, flip).matches('A').count(), 3);
    }
}
