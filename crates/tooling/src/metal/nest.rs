//! How gauges lie on sheets: in rows, the highest first, each in the first row with room for it.

use design::{Figures, Unit};
use drawing::Drawing;
use glam::DVec2;

use crate::metal::cut_gauge::CutGauge;
use crate::metal::cutting::{Cutting, CuttingFault};
use crate::slab::contour::Motion;

/// Least web between two cuts, mm; no less than the sheet is thick (common practice, no source).
const WEB: f64 = 6.0;
/// From a sheet's rim to the nearest cut, mm: clamps hold it there (common practice, no source).
const RIM: f64 = 10.0;
/// Sheets that are sold, mm, the smallest first; the last from a mill (common practice, no source).
const SHEETS: [[f64; 2]; 7] = [
    [500.0, 250.0],
    [500.0, 500.0],
    [1000.0, 500.0],
    [2000.0, 1000.0],
    [2500.0, 1250.0],
    [3000.0, 1500.0],
    [6000.0, 2000.0],
];
/// The same in inches (common practice, no source).
const INCH_SHEETS: [[f64; 2]; 7] =
    [[24.0, 12.0], [24.0, 24.0], [48.0, 24.0], [96.0, 48.0], [120.0, 48.0], [120.0, 60.0], [240.0, 72.0]];
/// Rounding allowed when places are compared, mm.
const SLACK: f64 = 1e-9;

/// A sheet with the gauges that are cut from it.
#[derive(Clone, Debug, PartialEq)]
pub struct CutSheet {
    /// Width and height, mm; its lower left corner is the origin.
    pub size: DVec2,
    /// The gauges by their number, and how each is turned and shifted.
    pub placed: Vec<(usize, Motion)>,
}

/// A row of gauges.
struct Row {
    sheet: usize,
    low: f64,
    height: f64,
    /// Where the next gauge begins.
    next: f64,
}

/// Lays gauges on as many sheets as they need, in rows by height (first fit, highest first). Gauges keep their way, or lie
/// across where only that fits.
///
/// # Errors
/// The gauge that needs the largest sheet, where it does not fit the one given or any that is sold.
pub fn nested(
    gauges: &[CutGauge],
    cutting: &Cutting,
    figures: Figures,
) -> Result<Vec<CutSheet>, CuttingFault> {
    let sheets = cutting.sheet.map_or_else(|| usual(figures.unit), |sheet| vec![sheet]);
    let fits = |sheet: &&[f64; 2]| gauges.iter().all(|g| turned(g, **sheet).is_some());
    let mut laid: Vec<_> = sheets.iter().filter(fits).map(|sheet| rows(gauges, *sheet, cutting)).collect();
    // The least that takes all, or else the largest.
    let one = laid.iter().position(|sheets| sheets.len() <= 1).or(laid.len().checked_sub(1));
    one.map(|i| laid.swap_remove(i))
        .ok_or_else(|| too_small(gauges, sheets.last().copied().unwrap_or_default()))
}

/// The sheets sold where a unit is in use, mm.
fn usual(unit: Unit) -> Vec<[f64; 2]> {
    match unit {
        Unit::Millimetre => SHEETS.to_vec(),
        Unit::Inch => INCH_SHEETS.map(|size| size.map(|side| side * unit.millimetres())).to_vec(),
    }
}

/// Whether a gauge lies across on the sheet; `None` where it has no room at all.
fn turned(gauge: &CutGauge, [width, height]: [f64; 2]) -> Option<bool> {
    let size = gauge.reach()[1];
    let room = DVec2::new(width, height) - 2.0 * RIM + SLACK;
    let fits = |size: DVec2| size.cmple(room).all();
    if fits(size) { Some(false) } else { fits(DVec2::new(size.y, size.x)).then_some(true) }
}

/// Says which gauge needs the largest sheet.
fn too_small(gauges: &[CutGauge], sheet: [f64; 2]) -> CuttingFault {
    let longest = |gauge: &&CutGauge| gauge.reach()[1].max_element();
    let misfits = gauges.iter().filter(|gauge| turned(gauge, sheet).is_none());
    let worst = misfits.max_by(|a, b| longest(a).total_cmp(&longest(b)));
    let least = worst.map_or(DVec2::ZERO, |gauge| gauge.reach()[1]) + 2.0 * RIM;
    let gauge = worst.map_or(String::new(), |gauge| gauge.name.clone());
    CuttingFault::Sheet { gauge, least: least.to_array(), sheet }
}

/// Gauges in rows on sheets of this size, each of which they all fit.
fn rows(gauges: &[CutGauge], sheet: [f64; 2], cutting: &Cutting) -> Vec<CutSheet> {
    let web = WEB.max(cutting.thickness);
    let lying = |gauge: &CutGauge| {
        let (across, [low, size]) = (turned(gauge, sheet).unwrap_or(false), gauge.reach());
        // A quarter turn to the left brings the upper left corner to the lower left.
        if across {
            (DVec2::new(size.y, size.x), std::f64::consts::FRAC_PI_2, DVec2::new(low.y + size.y, -low.x))
        } else {
            (size, 0.0, -low)
        }
    };
    let laid: Vec<_> = gauges.iter().map(lying).collect();
    let mut order: Vec<usize> = (0..gauges.len()).collect();
    order.sort_by(|a, b| laid[*b].0.y.total_cmp(&laid[*a].0.y).then(a.cmp(b)));
    let (mut rows, mut sheets): (Vec<Row>, Vec<CutSheet>) = (Vec::new(), Vec::new());
    for i in order {
        let (size, turn, shift) = laid[i];
        let row = row_for(&mut rows, &mut sheets, size, sheet, web);
        let at = DVec2::new(row.next, row.low) + shift;
        row.next += size.x + web;
        sheets[row.sheet].placed.push((i, Motion { turn, shift: at }));
    }
    sheets
}

/// The first row with room for a gauge, or a new one: on the first sheet with room above its rows, or on a new sheet.
fn row_for<'r>(
    rows: &'r mut Vec<Row>,
    sheets: &mut Vec<CutSheet>,
    size: DVec2,
    [width, height]: [f64; 2],
    web: f64,
) -> &'r mut Row {
    let fits = |row: &Row| row.next + size.x <= width - RIM + SLACK && size.y <= row.height + SLACK;
    let found = rows.iter().position(fits).unwrap_or_else(|| {
        let top = |sheet: usize| {
            let own = rows.iter().filter(|row| row.sheet == sheet);
            own.map(|row| row.low + row.height + web).fold(RIM, f64::max)
        };
        let room = |sheet: &usize| top(*sheet) + size.y <= height - RIM + SLACK;
        let sheet = (0..sheets.len()).find(room).unwrap_or(sheets.len());
        let low = top(sheet);
        if sheet == sheets.len() {
            sheets.push(CutSheet { size: DVec2::new(width, height), placed: Vec::new() });
        }
        rows.push(Row { sheet, low, height: size.y, next: RIM });
        rows.len() - 1
    });
    &mut rows[found]
}

impl CutSheet {
    /// Its size in figures.
    pub fn told(&self, figures: Figures) -> String {
        format!("{} × {}", figures.station(self.size.x), figures.told(self.size.y))
    }

    /// The sheet as a drawing: what to cut and what to mark, and nothing else.
    pub fn drawing(&self, gauges: &[CutGauge]) -> Drawing {
        let mut drawing = Drawing::default();
        for (i, motion) in &self.placed {
            gauges[*i].draw(&mut drawing, motion);
        }
        drawing
    }
}
