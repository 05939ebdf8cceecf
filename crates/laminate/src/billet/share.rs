//! Bars whose section is parted: several bars side by side through the thickness, and skins of another steel around
//! them.

use crate::billet::bar::SquarePoint;

/// Borders of cells nearer to each other than this share are one: rounding of lengths given in millimetres.
const SAME: f64 = 1e-9;

/// A rectangle of a section: shares of its height from the edge up and of its width from left to right, 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell {
    /// Between which shares of the height it lies.
    pub up: [f64; 2],
    /// Between which shares of the width it lies.
    pub through: [f64; 2],
}

impl Cell {
    /// All of the section.
    pub const WHOLE: Cell = Cell { up: [0.0, 1.0], through: [0.0, 1.0] };

    /// Its height and width as shares of the section's.
    pub fn size(&self) -> [f64; 2] {
        [self.up, self.through].map(|[from, to]| to - from)
    }

    /// A point of the section as one of the cell, both in shares from the middle.
    fn inner(&self, p: SquarePoint) -> SquarePoint {
        let within = |p: f64, [from, to]: [f64; 2]| (p + 0.5 - from) / (to - from) - 0.5;
        SquarePoint { up: within(p.up, self.up), through: within(p.through, self.through) }
    }

    /// The way back.
    fn outer(&self, p: SquarePoint) -> SquarePoint {
        let around = |p: f64, [from, to]: [f64; 2]| from + (p + 0.5) * (to - from) - 0.5;
        SquarePoint { up: around(p.up, self.up), through: around(p.through, self.through) }
    }
}

/// What a bar takes of a place in the stack: all of it, or those cells of it that are its own.
#[derive(Clone, Debug, PartialEq)]
pub struct Share {
    /// The bar whose place in the stack it lies in, counted from the back; none for a bar that has its own.
    pub of: Option<usize>,
    /// Its cells: several for a skin that lies on several faces.
    pub cells: Vec<Cell>,
}

impl Default for Share {
    fn default() -> Share {
        Share { of: None, cells: vec![Cell::WHOLE] }
    }
}

impl Share {
    /// The one cell that its layers fill. A skin on several faces is of one steel: it counts in all of the section.
    pub(crate) fn cell(&self) -> Cell {
        if let [one] = self.cells[..] { one } else { Cell::WHOLE }
    }

    /// A point of the section as one of the bar's own.
    pub(crate) fn inner(&self, p: SquarePoint) -> SquarePoint {
        self.cell().inner(p)
    }

    /// The way back.
    pub(crate) fn outer(&self, p: SquarePoint) -> SquarePoint {
        self.cell().outer(p)
    }

    /// Share of the section's area.
    pub fn area(&self) -> f64 {
        self.cells.iter().map(|cell| cell.size().iter().product::<f64>()).sum()
    }

    /// Thickness and breadth (mm) of the strip that its cells are bent from, in a section so high and wide (mm): as thick
    /// as on the thickest face, for a strip is drawn thinner, which spreads it, but not thicker; and as broad as its
    /// steel then is.
    pub fn strip(&self, [high, wide]: [f64; 2]) -> [f64; 2] {
        let thick = |cell: &Cell| {
            let [up, through] = cell.size();
            (up * high).min(through * wide)
        };
        let thickest = self.cells.iter().map(thick).fold(0.0, f64::max);
        [thickest, self.area() * high * wide / thickest]
    }
}

/// Thickness of a wrap on the faces of its core, mm of the stack; 0 where there is none.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Skins {
    /// On the face towards the edge.
    pub edge: f64,
    /// On the face towards the back.
    pub back: f64,
    /// On each of the faces towards the blade's sides.
    pub sides: f64,
}

