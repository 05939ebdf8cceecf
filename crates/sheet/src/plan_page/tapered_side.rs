//! A bar of a tapered stack from the side.

use forge::Twisting;
use glam::DVec2;
use laminate::{Bar, Billet};

use crate::typesetting::shape::{Pen, Shape, slants};

/// How a stack is drawn: points for a millimetre of height and of length, the tang's length (mm), how much longer the bars are
/// than they will be when their scale is off, and what is cropped off their ends (mm).
pub(crate) struct Scales {
    pub(crate) high: f64,
    pub(crate) long: f64,
    pub(crate) tang: f64,
    pub(crate) longer: f64,
    pub(crate) crop: f64,
}

/// The pens of borders, of layers and of twists, the steps of slanting lines (points) and how far they lean for a bar's height.
pub(crate) struct Pens {
    pub(crate) border: Pen,
    pub(crate) layer: Pen,
    pub(crate) twist: Pen,
    pub(crate) slant: f64,
    pub(crate) lean: f64,
}

/// Greatest height of a stack anywhere, mm.
pub(crate) fn tallest(billet: &Billet) -> f64 {
    let bars = &billet.bars()[..billet.places()];
    let places = bars.iter().flat_map(|bar| bar.height.places()).map(|p| p.0.max(0.0));
    let total = |s: f64| bars.iter().map(|bar| bar.height.at(s)).sum::<f64>();
    places.chain([0.0]).map(total).fold(0.0, f64::max)
}

/// A bar by its place from the back, `blade` mm long ahead of the shoulder, with so many `layers` lines along it.
pub(crate) fn side(
    (billet, i): (&Billet, usize),
    (blade, layers): (f64, usize),
    twisting: Option<&Twisting>,
    scales: &Scales,
    pens: &Pens,
) -> Vec<Shape> {
    let bar = &billet.bars()[i];
    let from = if bar.tang { -scales.tang } else { 0.0 };
    let border = Border { billet, i, places: places(billet, [from, blade], scales.longer), scales };
    let mut shapes = Vec::new();
    for k in 1..layers {
        shapes.extend(border.lines(k as f64 / layers as f64, pens.layer));
    }
    let start = if bar.tang { 0.0 } else { scales.tang };
    for stretch in twisting.iter().flat_map(|t| &t.stretches).filter(|s| s.turns > 0.0) {
        // Marks count from the bar's end before it is cropped.
        let ends = stretch.marks_mm.map(|mark| start + mark - scales.crop - scales.tang);
        shapes.extend(twisted(&border, ends, stretch.hand == "right", pens));
    }
    for share in [0.0, 1.0] {
        shapes.extend(border.lines(share, pens.border));
    }
    shapes.extend([from, blade].map(|s| {
        let [a, b] = [0.0, 1.0].map(|share| border.point(share, s));
        Shape::Line { from: a, to: b, pen: pens.border }
    }));
    shapes
}

/// A white stretch with slanting lines as high as the bar is everywhere on it.
fn twisted(border: &Border<'_>, [from, to]: [f64; 2], right: bool, pens: &Pens) -> Vec<Shape> {
    let inner = border.places.iter().copied().filter(|s| *s > from && *s < to);
    let all: Vec<f64> = [from, to].into_iter().chain(inner).collect();
    let top = all.iter().map(|&s| border.point(0.0, s).y).fold(f64::NEG_INFINITY, f64::max);
    let bottom = all.iter().map(|&s| border.point(1.0, s).y).fold(f64::INFINITY, f64::min);
    let at = DVec2::new(border.point(0.0, from).x, top);
    let size = DVec2::new(border.point(0.0, to).x - at.x, bottom - top);
    if size.y <= 0.0 {
        return Vec::new();
    }
    let lean = if right { pens.lean } else { -pens.lean } * size.y;
    let white = Shape::Rectangle { at, size, fill: Some([255; 3]), pen: None };
    std::iter::once(white).chain(slants(at, size, pens.slant, lean, pens.twist)).collect()
}

/// The places of a stack's bends between two ends and these, mm from the shoulder before scale is off.
fn places(billet: &Billet, [from, to]: [f64; 2], longer: f64) -> Vec<f64> {
    let all =
        billet.bars().iter().filter(|bar: &&Bar| !bar.height.is_even()).flat_map(|bar| bar.height.places());
    let inner = all.map(|p| p.0 * longer).chain([0.0]).filter(|s| *s > from && *s < to);
    let mut all: Vec<f64> = inner.chain([from, to]).collect();
    all.sort_by(f64::total_cmp);
    all.dedup_by(|a, b| a.total_cmp(b).is_eq());
    all
}

/// The borders of a bar in the drawing.
struct Border<'a> {
    billet: &'a Billet,
    i: usize,
    places: Vec<f64>,
    scales: &'a Scales,
}

impl Border<'_> {
    /// A point at a share of the bar's height from its upper border, and a place from the shoulder, mm.
    fn point(&self, share: f64, s: f64) -> DVec2 {
        let along = (s / self.scales.longer).max(0.0);
        let above: f64 = self.billet.bars()[..self.i].iter().map(|bar| bar.height.at(along)).sum();
        let down = above + share * self.billet.bars()[self.i].height.at(along);
        DVec2::new((self.scales.tang + s) * self.scales.long, down * self.scales.high)
    }

    /// A line along the bar.
    fn lines(&self, share: f64, pen: Pen) -> impl Iterator<Item = Shape> {
        let ends = self.places.windows(2).map(|w| [self.point(share, w[0]), self.point(share, w[1])]);
        ends.map(move |[from, to]| Shape::Line { from, to, pen }).collect::<Vec<_>>().into_iter()
    }
}
