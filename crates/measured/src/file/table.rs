//! A measured file as rows of cells with their places: commas or semicolons, quotes, any line ends, a byte order mark.

use std::ops::Range;

use csv::{ByteRecord, ReaderBuilder};

use crate::file::limits::{MOST_COLUMNS, MOST_ROWS};

/// What spreadsheets put before UTF-8.
const MARK: &[u8] = b"\xef\xbb\xbf";

/// A cell: its text, trimmed and with a decimal point, and its bytes in the file.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cell {
    pub(crate) text: String,
    pub(crate) span: Range<usize>,
}

/// A row with its line, counted from 1.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Row {
    pub(crate) line: usize,
    pub(crate) cells: Vec<Cell>,
    pub(crate) span: Range<usize>,
}

/// All rows that are not empty, the header among them: one more than the most at most, and of each row one cell more
/// than the most. `text` is UTF-8 as the file has it.
pub(crate) fn rows(text: &str) -> Vec<Row> {
    let skipped = if text.as_bytes().starts_with(MARK) { MARK.len() } else { 0 };
    let body = &text[skipped..];
    let separator = separator(body);
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator)
        .from_reader(body.as_bytes());
    let mut rows = Vec::new();
    let mut record = ByteRecord::new();
    let (mut counted, mut line) = (0, 1);
    // Reading from memory into bytes has nothing to fail by.
    while rows.len() <= MOST_ROWS && reader.read_byte_record(&mut record).unwrap_or(false) {
        let at = record.position().map_or(0, |p| p.byte() as usize);
        // A record's place may be that of blank lines before it.
        let start = at + body[at..].bytes().take_while(|b| matches!(b, b'\n' | b'\r')).count();
        line += breaks(&body.as_bytes()[counted..start]);
        counted = start;
        let row = row(&record, &body[start..], (skipped + start, line), separator);
        if row.cells.iter().any(|c| !c.text.is_empty()) {
            rows.push(row);
        }
    }
    rows
}

/// Ends of lines: `\n`, `\r\n`, or a lone `\r` as on machines of old.
fn breaks(bytes: &[u8]) -> usize {
    let lone = |i: usize| bytes.get(i + 1) != Some(&b'\n');
    bytes.iter().enumerate().filter(|(i, byte)| **byte == b'\n' || (**byte == b'\r' && lone(*i))).count()
}

/// `;` where the header has more of them than commas: then commas are decimal signs, as half of Europe writes them.
pub(crate) fn separator(body: &str) -> u8 {
    let header = body.trim_start().split(['\n', '\r']).next().unwrap_or_default();
    if header.matches(';').count() > header.matches(',').count() { b';' } else { b',' }
}

fn row(record: &ByteRecord, raw: &str, (start, line): (usize, usize), separator: u8) -> Row {
    let spans = spans(raw.as_bytes(), separator, record.len().min(MOST_COLUMNS + 1));
    let end = spans.last().map_or(start, |s| start + s.end);
    let cell = |(field, span): (&[u8], &Range<usize>)| {
        let text = String::from_utf8_lossy(field).trim().to_owned();
        let text = if separator == b';' { with_point(text) } else { text };
        Cell { text, span: start + span.start..start + span.end }
    };
    Row { line, cells: record.iter().zip(&spans).map(cell).collect(), span: start..end }
}

/// A decimal comma as a point; other commas stay.
fn with_point(text: String) -> String {
    let digit = |b: Option<&u8>| b.is_some_and(u8::is_ascii_digit);
    match text.match_indices(',').collect::<Vec<_>>()[..] {
        [(at, _)] if digit(text.as_bytes().get(at + 1)) => format!("{}.{}", &text[..at], &text[at + 1..]),
        _ => text,
    }
}

