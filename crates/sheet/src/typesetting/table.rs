//! Tables: columns as wide as their words or as their share of the room, rows as high as their fullest cell.

use std::rc::Rc;

use glam::DVec2;

use crate::typesetting::paragraph::{Align, LEADING, Line, height, lines, natural_width};
use crate::typesetting::shape::{MM, Pen, RULE, Shape, slants};
use crate::typesetting::strip::{Strip, spaced};
use crate::typesetting::text::{BODY, Text};

/// Grey of a head's cells.
const SHADE: [u8; 3] = [232; 3];
/// A thin line between what is planned and what is measured.
const FAINT: Pen = Pen { width: 0.3, grey: 179, dashes: &[] };
/// Lines across a field: told without colour.
const HATCH: Pen = Pen { width: 0.5, grey: 77, dashes: &[] };
/// Apart along the field's top, mm.
const HATCHED: f64 = 2.4;
/// Most of the room that columns as wide as their words take together where others share the rest.
const FULL: f64 = 0.8;

/// How wide a column is.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Track {
    /// As its widest cell.
    Auto,
    /// By its share of what the others leave.
    Share(f64),
}

/// A cell's words and how they stand.
#[derive(Clone, Debug, Default)]
pub(crate) struct Cell {
    text: Text,
    span: usize,
    align: Option<Align>,
    hatched: bool,
    /// In the upper left corner, close to the rules.
    corner: bool,
}

impl<T: Into<Text>> From<T> for Cell {
    fn from(text: T) -> Cell {
        Cell { text: text.into(), span: 1, ..Cell::default() }
    }
}

impl Cell {
    pub(crate) fn empty() -> Cell {
        Cell::from("")
    }

    /// Over so many columns.
    pub(crate) fn over(self, span: usize, align: Align) -> Cell {
        Cell { span, align: Some(align), ..self }
    }

    /// Hatched around its words.
    pub(crate) fn hatched(self) -> Cell {
        Cell { hatched: true, ..self }
    }

    /// In its upper left corner.
    pub(crate) fn corner(self) -> Cell {
        Cell { corner: true, align: Some(Align::Left), ..self }
    }
}

/// What is drawn around the cells.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Rules {
    None,
    All,
    /// All, but faint between the second column and the third, the fourth and the fifth and so on.
    Pairs,
}

/// Which row of a table.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    Head,
    First,
    Later,
}

/// A table.
#[derive(Clone, Debug)]
pub(crate) struct Table {
    /// Width and alignment of each column.
    pub(crate) columns: Vec<(Track, Align)>,
    /// Over the columns, shaded, again on every page; none where it is empty.
    pub(crate) head: Vec<Cell>,
    pub(crate) rows: Vec<Vec<Cell>>,
    /// Between words and rules, mm.
    pub(crate) inset: DVec2,
    pub(crate) rules: Rules,
    /// Least height of a row, mm.
    pub(crate) least: f64,
}

impl Table {
    /// A table with a head over each column and rules around its cells.
    pub(crate) fn new<const N: usize>(columns: [(Track, Align); N], head: [&str; N]) -> Table {
        Table {
            columns: columns.into(),
            head: head.into_iter().map(|words| Cell::from(Text::bold(words))).collect(),
            rows: Vec::new(),
            inset: DVec2::new(1.8, 1.5),
            rules: Rules::All,
            least: 0.0,
        }
    }

    /// A table with rules around its cells and `count` columns of like width, its head still to be given.
    pub(crate) fn of_like_columns(count: usize) -> Table {
        Table { columns: vec![(Track::Share(1.0), Align::Left); count], ..Table::new([], []) }
    }

    /// Cells without rules, `gap` (mm) from each other.
    pub(crate) fn plain(columns: Vec<(Track, Align)>, gap: DVec2) -> Table {
        Table {
            columns,
            head: Vec::new(),
            rows: Vec::new(),
            inset: 0.5 * gap,
            rules: Rules::None,
            least: 0.0,
        }
    }

