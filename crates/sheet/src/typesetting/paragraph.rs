//! Lines: where they break, and what stands where in them.

use glam::DVec2;
use unicode_linebreak::{BreakOpportunity, linebreaks};

use crate::typesetting::face::{Run, Style};
use crate::typesetting::shape::{INK, Shape};
use crate::typesetting::text::{BODY, Mark, Span, Text, capitals};

/// Stands for a mark where breaks are looked for (Unicode's object replacement character).
const OBJECT: char = '\u{fffc}';
/// Between a line's deepest mark and the next line's capitals, in sizes of type.
pub(crate) const LEADING: f64 = 0.55;

/// How lines stand in their room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Align {
    Left,
    Centre,
    Right,
}

/// A line, in points from its left end on the base line.
#[derive(Clone, Debug, Default)]
pub(crate) struct Line {
    pub(crate) shapes: Vec<Shape>,
    /// Without spaces at its end.
    pub(crate) width: f64,
    pub(crate) rise: f64,
    pub(crate) drop: f64,
}

impl Line {
    pub(crate) fn height(&self) -> f64 {
        self.rise + self.drop
    }

    /// Its shapes with the upper left corner of its room at `at`.
    pub(crate) fn placed(self, at: DVec2, room: f64, align: Align) -> impl Iterator<Item = Shape> {
        let free = room - self.width;
        let x = match align {
            Align::Left => 0.0,
            Align::Centre => 0.5 * free,
            Align::Right => free,
        };
        let by = at + DVec2::new(x, self.rise);
        self.shapes.into_iter().map(move |shape| shape.moved(by))
    }
}

/// The text on one line, however long it is.
pub(crate) fn line(text: &Text) -> Line {
    lines(text, f64::INFINITY).into_iter().next().unwrap_or_default()
}

/// The widest line of the text where it breaks only where it must.
pub(crate) fn natural_width(text: &Text) -> f64 {
    lines(text, f64::INFINITY).iter().map(|line| line.width).fold(0.0, f64::max)
}

/// The text's lines in a room `width` wide, broken where Unicode's line breaking (UAX 14) allows it, and inside a word only where
/// that is wider than the room. An empty text has one empty line.
pub(crate) fn lines(text: &Text, width: f64) -> Vec<Line> {
    let mut setter = Setter { width, done: Vec::new(), line: Open::default() };
    for Segment { atoms, ends_line } in segments(text) {
        setter.add(atoms);
        if ends_line {
            setter.end();
        }
    }
    setter.end();
    setter.done
}

/// Height of lines with `leading` between them.
pub(crate) fn height(lines: &[Line], leading: f64) -> f64 {
    let gaps = leading * lines.len().saturating_sub(1) as f64;
    lines.iter().map(Line::height).sum::<f64>() + gaps
}

/// What never breaks: words of one style, or a mark.
#[derive(Clone, Debug)]
enum Atom {
    Words(Run),
    Mark(Mark),
    Rest(f64),
}

impl Atom {
    fn width(&self) -> f64 {
        match self {
            Atom::Words(run) => run.width(),
            Atom::Mark(mark) => mark.width,
            Atom::Rest(_) => 0.0,
        }
    }

    /// The same without spaces at the end.
    fn inked(&self) -> f64 {
        match self {
            Atom::Words(run) if run.text.ends_with(' ') => Run::new(run.text.trim_end(), run.style).width(),
            other => other.width(),
        }
    }
}

/// What stands between two places where a line may break.
struct Segment {
    atoms: Vec<Atom>,
    /// Whether the line must break behind it.
    ends_line: bool,
}

/// The text between places where a line may break.
fn segments(text: &Text) -> Vec<Segment> {
    let mut all = String::new();
    // Where each span ends.
    let mut ends = Vec::new();
    for span in &text.0 {
        match span {
            Span::Words(words, _) => all.extend(words.chars().map(|c| if c == OBJECT { ' ' } else { c })),
            Span::Mark(_) | Span::Rest(_) => all.push(OBJECT),
            Span::Newline => all.push('\n'),
        }
        ends.push(all.len());
    }
    let mut from = 0;
    let mut found = Vec::new();
    for (to, how) in linebreaks(&all) {
        let ends_line = how == BreakOpportunity::Mandatory && to < all.len();
        found.push(Segment { atoms: atoms(text, &all, &ends, from, to), ends_line });
        from = to;
    }
    found
}

/// The atoms between two places of the whole string.
fn atoms(text: &Text, all: &str, ends: &[usize], from: usize, to: usize) -> Vec<Atom> {
    let mut start = 0;
    let mut found = Vec::new();
    for (span, &end) in text.0.iter().zip(ends) {
        let (a, b) = (from.max(start), to.min(end));
        start = end;
        if a >= b {
            continue;
        }
        match span {
            Span::Words(_, style) => {
                found.push(Atom::Words(Run::new(all[a..b].trim_end_matches('\n'), *style)))
            }
            Span::Mark(mark) => found.push(Atom::Mark(mark.clone())),
            Span::Rest(less) => found.push(Atom::Rest(*less)),
            Span::Newline => {}
        }
    }
    found
}

/// Fills lines.
struct Setter {
    width: f64,
    done: Vec<Line>,
    line: Open,
}

