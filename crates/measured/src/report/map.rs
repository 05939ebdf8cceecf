//! What to take off as a picture at full size: each side as the smith sees it, coloured in bands, with a legend.

use brep::Piece;
use drawing::{Anchor, Drawing, Item, Layer, Mark};
use glam::DVec2;
use laminate::run_colour;

use crate::compare::bench::{Bench, Slice};
use crate::surplus::advice::Advice;

/// Bands at most: more shades of grey are not told apart.
const BANDS: f64 = 6.0;
/// Breadths of a band in the unit of the design, round figures, from a caliper's step up: mm, and in.
const METRIC: [f64; 8] = [0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0];
/// See [`METRIC`].
const INCH: [f64; 8] = [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2];
/// Height of words, mm, and of the legend's fields.
const WORDS: f64 = 3.0;
const FIELD: f64 = 5.0;
/// Dots a mm of the legend's fields where they stand alone: as many lines of hatching as an eye needs to see it.
const LEGEND: f64 = 5.0;
/// From one field of the legend to the next, mm: a field, and words such as "0.000 to 0.005".
const APART: f64 = 50.0;
/// Half the breadth of a cross, mm.
const CROSS: f64 = 1.5;
/// Room between views, mm, for the stations and a title.
const ROOM: f64 = 16.0;
/// Where steel is gone the paper is white with dark lines across it: dots from one to the next, and broad.
const HATCH: [i64; 2] = [12, 4];
/// Where it is to be read first, the lines lean the other way and are so broad, dots.
const THIN: i64 = 1;
/// The lines' colour: the palette's darkest.
const DARK: [u8; 3] = [0x21, 0x21, 0x26];
const WHITE: [u8; 3] = [0xff; 3];

/// A picture of dots with its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Dots {
    /// Dots across.
    pub width: usize,
    /// Dots down.
    pub height: usize,
    /// sRGB, row by row from the top.
    pub rgb: Vec<u8>,
    /// Upper left corner in the drawing, mm.
    pub at: DVec2,
}

/// The map: a drawing, and the pictures under it.
#[derive(Clone, Debug, PartialEq)]
pub struct Map {
    /// Lines and words, mm.
    pub drawing: Drawing,
    /// The blade's sides and the legend's fields.
    pub pictures: Vec<Dots>,
}

/// A field of one side or one band, and what it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Shade {
    /// The side, or what its band stands for in the design's unit.
    pub title: String,
    /// Whether the point is on the left: a side seen from the left.
    pub mirrored: bool,
    /// Its picture, at the origin.
    pub dots: Dots,
}

/// The map's pictures without lines, for paper where words are set at their own size.
#[derive(Clone, Debug, PartialEq)]
pub struct Shades {
    /// The sides, or the right one where both are alike; the left one has its point to the left.
    pub sides: Vec<Shade>,
    /// Steel already gone first, then what is to be read first, then the bands from the least to the most.
    pub legend: Vec<Shade>,
}

/// A column of dots: the section in its middle, and the station of that, mm.
struct Column {
    slice: Slice,
    station: f64,
}

/// The bands of what is to take off.
#[derive(Clone, Copy, Debug)]
struct Bands {
    /// Breadth of a band, mm.
    step: f64,
    count: usize,
}

impl Bands {
    /// Up to `most` (mm), in round figures of a unit of so many mm.
    fn new(most: f64, unit: f64) -> Bands {
        let steps = if unit > 1.0 { INCH } else { METRIC };
        let fits = |step: &f64| most / (step * unit) <= BANDS;
        let step = steps.into_iter().find(fits).unwrap_or(steps[7]) * unit;
        Bands { step, count: ((most / step).ceil() as usize).clamp(1, BANDS as usize) }
    }

    /// The colour of a band: the more there is to take off, the darker.
    fn colour(self, band: usize) -> [u8; 3] {
        run_colour(1.0 - band.min(self.count - 1) as f64 / (self.count - 1).max(1) as f64)
    }

    /// The colour of a dot where this is to be done.
    fn dot(self, advice: Advice, across: usize, down: usize) -> [u8; 3] {
        let place = |across: i64| (across + down as i64).rem_euclid(HATCH[0]);
        match advice {
            Advice::Off(mm) => self.colour((mm / self.step).max(0.0) as usize),
            Advice::Leave => self.colour(0),
            Advice::Gone(_) if place(across as i64) < HATCH[1] => DARK,
            Advice::Read if place(-(across as i64)) < THIN => DARK,
            Advice::Gone(_) | Advice::Read => WHITE,
        }
    }
}

