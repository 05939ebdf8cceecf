//! One side of the blade on the sheet: its layers, its outline, and the fittings that hide it.

use blade::Sections;
use design::Fitting;
use drawing::{Drawing, Layer};
use export::{ExportFault, Raster};
use glam::DVec2;
use laminate::{Picture, View};

/// Stations at which the outline is read: half a millimetre apart on most blades.
const STATIONS: usize = 1200;
/// How far inside an end, and to each side of the shoulder plane, a section is read, mm.
const INSIDE: f64 = 1e-6;

/// A picture of dots with the place of its upper left corner, mm of the page.
pub(crate) struct Dots {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) rgb: Vec<u8>,
    pub(crate) at: DVec2,
}

impl Dots {
    /// The picture as writers take it, with its place.
    pub(crate) fn raster(&self) -> Result<(Raster<'_>, DVec2), ExportFault> {
        Raster::new(self.width, self.height, &self.rgb).map(|raster| (raster, self.at))
    }
}

/// A side in its own frame: mm of the steel, across the page and up.
pub(crate) struct Side {
    pub(crate) view: View,
    /// Least and greatest place, fittings with it.
    pub(crate) low: DVec2,
    pub(crate) high: DVec2,
    /// The lower and the upper border of the steel from the tang's end to the point.
    borders: [Vec<DVec2>; 2],
    /// The fittings' boxes.
    boxes: Vec<[DVec2; 2]>,
}

impl Side {
    /// A side of the stage with the sections given.
    pub(crate) fn new(view: View, stage: &Sections, fittings: &[Fitting]) -> Side {
        let boxes: Vec<[DVec2; 2]> =
            fittings.iter().filter(|f| is_drawn(f)).map(|f| fitting(f, view)).collect();
        let borders = borders(view, stage, &boxes);
        let all = || borders.iter().flatten().chain(boxes.iter().flatten()).copied();
        let (start, none) = (DVec2::splat(f64::INFINITY), DVec2::splat(f64::NEG_INFINITY));
        Side { low: all().fold(start, DVec2::min), high: all().fold(none, DVec2::max), view, borders, boxes }
    }

    /// The words over it.
    pub(crate) fn title(&self) -> &'static str {
        match self.view {
            View::Right => "Right side",
            View::Left => "Left side",
            View::Back => "Back",
            View::Edge => "Edge",
        }
    }

    /// Draws outline and fittings, `scale` times as large and moved by `to`.
    pub(crate) fn draw(&self, drawing: &mut Drawing, scale: f64, to: DVec2) {
        let [lower, upper] = &self.borders;
        let around: Vec<DVec2> =
            lower.iter().chain(upper.iter().rev()).chain(lower.first()).copied().collect();
        for run in around.chunk_by(|a, b| !self.hides(0.5 * (*a + *b))) {
            let points: Vec<DVec2> = run.iter().map(|p| *p * scale + to).collect();
            drawing.polyline(Layer::Station, &points);
        }
        for [low, high] in &self.boxes {
            drawing.rectangle(Layer::Outline, [*low * scale + to, *high * scale + to], false);
        }
    }

    /// The picture with paper where a fitting hides the steel; `dots` are those to the mm of the steel.
    pub(crate) fn behind_fittings(&self, picture: Picture, dots: f64) -> Picture {
        let Picture { width, left, top, mut rgb, .. } = picture;
        for (k, dot) in rgb.chunks_exact_mut(3).enumerate() {
            let at = DVec2::new((k % width) as f64 + 0.5, -((k / width) as f64 + 0.5)) / dots;
            if self.hides(DVec2::new(left, top) + at) {
                dot.fill(u8::MAX);
            }
        }
        Picture { rgb, ..picture }
    }

    /// Whether a fitting lies over a place.
    fn hides(&self, p: DVec2) -> bool {
        self.boxes.iter().any(|[low, high]| p.cmpge(*low).all() && p.cmple(*high).all())
    }
}

/// Whether a fitting has a size to draw; a point mass has none.
pub(crate) fn is_drawn(f: &Fitting) -> bool {
    f.length > 0.0 && f.radius > 0.0
}

/// A station seen in a view: left of it lies the point on the left side.
fn across(view: View, x: f64) -> f64 {
    if view == View::Left { -x } else { x }
}

/// The box of a fitting: a cylinder about the tang's centre line.
fn fitting(f: &Fitting, view: View) -> [DVec2; 2] {
    let half = DVec2::new(0.5 * f.length, f.radius);
    let middle = DVec2::new(across(view, f.at), 0.0);
    [middle - half, middle + half]
}

/// Both borders, read evenly along the steel and where fittings begin and end.
fn borders(view: View, stage: &Sections, boxes: &[[DVec2; 2]]) -> [Vec<DVec2>; 2] {
    let (from, to) = stage.range();
    let (from, to) = (from + INSIDE, to - INSIDE);
    let even = (0..=STATIONS).map(|i| from + (to - from) * i as f64 / STATIONS as f64);
    let ends = boxes.iter().flatten().flat_map(|p| [p.x - INSIDE, p.x + INSIDE]).map(|u| across(view, u));
    let mut stations: Vec<f64> = even.chain(ends).chain([-INSIDE, INSIDE]).collect();
    stations.retain(|x| (from..=to).contains(x));
    stations.sort_by(f64::total_cmp);
    let mut borders = [Vec::new(), Vec::new()];
    for x in stations {
        let Some(section) = stage.at(x) else { continue };
        let (low, high) = match view {
            View::Right | View::Left => section.range(),
            View::Edge => section.extent(),
            // From above the left side is up.
            View::Back => {
                let (left, right) = section.extent();
                (-right, -left)
            }
        };
        borders[0].push(DVec2::new(across(view, x), low));
        borders[1].push(DVec2::new(across(view, x), high));
    }
    borders
}