/// The bytes of `count` cells from the start of `raw`, separators within quotes not counted. Quotes enclose where a
/// cell begins with them; elsewhere they are inches.
fn spans(raw: &[u8], separator: u8, count: usize) -> Vec<Range<usize>> {
    let (mut spans, mut from, mut quoted, mut closed) = (Vec::new(), 0, false, None);
    for (i, &byte) in raw.iter().enumerate() {
        let ends = !quoted && (byte == separator || byte == b'\n' || byte == b'\r');
        if byte == b'"' && quoted {
            (quoted, closed) = (false, Some(i + 1));
        } else if byte == b'"' {
            // Two of them within quotes are one that is written.
            quoted = i == from || closed == Some(i);
        } else if ends {
            spans.push(from..i);
            (from, closed) = (i + 1, None);
        }
        if spans.len() == count {
            return spans;
        }
    }
    spans.push(from..raw.len());
    // What is left over is where quotes never close: the rest of the file is one cell.
    spans.resize(count, raw.len()..raw.len());
    spans
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(text: &str) -> Vec<Vec<String>> {
        rows(text).into_iter().map(|r| r.cells.into_iter().map(|c| c.text).collect()).collect()
    }

    #[test]
    fn what_spreadsheets_write_is_read_alike() {
        let wanted = vec![vec!["date", "what", "measured"], vec!["2026-03-01", "back", "6.4"]];
        for text in [
            "date,what,measured\n2026-03-01,back,6.4\n",
            "\u{feff}date,what,measured\r\n2026-03-01,back,6.4\r\n",
            "date;what;measured\r\n2026-03-01;back;6,4\r\n",
            "\u{feff}\"date\";\"what\";\"measured\"\n\n\"2026-03-01\"; back ;\"6,4\"",
            "date,what,measured\n,,\n2026-03-01,back,6.4\n\n",
        ] {
            assert_eq!(texts(text), wanted, "{text:?}");
        }
    }

    #[test]
    fn cells_know_their_places() {
        let text = "\u{feff}date;what\r\n\r\n\"a;\r\nb\"; é \r\nlast;x";
        let rows = rows(text);
        assert_eq!(rows.iter().map(|r| r.line).collect::<Vec<_>>(), [1, 3, 5]);
        let shown = |r: usize, c: usize| &text[rows[r].cells[c].span.clone()];
        assert_eq!([shown(0, 1), shown(1, 0), shown(1, 1), shown(2, 1)], ["what", "\"a;\r\nb\"", " é ", "x"]);
        assert_eq!(&text[rows[2].span.clone()], "last;x");
    }

    #[test]
    fn lines_are_counted_however_they_end() {
        for end in ["\n", "\r\n", "\r"] {
            let text = ["date;what", "1;a", "", "2;b"].join(end);
            assert_eq!(rows(&text).iter().map(|r| r.line).collect::<Vec<_>>(), [1, 2, 4], "{end:?}");
        }
    }

    #[test]
    fn inch_marks_are_no_quotes() {
        let text = "date,what,measured\n1,a,1/4\"\n2,\"b \"\"c\"\"\",3\"x\n";
        let rows = rows(text);
        let shown = |r: usize, c: usize| &text[rows[r].cells[c].span.clone()];
        assert_eq!(
            [shown(1, 2), shown(2, 0), shown(2, 1), shown(2, 2)],
            ["1/4\"", "2", "\"b \"\"c\"\"\"", "3\"x"]
        );
        assert_eq!(rows[2].cells[1].text, "b \"c\"");
    }

    #[test]
    fn no_more_is_read_than_is_judged() {
        assert_eq!(rows(&"a\n".repeat(MOST_ROWS + 500)).len(), MOST_ROWS + 1);
        assert_eq!(rows(&"a,".repeat(MOST_COLUMNS + 500))[0].cells.len(), MOST_COLUMNS + 1);
    }

    #[test]
    fn odd_files_give_rows_all_the_same() {
        for text in ["", "\u{feff}", "\"", "a,\"b\nc", ",,,", "\r\r\n", "a;b,c;d\n\"\"\"\"", "a\0b,c"] {
            for row in rows(text) {
                assert!(row.cells.iter().all(|c| text.get(c.span.clone()).is_some()), "{text:?} {row:?}");
            }
        }
        assert_eq!(with_point("1,250,5".into()), "1,250,5");
        assert_eq!(with_point("x, y".into()), "x, y");
    }
}
