//! A measured file's bytes → the readings of each day, or all that is wrong with them.

use std::collections::BTreeMap;
use std::ops::Range;

use blade::{Stage, Station};
use design::{Design, Misread, Problem, Unit};

use crate::file::columns::Columns;
use crate::file::date::Date;
use crate::file::fault::{self, Fault, Problems};
use crate::file::hanging;
use crate::file::limits::{MOST_BYTES, MOST_COLUMNS, MOST_DAYS, MOST_OF_ALL, MOST_READINGS, MOST_ROWS};
use crate::file::reading::{Dimension, Quantity, Reading, Session};
use crate::file::steel_state;
use crate::file::table::{self, Cell, Row};

/// What says that a reading is sure, and that it is not.
const YES: [&str; 6] = ["yes", "y", "sure", "x", "true", "1"];
/// See [`YES`].
const NO: [&str; 5] = ["no", "n", "-", "false", "0"];
/// How far above the planned back a height may lie where no reading says that the blade is broader, mm: what a hammer leaves
/// too broad unnoticed (common practice, no source).
const ABOVE: f64 = 3.0;

/// Reads a measured file: CSV in UTF-8, at most 1 MiB, with `,` or with `;` and decimal commas. Columns, in any order:
/// `date` (ISO 8601; where empty, that of the row above), `stage` (optional), `station`, `what`, `height`, `measured`.
/// `sure` (optional) confirms a reading however odd it is. Rows without a measured value are skipped. Plain lengths are
/// in the design's unit, masses in its unit of masses, angles in degrees, hardness in HRC, tempers on its scale of
/// heat. The sessions are in the order of time; there is none where nothing is filled in.
///
/// # Errors
/// Every problem of the file in its order, with its place.
pub fn read(bytes: &[u8], design: &Design) -> Result<Vec<Session>, Vec<Problem>> {
    let mut found = Problems::default();
    if bytes.len() > MOST_BYTES {
        found.add("", 0..0, &Fault::TooLarge { bytes: bytes.len(), most: MOST_BYTES });
        return found.into_result(Vec::new());
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => sessions(&table::rows(text), design, found),
        Err(fault) => {
            let at = fault.valid_up_to();
            found.add("", at..at, &Fault::NotText {});
            found.into_result(Vec::new())
        }
    }
}

/// The sessions of all rows under the header.
fn sessions(rows: &[Row], design: &Design, mut found: Problems) -> Result<Vec<Session>, Vec<Problem>> {
    let Some((header, rows)) = rows.split_first() else {
        found.add("", 0..0, &Fault::NoHeader {});
        return found.into_result(Vec::new());
    };
    if too_many(header, rows, &mut found) {
        return found.into_result(Vec::new());
    }
    let Some(columns) = Columns::new(header, &mut found) else { return found.into_result(Vec::new()) };
    let loft = design.blade().loft(Stage::Forged);
    let breadth = |x: f64| loft.station(x).map(|s: Station| s.breadth);
    let mut reader = Reader {
        columns: &columns,
        design,
        breadth: &breadth,
        wanted: header.cells.len(),
        date: None,
        stage: None,
        found,
        taken: BTreeMap::new(),
    };
    for row in rows {
        reader.row(row);
    }
    reader.finish()
}

/// Whether there are more rows or columns than are read: then that is all that is told.
fn too_many(header: &Row, rows: &[Row], found: &mut Problems) -> bool {
    if let Some(over) = header.cells.get(MOST_COLUMNS) {
        found.add("line 1", over.span.clone(), &Fault::TooManyColumns { most: MOST_COLUMNS });
    }
    if let Some(over) = rows.get(MOST_ROWS - 1) {
        let fault = Fault::TooManyRows { most: MOST_ROWS };
        found.add(&format!("line {}", over.line), over.span.clone(), &fault);
    }
    !found.is_empty()
}

