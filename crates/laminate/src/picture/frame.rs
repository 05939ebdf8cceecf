//! The frame of a picture: from where the blade is looked at, how finely, and where its pixels lie.

use blade::Sections;
use rayon::iter::{IntoParallelIterator, ParallelIterator};

/// From where the blade is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    /// From the right (+z): x to the right, y up.
    Right,
    /// From the left (−z): x to the left, y up.
    Left,
    /// From above, on the back: x to the right, the left side up.
    Back,
    /// From below, on the edge: x to the right, the right side up.
    Edge,
}

impl View {
    /// All of them.
    pub const ALL: [View; 4] = [View::Right, View::Left, View::Back, View::Edge];

    /// Its name in lower case.
    pub fn name(self) -> &'static str {
        match self {
            View::Right => "right",
            View::Left => "left",
            View::Back => "back",
            View::Edge => "edge",
        }
    }
}

/// What the colours tell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Colouring<'a> {
    /// The steel of the layer at every point.
    Steels,
    /// The bar at every point.
    Bars,
    /// How bright the layer comes out of the etch.
    Etched(&'a Etched),
}

/// How bright every steel comes out of the etch in every bar, 0 dark to 1 bright: in the order of the billet's bars, each in
/// that of its steels; of a billet with plugs, last, in plugs. A steel or a bar that is missing counts as 0.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Etched(pub Vec<Vec<f64>>);

impl Etched {
    /// How bright a steel is in a bar, by their indices.
    pub fn brightness(&self, bar: usize, steel: usize) -> f64 {
        self.0.get(bar).and_then(|steels| steels.get(steel)).copied().unwrap_or(0.0)
    }

    /// How bright a steel is in a plug.
    pub fn of_plug(&self, steel: usize) -> f64 {
        self.brightness(self.0.len().saturating_sub(1), steel)
    }
}

/// How finely a picture is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fineness {
    /// Pixels per mm, positive.
    pub dots: f64,
    /// Lines across the blade in every column of pixels, at least 1: along each of them pixels hold the exact mean of what
    /// the line meets, so that only layers that run nearly across the blade want several. Where twisted layers are finer
    /// than a pixel a picture takes twice as many.
    pub samples: u32,
    /// Whether pixels beyond the border repeat it, as textures need it; otherwise they are white.
    pub bleed: bool,
}

/// Pixels a picture may have: as many as the largest texture that common graphics cards take (16384 × 16384) at a
/// quarter of its height.
pub const MOST_PIXELS: usize = 1 << 26;

/// The place of a picture's pixels.
pub(crate) struct Frame {
    pub(crate) view: View,
    pub(crate) fineness: Fineness,
    pub(crate) width: usize,
    pub(crate) height: usize,
    /// Of the first column, mm along x, and of the first row, mm along y or z.
    pub(crate) left: f64,
    pub(crate) low: f64,
    /// The stations on which there is something, mm.
    pub(crate) range: (f64, f64),
}

/// Stations at which the extent through the thickness or over the breadth is looked at: every column is looked at when
/// it is drawn, so that missing a peak by a hundredth of a millimetre only crops that much of it.
const PROBES: usize = 512;
/// White border around the blade, in pixels.
pub(crate) const BORDER: usize = 2;

impl Frame {
    /// The frames of views of a stage; `None` when one would have more than [`MOST_PIXELS`], or no samples.
    pub(crate) fn several(stage: &Sections, views: &[View], fineness: Fineness) -> Option<Vec<Frame>> {
        let range = stage.range();
        let extents = extents(stage, range);
        views.iter().map(|&view| Frame::new(view, fineness, range, extents)).collect()
    }

    /// The frame that holds what is between these ends and heights; `None` where it would be too large.
    fn new(view: View, fineness: Fineness, range: (f64, f64), extents: [(f64, f64); 2]) -> Option<Frame> {
        let usable = fineness.dots.is_finite() && fineness.dots > 0.0 && fineness.samples > 0;
        let [heights, depths] = extents;
        let extent = match view {
            View::Right | View::Left => heights,
            View::Back | View::Edge => depths,
        };
        let size = |from: f64, to: f64| ((to - from) * fineness.dots).ceil() + 2.0 * BORDER as f64;
        let (width, height) = (size(range.0, range.1), size(extent.0, extent.1));
        // Beyond what a count can hold, floats tell.
        if !usable || width * height > MOST_PIXELS as f64 {
            return None;
        }
        let border = BORDER as f64 / fineness.dots;
        Some(Frame {
            view,
            fineness,
            width: width as usize,
            height: height as usize,
            left: range.0 - border,
            low: extent.0 - border,
            range,
        })
    }

    /// Where `count` pixels from `from` end, mm.
    pub(crate) fn end(&self, from: f64, count: usize) -> f64 {
        from + count as f64 / self.fineness.dots
    }

    /// Station of line `k` of column `i`, mm.
    pub(crate) fn line(&self, i: usize, k: u32) -> f64 {
        let lines = f64::from(self.fineness.samples);
        self.left + (i as f64 + (f64::from(k) + 0.5) / lines) / self.fineness.dots
    }

    /// How many rows of pixels lie below a height (mm along y or z), with the share of the one that holds it; within the
    /// picture.
    #[inline]
    pub(crate) fn rows(&self, at: f64) -> f64 {
        ((at - self.low) * self.fineness.dots).clamp(0.0, self.height as f64)
    }

    /// The height so many rows up, mm along y or z.
    #[inline]
    pub(crate) fn height_of(&self, rows: f64) -> f64 {
        self.low + rows / self.fineness.dots
    }
}

/// Least and greatest y of the stage, and least and greatest z.
fn extents(stage: &Sections, (from, to): (f64, f64)) -> [(f64, f64); 2] {
    let at = |k: usize| stage.at(from + (to - from) * (k as f64 + 0.5) / PROBES as f64);
    let ends = [from, 0.0].into_iter().filter_map(|x| stage.at(x));
    let probes = (0..PROBES).into_par_iter().filter_map(at).chain(ends.collect::<Vec<_>>());
    let wider = |r: (f64, f64), e: (f64, f64)| (r.0.min(e.0), r.1.max(e.1));
    let nothing = (f64::INFINITY, f64::NEG_INFINITY);
    let both = probes.map(|section| [section.range(), section.extent()]);
    both.reduce(|| [nothing; 2], |a, b| [wider(a[0], b[0]), wider(a[1], b[1])])
}