/// A line that still takes words.
#[derive(Default)]
struct Open {
    atoms: Vec<Atom>,
    /// With all spaces.
    reach: f64,
}

impl Setter {
    /// Adds a segment, on a new line where it no longer fits; one wider than the room is broken letter by letter.
    fn add(&mut self, atoms: Vec<Atom>) {
        let last = atoms.last().map_or(0.0, |last| last.width() - last.inked());
        let reach: f64 = atoms.iter().map(Atom::width).sum();
        // What rounding leaves of a room that was made as wide as the words.
        let slack = 1e-6;
        if self.line.reach + reach - last > self.width + slack && !self.line.atoms.is_empty() {
            self.end();
        }
        if reach - last > self.width + slack {
            return self.add_letters(atoms);
        }
        self.line.reach += reach;
        self.line.atoms.extend(atoms);
    }

    /// Adds a word wider than the room, letter by letter.
    fn add_letters(&mut self, atoms: Vec<Atom>) {
        for atom in atoms {
            match atom {
                Atom::Words(run) => run.text.chars().for_each(|letter| self.add_letter(letter, run.style)),
                other => {
                    self.line.reach += other.width();
                    self.line.atoms.push(other);
                }
            }
        }
    }

    fn add_letter(&mut self, letter: char, style: Style) {
        let run = Run::new(letter.encode_utf8(&mut [0; 4]), style);
        if self.line.reach + run.width() > self.width && !self.line.atoms.is_empty() {
            self.end();
        }
        self.line.reach += run.width();
        self.line.atoms.push(Atom::Words(run));
    }

    /// Ends the line.
    fn end(&mut self) {
        let Open { atoms, .. } = std::mem::take(&mut self.line);
        self.done.push(placed(atoms, self.width));
    }
}

/// A line's atoms one behind the other; words of one style become one run.
fn placed(atoms: Vec<Atom>, room: f64) -> Line {
    let mut line = Line::default();
    let mut x = 0.0;
    for atom in atoms {
        line.width = x + atom.inked();
        let start = x;
        x += atom.width();
        match atom {
            Atom::Words(run) => {
                line.rise = line.rise.max(capitals(run.style));
                add_words(&mut line.shapes, start, run);
            }
            Atom::Mark(mark) => {
                line.rise = line.rise.max(mark.rise);
                line.drop = line.drop.max(mark.drop);
                let by = DVec2::new(start, 0.0);
                line.shapes.extend(mark.shapes.into_iter().map(|shape| shape.moved(by)));
            }
            Atom::Rest(less) if room.is_finite() => {
                let (from, to) = (DVec2::new(start, 0.0), DVec2::new((room - less).max(start), 0.0));
                line.shapes.push(Shape::Line { from, to, pen: INK });
                line.width = room;
            }
            Atom::Rest(_) => {}
        }
    }
    if line.height() <= 0.0 {
        line.rise = capitals(BODY);
    }
    line
}

/// Adds words, to those before them where these are of one style.
fn add_words(shapes: &mut Vec<Shape>, x: f64, run: Run) {
    match shapes.last_mut() {
        // Not over a mark that only makes room.
        Some(Shape::Words { at, run: before })
            if before.style == run.style && (at.x + before.width() - x).abs() < 1e-6 =>
        {
            before.append(run);
        }
        _ => shapes.push(Shape::Words { at: DVec2::new(x, 0.0), run }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::typesetting::text::tick;

    fn told(lines: &[Line]) -> Vec<String> {
        let words = |shape: &Shape| match shape {
            Shape::Words { run, .. } => run.text.clone(),
            _ => "[]".to_owned(),
        };
        lines.iter().map(|line| line.shapes.iter().map(words).collect()).collect()
    }

    #[test]
    fn lines_break_between_words_and_fit_their_room() {
        let text =
            Text::from("Weld the stack, ").then(Text::bold("then draw it out")).then(" to its length.");
        for width in [40.0, 70.0, 130.0, 400.0] {
            let lines = lines(&text, width);
            assert!(lines.iter().all(|line| line.width <= width + 1e-6), "{width}");
            assert_eq!(told(&lines).concat(), "Weld the stack, then draw it out to its length.");
        }
        assert_eq!(told(&lines(&text, 70.0))[0], "Weld the stack, ");
        assert_eq!(lines(&text, 400.0).len(), 1);
    }

    #[test]
    fn a_word_wider_than_its_room_breaks_inside() {
        let lines = lines(&Text::from("x".repeat(100)), 60.0);
        assert!(lines.len() > 5 && lines.iter().all(|line| line.width <= 60.0));
        assert_eq!(told(&lines).concat(), "x".repeat(100));
    }

    #[test]
    fn marks_stand_among_words_and_empty_lines_have_a_height() {
        let boxed = tick().then("12").boxed(4.0);
        let text = Text::all([boxed.clone(), boxed]).then(Text::newline()).then(Text::newline()).then("x");
        let lines = lines(&text, 1000.0);
        assert_eq!(told(&lines), ["[]12[]12", "", "x"]);
        assert!(lines[0].rise > capitals(BODY) && lines[0].drop > 0.0);
        assert!((lines[1].height() - capitals(BODY)).abs() < 1e-9);
    }
}
