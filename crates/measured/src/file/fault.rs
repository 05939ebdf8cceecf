//! What can be wrong with a measured file, in one list, and where it stands in the file.

use std::ops::Range;

use design::Problem;
use thiserror::Error;

use crate::file::date::Date;
use crate::file::limits::MOST_PROBLEMS;

design::faults! {
    "The rules of a measured file."
    /// A file over the limit.
    TooLarge { bytes: usize, most: usize } "too-large"
        "the file holds {bytes} bytes" => format!("a measured file holds at most {most} bytes");
    /// Bytes that are no UTF-8.
    NotText {} "not-text"
        "from here on the file is not UTF-8 text" => "save it as CSV in UTF-8";
    /// Nothing to read.
    NoHeader {} "no-header"
        "the file has no rows" => "begin with a row of column names; `new --measured DESIGN` writes such a file";
    /// A column that must be there.
    NoColumn { column: &'static str, why: &'static str } "missing-column"
        "the column `{column}` is missing" => why;
    /// A column that nobody knows.
    UnknownColumn { column: String, nearest: String } "unknown-column"
        "the column `{column}` is not known" => format!("{nearest}; columns whose names begin with `planned` or `note` are yours, and are not read");
    /// A column given twice.
    ColumnTwice { column: String } "column-twice"
        "there are two columns `{column}`" => "keep one of them";
    /// More readings than are fitted.
    TooMany { count: usize, most: usize } "too-many"
        "{count} readings were taken on this day" => format!("give at most {most} readings for one day and stage");
    /// More readings than are fitted in all.
    TooManyOfAll { count: usize, most: usize } "too-many"
        "there are {count} readings in this file" => format!("give at most {most} in one file: keep the last days, and move older ones to a file of their own");
    /// More days than are compared.
    TooManyDays { count: usize, most: usize } "too-many"
        "this file has readings from {count} days, each stage of a day counted as one" => format!("give at most {most} in one file: keep the last days, and move older ones to a file of their own");
    /// More rows than are read.
    TooManyRows { most: usize } "too-many"
        "from here on there are more than {most} rows" => format!("give at most {most} rows in one file");
    /// More columns than are read.
    TooManyColumns { most: usize } "too-many"
        "from here on there are more than {most} columns" => format!("give at most {most} columns");
    /// A row longer than the header.
    Cells { count: usize, wanted: usize } "cells"
        "this row has {count} cells, the header has {wanted}" => "put quotes around a cell that holds the separator itself; write 1250 for 1,250";
    /// A reading of no day.
    NoDate {} "no-date"
        "this reading has no date, here or in a row above" => "write the day like 2026-03-14; the rows below it may leave it out";
    /// No day of the calendar.
    Date { text: String, meant: String } "date"
        "\"{text}\" is not a date" => meant;
    /// A stage that nobody knows.
    Stage { text: String, nearest: String } "unknown-stage"
        "\"{text}\" is not a stage" => nearest;
    /// Something else was measured.
    What { text: String, nearest: String } "unknown-reading"
        "\"{text}\" is not a reading this tool knows" => nearest;
    /// A cell that must be filled.
    Missing { what: &'static str, column: &'static str } "missing-cell"
        "a reading of `{what}` needs a {column}" => format!("write it in the column `{column}`, beside the reading");
    /// A row without a value.
    NoValue {} "missing-cell"
        "this row has no measured value" => "write it in the column `measured`";
    /// A row that does not name its reading.
    NoWhat {} "missing-cell"
        "this row does not say what was measured" => "write it in the column `what`: back, breadth, thickness, weight and so on";
    /// A cell that must be empty.
    Stray { what: &'static str, column: &'static str } "cell-not-used"
        "a reading of `{what}` has no {column}" => "leave this cell empty";
    /// Text that is no quantity.
    Quantity { text: String, why: &'static str, example: &'static str } "quantity"
        "\"{text}\" {why}" => format!("write a number, or {example}");
    /// A value that no blade has.
    Outside { value: String, low: String, high: String } "range"
        "{value} is too small or too big for a blade" => format!("give a value from {low} to {high}");
    /// A station off the blade.
    OffBlade { at: String, length: String } "unknown-station"
        "station {at} is not on the blade" => format!("stations count from the shoulder, 0, to the point, {length}; tangs are not compared");
    /// A station off blade and tang.
    OffSteel { at: String, length: String, tang: String } "off-the-steel"
        "station {at} is on neither blade nor tang" => format!("stations count from the shoulder: up to the point, {length}, and on the tang below 0, down to {tang}");
    /// A weight clamped on without a balance.
    NoBalance {} "no-balance"
        "no balance was read with this weight on" => "write a row `balance with weights` below the weights that were on";
    /// A balance with weights, but no weight.
    NoWeight {} "no-weight"
        "there is no row `clamped weight` above this balance" => "write one with its station above this row; or write `balance` here if the blade was bare";
    /// Two weights at one place.
    WeightTwice { line: usize } "weight-twice"
        "line {line} already has a weight clamped on at this station" => "write the sum of both in one row";
    /// A balance that no lever has.
    OffLever { at: String, bare: String, weights: String } "off-the-lever"
        "with these weights on, the blade can't balance at {at}" => format!("it must lie between the bare blade's balance, {bare}, and the middle of the weights, {weights}; stations on the tang are below 0");
    /// A finger held beside the steel.
    OffBalance { low: String, high: String } "off-the-lever"
        "there is no steel to balance on" => format!("give a value from {low}, the tang's end, to {high}, the point");
    /// One support.
    OneSupport {} "one-support"
        "the blade can't lie on one support" => "write a row `support` for each of the two scales, with its station";
    /// Supports too near to each other.
    NearSupports { apart: String, least: String } "near-supports"
        "the supports are {apart} apart" => format!("lay the blade on supports at least {least} apart: from closer ones no balance can be read");
    /// Scales that bear nothing.
    NothingBorne {} "nothing-borne"
        "the scales under the supports read nothing" => "write what each scale reads with the blade on it, less what its support weighs";
    /// A height that is none.
    UnderEdge { height: String } "unknown-height"
        "a height of {height} is not on the blade" => "heights count from the edge up: give one above 0";
    /// A height above the back.
    AboveBack { height: String, back: String } "unknown-height"
        "a height of {height} is above the back, planned {back} above the edge here" => "heights count from the edge up; if the blade is so much broader than planned, write a `breadth` row for this station too";
    /// Plain numbers among readings in another unit.
    Mixed { unit: &'static str, line: usize } "mixed-units"
        "the unit differs from line {line} of the same day; plain numbers are {unit}" => "name the unit in every cell, as in 6.4 mm or 1/4 in, or in none";
    /// Neither yes nor no.
    Sure { text: String } "sure"
        "\"{text}\" is neither yes nor no" => "write yes where a reading is sure, however odd it looks, and leave the others empty";
    /// Numbers that no surface can be laid through.
    Unfitted {} "unfitted"
        "no smooth surface fits this day's readings" => "look for slips of writing, and take out the readings that do not go with the rest";
    /// A column that a new row needs.
    NewColumn { column: &'static str } "missing-column"
        "the file has no column `{column}`, which this row fills" => format!("put `{column}` into the file's first row");
    /// A file whose last row goes on over its end.
    OpenEnd {} "open-end"
        "no row can be added below the file's last one" => "close the quotes in the last row";
    /// More problems than are shown.
    More { count: usize } "more"
        "and {count} more problems" => "fix these first";
}

/// How to write what `text` may mean as a day.
pub(crate) fn as_date(text: &str) -> String {
    match Date::meant(text).as_slice() {
        [] => "write it like 2026-03-14: year, month, day".to_owned(),
        [day] => format!("write it as {day}: year, month, day"),
        days => {
            let days: Vec<String> = days.iter().map(ToString::to_string).collect();
            format!("write it as {}: year, month, day", days.join(" or "))
        }
    }
}

/// Collects the problems of one file: the first hundred, and how many more there are.
#[derive(Debug, Default)]
pub(crate) struct Problems {
    told: Vec<Problem>,
    /// Where the first of those that are not told is, and how many they are.
    more: Option<(Range<usize>, usize)>,
}

impl Problems {
    /// A fault at `span`, in the field that `place` names.
    pub(crate) fn add(&mut self, place: &str, span: Range<usize>, fault: &Fault) {
        if !self.is_full() {
            self.told.push(problem(place, span, fault));
            return;
        }
        self.more.get_or_insert((span, 0)).1 += 1;
    }

    /// Whether nothing is wrong so far.
    pub(crate) fn is_empty(&self) -> bool {
        self.told.is_empty()
    }

    /// Whether more are only counted: then no hint need be looked for.
    pub(crate) fn is_full(&self) -> bool {
        self.told.len() >= MOST_PROBLEMS
    }

    /// The hint for a word that is not among `known`; none once more problems are only counted, for it takes its time.
    pub(crate) fn hint(&self, word: &str, known: &[&str]) -> String {
        if self.is_full() { String::new() } else { design::hint(word, known) }
    }

    /// `value` when there is no problem.
    pub(crate) fn into_result<T>(mut self, value: T) -> Result<T, Vec<Problem>> {
        self.told.sort_by_key(|p| (p.span.start, p.span.end));
        if let Some((span, count)) = self.more {
            self.told.push(problem("", span, &Fault::More { count }));
        }
        if self.told.is_empty() { Ok(value) } else { Err(self.told) }
    }
}

/// A fault with its place.
pub(crate) fn problem(place: &str, span: Range<usize>, fault: &Fault) -> Problem {
    Problem {
        field: place.to_owned(),
        span,
        code: fault.code(),
        message: fault.to_string(),
        help: fault.help(),
    }
}