impl Bench {
    /// The map of the last session's blade on its way to the next stage, `dots` to the mm (1 to 40).
    pub fn map(&self, dots: f64) -> Map {
        let columns = self.columns(dots);
        let Shades { sides, legend } = self.shaded(&columns, dots, dots);
        let mut map = Map { drawing: Drawing::default(), pictures: Vec::new() };
        let (low, high) = extent(&columns);
        let length = self.history().length_mm;
        let mut top = 0.0;
        for Shade { title, mirrored, dots } in sides {
            map.pictures.push(Dots { at: DVec2::new(0.0, top), ..dots });
            map.text(DVec2::new(0.0, top + 2.0), &title);
            let shift = DVec2::new(if mirrored { length } else { 0.0 }, top - high);
            map.plan(&columns, shift, mirrored);
            self.read_next(&mut map, shift, mirrored);
            self.ruler(&mut map, top - (high - low), mirrored, length);
            top -= high - low + ROOM;
        }
        self.legend(&mut map, top + 0.4 * ROOM, legend);
        let title = format!(
            "{}, {}: to take off a side, in {}, for the {} stage; crosses: read there next",
            self.history().name,
            self.last().date,
            self.figures().spoken(),
            self.next()
        );
        map.text(DVec2::new(0.0, 2.0 + 3.0 * WORDS), &title);
        map
    }

    /// The map's pictures alone, the sides with `dots` to the mm (0.1 to 40).
    pub fn shades(&self, dots: f64) -> Shades {
        self.shaded(&self.columns(dots), dots, LEGEND)
    }

    fn shaded(&self, columns: &[Option<Column>], dots: f64, legend: f64) -> Shades {
        let bands = Bands::new(most(columns), self.figures().unit.millimetres());
        let range = extent(columns);
        let side = |(title, side, mirrored): &(&str, usize, bool)| Shade {
            title: (*title).to_owned(),
            mirrored: *mirrored,
            dots: picture(columns, dots, range, &bands, *side, *mirrored),
        };
        Shades { sides: self.sides().iter().map(side).collect(), legend: self.bands(&bands, legend) }
    }

    /// How many sides its maps show: one where both are alike.
    pub fn sides_shown(&self) -> usize {
        self.sides().len()
    }

    /// What is drawn: title, side, and whether it is seen from the left.
    fn sides(&self) -> &'static [(&'static str, usize, bool)] {
        if self.is_even() {
            &[("each side, seen from the right", 0, false)]
        } else {
            &[("right side", 0, false), ("left side", 1, true)]
        }
    }

    /// Sections in the middle of every column of dots, from the shoulder to the point.
    fn columns(&self, dots: f64) -> Vec<Option<Column>> {
        let count = (self.history().length_mm * dots).floor() as usize;
        let at = |i: usize| (i as f64 + 0.5) / dots;
        (0..count).map(|i| Some(Column { slice: self.section(at(i))?, station: at(i) })).collect()
    }

    /// Numbered crosses where reading next helps most, the best first.
    fn read_next(&self, map: &mut Map, shift: DVec2, mirrored: bool) {
        for (i, next) in self.last().read_next.iter().enumerate() {
            let Some(slice) = self.section(next.station_mm) else { continue };
            let (low, high) = slice.planned();
            let y = next.height_mm.map_or(high, |height| (low + height).min(high));
            let x = if mirrored { -next.station_mm } else { next.station_mm };
            let at = shift + DVec2::new(x, y);
            map.line(at - DVec2::X * CROSS, at + DVec2::X * CROSS);
            map.line(at - DVec2::Y * CROSS, at + DVec2::Y * CROSS);
            map.text(at + DVec2::splat(0.5 * CROSS), &format!("{}", i + 1));
        }
    }

    /// Stations along the lower border of a view.
    fn ruler(&self, map: &mut Map, y: f64, mirrored: bool, length: f64) {
        let figures = self.figures();
        let step = if figures.unit.millimetres() > 1.0 { 2.0 * figures.unit.millimetres() } else { 50.0 };
        let stations = (0..).map(|i| f64::from(i) * step).take_while(|x| *x <= length);
        for station in stations {
            let x = if mirrored { length - station } else { station };
            map.line(DVec2::new(x, y - 1.0), DVec2::new(x, y - 3.0));
            map.centred(DVec2::new(x, y - 3.5 - WORDS), &figures.station(station));
        }
    }

    /// The legend's fields.
    fn bands(&self, bands: &Bands, dots: f64) -> Vec<Shade> {
        let figures = self.figures();
        let gone = field("already gone".to_owned(), |i, j| bands.dot(Advice::Gone(1.0), i, j), dots);
        let read = field("read there first".to_owned(), |i, j| bands.dot(Advice::Read, i, j), dots);
        let band = |band: usize| {
            let [from, to] = [band, band + 1].map(|b| figures.thickness(b as f64 * bands.step));
            field(format!("{from} to {to}"), |_, _| bands.colour(band), dots)
        };
        [gone, read].into_iter().chain((0..bands.count).map(band)).collect()
    }

    /// The legend below `y`, in as many rows as the blade's length wants.
    fn legend(&self, map: &mut Map, y: f64, legend: Vec<Shade>) {
        let row = ((self.history().length_mm / APART) as usize).max(2);
        for (i, shade) in legend.into_iter().enumerate() {
            map.field(DVec2::new((i % row) as f64 * APART, y - (i / row) as f64 * 1.6 * FIELD), shade);
        }
    }
}

