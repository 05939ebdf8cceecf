//! A template on sheets of paper: windows that overlap, crosses to join them, check bars, a page map.

use blade::Stage;
use design::Paper;
use glam::DVec2;

use crate::drawing::{Anchor, Drawing, Layer};
use crate::extent::{Extent, overlap, text_width};
use crate::template::Template;

/// A page of a template, lying on its long side, mm from its lower left corner.
#[derive(Clone, Debug, PartialEq)]
pub struct Tile {
    /// Width and height of the page.
    pub size: DVec2,
    /// What belongs to the page: crosses, check bars, words, page map.
    pub sheet: Drawing,
    /// From a point of the template to where it lies on the page.
    pub shift: DVec2,
    /// Lower left and upper right corner of the page's part that shows the template.
    pub window: [DVec2; 2],
    /// Which row of the whole, from 0 at the top.
    pub row: usize,
    /// Which column, from 0 at the left.
    pub column: usize,
}

/// What common printers leave blank along a page's border, mm, and a little more (common practice, no source).
const MARGIN: f64 = 8.0;
/// Height of the strip under the window, mm: four lines and the check bars.
const STRIP: f64 = 25.0;
/// How much neighbouring windows share, mm: two crosses' breadths, so that paper meets paper with room for glue.
const OVERLAP: f64 = 10.0;
/// Length of a cross's arms, mm: long enough to lay a rule along, and inside the overlap.
const ARM: f64 = 3.0;
/// From the middle of a cross to the window's near border, mm: the middle of an overlap.
const INSET: f64 = 0.5 * OVERLAP;
/// The check bars, mm, and their labels: one for each kind of rule; the inch is 25.4 mm.
const BARS: [(f64, &str); 2] = [(100.0, "100 mm"), (101.6, "4 in")];
/// Height of a bar's end ticks to each side, mm.
const BAR_END: f64 = 1.5;
/// From bar to bar and to the map, mm.
const BAR_GAP: f64 = 5.0;
/// Width of the page map, mm: what the bars leave of the narrowest page.
const MAP: f64 = 48.0;
/// Height of the capitals of words, mm, and of the first line.
const WORDS: f64 = 2.2;
const HEAD: f64 = 3.0;
/// Base lines of caution, bars, hint and head over the strip's foot, mm.
const LEVELS: [f64; 4] = [1.0, 7.0, 13.6, 18.6];
/// Height of the capitals of a map's numbers, mm.
const MAP_FIGURE: f64 = 1.8;

/// Rows and columns of windows over a drawing.
struct Grid {
    /// Upper left corner of the whole, in the drawing.
    corner: DVec2,
    /// Width and height of a window.
    window: DVec2,
    rows: usize,
    columns: usize,
    /// By row and column whether anything of the drawing is seen, row after row.
    seen: Vec<bool>,
}

/// The pages of a template on this paper: as few as hold all of it, with the template in the middle of the whole. Pages
/// on which nothing would be seen are left out and called blank on the page map. None for an empty drawing.
pub fn tiles(template: &Template, paper: Paper) -> Vec<Tile> {
    let [width, height] = paper.size();
    // Blades are long and low.
    let size = DVec2::new(width.max(height), width.min(height));
    let Some(bounds) = template.drawing.bounds() else { return Vec::new() };
    let grid = Grid::over(bounds, size - DVec2::new(2.0 * MARGIN, 2.0 * MARGIN + STRIP), template);
    let pages = grid.pages();
    pages.iter().enumerate().map(|(i, &place)| tile(template, &grid, size, i, place, pages.len())).collect()
}

impl Grid {
    fn over([low, high]: Extent, window: DVec2, template: &Template) -> Grid {
        let step = window - OVERLAP;
        let count = ((high - low - OVERLAP) / step).ceil().max(DVec2::ONE);
        let whole = count * step + OVERLAP;
        let middle = 0.5 * (low + high);
        let corner = middle + DVec2::new(-0.5, 0.5) * whole;
        let mut grid =
            Grid { corner, window, rows: count.y as usize, columns: count.x as usize, seen: Vec::new() };
        let marks = template.drawing.extents();
        grid.seen =
            grid.all().map(|place| marks.iter().any(|m| overlap(m, &grid.window_at(place)))).collect();
        grid
    }