    pub(crate) fn row(&mut self, cells: impl IntoIterator<Item = Cell>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// Its rows in a column `width` wide.
    pub(crate) fn strips(&self, width: f64) -> Vec<Strip> {
        // Without rules the outer columns' words reach the column's borders.
        let over = if self.rules == Rules::None { self.inset().x } else { 0.0 };
        let widths = self.widths(width + 2.0 * over);
        let head = (!self.head.is_empty()).then(|| {
            let strip = self.strip(&self.head, &widths, Kind::Head);
            Rc::new(Strip { keep: true, ..strip })
        });
        let mut strips: Vec<Strip> = head.iter().map(|head| Strip::clone(head)).collect();
        strips.extend(self.rows.iter().enumerate().map(|(i, row)| {
            let kind = if i == 0 { Kind::First } else { Kind::Later };
            Strip { head: head.clone(), ..self.strip(row, &widths, kind) }
        }));
        let space = 0.8 * BODY.size;
        spaced(strips, space, space)
    }

    fn inset(&self) -> DVec2 {
        self.inset * MM
    }

    /// The columns' widths: what is as wide as its words first, then the shares of the rest.
    fn widths(&self, width: f64) -> Vec<f64> {
        let natural = |column: usize| {
            let cells = self.rows.iter().chain([&self.head]).filter_map(|row| at_column(row, column));
            cells.map(|cell| natural_width(&cell.text)).fold(0.0, f64::max) + 2.0 * self.inset().x
        };
        let autos: Vec<f64> = (0..self.columns.len())
            .map(|i| if matches!(self.columns[i].0, Track::Auto) { natural(i) } else { 0.0 })
            .collect();
        let shares: f64 = self.columns.iter().map(|(track, _)| share(*track)).sum();
        let taken: f64 = autos.iter().sum();
        let most = if shares > 0.0 { FULL * width } else { width };
        let shrink = if taken > most { most / taken } else { 1.0 };
        let rest = width - shrink * taken;
        let each = |(i, (track, _)): (usize, &(Track, Align))| match track {
            Track::Auto => shrink * autos[i],
            Track::Share(share) => rest * share / shares,
        };
        self.columns.iter().enumerate().map(each).collect()
    }

    /// A row: as high as its fullest cell.
    fn strip(&self, row: &[Cell], widths: &[f64], kind: Kind) -> Strip {
        let mut column = 0;
        let mut x = if self.rules == Rules::None { -self.inset().x } else { 0.0 };
        let mut set = Vec::new();
        for cell in row {
            let width: f64 = widths[column..].iter().take(cell.span).sum();
            let inset = if cell.corner { DVec2::splat(0.8 * MM) } else { self.inset() };
            let room = width - 2.0 * inset.x;
            let lines = lines(&cell.text, room);
            set.push(Set { cell, column, x, width, left: x + inset.x, room, inset: inset.y, lines });
            x += width;
            column += cell.span;
        }
        let full = |set: &Set<'_>| height(&set.lines, LEADING * BODY.size) + 2.0 * set.inset;
        let least = if kind == Kind::Head { 0.0 } else { self.least * MM };
        let high = set.iter().map(full).fold(least, f64::max);
        let mut shapes: Vec<Shape> = set.iter().flat_map(|set| self.ground(set, high, kind)).collect();
        shapes.extend(set.into_iter().flat_map(|set| self.words(set, high)));
        Strip { height: high, shapes, ..Strip::default() }
    }

    /// What lies under a cell's words, and the rules around it.
    fn ground(&self, set: &Set<'_>, high: f64, kind: Kind) -> Vec<Shape> {
        let first = kind == Kind::Head || (kind == Kind::First && self.head.is_empty());
        let (at, size) = (DVec2::new(set.x, 0.0), DVec2::new(set.width, high));
        let mut shapes = Vec::new();
        if kind == Kind::Head {
            shapes.push(Shape::Rectangle { at, size, fill: Some(SHADE), pen: None });
        }
        if set.cell.hatched {
            shapes.extend(slants(at, size, HATCHED * MM, -high, HATCH));
        }
        let [right, down] = [DVec2::new(set.width, 0.0), DVec2::new(0.0, high)];
        let mut rule =
            |from: DVec2, along: DVec2, pen: Pen| shapes.push(Shape::Line { from, to: from + along, pen });
        if self.rules != Rules::None {
            // Every rule once: the row above and the cell before have drawn theirs.
            if first {
                rule(at, right, RULE);
            }
            if set.column == 0 {
                rule(at, down, RULE);
            }
            let parted = self.rules == Rules::Pairs && !(set.column + set.cell.span).is_multiple_of(2);
            let faint = parted && set.column > 0 && set.cell.span == 1;
            rule(at + right, down, if faint { FAINT } else { RULE });
            rule(at + down, right, RULE);
        }
        shapes
    }

    /// A cell's words, in the middle of its height.
    fn words(&self, set: Set<'_>, high: f64) -> Vec<Shape> {
        let leading = LEADING * BODY.size;
        let tall = height(&set.lines, leading);
        let align = set.cell.align.or(self.columns.get(set.column).map(|c| c.1)).unwrap_or(Align::Left);
        let mut y = if set.cell.corner { set.inset } else { 0.5 * (high - tall) };
        let mut shapes = Vec::new();
        if set.cell.hatched {
            shapes.push(ground_of_words(&set, y, tall));
        }
        for line in set.lines {
            let down = line.height() + leading;
            shapes.extend(line.placed(DVec2::new(set.left, y), set.room, align));
            y += down;
        }
        shapes
    }
}

/// White under the words of a hatched cell, so that no line runs through a figure.
fn ground_of_words(set: &Set<'_>, y: f64, tall: f64) -> Shape {
    let (margin, widest) = (0.6 * MM, set.lines.iter().map(|line| line.width).fold(0.0, f64::max));
    let at = DVec2::new(set.left + set.room - widest, y) - margin;
    let size = DVec2::new(widest, tall) + 2.0 * margin;
    Shape::Rectangle { at, size, fill: Some([255; 3]), pen: None }
}

/// A cell in its place.
struct Set<'a> {
    cell: &'a Cell,
    column: usize,
    x: f64,
    width: f64,
    /// Where its words begin, and the room they have.
    left: f64,
    room: f64,
    /// Between its words and the rules over and under them.
    inset: f64,
    lines: Vec<Line>,
}

