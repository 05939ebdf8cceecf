//! The few lines around a fault that are drawn: long ones cut around it, control characters as escapes.
//!
//! What draws them pads with format widths of 16 bits and reads all it is given for every problem, so it is never given
//! the file, only this.

use std::ops::Range;

use miette::{MietteError, MietteSpanContents, SourceCode, SourceSpan, SpanContents};

use crate::terminal::lines::Lines;
use crate::terminal::shown::{self, CUT};

/// Columns of a line that are drawn: as long as lines of our own designs get, and a little more than half a screen.
const COLUMNS: usize = 120;
/// Of these, so many before the fault where the line is cut: enough to see the key.
const BEFORE: usize = 40;
/// Most lines of one fault: about a screen's height.
const LINES: usize = 24;
/// Lines drawn before and after those of the fault, and one more, as the drawer looks one further for its end.
const AROUND: usize = 2;

/// Lines of a file as they are drawn.
#[derive(Debug)]
pub(crate) struct Excerpt {
    name: String,
    text: String,
    /// Where the fault begins in `text`, once that is reached.
    start: Option<usize>,
    /// Where it ends there, as far as that is drawn.
    end: usize,
    /// The first line's number in the file, from 0.
    first: usize,
    /// Where the fault begins in the file, in characters of its line, from 0.
    column: usize,
}

impl Excerpt {
    /// The lines around a fault, which lies on borders of characters; `name` is shown above them.
    pub(crate) fn of(name: &str, lines: &Lines, fault: &Range<usize>) -> Excerpt {
        let (start, end) = (lines.at(fault.start), lines.at(fault.end));
        let shown = end.min(start + LINES - 1);
        let first = start.saturating_sub(AROUND);
        let column = lines.position(fault.start).1 - 1;
        let mut excerpt =
            Excerpt { name: shown::told(name), text: String::new(), start: None, end: 0, first, column };
        for line in first..=(shown + AROUND).min(lines.count() - 1) {
            if line > shown && shown < end {
                excerpt.text.push_str(CUT);
                break;
            }
            excerpt.line(lines, line, fault);
        }
        excerpt
    }

    /// Where the fault is, in the lines drawn.
    pub(crate) fn span(&self) -> Range<usize> {
        let start = self.start.unwrap_or(self.text.len());
        start..self.end.max(start)
    }

    /// Adds a line and notes where the fault begins and ends in it.
    fn line(&mut self, lines: &Lines, line: usize, fault: &Range<usize>) {
        let (span, text) = (lines.span(line), lines.text(line));
        let begins = fault.start.saturating_sub(span.start).min(text.len());
        let window = window(text, begins);
        if window.start > 0 {
            self.text.push_str(CUT);
        }
        for (at, c) in text[window.clone()].char_indices() {
            self.mark(span.start + window.start + at, fault);
            shown::push(&mut self.text, c);
        }
        self.mark(span.start + window.end, fault);
        if window.end < text.len() {
            self.text.push_str(CUT);
        }
        self.mark(span.end, fault);
        if line + 1 < lines.count() {
            self.text.push('\n');
            self.mark(lines.span(line + 1).start, fault);
        }
    }

    /// Notes that what comes next stands at this byte of the file.
    fn mark(&mut self, byte: usize, fault: &Range<usize>) {
        if byte >= fault.start {
            self.start.get_or_insert(self.text.len());
        }
        if byte <= fault.end {
            self.end = self.text.len();
        }
    }
}

/// The bytes of a line that are drawn: all of it, or [`COLUMNS`] around the byte at which the fault begins.
fn window(text: &str, fault: usize) -> Range<usize> {
    let start = match fits(text.chars()) == text.len() {
        true => 0,
        false => fault - back(&text[..fault]),
    };
    start..start + fits(text[start..].chars())
}

/// How many bytes of these characters fit a line.
fn fits(characters: impl Iterator<Item = char>) -> usize {
    taken(characters, COLUMNS)
}