/// A reading as it was taken.
struct Taken {
    reading: Reading,
    /// Whether its length names a unit of the other system; `None` of masses and angles.
    foreign: Option<bool>,
    /// Where its height stands in the file.
    height_span: Range<usize>,
}

/// A measured value.
struct Measured<'c> {
    value: f64,
    /// As [`Taken::foreign`].
    foreign: Option<bool>,
    cell: &'c Cell,
}

struct Reader<'a> {
    columns: &'a Columns,
    design: &'a Design,
    /// Planned breadth at a station, mm.
    breadth: &'a dyn Fn(f64) -> Option<f64>,
    wanted: usize,
    date: Option<Date>,
    stage: Option<Stage>,
    found: Problems,
    taken: BTreeMap<(Date, Option<Stage>), Vec<Taken>>,
}

impl Reader<'_> {
    /// A row: its day and stage, and its reading where a value is filled in.
    fn row(&mut self, row: &Row) {
        let filled = self.columns.measured(row).is_some();
        self.when(row);
        // A row too long has its cells in the wrong columns.
        if row.cells[self.wanted.min(row.cells.len())..].iter().any(|c| !c.text.is_empty()) {
            let fault = Fault::Cells { count: row.cells.len(), wanted: self.wanted };
            self.found.add(&format!("line {}", row.line), row.span.clone(), &fault);
        } else if filled {
            self.filled(row);
        }
    }

    /// Carries date and stage on from row to row.
    fn when(&mut self, row: &Row) {
        if let Some(cell) = self.columns.date(row) {
            let date = Date::parse(&cell.text);
            if date.is_none() {
                self.fault(
                    row,
                    "date",
                    cell,
                    &Fault::Date { text: cell.text.clone(), meant: fault::as_date(&cell.text) },
                );
            }
            if date != self.date {
                (self.date, self.stage) = (date.or(self.date), None);
            }
        }
        if let Some(cell) = self.columns.stage(row) {
            self.stage = Stage::ALL.into_iter().find(|s| s.name().eq_ignore_ascii_case(&cell.text));
            if self.stage.is_none() {
                let nearest = self.found.hint(&cell.text, &Stage::ALL.map(Stage::name));
                self.fault(row, "stage", cell, &Fault::Stage { text: cell.text.clone(), nearest });
            }
        }
    }

    /// A row with a value: a reading where all its cells make sense.
    fn filled(&mut self, row: &Row) {
        if self.date.is_none() && self.columns.date(row).is_none() {
            self.found.add(&format!("line {}, date", row.line), row.span.clone(), &Fault::NoDate {});
        }
        let Some(what) = self.what(row) else { return };
        let station = self.station(row, what);
        let height = station.and_then(|_| self.height(row, what));
        let value = self.value(row, what);
        if let (Some(date), Some(station), Some(height), Some(Measured { value, foreign, cell })) =
            (self.date, station, height, value)
        {
            let (span, written) = (cell.span.clone(), cell.text.clone());
            let sure = self.sure(row);
            let reading = Reading { line: row.line, span, what, station, height, value, written, sure };
            let height_span = self.columns.height(row).map_or(0..0, |cell| cell.span.clone());
            self.taken.entry((date, self.stage)).or_default().push(Taken { reading, foreign, height_span });
        }
    }

    /// What was measured.
    fn what(&mut self, row: &Row) -> Option<Quantity> {
        let Some(cell) = self.columns.quantity(row) else {
            let fault = Fault::NoWhat {};
            self.found.add(&format!("line {}, what", row.line), row.span.clone(), &fault);
            return None;
        };
        let what = Quantity::from_name(&cell.text);
        if what.is_none() {
            let nearest = self.found.hint(&cell.text, &Quantity::ALL.map(Quantity::name));
            self.fault(row, "what", cell, &Fault::What { text: cell.text.clone(), nearest });
        }
        what
    }

    /// The station, on the blade.
    fn station(&mut self, row: &Row, what: Quantity) -> Option<f64> {
        let cell = self.columns.station(row);
        let at = self.optional(row, what, "station", cell, what.has_station())?;
        let (length, tang) = (self.design.blade().length(), -self.design.blade().spec().tang.length);
        let least = if what.is_hung() { tang } else { 0.0 };
        if what.has_station() && !(least..length).contains(&at) {
            let figures = self.design.figures();
            let (at, length) = (figures.told(at), figures.told(length));
            let fault = if what.is_hung() {
                Fault::OffSteel { at, length, tang: figures.told(tang) }
            } else {
                Fault::OffBlade { at, length }
            };
            if let Some(cell) = cell {
                self.fault(row, "station", cell, &fault);
            }
            return None;
        }
        Some(at)
    }

    /// The height above the edge; whether it lies under the back is seen once all breadths are read.
    fn height(&mut self, row: &Row, what: Quantity) -> Option<f64> {
        let cell = self.columns.height(row);
        let height = self.optional(row, what, "height", cell, what.has_height())?;
        if what.has_height()
            && height <= 0.0
            && let Some(cell) = cell
        {
            self.fault(row, "height", cell, &Fault::UnderEdge { height: self.design.figures().told(height) });
            return None;
        }
        Some(height)
    }

    /// Tells of heights above the back: the planned one, or a measured one where the blade is broader than planned.
    fn heights(&mut self) {
        let all = || self.taken.values().flatten();
        let breadths = all().map(|t| &t.reading).filter(|r| r.what == Quantity::Breadth);
        let broader = |r: &Reading| (self.breadth)(r.station).map(|planned| r.value - planned);
        let slack = breadths.filter_map(broader).fold(0.0, f64::max) + ABOVE;
        let figures = self.design.figures();
        for Taken { reading, height_span, .. } in all().filter(|t| t.reading.what.has_height()) {
            let Some(back) = (self.breadth)(reading.station).filter(|back| reading.height >= back + slack)
            else {
                continue;
            };
            let (height, back) = (figures.told(reading.height), figures.told(back));
            let fault = Fault::AboveBack { height, back };
            self.found.add(&format!("line {}, height", reading.line), height_span.clone(), &fault);
        }
    }

    /// A length that is there when it is needed and only then; 0 where it is not needed.
    fn optional(
        &mut self,
        row: &Row,
        what: Quantity,
        column: &'static str,
        cell: Option<&Cell>,
        needed: bool,
    ) -> Option<f64> {
        let what = what.name();
        match (cell, needed) {
            (None, false) => Some(0.0),
            (Some(cell), true) => {
                let read = design::length(&cell.text, self.design.unit());
                self.quantity(row, column, cell, read)
            }
            (Some(cell), false) => {
                self.fault(row, column, cell, &Fault::Stray { what, column });
                None
            }
            (None, true) => {
                let fault = Fault::Missing { what, column };
                self.found.add(&format!("line {}, {column}", row.line), row.span.clone(), &fault);
                None
            }
        }
    }

    /// The measured value, whether its length names a unit of the other system, and its cell.
    fn value<'c>(&mut self, row: &'c Row, what: Quantity) -> Option<Measured<'c>> {
        let cell = self.columns.measured(row)?;
        let (read, foreign) = match what.dimension() {
            Dimension::Length => {
                let unit = self.design.unit();
                (design::length(&cell.text, unit), Some(foreign(&cell.text, unit)))
            }
            Dimension::Mass => (design::mass(&cell.text, self.design.figures().mass), None),
            Dimension::Angle => (design::angle(&cell.text), None),
            Dimension::Hardness => (steel_state::hardness(&cell.text), None),
            Dimension::Heat => (steel_state::heat(&cell.text, self.design.figures().temperature), None),
        };
        let value = self.quantity(row, "measured", cell, read)?;
        let range = what.range();
        if !range.contains(&value) {
            let told = |v: f64| what.format_value(v, self.design.figures());
            let (value, low, high) = (told(value), told(*range.start()), told(*range.end()));
            self.fault(row, "measured", cell, &Fault::Outside { value, low, high });
            return None;
        }
        Some(Measured { value, foreign, cell })
    }

    fn quantity(&mut self, row: &Row, column: &str, cell: &Cell, read: Result<f64, Misread>) -> Option<f64> {
        match read {
            Ok(value) => Some(value),
            Err(Misread { why, example }) => {
                self.fault(row, column, cell, &Fault::Quantity { text: cell.text.clone(), why, example });
                None
            }
        }
    }

    /// Whether a row is marked as sure.
    fn sure(&mut self, row: &Row) -> bool {
        let Some(cell) = self.columns.sure(row) else { return false };
        let text = cell.text.to_lowercase();
        let (yes, no) = (YES.contains(&text.as_str()), NO.contains(&text.as_str()));
        if !yes && !no {
            self.fault(row, "sure", cell, &Fault::Sure { text: cell.text.clone() });
        }
        yes
    }

    fn fault(&mut self, row: &Row, column: &str, cell: &Cell, fault: &Fault) {
        self.found.add(&format!("line {}, {column}", row.line), cell.span.clone(), fault);
    }

    /// The sessions, once all rows are read.
    fn finish(mut self) -> Result<Vec<Session>, Vec<Problem>> {
        let sound = self.found.is_empty();
        self.count();
        self.heights();
        for session in self.taken.values() {
            mixed(session, self.design.unit(), &mut self.found);
            let readings: Vec<&Reading> = session.iter().map(|t| &t.reading).collect();
            // A row that could not be read may be the one that is missed.
            if sound && readings.len() <= MOST_READINGS {
                hanging::check(self.design, &readings, &mut self.found);
            }
        }
        let sessions = self.taken.into_iter().map(|((date, stage), taken)| Session {
            date,
            stage,
            readings: taken.into_iter().map(|t| t.reading).collect(),
        });
        let sessions = sessions.collect();
        self.found.into_result(sessions)
    }

    /// Tells of more readings than are fitted: of one day, of all days, and of days.
    fn count(&mut self) {
        let found = &mut self.found;
        let mut tell = |over: Option<&Taken>, fault: Fault| {
            if let Some(Taken { reading: over, .. }) = over {
                found.add(&format!("line {}", over.line), over.span.clone(), &fault);
            }
        };
        for session in self.taken.values() {
            let fault = Fault::TooMany { count: session.len(), most: MOST_READINGS };
            tell(session.get(MOST_READINGS), fault);
        }
        let (count, days) = (self.taken.values().map(Vec::len).sum(), self.taken.len());
        let over = self.taken.values().flatten().nth(MOST_OF_ALL);
        tell(over, Fault::TooManyOfAll { count, most: MOST_OF_ALL });
        let over = self.taken.values().nth(MOST_DAYS).and_then(|day| day.first());
        tell(over, Fault::TooManyDays { count: days, most: MOST_DAYS });
    }
}