impl Map {
    /// A field of the legend, its upper left corner at `at`, and its words.
    fn field(&mut self, at: DVec2, shade: Shade) {
        self.pictures.push(Dots { at, ..shade.dots });
        self.frame(at - DVec2::Y * FIELD, DVec2::new(2.0 * FIELD, FIELD));
        self.text(at + DVec2::new(2.0 * FIELD + 1.5, -0.8 * FIELD), &shade.title);
    }

    fn put(&mut self, layer: Layer, mark: Mark) {
        self.drawing.items.push(Item { layer, mark });
    }

    fn text(&mut self, at: DVec2, text: &str) {
        self.words(at, text, Anchor::Start);
    }

    fn centred(&mut self, at: DVec2, text: &str) {
        self.words(at, text, Anchor::Middle);
    }

    fn words(&mut self, at: DVec2, text: &str, anchor: Anchor) {
        let mark = Mark::Text { at, height: WORDS, anchor, turn: 0.0, text: text.to_owned() };
        self.put(Layer::Text, mark);
    }

    fn line(&mut self, from: DVec2, to: DVec2) {
        let pieces = vec![Piece::Straight(from, to)];
        self.put(Layer::Station, Mark::Path { pieces, closed: false, filled: false });
    }

    /// The border of the planned stage, thin, from one column to the next.
    fn plan(&mut self, columns: &[Option<Column>], shift: DVec2, mirrored: bool) {
        // A millimetre or so apart: on a curve of 100 mm that is 0.001 mm beside it.
        let seen: Vec<&Column> = columns.iter().step_by(5).chain(columns.last()).flatten().collect();
        let sign = if mirrored { -1.0 } else { 1.0 };
        let point = |x: f64, y: f64| shift + DVec2::new(sign * x, y);
        let low = seen.iter().map(|c| point(c.station, c.slice.planned().0));
        let high = seen.iter().rev().map(|c| point(c.station, c.slice.planned().1));
        let border: Vec<DVec2> = low.chain(high).collect();
        let sides = border.iter().zip(border.iter().cycle().skip(1));
        let pieces = sides.map(|(a, b)| Piece::Straight(*a, *b)).collect();
        self.put(Layer::Outline, Mark::Path { pieces, closed: true, filled: false });
    }

    fn frame(&mut self, low: DVec2, size: DVec2) {
        let corners = [low, low + DVec2::X * size.x, low + size, low + DVec2::Y * size.y];
        let sides = corners.iter().zip(corners.iter().cycle().skip(1));
        let pieces = sides.map(|(a, b)| Piece::Straight(*a, *b)).collect();
        self.put(Layer::Station, Mark::Path { pieces, closed: true, filled: false });
    }
}

/// A field of the legend, by the colours of its dots.
fn field(title: String, colour: impl Fn(usize, usize) -> [u8; 3], dots: f64) -> Shade {
    let (width, height) = ((2.0 * FIELD * dots) as usize, (FIELD * dots) as usize);
    let rgb = (0..width * height).flat_map(|i| colour(i % width, i / width)).collect();
    Shade { title, mirrored: false, dots: Dots { width, height, rgb, at: DVec2::ZERO } }
}

/// Least and greatest height of the steel, mm.
fn extent(columns: &[Option<Column>]) -> (f64, f64) {
    let ranges = columns.iter().flatten().map(|c| c.slice.range());
    ranges.fold((f64::INFINITY, f64::NEG_INFINITY), |r, (a, b)| (r.0.min(a), r.1.max(b)))
}

/// The most that is to take off anywhere but in the point, mm: looked for where the legend's bands matter.
fn most(columns: &[Option<Column>]) -> f64 {
    const STEPS: usize = 12;
    let each = columns.iter().flatten().step_by(8).flat_map(|Column { slice, .. }| {
        let (low, high) = slice.range();
        (0..STEPS).filter_map(move |k| slice.advice(low + (high - low) * (k as f64 + 0.5) / STEPS as f64))
    });
    each.flatten().map(Advice::millimetres).fold(0.0, f64::max)
}

/// One side's dots.
fn picture(
    columns: &[Option<Column>],
    dots: f64,
    (low, high): (f64, f64),
    bands: &Bands,
    side: usize,
    mirrored: bool,
) -> Dots {
    let (width, height) = (columns.len(), ((high - low) * dots).ceil() as usize);
    let mut rgb = vec![0xff; 3 * width * height];
    for (i, column) in columns.iter().enumerate() {
        let Some(Column { slice, .. }) = column else { continue };
        let across = if mirrored { width - 1 - i } else { i };
        for down in 0..height {
            let y = high - (down as f64 + 0.5) / dots;
            if let Some(advice) = slice.advice(y) {
                let at = 3 * (down * width + across);
                rgb[at..at + 3].copy_from_slice(&bands.dot(advice[side], across, down));
            }
        }
    }
    Dots { width, height, rgb, at: DVec2::ZERO }
}
