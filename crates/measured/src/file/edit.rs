//! A measured file with one row more, or one less: all else in it stays as it is, byte for byte.

use std::ops::Range;

use design::{Design, Problem};

use crate::file::columns::Columns;
use crate::file::fault::{Fault, Problems, problem};
use crate::file::read::read;
use crate::file::table::{self, Row};

/// A row to write, each cell as the smith writes it; empty where it has none.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct NewRow<'a> {
    /// The day, as 2026-03-14.
    pub date: &'a str,
    /// The stage, where it is named.
    pub stage: &'a str,
    /// Distance from the shoulder.
    pub station: &'a str,
    /// What was measured, by its name.
    pub what: &'a str,
    /// Height above the edge.
    pub height: &'a str,
    /// The value.
    pub measured: &'a str,
    /// `yes` where it is sure.
    pub sure: &'a str,
    /// A note; left out where the file has no column for it.
    pub note: &'a str,
}

/// A file with more rows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Appended {
    /// The whole file.
    pub bytes: Vec<u8>,
    /// The new rows in it, without the ends of their lines.
    pub rows: Vec<String>,
}

/// Why rows were not put in.
#[derive(Clone, Debug, PartialEq)]
pub enum Refused {
    /// The file has mistakes already.
    File(Vec<Problem>),
    /// The rows would be mistakes.
    Rows(Vec<Problem>),
}