/// Whether text names a unit of length of the other system than `unit`.
fn foreign(text: &str, unit: Unit) -> bool {
    let named = text.trim_start_matches(|c: char| !c.is_alphabetic() && c != '"').trim();
    let inches = matches!(named, "in" | "\"");
    !named.is_empty() && inches != (unit == Unit::Inch)
}

/// Readings of one day of which some name another unit: whichever are fewer, for they are the likelier slips.
fn mixed(session: &[Taken], unit: Unit, found: &mut Problems) {
    let of = |wanted: bool| session.iter().filter(move |t| t.foreign == Some(wanted)).map(|t| &t.reading);
    let (some, rest) = (of(true).count(), of(false).count());
    let fewer = some <= rest;
    let Some(line) = of(!fewer).next().map(|r| r.line).filter(|_| some > 0 && rest > 0) else { return };
    for reading in of(fewer) {
        let fault = Fault::Mixed { unit: unit.name(), line };
        found.add(&format!("line {}, measured", reading.line), reading.span.clone(), &fault);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures;

    fn problems(text: &str) -> Vec<(String, &'static str)> {
        let problems = read(text.as_bytes(), &fixtures::design()).err().unwrap_or_default();
        problems.into_iter().map(|p| (p.field, p.code)).collect()
    }

    #[test]
    fn a_history_is_read_in_order() {
        let text = "what,station,measured,height,date,stage,planned ground,note\n\
                    back,0,8.1,,2026-03-02,forged,7,cold\n\
                    thickness,50,1/4 in,12,,,,\n\
                    back,,,,2026-03-01,,,\n\
                    weight,,612 g,,,,,\n\
                    back,100,6,,2026-03-02,ground,,\n";
        // The fraction is the only reading that names its unit, and it is one of inches.
        assert_eq!(problems(text), [("line 3, measured".into(), "mixed-units")]);
        let sessions = read(text.replace("1/4 in", "6.35 mm").as_bytes(), &fixtures::design()).unwrap();
        let told: Vec<_> = sessions.iter().map(|s| (s.date.to_string(), s.stage, s.readings.len())).collect();
        let day = |d: &str| d.to_owned();
        assert_eq!(
            told,
            [
                (day("2026-03-01"), None, 1),
                (day("2026-03-02"), Some(Stage::Forged), 2),
                (day("2026-03-02"), Some(Stage::Ground), 1)
            ]
        );
        let thick = &sessions[1].readings[1];
        assert_eq!(
            (thick.line, thick.what, thick.station, thick.height),
            (3, Quantity::Thickness, 50.0, 12.0)
        );
        assert!((thick.value - 6.35).abs() < 1e-12);
    }

    #[test]
    fn every_problem_is_told_at_once_with_its_line_and_column() {
        let text = "date,station,what,height,measured,thicknes\n\
                    2026-02-30,0,back,,6.4,\n";
        assert_eq!(problems(text), [(String::new(), "unknown-column")].map(|(_, c)| ("thicknes".into(), c)));
        assert_eq!(
            problems("date,what,planned\n"),
            [("station".into(), "missing-column"), ("measured".into(), "missing-column")]
        );
        let text = "date,station,what,height,measured\n\
                    2026-02-30,0,back,,6.4\n\
                    2026-03-01,500,back,,6.4\n\
                    ,-4,back,,6.4\n\
                    ,50,bak,,6.4\n\
                    ,50,back,,six\n\
                    ,50,back,,NaN\n\
                    ,50,back,,6.4 g\n\
                    ,50,back,3,6.4\n\
                    ,50,thickness,,6.4\n\
                    ,50,thickness,80,6.4\n\
                    ,50,back,,6400\n\
                    ,50,weight,,600\n\
                    ,60,back,,6.4\n\
                    ,60.0 mm,BACK,,6.5\n\
                    ,70,back,,6,4\n\
                    ,80,back,,-6.4\n\
                    ,90,thickness,0,6.4\n";
        let wanted = [
            ("line 2, date", "date"),
            ("line 3, station", "unknown-station"),
            ("line 4, station", "unknown-station"),
            ("line 5, what", "unknown-reading"),
            ("line 6, measured", "quantity"),
            ("line 7, measured", "quantity"),
            ("line 8, measured", "quantity"),
            ("line 9, height", "cell-not-used"),
            ("line 10, height", "missing-cell"),
            ("line 11, height", "unknown-height"),
            ("line 12, measured", "range"),
            ("line 13, station", "cell-not-used"),
            ("line 16", "cells"),
            ("line 17, measured", "range"),
            ("line 18, height", "unknown-height"),
        ];
        assert_eq!(problems(text), wanted.map(|(f, c)| (f.to_owned(), c)));
    }

    /// Above the planned back nothing is read, unless a breadth of the file says that the blade reaches so far.
    #[test]
    fn a_height_above_the_back_needs_a_breadth_that_bears_it_out() {
        let design = fixtures::design();
        let back = design.blade().loft(Stage::Forged).station(50.0).unwrap().breadth;
        let text = |above: f64, breadth: f64| {
            let (high, wide) = (back + above, back + breadth);
            format!(
                "date,station,what,height,measured\n2026-03-01,50,thickness,{high},6\n,60,breadth,,{wide}\n"
            )
        };
        let told =
            |above, breadth| problems(&text(above, breadth)).into_iter().next().map(|(field, _)| field);
        for (above, breadth) in [(-1.0, 0.0), (ABOVE - 0.1, -2.0), (8.0, 9.0), (12.0, 10.0)] {
            assert_eq!(told(above, breadth), None, "{above} {breadth}");
        }
        for (above, breadth) in [(ABOVE + 0.2, 0.0), (8.0, 1.0), (200.0, 10.0)] {
            assert_eq!(told(above, breadth).as_deref(), Some("line 2, height"), "{above} {breadth}");
        }
    }

    /// Rows of weights clamped on, supports, hardness and tempers: what no lever does is told at its row.
    #[test]
    fn hanging_rows_that_cant_be_are_told_with_their_lines() {
        let told = |rows: &str| {
            problems(&format!("date,station,what,height,measured\n2026-03-01,0,back,,6\n{rows}"))
        };
        let one = |line: usize, cell: &str, code: &'static str| vec![(format!("line {line}, {cell}"), code)];
        for (rows, wanted) in [
            (",-50,clamped weight,,200\n", one(3, "measured", "no-balance")),
            (",,balance with weights,,40\n", one(3, "measured", "no-weight")),
            (
                ",-50,clamped weight,,200\n,-50,clamped weight,,90\n,,balance with weights,,40\n",
                one(4, "measured", "weight-twice"),
            ),
            (",-50,clamped weight,,200\n,,balance with weights,,400\n", one(4, "measured", "off-the-lever")),
            (
                ",,balance,,90\n,-50,clamped weight,,200\n,,balance with weights,,120\n",
                one(5, "measured", "off-the-lever"),
            ),
            (",-50,support,,200\n", one(3, "measured", "one-support")),
            (",-50,support,,200\n,-50,support,,210\n", one(4, "measured", "one-support")),
            (",-50,support,,200\n,-40,support,,210\n", one(4, "measured", "near-supports")),
            (",-50,support,,0\n,140,support,,0\n", one(4, "measured", "nothing-borne")),
            (",-50,support,,-3\n,140,support,,9\n", one(3, "measured", "range")),
            (",-500,support,,200\n,140,support,,9\n", one(3, "station", "off-the-steel")),
            (",310,clamped weight,,200\n", one(3, "station", "off-the-steel")),
            (",,clamped weight,,200\n", one(3, "station", "missing-cell")),
            (",5,balance with weights,,20\n", one(3, "station", "cell-not-used")),
            (",-50,clamped weight,,1e6\n", one(3, "measured", "quantity")),
            (",-50,clamped weight,,30 kg\n", one(3, "measured", "range")),
            (",,hardness,,20\n", one(3, "measured", "quantity")),
            (",,hardness,,900 HV\n", one(3, "measured", "range")),
            (",,tempered,,90\n", one(3, "measured", "range")),
            (",,tempered,,200 K\n", one(3, "measured", "quantity")),
        ] {
            assert_eq!(told(rows), wanted, "{rows}");
        }
        let sound = ",-50,clamped weight,,200\n,-20,Clamped  Weight,,50 g\n,,balance with weights,,20\n,,balance with \
                     weights,,21\n,-50,support,,100\n,140,support,,210\n,140,support,,210.5\n,,hardness,,58\n,,hardness,,220 \
                     HV\n,,tempered,,400 F\n,,tempered,,200\n";
        assert_eq!(told(sound), []);
    }

    #[test]
    fn hopeless_files_say_why() {
        assert_eq!(problems(""), [(String::new(), "no-header")]);
        assert_eq!(
            problems("date,station,what,measured\n,0,back,6.4\n"),
            [("line 2, date".into(), "no-date")]
        );
        let bytes = read(b"date,\xff", &fixtures::design()).err().unwrap();
        assert_eq!((bytes[0].code, bytes[0].span.start), ("not-text", 5));
        let long = read(&vec![b' '; MOST_BYTES + 1], &fixtures::design()).err().unwrap();
        assert_eq!(long[0].code, "too-large");
        let none = read(b"date,station,what,measured\n2026-01-01,0,back,\n", &fixtures::design());
        assert_eq!(none, Ok(Vec::new()));
    }

    proptest::proptest! {
        // Each case reads two files against three lofts.
        #![proptest_config(proptest::prelude::ProptestConfig::with_cases(64))]

        /// Whatever the bytes: an answer, and every problem within the file.
        #[test]
        fn no_bytes_are_too_wild(text in "(date|station|what|measured|height|stage|[,;\"\r\n 0-9.ae/-]|back|é){0,60}",
                                 cut in 0_usize..400, with in "[,;\"\\n\\PC]{0,3}") {
            let design = fixtures::design();
            let mut blank = crate::blank(&design, false);
            let at = blank.floor_char_boundary(cut.min(blank.len()));
            blank.insert_str(at, &with);
            for text in [&text, &blank] {
                if let Err(problems) = read(text.as_bytes(), &design) {
                    proptest::prop_assert!(!problems.is_empty());
                    for p in problems {
                        proptest::prop_assert!(text.get(p.span.clone()).is_some(), "{:?}", p);
                    }
                }
            }
        }
    }

    #[test]
    fn more_readings_than_can_be_fitted_are_refused() {
        let head = "date,station,what,measured\n";
        let rows: String = (0..=MOST_READINGS).map(|i| format!("2026-03-01,{i},back,6\n")).collect();
        let told = vec![("line 302".into(), "too-many")];
        assert_eq!(problems(&format!("{head}{rows}")), told);
        let day = |d: usize, n: usize| format!("20{:02}-03-01,50,back,6\n", d).repeat(n);
        let days =
            |days: usize, n: usize| head.to_owned() + &(0..days).map(|d| day(d, n)).collect::<String>();
        assert_eq!(problems(&days(3, 200)), []);
        assert_eq!(problems(&days(3, 201)), [("line 602".into(), "too-many")]);
        assert_eq!(problems(&days(60, 1)), []);
        assert_eq!(problems(&days(61, 1)), [("line 62".into(), "too-many")]);
    }

    /// Each of these took longer than its size, or could have; now it is one sentence, or a hundred and how many more.
    #[test]
    fn endless_files_are_told_at_once() {
        let head = "date,station,what,measured\n";
        let row = "2026-03-01,50,bxck,6\n";
        let begin = std::time::Instant::now();
        assert_eq!(
            problems(&(head.to_owned() + &row.repeat(MOST_ROWS))),
            [("line 10001".into(), "too-many")]
        );
        assert_eq!(
            problems(&(head.trim_end().to_owned() + &",a".repeat(500_000))),
            [("line 1".into(), "too-many")]
        );
        let told =
            read((head.to_owned() + &row.repeat(MOST_ROWS - 1)).as_bytes(), &fixtures::design()).unwrap_err();
        assert_eq!(told.len(), 101);
        assert_eq!(told[100].message, "and 9899 more problems");
        assert!(told[100].span.start > told[99].span.start);
        let balances = ",-50,clamped weight,200\n".repeat(4000) + &",,balance with weights,20\n".repeat(4000);
        assert_eq!(problems(&format!("{head}2026-03-01,50,back,6\n{balances}")).len(), 2);
        assert!(begin.elapsed().as_secs_f64() < 2.0, "{:?}", begin.elapsed());
    }
}