/// The cells of bars side by side, of these widths in any one unit from left to right, and those of the skins around
/// them: in a section so high and wide, mm. `None` where a size is no positive number or skins leave nothing between
/// them.
pub fn parted([high, wide]: [f64; 2], widths: &[f64], skins: Skins) -> Option<(Vec<Cell>, Vec<Cell>)> {
    let sound = |v: &f64| v.is_finite() && *v > 0.0;
    let faces = [skins.edge, skins.back, skins.sides];
    let fits = skins.edge + skins.back < high && 2.0 * skins.sides < wide;
    let whole =
        [high, wide].iter().chain(widths).all(sound) && faces.iter().all(|v| v.is_finite() && *v >= 0.0);
    if !(fits && whole && !widths.is_empty()) {
        return None;
    }
    let up = [skins.edge / high, 1.0 - skins.back / high];
    let side = skins.sides / wide;
    let (sum, mut at) = (widths.iter().sum::<f64>(), 0.0);
    let mut border = side;
    let beside = widths.iter().enumerate().map(|(i, width)| {
        at += width;
        let to = if i + 1 == widths.len() { 1.0 - side } else { side + (1.0 - 2.0 * side) * at / sum };
        Cell { up, through: [std::mem::replace(&mut border, to), to] }
    });
    let beside = beside.collect();
    let skin = [
        Cell { up: [0.0, up[0]], through: [0.0, 1.0] },
        Cell { up, through: [0.0, side] },
        Cell { up, through: [1.0 - side, 1.0] },
        Cell { up: [up[1], 1.0], through: [0.0, 1.0] },
    ];
    Some((beside, skin.into_iter().filter(|cell| cell.size().iter().all(|s| *s > 0.0)).collect()))
}

/// A row of cells side by side.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct CellRow {
    /// Share of the section's height from which on it lies, 0 to 1.
    pub(crate) from: f64,
    /// Each bar and cell from left to right.
    pub(crate) cells: Vec<(usize, Cell)>,
}

/// The rows of a section from the edge up; `None` where cells leave some of it out or lie over each other.
pub(crate) fn rows(cells: impl Iterator<Item = (usize, Cell)>) -> Option<Vec<CellRow>> {
    let mut all: Vec<(usize, Cell)> = cells.collect();
    let key = |cell: &Cell| [cell.up[0], cell.through[0]];
    all.sort_by(|a, b| {
        let ([up, through], [other, beside]) = (key(&a.1), key(&b.1));
        up.total_cmp(&other).then(through.total_cmp(&beside))
    });
    let same = |a: f64, b: f64| (a - b).abs() < SAME;
    let each = all.chunk_by(|a, b| same(a.1.up[0], b.1.up[0]));
    let rows: Vec<CellRow> =
        each.map(|cells| CellRow { from: cells[0].1.up[0], cells: cells.to_vec() }).collect();
    let joined = |borders: &[[f64; 2]]| {
        borders.iter().try_fold(0.0, |at, &[from, to]| (same(at, from) && to > from).then_some(to))
    };
    let ends = |row: &CellRow| {
        let to = row.cells[0].1.up[1];
        let level = row.cells.iter().all(|(_, cell)| same(cell.up[1], to));
        let throughs: Vec<[f64; 2]> = row.cells.iter().map(|(_, cell)| cell.through).collect();
        let full = joined(&throughs).is_some_and(|end| same(end, 1.0));
        (level && full).then_some([row.from, to])
    };
    let bands: Vec<[f64; 2]> = rows.iter().map(ends).collect::<Option<_>>()?;
    joined(&bands).is_some_and(|end| same(end, 1.0)).then_some(rows)
}

