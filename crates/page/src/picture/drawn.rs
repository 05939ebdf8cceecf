//! A drawing as inline SVG: one path a layer, and its words; its inks are the page's.

use std::collections::BTreeMap;
use std::fmt::Write;

use brep::Piece;
use drawing::{Anchor, Drawing, Layer, Mark};
use glam::DVec2;

use crate::picture::path::{UNITS, chords, path, place};
use crate::view::escaped;

/// Room around a drawing, mm.
const AROUND: f64 = 1.0;
/// Height of a font over that of its capitals, as most fonts of screens have it (common practice, no source).
const FONT: f64 = 1.4;
/// Chords of a cubic piece.
const CUBIC: u32 = 12;

/// The drawing as an SVG element that is called `label`, or kept from those who hear the page where that is empty;
/// nothing for an empty drawing.
pub(crate) fn svg(drawing: &Drawing, label: &str) -> String {
    let plain = drawing.plain();
    let Some([low, high]) = plain.bounds() else { return String::new() };
    let (mut paths, mut words) = (BTreeMap::new(), String::new());
    for item in &plain.items {
        match &item.mark {
            Mark::Path { pieces, closed, filled } => {
                let data: &mut String = paths.entry((item.layer, *filled)).or_default();
                *data += &path(points(pieces), *closed);
            }
            Mark::Text { at, height, anchor, turn, text } => {
                words += &word(*at, *height, *anchor, *turn, text);
            }
            Mark::Dimension { .. } => {}
        }
    }
    let drawn: String = paths.iter().map(|((layer, filled), data)| element(*layer, *filled, data)).collect();
    framed([low - DVec2::splat(AROUND), high + DVec2::splat(AROUND)], label, &(drawn + &words))
}

/// Elements in a frame from its least to its greatest corner, mm.
pub(crate) fn framed([low, high]: [DVec2; 2], label: &str, inside: &str) -> String {
    let [left, top] = place(DVec2::new(low.x, high.y));
    let [wide, tall] = (high - low).to_array().map(|mm| (mm * UNITS).ceil() as i64);
    let named = match label {
        "" => r#"aria-hidden="true""#.to_owned(),
        _ => format!(r#"role="img" aria-label="{}""#, escaped(label)),
    };
    format!(r#"<svg viewBox="{left} {top} {wide} {tall}" {named}>{inside}</svg>"#)
}

fn element(layer: Layer, filled: bool, data: &str) -> String {
    let filled = if filled { " filled" } else { "" };
    format!(r#"<path class="{}{filled}" d="{data}"/>"#, layer.name())
}

/// A line of text.
fn word(at: DVec2, height: f64, anchor: Anchor, turn: f64, text: &str) -> String {
    let ([x, y], size) = (place(at), (height * FONT * UNITS).round());
    let anchor = match anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    let mut turned = String::new();
    if turn.abs() > 1e-9 {
        // Writing to a String can't fail.
        let _ = write!(turned, r#" transform="rotate({:.1} {x} {y})""#, -turn.to_degrees());
    }
    format!(
        r#"<text x="{x}" y="{y}" font-size="{size}" text-anchor="{anchor}"{turned}>{}</text>"#,
        escaped(text)
    )
}

/// The pieces as points along them.
fn points(pieces: &[Piece]) -> Vec<DVec2> {
    let along = |piece: &Piece| {
        let count = match piece {
            Piece::Straight(..) => 1,
            Piece::Cubic(_) => CUBIC,
            Piece::Arc(_, radius, from, to) => chords(*radius, to - from),
        };
        let piece = piece.clone();
        (1..=count).map(move |i| piece.at(f64::from(i) / f64::from(count)).0)
    };
    let first = pieces.first().map(|piece| piece.at(0.0).0);
    first.into_iter().chain(pieces.iter().flat_map(along)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_drawing_has_its_size_and_its_words_are_text() {
        let mut drawing = Drawing::default();
        drawing.rectangle(Layer::Cut, [DVec2::ZERO, DVec2::new(40.0, 20.0)], false);
        drawing.text(DVec2::new(1.0, 2.0), 2.0, Anchor::Start, "<b>&");
        let svg = svg(&drawing, "a \"plate\"");
        assert!(
            svg.starts_with(
                r#"<svg viewBox="-10 -210 420 220" role="img" aria-label="a &quot;plate&quot;">"#
            ),
            "{svg}"
        );
        assert!(svg.contains(r#"<path class="cut" d="M0 0l400 0 0-200-400 0z"/>"#), "{svg}");
        assert!(svg.contains("&lt;b&gt;&amp;</text>") && !svg.contains("<b>"), "{svg}");
        assert_eq!(super::svg(&Drawing::default(), ""), "");
    }
}