fn share(track: Track) -> f64 {
    match track {
        Track::Auto => 0.0,
        Track::Share(share) => share,
    }
}

/// The cell that stands in this column alone.
fn at_column(row: &[Cell], column: usize) -> Option<&Cell> {
    let mut at = 0;
    for cell in row {
        if at == column && cell.span == 1 {
            return Some(cell);
        }
        at += cell.span;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_fill_the_room_and_words_fit_them() {
        let columns =
            [(Track::Auto, Align::Left), (Track::Share(2.0), Align::Right), (Track::Share(1.0), Align::Left)];
        let mut table = Table::new(columns, ["Step", "What is done", "Measured"]);
        table.row([Cell::from("12"), "Weld the stack over its whole length".into(), Cell::empty()]);
        table.row([Cell::from("over all").over(3, Align::Left)]);
        let widths = table.widths(300.0);
        assert!((widths.iter().sum::<f64>() - 300.0).abs() < 1e-9);
        assert!((widths[1] - 2.0 * widths[2]).abs() < 1e-9 && widths[0] < 50.0, "{widths:?}");
        let strips = table.strips(300.0);
        assert_eq!(strips.len(), 3);
        assert!(strips[0].keep && strips[1].head.is_some() && strips[0].head.is_none());
        assert!(strips[2].height < strips[1].height + 1e-9);
    }

    #[test]
    fn columns_too_wide_together_shrink() {
        let mut table =
            Table::new([(Track::Auto, Align::Left), (Track::Share(1.0), Align::Left)], ["a", "b"]);
        table.row([Cell::from("x".repeat(200)), Cell::from("y")]);
        let widths = table.widths(200.0);
        assert!((widths[0] - FULL * 200.0).abs() < 1e-9 && (widths[1] - 40.0).abs() < 1e-9, "{widths:?}");
    }
}
