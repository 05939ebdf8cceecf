//! A template on sheets of paper: windows that overlap, crosses to join them, check bars, a page map.

use blade::Stage;
use design::Paper;
use glam::DVec2;

use crate::paper::template::Template;
use drawing::{Anchor, Drawing, Layer};
use drawing::{Extent, overlap, text_width};

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
const STRIP: f64 = 23.5;
/// How much neighbouring windows share, mm: two crosses' breadths, so that paper meets paper with room for glue.
const OVERLAP: f64 = 10.0;
/// Length of a cross's arms, mm: long enough to lay a rule along, and inside the overlap.
const ARM: f64 = 3.0;
/// From the middle of a cross to the window's near border, mm: the middle of an overlap.
const INSET: f64 = 0.5 * OVERLAP;
/// How far the drawing may lie beside the middle, mm: half the way from station to station, so that windows' borders can
/// pass between figures.
const ASIDE: f64 = 13.0;
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
/// From line to line of the hatching, along the border, mm: grey from afar.
const HATCH: f64 = 1.2;

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
    /// The fewest windows, the drawing in their middle or a little beside it, where less is cut by their borders.
    fn over([low, high]: Extent, window: DVec2, template: &Template) -> Grid {
        let step = window - OVERLAP;
        let count = ((high - low - OVERLAP) / step).ceil().max(DVec2::ONE);
        let whole = count * step + OVERLAP;
        let middle = 0.5 * (low + high) + DVec2::new(-0.5, 0.5) * whole;
        let slack = (0.5 * (whole - (high - low))).min(DVec2::splat(ASIDE)).floor();
        let (rows, columns) = (count.y as usize, count.x as usize);
        let at = |shift: DVec2| Grid { corner: middle + shift, window, rows, columns, seen: Vec::new() };
        let (marks, texts) = (template.drawing.extents(), template.drawing.text_extents());
        let tried = shifts(slack).into_iter().map(at);
        let mut grid = tried.min_by_key(|grid| grid.spoilt(&marks, &texts)).unwrap_or(at(DVec2::ZERO));
        grid.seen =
            grid.all().map(|place| marks.iter().any(|m| overlap(m, &grid.window_at(place)))).collect();
        grid
    }

    /// How many texts no window shows whole, and how many marks crosses are drawn over.
    fn spoilt(&self, marks: &[Extent], texts: &[Extent]) -> usize {
        let windows: Vec<Extent> = self.all().map(|place| self.window_at(place)).collect();
        let whole = |t: &Extent| windows.iter().any(|w| w[0].cmple(t[0]).all() && t[1].cmple(w[1]).all());
        let cut = texts.iter().filter(|t| !whole(t)).count();
        let arms = |p: &DVec2| [*p - ARM, *p + ARM];
        let crosses: Vec<Extent> = self.joints().iter().map(arms).collect();
        cut + marks.iter().filter(|m| crosses.iter().any(|c| overlap(m, c))).count()
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

    /// Where crosses may stand in the drawing: on the middle line of each overlap at its ends and where overlaps meet.
    fn joints(&self) -> Vec<DVec2> {
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
        all.filter(|(place, _)| joins(*place)).map(|(_, p)| p).collect()
    }

    /// Where crosses do stand: where more than one page shows them.
    fn crosses(&self) -> Vec<DVec2> {
        let pages = self.pages();
        let shared = |p: &DVec2| pages.iter().filter(|w| self.shows(**w, *p)).count() > 1;
        self.joints().into_iter().filter(shared).collect()
    }

    /// Whether a window shows a point.
    fn shows(&self, place: (usize, usize), p: DVec2) -> bool {
        let [low, high] = self.window_at(place);
        p.cmpgt(low).all() && p.cmplt(high).all()
    }
}

/// Shifts of whole millimetres up to `most` each way, small ones first.
fn shifts(most: DVec2) -> Vec<DVec2> {
    let along = |most: f64| (-(most as i32)..=most as i32).map(f64::from);
    let mut all: Vec<DVec2> =
        along(most.x).flat_map(|x| along(most.y).map(move |y| DVec2::new(x, y))).collect();
    all.sort_by(|a, b| a.length_squared().total_cmp(&b.length_squared()));
    all
}

/// A page: its window on the template, crosses, check bars, words and the map of pages.
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