/// The file with rows below its last one, written as its header and its rows are: column by column, with its separator
/// and its line ends, and each read as a reading. Rows that only make sense beside each other, such as those of two
/// supports, come at once.
///
/// # Errors
/// [`Refused`]: the mistakes of the file, or of the rows in it.
pub fn appended(bytes: &[u8], design: &Design, rows: &[NewRow<'_>]) -> Result<Appended, Refused> {
    let before = read(bytes, design).map_err(Refused::File)?;
    // What is read is UTF-8.
    let text = String::from_utf8_lossy(bytes).into_owned();
    let rows: Result<Vec<String>, _> = rows.iter().map(|row| line(&text, row)).collect();
    let rows = rows.map_err(|fault| Refused::Rows(vec![*fault]))?;
    let end = line_end(&text);
    let open = if text.ends_with(['\n', '\r']) || text.is_empty() { "" } else { end };
    // A quote that never closes would swallow what is put below it.
    if table::rows(&format!("{text}{open}x{end}")).len() != table::rows(&text).len() + 1 {
        return Err(Refused::File(vec![problem("", text.len()..text.len(), &Fault::OpenEnd {})]));
    }
    let bytes = format!("{text}{open}{}{end}", rows.join(end)).into_bytes();
    let after = read(&bytes, design).map_err(Refused::Rows)?;
    let count = |sessions: &[crate::Session]| sessions.iter().map(|s| s.readings.len()).sum::<usize>();
    if count(&after) != count(&before) + rows.len() {
        let span = text.len()..text.len();
        return Err(Refused::Rows(vec![problem("measured", span, &Fault::NoValue {})]));
    }
    Ok(Appended { bytes, rows })
}

/// How many rows of a file hold the same cells as this one, whatever stands between them.
pub fn rows_alike(bytes: &[u8], row: &str) -> usize {
    let Ok(text) = std::str::from_utf8(bytes) else { return 0 };
    alike(text, row).len()
}

/// The file without its last row that holds the same cells as this one; `None` where there is none.
pub fn without(bytes: &[u8], row: &str) -> Option<Vec<u8>> {
    let text = std::str::from_utf8(bytes).ok()?;
    let Range { start, end } = alike(text, row).pop()?;
    Some([&bytes[..start], &bytes[end..]].concat())
}

/// Where the rows stand that hold the same cells as this one, each with the end of its line.
fn alike(text: &str, row: &str) -> Vec<Range<usize>> {
    let header = text.split(['\n', '\r']).next().unwrap_or_default();
    let wanted = table::rows(&format!("{header}\n{row}\n")).into_iter().nth(1);
    let Some(wanted) = wanted.as_ref().map(cells) else { return Vec::new() };
    let rows = table::rows(text).into_iter().skip(1).filter(|row| cells(row) == wanted);
    rows.map(|row| row.span.start..after_line(text, row.span.end)).collect()
}

/// A row's cells, without the empty ones at its end.
fn cells(row: &Row) -> Vec<&str> {
    let mut cells: Vec<&str> = row.cells.iter().map(|cell| cell.text.as_str()).collect();
    while cells.last().is_some_and(|cell| cell.is_empty()) {
        cells.pop();
    }
    cells
}

/// Where the next line begins, from the end of a row's last cell that was read.
fn after_line(text: &str, from: usize) -> usize {
    let rest = &text.as_bytes()[from..];
    let end = rest.iter().position(|b| matches!(b, b'\n' | b'\r')).unwrap_or(rest.len());
    let breaks = if rest[end..].starts_with(b"\r\n") { 2 } else { usize::from(end < rest.len()) };
    from + end + breaks
}

/// The row's cells in the order of the file's columns, quoted where they hold its separator or quotes.
fn line(text: &str, row: &NewRow<'_>) -> Result<String, Box<Problem>> {
    let rows = table::rows(text);
    let mut found = Problems::default();
    let header = rows.first();
    let columns = header.and_then(|header| Columns::new(header, &mut found));
    let (Some(header), Some(columns)) = (header, columns) else {
        return Err(Box::new(problem("", 0..0, &Fault::NoHeader {})));
    };
    let separator = char::from(table::separator(text.trim_start_matches('\u{feff}')));
    let mut cells = vec![String::new(); header.cells.len()];
    for (column, cell) in row.columns() {
        match columns.index(column) {
            Some(index) => cells[index] = written(cell, separator),
            None if cell.is_empty() => {}
            None => return Err(Box::new(problem(column, header.span.clone(), &Fault::NewColumn { column }))),
        }
    }
    let note = header.cells.iter().position(|cell| cell.text.to_lowercase().starts_with("note"));
    if let Some(index) = note {
        cells[index] = written(row.note, separator);
    }
    Ok(cells.join(&separator.to_string()))
}

impl NewRow<'_> {
    /// The columns that are read, each with its cell.
    fn columns(&self) -> [(&'static str, &str); 7] {
        [
            ("date", self.date),
            ("stage", self.stage),
            ("station", self.station),
            ("what", self.what),
            ("height", self.height),
            ("measured", self.measured),
            ("sure", self.sure),
        ]
    }
}

/// A cell as the file writes it: with a decimal comma between semicolons, quoted where it must be, on one line.
fn written(cell: &str, separator: char) -> String {
    let number = separator == ';' && cell.parse::<f64>().is_ok();
    let plain = if number { cell.replace('.', ",") } else { cell.replace(['\n', '\r'], " ") };
    match plain.contains(separator) || plain.starts_with('"') {
        true => format!("\"{}\"", plain.replace('"', "\"\"")),
        false => plain,
    }
}

/// How the file ends its lines; as most do where it has but one.
fn line_end(text: &str) -> &'static str {
    match text.find(['\n', '\r']) {
        Some(at) if text[at..].starts_with("\r\n") => "\r\n",
        Some(at) if text[at..].starts_with('\r') => "\r",
        _ => "\n",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures;

    const ROW: NewRow<'_> = NewRow {
        date: "2026-05-02",
        stage: "",
        station: "100",
        what: "thickness",
        height: "12",
        measured: "5.25",
        sure: "",
        note: "14:05",
    };

    fn text(bytes: &[u8]) -> &str {
        std::str::from_utf8(bytes).unwrap()
    }

    #[test]
    fn a_row_is_put_below_the_others_in_the_files_own_way() {
        let design = fixtures::design();
        for (file, line) in [
            ("date,station,what,height,measured\n", "2026-05-02,100,thickness,12,5.25\n"),
            ("\u{feff}date;station;what;height;measured\r\n", "2026-05-02;100;thickness;12;5,25\r\n"),
            ("measured,note,what,date,height,station", "\n5.25,14:05,thickness,2026-05-02,12,100\n"),
            ("date,station,what,height,measured\r\r", "2026-05-02,100,thickness,12,5.25\r"),
            (
                "date,station,what,planned x,height,measured,note\n2026-05-01,10,back,\"a,b\",,6,\"mine, \"\"x\"\"\"\n",
                "2026-05-02,100,thickness,,12,5.25,14:05\n",
            ),
        ] {
            let new =
                appended(file.as_bytes(), &design, &[ROW]).unwrap_or_else(|why| panic!("{file}: {why:?}"));
            assert_eq!(text(&new.bytes), format!("{file}{line}"));
            assert_eq!(line.trim_matches(['\n', '\r']), new.rows[0]);
            assert_eq!(rows_alike(&new.bytes, &new.rows[0]), 1);
            assert_eq!(text(&without(&new.bytes, &new.rows[0]).unwrap()).trim_end(), file.trim_end());
            let sessions = read(&new.bytes, &design).unwrap();
            let last = sessions.last().unwrap().readings.last().unwrap();
            assert_eq!((last.station, last.height, last.value), (100.0, 12.0, 5.25));
        }
    }

    #[test]
    fn a_row_is_found_however_a_spreadsheet_wrote_it_anew_and_the_last_one_goes() {
        let design = fixtures::design();
        let file = b"date,station,what,height,measured,note\n".to_vec();
        let first = appended(&file, &design, &[ROW]).unwrap();
        let second = appended(&first.bytes, &design, &[ROW]).unwrap();
        assert_eq!(rows_alike(&second.bytes, &second.rows[0]), 2);
        let quoted = text(&second.bytes).replace("thickness", "\"thickness\"").replace(",14:05", ", 14:05 ");
        assert_eq!(rows_alike(quoted.as_bytes(), &second.rows[0]), 2);
        assert_eq!(without(&second.bytes, &second.rows[0]), Some(first.bytes.clone()));
        assert_eq!(without(&first.bytes, &first.rows[0]), Some(file.clone()));
        assert_eq!(without(&file, &first.rows[0]), None);
        // The row's own line alone goes, were it without an end.
        let bare = text(&first.bytes).trim_end().as_bytes();
        assert_eq!(without(bare, &first.rows[0]), Some(file));
    }

    #[test]
    fn what_is_no_reading_is_refused_and_says_where() {
        let design = fixtures::design();
        let file = b"date,station,what,height,measured\n";
        let refused = |rows: &[NewRow<'_>]| match appended(file, &design, rows) {
            Err(Refused::Rows(problems)) => problems[0].message.clone(),
            other => panic!("{other:?}"),
        };
        for (row, words) in [
            (NewRow { measured: "=1+1", ..ROW }, "=1+1"),
            (NewRow { measured: "5\n2026-05-02,1,back,,6", ..ROW }, "5 2026"),
            (NewRow { station: "9000", ..ROW }, "9000"),
            (NewRow { what: "<b>", ..ROW }, "<b>"),
            (NewRow { date: "today", ..ROW }, "today"),
            (NewRow { stage: "ground", ..ROW }, "stage"),
        ] {
            assert!(refused(&[row]).contains(words), "{words}");
        }
        // One support says nothing; two do.
        let support = |station, measured| NewRow { station, what: "support", height: "", measured, ..ROW };
        assert!(refused(&[support("100", "200")]).contains("one support"));
        let both = appended(file, &design, &[support("100", "200"), support("-20", "150")]).unwrap();
        assert_eq!((both.rows.len(), text(&both.bytes).lines().count()), (2, 3));
        for bad in ["", "date,what\n", "date,station,what,height,measured\n2026-05-01,1,back,,\"6", "\u{1}"] {
            assert!(matches!(appended(bad.as_bytes(), &design, &[ROW]), Err(Refused::File(_))), "{bad:?}");
        }
    }
}