    /// All places, row after row.
    fn all(&self) -> impl Iterator<Item = (usize, usize)> + use<> {
        let columns = self.columns;
        (0..self.rows).flat_map(move |r| (0..columns).map(move |c| (r, c)))
    }

    /// The places with something to see, in the order of the pages.
    fn pages(&self) -> Vec<(usize, usize)> {
        self.all().zip(&self.seen).filter(|(_, seen)| **seen).map(|(place, _)| place).collect()
    }

    /// A window in the drawing.
    fn window_at(&self, (row, column): (usize, usize)) -> Extent {
        let step = (self.window - OVERLAP) * DVec2::new(column as f64, -(row as f64));
        let low = self.corner + step - DVec2::new(0.0, self.window.y);
        [low, low + self.window]
    }

    /// The lower left and upper right corner of the whole.
    fn whole(&self) -> Extent {
        let [low, _] = self.window_at((self.rows - 1, 0));
        let [_, high] = self.window_at((0, self.columns - 1));
        [low, high]
    }

    /// Where crosses stand in the drawing: on the middle line of each overlap at its ends and where overlaps meet. Only
    /// those that more than one page shows.
    fn crosses(&self) -> Vec<DVec2> {
        let [low, high] = self.whole();
        let step = self.window - OVERLAP;
        let lines = |count: usize, step: f64, from: f64, to: f64| {
            let inner = (1..count).map(move |i| from + step * i as f64);
            std::iter::once(from).chain(inner).chain([to]).enumerate().collect::<Vec<_>>()
        };
        let xs = lines(self.columns, step.x, low.x + INSET, high.x - INSET);
        let ys = lines(self.rows, -step.y, high.y - INSET, low.y + INSET);
        let joins = |(i, j): (usize, usize)| (1..self.columns).contains(&i) || (1..self.rows).contains(&j);
        let all = ys.iter().flat_map(|&(j, y)| xs.iter().map(move |&(i, x)| ((i, j), DVec2::new(x, y))));
        let shared = |p: &DVec2| self.pages().iter().filter(|w| self.shows(**w, *p)).count() > 1;
        all.filter(|(place, _)| joins(*place)).map(|(_, p)| p).filter(shared).collect()
    }

    /// Whether a window shows a point.
    fn shows(&self, place: (usize, usize), p: DVec2) -> bool {
        let [low, high] = self.window_at(place);
        p.cmpgt(low).all() && p.cmplt(high).all()
    }
}

fn tile(
    template: &Template,
    grid: &Grid,
    size: DVec2,
    index: usize,
    place: (usize, usize),
    count: usize,
) -> Tile {
    let low = DVec2::new(MARGIN, MARGIN + STRIP);
    let shift = low - grid.window_at(place)[0];
    let mut sheet = Drawing::default();
    for (i, p) in grid.crosses().into_iter().enumerate().filter(|(_, p)| grid.shows(place, *p)) {
        cross(&mut sheet, p + shift, &letter(i));
    }
    sheet.line(Layer::Sheet, DVec2::new(MARGIN, low.y), DVec2::new(size.x - MARGIN, low.y));
    let room = size.x - 2.0 * MARGIN - MAP - BAR_GAP;
    words(&mut sheet, template, room, [index + 1, count, place.0 + 1, place.1 + 1]);
    bars(&mut sheet);
    map(&mut sheet, template, grid, DVec2::new(size.x - MARGIN, MARGIN), place);
    Tile { size, sheet, shift, window: [low, low + grid.window], row: place.0, column: place.1 }
}

