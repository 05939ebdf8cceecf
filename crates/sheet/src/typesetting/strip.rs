//! Strips: what a page is made of from top to bottom, each as wide as the column and never broken.

use std::rc::Rc;

use glam::DVec2;

use crate::typesetting::face::Style;
use crate::typesetting::paragraph::{Align, LEADING, Line, lines};
use crate::typesetting::shape::{MM, Shape};
use crate::typesetting::text::{BODY, NOTE, Text};

/// Between paragraphs, in sizes of type.
const APART: f64 = 0.8;
/// From a list's margin to its words, mm.
const INDENT: f64 = 3.5;

/// A strip of the column, in points from its upper left corner.
#[derive(Clone, Debug, Default)]
pub(crate) struct Strip {
    pub(crate) height: f64,
    /// Least room over and under it; of two strips the greater one counts, and none at the top of a page.
    pub(crate) above: f64,
    pub(crate) below: f64,
    /// Whether the next one must stand on the same page.
    pub(crate) keep: bool,
    pub(crate) shapes: Vec<Shape>,
    /// What is repeated over it where it comes first on a page.
    pub(crate) head: Option<Rc<Strip>>,
}

/// A paragraph in a column `width` wide, its first and its last two lines together.
pub(crate) fn paragraph(text: &Text, width: f64) -> Vec<Strip> {
    aligned(text, width, Align::Left, LEADING * BODY.size)
}

/// A paragraph whose lines stand `leading` apart.
pub(crate) fn aligned(text: &Text, width: f64, align: Align, leading: f64) -> Vec<Strip> {
    let lines = lines(text, width);
    let count = lines.len();
    let strip = |(i, line): (usize, Line)| Strip {
        height: line.height(),
        above: if i == 0 { APART * BODY.size } else { leading },
        below: if i + 1 == count { APART * BODY.size } else { leading },
        keep: i + 1 < count && (i == 0 || i + 2 == count),
        shapes: line.placed(DVec2::ZERO, width, align).collect(),
        head: None,
    };
    lines.into_iter().enumerate().map(strip).collect()
}

/// A list with a dot before each item.
pub(crate) fn list(items: impl IntoIterator<Item = Text>, style: Style, width: f64) -> Vec<Strip> {
    let indent = INDENT * MM;
    let item = |item: Text| {
        let mut strips = paragraph(&item, width - indent);
        for strip in &mut strips {
            strip.shapes = std::mem::take(&mut strip.shapes)
                .into_iter()
                .map(|shape| shape.moved(DVec2::new(indent, 0.0)))
                .collect();
        }
        if let Some(first) = strips.first_mut() {
            let dot = lines(&Text::styled("•", style), width).into_iter().next().unwrap_or_default();
            first.shapes.extend(dot.placed(DVec2::ZERO, width, Align::Left));
        }
        strips
    };
    items.into_iter().flat_map(item).collect()
}

/// A part's heading.
pub(crate) fn heading(words: &str, width: f64) -> Vec<Strip> {
    head(words, 13.0, width)
}

/// A heading within a part.
pub(crate) fn subheading(words: impl Into<String>, width: f64) -> Vec<Strip> {
    head(words, 10.5, width)
}

fn head(words: impl Into<String>, size: f64, width: f64) -> Vec<Strip> {
    let text = Text::styled(words, Style { size, bold: true, ..BODY });
    let mut strips = spaced(aligned(&text, width, Align::Left, LEADING * size), 7.0 * MM, 3.0 * MM);
    strips.iter_mut().for_each(|strip| strip.keep = true);
    strips
}

/// A note under a heading, kept with what follows.
pub(crate) fn lead(words: impl Into<Text>, width: f64) -> Vec<Strip> {
    let mut strips = paragraph(&words.into(), width);
    strips.iter_mut().for_each(|strip| strip.keep = true);
    if let Some(last) = strips.last_mut() {
        last.below = 3.0 * MM;
    }
    strips
}

/// A note.
pub(crate) fn note(words: impl Into<String>, width: f64) -> Vec<Strip> {
    paragraph(&Text::styled(words, NOTE), width)
}

/// With this much room over the first and under the last strip.
pub(crate) fn spaced(mut strips: Vec<Strip>, above: f64, below: f64) -> Vec<Strip> {
    if let Some(first) = strips.first_mut() {
        first.above = above;
    }
    if let Some(last) = strips.last_mut() {
        last.below = below;
    }
    strips
}

/// A part with its heading: on one page where it is `whole`.
pub(crate) fn part(whole: bool, strips: Vec<Strip>) -> Vec<Strip> {
    let mut strips = spaced(strips, 7.0 * MM, 4.0 * MM);
    if whole {
        together(&mut strips);
    }
    strips
}

/// Keeps strips on one page.
pub(crate) fn together(strips: &mut [Strip]) {
    if let Some((_, all)) = strips.split_last_mut() {
        all.iter_mut().for_each(|strip| strip.keep = true);
    }
}

/// Something drawn that is `height` high.
pub(crate) fn drawn(shapes: Vec<Shape>, height: f64) -> Strip {
    Strip { height, shapes, ..Strip::default() }
}
