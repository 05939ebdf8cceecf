//! A file's text by its lines, whichever way they end, and where a byte stands in them.

use std::ops::Range;

/// A text and where its lines begin: after `\n`, `\r\n` or a lone `\r`.
#[derive(Debug)]
pub(crate) struct Lines {
    text: String,
    starts: Vec<usize>,
}

impl Lines {
    /// Of a file's bytes; those that are no UTF-8 are shown as the replacement character.
    pub(crate) fn of(bytes: &[u8]) -> Lines {
        let text = String::from_utf8_lossy(bytes).into_owned();
        let ends = text.bytes().enumerate().filter(|(i, byte)| match byte {
            b'\r' => text.as_bytes().get(i + 1) != Some(&b'\n'),
            byte => *byte == b'\n',
        });
        let starts = std::iter::once(0).chain(ends.map(|(i, _)| i + 1)).collect();
        Lines { text, starts }
    }

    /// How many there are; an empty text has one.
    pub(crate) fn count(&self) -> usize {
        self.starts.len()
    }

    /// The line, counted from 0, in which a byte stands.
    pub(crate) fn at(&self, byte: usize) -> usize {
        self.starts.partition_point(|start| *start <= byte).saturating_sub(1)
    }

    /// The bytes of a line, its end not among them.
    pub(crate) fn span(&self, line: usize) -> Range<usize> {
        let start = self.starts[line];
        let end = self.starts.get(line + 1).copied().unwrap_or(self.text.len());
        start..start + self.text[start..end].trim_end_matches(['\r', '\n']).len()
    }

    /// A line's text without its end.
    pub(crate) fn text(&self, line: usize) -> &str {
        &self.text[self.span(line)]
    }

    /// A span kept inside the text and on borders of characters.
    pub(crate) fn within(&self, span: &Range<usize>) -> Range<usize> {
        let start = self.text.floor_char_boundary(span.start.min(self.text.len()));
        let end = self.text.floor_char_boundary(span.end.clamp(start, self.text.len()));
        start..end
    }

    /// Line and column of a byte, counted from 1, columns in characters.
    pub(crate) fn position(&self, byte: usize) -> (usize, usize) {
        let line = self.at(byte);
        (line + 1, self.text[self.starts[line]..byte].chars().count() + 1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_count_from_one_in_characters() {
        let at = |text: &str, byte| Lines::of(text.as_bytes()).position(byte);
        assert_eq!(at("", 0), (1, 1));
        assert_eq!(at("a\nbé = 1", "a\nbé ".len()), (2, 4));
        assert_eq!(at("a\n", 2), (2, 1));
        assert_eq!((at("a\r\nb\rc", 3), at("a\r\nb\rc", 5)), ((2, 1), (3, 1)));
    }

    #[test]
    fn lines_end_in_any_way() {
        let lines = Lines::of(b"a\nb\r\nc\rd\n\n\xff");
        let all: Vec<&str> = (0..lines.count()).map(|line| lines.text(line)).collect();
        assert_eq!(all, ["a", "b", "c", "d", "", "\u{fffd}"]);
        assert_eq!(lines.within(&(11..400)), 10..13);
    }
}