/// A cross and its letter to the upper right.
fn cross(sheet: &mut Drawing, at: DVec2, letter: &str) {
    for arm in [DVec2::X, DVec2::Y] {
        sheet.line(Layer::Sheet, at - arm * ARM, at + arm * ARM);
    }
    sheet.text(at + 0.7, WORDS, Anchor::Start, letter);
}

/// A to Z, then A1 to Z1 and so on.
fn letter(i: usize) -> String {
    let letter = char::from(b'A' + (i % 26) as u8);
    if i < 26 { letter.into() } else { format!("{letter}{}", i / 26) }
}

/// Head, hint and caution of a page; lines too long for their room are set smaller.
fn words(sheet: &mut Drawing, template: &Template, room: f64, [page, count, row, column]: [usize; 4]) {
    let stage = template.stage;
    let lines = [
        (LEVELS[3], HEAD, format!("{}, {stage} stage, page {page} of {count}", template.name)),
        (
            LEVELS[2],
            WORDS,
            format!("Row {row}, column {column}. Print at 100 %, no fitting to page; measure both bars."),
        ),
        (LEVELS[0], WORDS, caution(template)),
    ];
    for (y, height, text) in lines {
        let height = height.min(height * room / text_width(&text, height));
        sheet.text(DVec2::new(MARGIN, MARGIN + y), height, Anchor::Start, text);
    }
}

fn caution(template: &Template) -> String {
    let hot = if template.hot.is_some() {
        "Paper and plastic burn: copy this to sheet metal for hot work."
    } else {
        "Paper and plastic burn: hold them to cold steel only."
    };
    let edge = match template.stage {
        Stage::Forged | Stage::Ground => "Corners and burrs cut.",
        Stage::Finished => "The edge is sharp.",
    };
    format!("{hot} {edge}")
}

/// The check bars, each one straight line from end to end.
fn bars(sheet: &mut Drawing) {
    let mut at = DVec2::new(MARGIN, MARGIN + LEVELS[1]);
    for (length, label) in BARS {
        let end = at + DVec2::new(length, 0.0);
        sheet.line(Layer::Sheet, at, end);
        for p in [at, end] {
            sheet.line(Layer::Sheet, p - DVec2::new(0.0, BAR_END), p + DVec2::new(0.0, BAR_END));
        }
        let middle = at.midpoint(end) + DVec2::new(0.0, 1.0);
        sheet.text(middle, WORDS, Anchor::Middle, format!("This bar is {label} long"));
        at = end + DVec2::new(BAR_GAP, 0.0);
    }
}

/// All pages small, this one filled, with the blade's box; `corner` is the map's lower right corner.
fn map(sheet: &mut Drawing, template: &Template, grid: &Grid, corner: DVec2, here: (usize, usize)) {
    let [low, high] = grid.whole();
    let scale = (DVec2::new(MAP, STRIP - 2.0) / (high - low)).min_element();
    let origin = corner - DVec2::new(scale * (high.x - low.x), 0.0);
    let small = |corners: Extent| corners.map(|p| origin + (p - low) * scale);
    let pages = grid.pages();
    for place in grid.all() {
        let [a, b] = grid.window_at(place);
        // Neighbours meet in the middle of what they share.
        let cell = small([a + INSET, b - INSET]);
        sheet.rectangle(Layer::Sheet, cell, place == here);
        if place != here {
            let page = pages.iter().position(|&p| p == place);
            cell_text(sheet, cell, page.map_or("blank".into(), |i| (i + 1).to_string()));
        }
    }
    sheet.rectangle(Layer::Outline, small(template.blade), false);
}

/// A page's number in the lower part of its cell, clear of a blade in the middle of the whole where there is room.
fn cell_text(sheet: &mut Drawing, [low, high]: Extent, text: String) {
    let size = high - low;
    let height = MAP_FIGURE.min(0.8 * size.x / text_width(&text, 1.0)).min(0.4 * size.y);
    sheet.text(DVec2::new(0.5 * (low.x + high.x), low.y + 0.4 * height), height, Anchor::Middle, text);
}
