//! The columns of a measured file, in whatever order they stand.

use std::collections::BTreeMap;

use crate::file::fault::{Fault, Problems};
use crate::file::table::{Cell, Row};

/// A column that is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Column {
    Date,
    Stage,
    Station,
    Quantity,
    Height,
    Measured,
    Sure,
}

impl Column {
    /// In the order in which `new` writes them.
    const ALL: [Column; 7] = [
        Column::Date,
        Column::Stage,
        Column::Station,
        Column::Quantity,
        Column::Height,
        Column::Measured,
        Column::Sure,
    ];

    /// As the header spells it.
    fn name(self) -> &'static str {
        match self {
            Column::Date => "date",
            Column::Stage => "stage",
            Column::Station => "station",
            Column::Quantity => "what",
            Column::Height => "height",
            Column::Measured => "measured",
            Column::Sure => "sure",
        }
    }

    /// Why it must be there; `None` where it need not.
    fn need(self) -> Option<&'static str> {
        match self {
            Column::Date => Some("give the day of each reading, as 2026-03-14"),
            Column::Station => Some("give the distance of each reading from the shoulder"),
            Column::Quantity => Some("say what was measured: back, breadth, thickness, weight and so on"),
            Column::Measured => Some("give what caliper, rule or scales said"),
            Column::Stage | Column::Height | Column::Sure => None,
        }
    }
}

/// Columns that begin so belong to the smith.
const FREE: [&str; 2] = ["planned", "note"];

/// Which cell of a row belongs to which column.
#[derive(Debug)]
pub(crate) struct Columns(BTreeMap<Column, usize>);

impl Columns {
    /// The columns of a header; `None` where one is missing or unknown.
    pub(crate) fn new(header: &Row, found: &mut Problems) -> Option<Columns> {
        let mut columns = Columns(BTreeMap::new());
        let mut sound = true;
        for (i, cell) in header.cells.iter().enumerate() {
            sound &= columns.place(i, cell, found);
        }
        for column in Column::ALL.into_iter().filter(|c| !columns.0.contains_key(c)) {
            if let Some(why) = column.need() {
                let column = column.name();
                found.add(column, header.span.clone(), &Fault::NoColumn { column, why });
                sound = false;
            }
        }
        sound.then_some(columns)
    }

    /// Takes a header's cell; whether it is a sound one.
    fn place(&mut self, i: usize, cell: &Cell, found: &mut Problems) -> bool {
        let name = cell.text.to_lowercase();
        if name.is_empty() || FREE.iter().any(|free| name.starts_with(free)) {
            return true;
        }
        let Some(column) = Column::ALL.into_iter().find(|c| c.name() == name) else {
            let nearest = found.hint(&name, &Column::ALL.map(Column::name));
            let fault = Fault::UnknownColumn { column: cell.text.clone(), nearest };
            found.add(&cell.text, cell.span.clone(), &fault);
            return false;
        };
        if self.0.insert(column, i).is_some() {
            found.add(&cell.text, cell.span.clone(), &Fault::ColumnTwice { column: name });
            return false;
        }
        true
    }

    /// Which cell of a row belongs to the column of this name, where the header has it.
    pub(crate) fn index(&self, name: &str) -> Option<usize> {
        self.0.iter().find(|(column, _)| column.name() == name).map(|(_, index)| *index)
    }

    pub(crate) fn date<'r>(&self, row: &'r Row) -> Option<&'r Cell> {
        self.cell(Column::Date, row)
    }

    pub(crate) fn stage<'r>(&self, row: &'r Row) -> Option<&'r Cell> {
        self.cell(Column::Stage, row)
    }

    pub(crate) fn station<'r>(&self, row: &'r Row) -> Option<&'r Cell> {
        self.cell(Column::Station, row)
    }

    pub(crate) fn quantity<'r>(&self, row: &'r Row) -> Option<&'r Cell> {
        self.cell(Column::Quantity, row)
    }

    pub(crate) fn height<'r>(&self, row: &'r Row) -> Option<&'r Cell> {
        self.cell(Column::Height, row)
    }

    pub(crate) fn measured<'r>(&self, row: &'r Row) -> Option<&'r Cell> {
        self.cell(Column::Measured, row)
    }

    pub(crate) fn sure<'r>(&self, row: &'r Row) -> Option<&'r Cell> {
        self.cell(Column::Sure, row)
    }

    /// The cell of a column, where it is filled.
    fn cell<'r>(&self, column: Column, row: &'r Row) -> Option<&'r Cell> {
        row.cells.get(*self.0.get(&column)?).filter(|cell| !cell.text.is_empty())
    }
}