/// What to mind about paper and edge.
fn caution(template: &Template) -> String {
    let hot = if template.hot.is_some() {
        "Paper and plastic burn: copy this to sheet metal for hot work."
    } else {
        "Paper and plastic burn: hold them to cold steel only."
    };
    let edge = match template.stage {
        Stage::Forged | Stage::Ground => "Corners and burrs are sharp.",
        Stage::Finished => "Edge, corners and burrs cut.",
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

/// All pages small, this one hatched so that the blade shows, with the blade's box; `corner` is the map's lower right corner.
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
        sheet.rectangle(Layer::Sheet, cell, false);
        if place == here {
            hatch(sheet, cell);
        } else {
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

/// Fills a box with slanting lines.
fn hatch(sheet: &mut Drawing, [low, high]: Extent) {
    let size = high - low;
    let mut d = HATCH;
    while d < size.x + size.y {
        let from = DVec2::new((d - size.y).max(0.0), d.min(size.y));
        let to = DVec2::new(d.min(size.x), (d - size.x).max(0.0));
        sheet.line(Layer::Sheet, low + from, low + to);
        d += HATCH;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::{profile, profiles};
    use crate::paper::template::template;
    use brep::Piece;
    use drawing::around;
    use drawing::{Item, Mark};

    const PAPERS: [Paper; 3] = [Paper::A4, Paper::A3, Paper::Letter];

    fn of(stem: &str, paper: Paper) -> (Template, Vec<Tile>) {
        let template = template(&profile(stem), Stage::Finished, None).unwrap();
        let tiles = tiles(&template, paper);
        (template, tiles)
    }

    /// The window in the drawing.
    fn seen(tile: &Tile) -> Extent {
        tile.window.map(|p| p - tile.shift)
    }

    #[test]
    fn the_long_trial_takes_three_sheets_of_a4_and_two_of_a3() {
        // 130 mm of tang, 480 of blade and 21 of dimensions and centre line: 631 mm. Windows of 281 mm (297 less two
        // margins) that share 10 reach 281, 552, 823; of 404 mm (A3) 404, 798. All is lower than one window.
        let (template, a4) = of("chain-smiths-trial", Paper::A4);
        let [low, high] = template.drawing.bounds().unwrap();
        assert!((high.x - low.x - 631.0).abs() < 1.0, "{low} {high}");
        assert_eq!(a4.len(), 3);
        assert_eq!(of("chain-smiths-trial", Paper::A3).1.len(), 2);
        assert_eq!(of("ferrymans-knife", Paper::A4).1.len(), 1);
    }

    #[test]
    fn every_profile_fits_its_pages_at_every_stage() {
        for (name, design) in profiles() {
            for (stage, paper) in Stage::ALL.into_iter().flat_map(|s| PAPERS.map(|p| (s, p))) {
                let template = template(&design, stage, None).unwrap();
                let tiles = tiles(&template, paper);
                assert!(!tiles.is_empty() && tiles.len() < 12, "{name} {stage} {paper:?}: {}", tiles.len());
                for tile in &tiles {
                    let printable = [DVec2::splat(MARGIN), tile.size - MARGIN];
                    for [low, high] in tile.sheet.extents() {
                        let inside =
                            low.cmpge(printable[0] - 1e-9).all() && high.cmple(printable[1] + 1e-9).all();
                        assert!(inside, "{name} {stage} {paper:?}: {low} {high}");
                    }
                    let texts = tile.sheet.text_extents();
                    let clash = (0..texts.len()).any(|i| (0..i).any(|j| overlap(&texts[i], &texts[j])));
                    assert!(!clash, "{name} {stage} {paper:?}");
                }
                for [low, high] in template.drawing.extents() {
                    // Pieces run across windows; their corners must lie in some.
                    for p in [low, high] {
                        let shown = |t: &Tile| {
                            let [a, b] = seen(t);
                            p.cmpge(a - 1e-9).all() && p.cmple(b + 1e-9).all()
                        };
                        let blank = tiles.len() < rows_and_columns(&tiles);
                        assert!(blank || tiles.iter().any(shown), "{name} {stage} {paper:?}: {p}");
                    }
                }
            }
        }
    }

    fn rows_and_columns(tiles: &[Tile]) -> usize {
        let most = |of: fn(&Tile) -> usize| tiles.iter().map(of).max().unwrap() + 1;
        most(|t| t.row) * most(|t| t.column)
    }

    #[test]
    fn windows_cover_the_drawing_and_share_exactly_the_overlap() {
        for stem in ["toll-keepers-langseax", "inch-barge-seax", "chain-smiths-trial"] {
            for paper in PAPERS {
                let (template, tiles) = of(stem, paper);
                let [low, high] = template.drawing.bounds().unwrap();
                let windows: Vec<Extent> = tiles.iter().map(seen).collect();
                let [a, b] = around(&windows.concat());
                assert!(a.cmple(low).all() && b.cmpge(high).all(), "{stem}");
                assert_eq!(tiles.len(), rows_and_columns(&tiles), "{stem}");
                for (one, other) in tiles.iter().zip(&tiles[1..]).filter(|(a, b)| a.row == b.row) {
                    assert!((seen(one)[1].x - seen(other)[0].x - OVERLAP).abs() < 1e-9);
                    assert!((seen(one)[0].y - seen(other)[0].y).abs() < 1e-9);
                }
                let aside = 0.5 * (a + b) - 0.5 * (low + high);
                assert!(aside.abs().max_element() <= ASIDE + 1e-9, "{stem}: {aside}");
            }
        }
    }

    /// Crosses by letter, in the drawing.
    fn crosses(tile: &Tile) -> Vec<(String, DVec2)> {
        let letters = tile.sheet.items.iter().filter_map(|item| match &item.mark {
            Mark::Text { text, at, .. } if at.y > tile.window[0].y => Some((text.clone(), *at)),
            _ => None,
        });
        letters.map(|(text, at)| (text, at - 0.7 - tile.shift)).collect()
    }

    #[test]
    fn like_letters_mark_the_same_place_on_neighbouring_pages() {
        let mut tall = of("toll-keepers-langseax", Paper::A4).0;
        // Twice the height takes two rows.
        tall.drawing.line(Layer::Text, DVec2::ZERO, DVec2::new(0.0, 300.0));
        for tiles in [of("toll-keepers-langseax", Paper::A4).1, tiles(&tall, Paper::A4)] {
            let mut met = 0;
            for (i, one) in tiles.iter().enumerate() {
                let steps = |t: &Tile| t.row.abs_diff(one.row) + t.column.abs_diff(one.column);
                for other in tiles[i + 1..].iter().filter(|t| steps(t) == 1) {
                    let (mine, theirs) = (crosses(one), crosses(other));
                    let same = mine
                        .iter()
                        .filter(|(l, p)| theirs.iter().any(|(m, q)| l == m && p.distance(*q) < 1e-9));
                    assert!(same.count() >= 2, "{mine:?} {theirs:?}");
                    met += 1;
                }
            }
            assert!(met + 1 >= tiles.len() && tiles.len() > 3, "{met} {}", tiles.len());
        }
    }

    #[test]
    fn a_page_without_anything_is_left_out_and_called_blank() {
        let mut template = of("ferrymans-knife", Paper::A4).0;
        // Far below and to the right, so that three of four windows hold something.
        let far = DVec2::new(300.0, -250.0);
        template.drawing.line(Layer::Text, far, far + DVec2::new(20.0, 0.0));
        let tiles = tiles(&template, Paper::A4);
        let blank = |i: &Item| matches!(&i.mark, Mark::Text { text, .. } if text == "blank");
        let missing = rows_and_columns(&tiles) - tiles.len();
        assert!(missing > 0, "{}", tiles.len());
        for tile in &tiles {
            assert_eq!(tile.sheet.items.iter().filter(|i| blank(i)).count(), missing);
        }
    }

    #[test]
    fn check_bars_are_single_lines_of_their_length() {
        for paper in PAPERS {
            for tile in of("chain-smiths-trial", paper).1 {
                for length in [100.0, 4.0 * 25.4] {
                    let bar = |i: &&Item| match &i.mark {
                        Mark::Path { pieces, .. } => matches!(pieces[..], [Piece::Straight(a, b)]
                            if (a.distance(b) - length).abs() < 1e-9 && a.y.to_bits() == b.y.to_bits()),
                        _ => false,
                    };
                    assert_eq!(tile.sheet.items.iter().filter(bar).count(), 1, "{length}");
                }
            }
        }
    }

    #[test]
    fn every_page_names_blade_and_stage() {
        let tiles = of("toll-keepers-langseax", Paper::Letter).1;
        for (i, tile) in tiles.iter().enumerate() {
            let head = format!("Toll keeper's langseax, finished stage, page {} of {}", i + 1, tiles.len());
            let found = |item: &Item| matches!(&item.mark, Mark::Text { text, .. } if *text == head);
            assert!(tile.sheet.items.iter().any(found), "{head}");
        }
    }
}
