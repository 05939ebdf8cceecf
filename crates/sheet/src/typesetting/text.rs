//! Words with their styles, and small drawings among them.

use glam::DVec2;

use crate::typesetting::face::{CAPITALS, Style};
use crate::typesetting::paragraph::line;
use crate::typesetting::shape::{INK, MM, Pen, RULE, Shape, frame};

/// Common text.
pub(crate) const BODY: Style = Style { size: 9.0, bold: false, grey: 0 };
/// Notes and labels: the least that is read at arm's length.
pub(crate) const NOTE: Style = Style { size: 8.0, bold: false, grey: 64 };

/// A small drawing that stands in a line like a letter, in points from its place on the base line.
#[derive(Clone, Debug)]
pub(crate) struct Mark {
    pub(crate) width: f64,
    /// How far it reaches over the base line, and under it.
    pub(crate) rise: f64,
    pub(crate) drop: f64,
    pub(crate) shapes: Vec<Shape>,
}

/// A part of a text.
#[derive(Clone, Debug)]
pub(crate) enum Span {
    Words(String, Style),
    Mark(Mark),
    /// The line ends here.
    Newline,
    /// A line to write on, to the end of the room less this much.
    Rest(f64),
}

/// Words, marks and lines to write on.
#[derive(Clone, Debug, Default)]
pub(crate) struct Text(pub(crate) Vec<Span>);

impl Text {
    pub(crate) fn styled(words: impl Into<String>, style: Style) -> Text {
        Text(vec![Span::Words(typographic(&words.into()), style)])
    }

    pub(crate) fn bold(words: impl Into<String>) -> Text {
        Text::styled(words, Style { bold: true, ..BODY })
    }

    pub(crate) fn note(words: impl Into<String>) -> Text {
        Text::styled(words, NOTE)
    }

    /// Our own words, bold between asterisks: never a name's.
    pub(crate) fn marked(words: &'static str) -> Text {
        let parts = words.split('*').enumerate();
        Text(
            parts
                .map(|(i, part)| Span::Words(typographic(part), Style { bold: i % 2 == 1, ..BODY }))
                .collect(),
        )
    }

    pub(crate) fn mark(mark: Mark) -> Text {
        Text(vec![Span::Mark(mark)])
    }

    pub(crate) fn newline() -> Text {
        Text(vec![Span::Newline])
    }

    /// With more behind it.
    pub(crate) fn then(mut self, more: impl Into<Text>) -> Text {
        self.0.extend(more.into().0);
        self
    }

    /// All of them, one after the other.
    pub(crate) fn all(texts: impl IntoIterator<Item = Text>) -> Text {
        Text(texts.into_iter().flat_map(|text| text.0).collect())
    }

    /// With this much room over and under its marks.
    pub(crate) fn airy(mut self, room: f64) -> Text {
        for span in &mut self.0 {
            if let Span::Mark(mark) = span {
                mark.rise += room;
                mark.drop += room;
            }
        }
        self
    }

    /// On one line that never breaks, with room behind it.
    pub(crate) fn boxed(&self, behind: f64) -> Text {
        let line = line(self);
        let (width, rise, drop) = (line.width + behind, line.rise, line.drop);
        Text::mark(Mark { width, rise, drop, shapes: line.shapes })
    }
}

/// With typographic apostrophes, whatever the words were written with.
fn typographic(words: &str) -> String {
    words.replace('\'', "’")
}

impl From<&str> for Text {
    fn from(words: &str) -> Text {
        Text::styled(words, BODY)
    }
}

impl From<String> for Text {
    fn from(words: String) -> Text {
        Text::styled(words, BODY)
    }
}

/// A box for a pencil or a soapstone's edge.
pub(crate) fn tick() -> Text {
    let (side, drop) = (4.4 * MM, 0.9 * MM);
    let pen = Pen { width: 0.8, ..INK };
    let shapes = vec![frame(DVec2::new(0.0, drop - side), DVec2::splat(side), pen)];
    Text::mark(Mark { width: side, rise: side - drop, drop, shapes })
}

/// Room between marks and words.
pub(crate) fn space(width: f64) -> Text {
    Text::mark(Mark { width, rise: 0.0, drop: 0.0, shapes: Vec::new() })
}

/// A field of colour, as the legend of a picture has it.
pub(crate) fn swatch(fill: [u8; 3]) -> Text {
    let (size, drop) = (DVec2::new(7.0, 3.4) * MM, 0.5 * MM);
    let at = DVec2::new(0.0, drop - size.y);
    let shapes = vec![Shape::Rectangle { at, size, fill: Some(fill), pen: Some(RULE) }];
    Text::mark(Mark { width: size.x, rise: size.y - drop, drop, shapes })
}

/// A label and a line to write on.
pub(crate) fn field(label: &str) -> Text {
    Text::note(label).then(space(1.5 * MM)).then(Text(vec![Span::Rest(4.0 * MM)]))
}

/// Height of a style's capitals.
pub(crate) fn capitals(style: Style) -> f64 {
    CAPITALS * style.size
}