/// How many bytes before the fault are drawn.
fn back(before: &str) -> usize {
    taken(before.chars().rev(), BEFORE)
}

/// How many bytes of characters take at most so many columns.
fn taken(characters: impl Iterator<Item = char>, columns: usize) -> usize {
    let mut left = columns;
    let fitting = characters.take_while(|c| {
        let wide = columns_of(*c);
        let fits = wide <= left;
        left = left.saturating_sub(wide);
        fits
    });
    fitting.map(char::len_utf8).sum()
}

/// Columns that a character takes at most: tabs go to every fourth; whatever is not ASCII may be twice as wide, and
/// combining ones, of no width, must not come without end either.
fn columns_of(c: char) -> usize {
    let mut drawn = String::new();
    shown::push(&mut drawn, c);
    match c {
        '\t' => 4,
        _ if drawn.is_ascii() => drawn.len(),
        _ => 2,
    }
}

impl SourceCode for Excerpt {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let read = self.text.as_str().read_span(span, before, after)?;
        let column = if before == 0 { self.column } else { 0 };
        let (data, place, line) = (self.text.as_bytes(), *read.span(), self.first + read.line());
        let data = &data[place.offset()..place.offset() + place.len()];
        Ok(Box::new(MietteSpanContents::new_named(
            self.name.clone(),
            data,
            place,
            line,
            column,
            read.line_count(),
        )))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn excerpt(text: &str, fault: Range<usize>) -> Excerpt {
        Excerpt::of("a.toml", &Lines::of(text.as_bytes()), &fault)
    }

    #[test]
    fn short_lines_are_drawn_as_they_stand() {
        let found = excerpt("a\nb\nc = é\r\nd\ne\nf\n", 8..10);
        assert_eq!((found.text.as_str(), found.first), ("a\nb\nc = é\nd\ne\n", 0));
        assert_eq!((&found.text[found.span()], found.column), ("é", 4));
        let found = excerpt("", 0..0);
        assert_eq!((found.text.as_str(), found.span()), ("", 0..0));
    }

    #[test]
    fn long_lines_are_cut_around_the_fault() {
        let long = format!("a = 1\nb = [{}x, {}]\nc = 2\n", "1, ".repeat(100_000), "2, ".repeat(100_000));
        let at = long.find('x').unwrap();
        let found = excerpt(&long, at..at + 1);
        assert_eq!((&found.text[found.span()], found.column), ("x", at - 6));
        assert!(
            found.text.len() < 200 && found.text.contains("\n...") && found.text.contains("...\nc = 2"),
            "{found:?}"
        );
        let whole = excerpt(&long, 6..long.len());
        assert!(whole.text.len() < 200 && whole.text[whole.span()].starts_with("b = [1, 1"), "{whole:?}");
    }

    #[test]
    fn wide_combining_and_control_characters_do_not_lengthen_it() {
        for piece in ["刃", "\u{301}", "e\u{301}", "\0", "\u{1b}[2J", "\t", "\u{202e}", "🗡\u{fe0f}"] {
            let text = format!("{}x{}", piece.repeat(70_000), piece.repeat(70_000));
            let at = text.find('x').unwrap();
            let found = excerpt(&text, at..at + 1);
            assert!(found.text.chars().count() < 140, "{piece:?}: {found:?}");
            assert_eq!(&found.text[found.span()], "x", "{piece:?}");
            assert!(!found.text.chars().any(|c| c.is_control() && c != '\t'), "{piece:?}");
        }
    }

    #[test]
    fn a_fault_of_many_lines_shows_the_first_of_them() {
        let text = "x\n".repeat(50_000);
        let found = excerpt(&text, 2000..90_000);
        assert_eq!(found.text.lines().count(), AROUND + LINES + 1);
        assert!(found.text.ends_with("\n..."), "{found:?}");
        assert_eq!(found.first, 998);
    }
}