/// The bar and cell of a row that hold a share of the width, 0 to 1; the outermost beyond the ends.
pub(crate) fn held(rows: &[CellRow], [up, through]: [f64; 2]) -> Option<(usize, Cell)> {
    let row = rows.iter().rev().find(|row| row.from <= up).or(rows.first())?;
    row.cells.iter().rev().find(|(_, cell)| cell.through[0] <= through).or(row.cells.first()).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SADDLE: Skins = Skins { edge: 3.0, back: 0.0, sides: 2.0 };

    /// A saddle of 3 mm under and 2 mm beside a core in a bar of 15 × 10: the core is 12 × 6.
    #[test]
    fn a_saddle_covers_three_faces() {
        let (core, skin) = parted([15.0, 10.0], &[1.0], SADDLE).unwrap();
        assert_eq!(core, [Cell { up: [0.2, 1.0], through: [0.2, 0.8] }]);
        assert_eq!(skin.len(), 3);
        let skin = Share { of: Some(0), cells: skin };
        assert!((skin.area() * 150.0 - (150.0 - 72.0)).abs() < 1e-9);
        let [thick, broad] = skin.strip([15.0, 10.0]);
        assert!((thick - 3.0).abs() < 1e-9 && (thick * broad - 78.0).abs() < 1e-9);
        // Of even thickness the strip is as thick as its skins.
        let (_, even) = parted([15.0, 10.0], &[1.0], Skins { edge: 2.0, back: 2.0, sides: 2.0 }).unwrap();
        let [thick, _] = Share { of: Some(0), cells: even }.strip([15.0, 10.0]);
        assert!((thick - 2.0).abs() < 1e-9);
    }

    #[test]
    fn every_point_is_in_one_cell_and_comes_back() {
        let (beside, skin) = parted([15.0, 10.0], &[2.0, 1.0, 1.0], SADDLE).unwrap();
        let all = beside.iter().enumerate().map(|(i, cell)| (i, *cell));
        let rows = rows(all.chain(skin.iter().map(|cell| (3, *cell)))).unwrap();
        assert_eq!(rows.len(), 2);
        for i in 0..40 {
            for j in 0..40 {
                let [up, through] = [i, j].map(|k| (f64::from(k) + 0.5) / 40.0);
                let (bar, cell) = held(&rows, [up, through]).unwrap();
                assert!(cell.up[0] <= up && up <= cell.up[1], "{up}");
                assert!(cell.through[0] <= through && through <= cell.through[1], "{through}");
                let core = up > 0.2 && through > 0.2 && through < 0.8;
                let wanted = if !core {
                    3
                } else if through < 0.5 {
                    0
                } else if through < 0.65 {
                    1
                } else {
                    2
                };
                assert_eq!(bar, wanted, "{up} {through}");
                let p = SquarePoint { up: up - 0.5, through: through - 0.5 };
                let (inner, back) = (cell.inner(p), cell.outer(cell.inner(p)));
                assert!(inner.up.abs() <= 0.5 && inner.through.abs() <= 0.5);
                assert!((back.up - p.up).abs() < 1e-15 && (back.through - p.through).abs() < 1e-15);
            }
        }
        assert_eq!(held(&rows, [-0.1, -0.1]).unwrap().0, 3);
    }

    #[test]
    fn what_does_not_fill_the_section_is_refused() {
        assert!(parted([15.0, 10.0], &[1.0], Skins { sides: 5.0, ..SADDLE }).is_none());
        assert!(parted([15.0, 10.0], &[1.0], Skins { edge: 15.0, ..SADDLE }).is_none());
        assert!(parted([15.0, 10.0], &[1.0], Skins { back: f64::NAN, ..SADDLE }).is_none());
        assert!(parted([15.0, 10.0], &[1.0], Skins { back: -1.0, ..SADDLE }).is_none());
        assert!(
            parted([15.0, 10.0], &[], SADDLE).is_none() && parted([15.0, 10.0], &[0.0], SADDLE).is_none()
        );
        let cell = |up, through| (0, Cell { up, through });
        assert!(rows([Cell::WHOLE].into_iter().map(|cell| (0, cell))).is_some());
        for gap in [
            vec![cell([0.0, 1.0], [0.0, 0.9])],
            vec![cell([0.0, 0.5], [0.0, 1.0])],
            vec![cell([0.0, 1.0], [0.0, 0.6]), cell([0.0, 1.0], [0.5, 1.0])],
            vec![cell([0.0, 0.6], [0.0, 1.0]), cell([0.5, 1.0], [0.0, 1.0])],
            vec![cell([0.0, 1.0], [0.0, 0.5]), cell([0.0, 0.9], [0.5, 1.0])],
            vec![],
        ] {
            assert!(rows(gap.clone().into_iter()).is_none(), "{gap:?}");
        }
    }
}
