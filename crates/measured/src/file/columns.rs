//! The columns of a measured file, in whatever order they stand.

use design::hint;

use crate::file::fault::{Fault, Found};
use crate::file::table::{Cell, Row};

/// The columns, in the order in which `new` writes them, and why each must be there; `None` where it need not.
const KNOWN: [(&str, Option<&str>); 6] = [
    ("date", Some("give the day of each reading, as 2026-03-14")),
    ("stage", None),
    ("station", Some("give the distance of each reading from the shoulder")),
    ("what", Some("say what was measured: back, breadth, thickness, weight and so on")),
    ("height", None),
    ("measured", Some("give what caliper, rule or scales said")),
];
/// Columns that begin so belong to the smith.
const FREE: [&str; 2] = ["planned", "note"];

/// Which column holds what.
#[derive(Debug)]
pub(crate) struct Columns([Option<usize>; 6]);

impl Columns {
    /// The columns of a header; `None` where one is missing or unknown.
    pub(crate) fn of(header: &Row, found: &mut Found) -> Option<Columns> {
        let mut columns = Columns([None; 6]);
        let mut sound = true;
        for (i, cell) in header.cells.iter().enumerate() {
            sound &= columns.place(i, cell, found);
        }
        for ((column, why), at) in KNOWN.into_iter().zip(columns.0) {
            if let (Some(why), None) = (why, at) {
                found.add(column, header.span.clone(), &Fault::NoColumn { column, why });
                sound = false;
            }
        }
        sound.then_some(columns)
    }

    /// Takes a header's cell; whether it is a sound one.
    fn place(&mut self, i: usize, cell: &Cell, found: &mut Found) -> bool {
        let name = cell.text.to_lowercase();
        if name.is_empty() || FREE.iter().any(|free| name.starts_with(free)) {
            return true;
        }
        let Some(k) = KNOWN.iter().position(|(known, _)| *known == name) else {
            let nearest = hint(&name, &KNOWN.map(|(known, _)| known));
            let fault = Fault::UnknownColumn { column: cell.text.clone(), nearest };
            found.add(&cell.text, cell.span.clone(), &fault);
            return false;
        };
        if self.0[k].replace(i).is_some() {
            found.add(&cell.text, cell.span.clone(), &Fault::ColumnTwice { column: name });
            return false;
        }
        true
    }

    pub(crate) fn date<'r>(&self, row: &'r Row) -> Option<&'r Cell> {
        self.cell(0, row)
    }

    pub(crate) fn stage<'r>(&self, row: &'r Row) -> Option<&'r Cell> {
        self.cell(1, row)
    }

    pub(crate) fn station<'r>(&self, row: &'r Row) -> Option<&'r Cell> {
        self.cell(2, row)
    }

    pub(crate) fn what<'r>(&self, row: &'r Row) -> Option<&'r Cell> {
        self.cell(3, row)
    }

    pub(crate) fn height<'r>(&self, row: &'r Row) -> Option<&'r Cell> {
        self.cell(4, row)
    }

    pub(crate) fn measured<'r>(&self, row: &'r Row) -> Option<&'r Cell> {
        self.cell(5, row)
    }

    /// The cell of column `k`, where it is filled.
    fn cell<'r>(&self, k: usize, row: &'r Row) -> Option<&'r Cell> {
        row.cells.get(self.0[k]?).filter(|cell| !cell.text.is_empty())
    }
}
