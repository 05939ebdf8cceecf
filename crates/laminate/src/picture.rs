//! What shows on the blade's surface at a stage, as pictures.
//!
//! A surface point of the stage lies at some place in the forged blade; the map of [`crate::Lay`] says which layer is
//! there. So what was forged thin shows stretched, and what was ground away shows cut.

use std::num::NonZero;
use std::thread;

use blade::{CrossSection, Sections};

use crate::bar::{Bar, SquarePoint, Turned};
use crate::billet::Billet;
use crate::lay::{Lay, Plane, Walk};
use crate::palette::{bar_colour, steel_colour, stored};

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
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Colouring {
    /// The steel of the layer at every point.
    Steels,
    /// The bar at every point.
    Bars,
}

/// How finely a picture is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fineness {
    /// Pixels per mm, positive.
    pub dots: f64,
    /// Samples per pixel along each side, at least 1.
    pub samples: u32,
    /// Whether pixels beyond the border repeat it, as textures need it; otherwise they are white.
    pub bleed: bool,
}

/// A picture of one view, sRGB.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// Pixels in a row.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Red, green and blue, row by row from the top.
    pub rgb: Vec<u8>,
    /// Of the picture's left border, mm in the view's first direction.
    pub left: f64,
    /// Of its upper border, mm in the view's second direction.
    pub top: f64,
}

/// Pixels a picture may have: as many as the largest texture that common graphics cards take (16384 × 16384) at a
/// quarter of its height.
pub const MOST_PIXELS: usize = 1 << 26;

impl Picture {
    /// The view of the stage whose sections are given, blade and tang. `None` when it would have more than
    /// [`MOST_PIXELS`], or no samples.
    pub fn new(
        lay: &Lay,
        stage: &Sections,
        view: View,
        colouring: Colouring,
        fineness: Fineness,
    ) -> Option<Picture> {
        let frame = Frame::new(stage, view, fineness)?;
        let colours = Colours::new(lay.billet(), colouring);
        let columns = frame.columns(lay, stage, &colours);
        Some(frame.picture(&columns))
    }
}

/// The place of a picture's pixels.
struct Frame {
    view: View,
    fineness: Fineness,
    width: usize,
    height: usize,
    /// Of the first column, mm along x, and of the first row, mm along y or z.
    left: f64,
    low: f64,
    /// The stations on which there is something, mm.
    range: (f64, f64),
}

/// Stations at which the extent through the thickness or over the breadth is looked at: every column is looked at when
/// it is drawn, so that missing a peak by a hundredth of a millimetre only crops that much of it.
const PROBES: usize = 512;
/// White border around the blade, in pixels.
const BORDER: usize = 2;

impl Frame {
    fn new(stage: &Sections, view: View, fineness: Fineness) -> Option<Frame> {
        let usable = fineness.dots.is_finite() && fineness.dots > 0.0 && fineness.samples > 0;
        let range = stage.range();
        let extent = extent(stage, view, range);
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

    /// All columns from the first x on, each from the lowest row up. Several are made at a time.
    fn columns(&self, lay: &Lay, stage: &Sections, colours: &Colours) -> Vec<Vec<[u8; 3]>> {
        let threads = thread::available_parallelism().map_or(1, NonZero::get);
        let share = self.width.div_ceil(threads).max(1);
        let starts: Vec<usize> = (0..self.width).step_by(share).collect();
        let run = |from: usize| {
            let mut painter = Painter { lay, stage, colours, frame: self, sums: vec![[0.0; 3]; self.height] };
            (from..(from + share).min(self.width)).map(|i| painter.column(i)).collect::<Vec<_>>()
        };
        let run = &run;
        thread::scope(|scope| {
            let spawned: Vec<_> = starts.iter().map(|&from| scope.spawn(move || run(from))).collect();
            spawned
                .into_iter()
                .flat_map(|t| t.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
                .collect()
        })
    }

    fn picture(&self, columns: &[Vec<[u8; 3]>]) -> Picture {
        let mut rgb = vec![0; 3 * self.width * self.height];
        for (i, column) in columns.iter().enumerate() {
            let place = if self.view == View::Left { self.width - 1 - i } else { i };
            for (j, pixel) in column.iter().enumerate() {
                // Rows run down; seen from above z runs down too.
                let row = if self.view == View::Back { j } else { self.height - 1 - j };
                let at = 3 * (row * self.width + place);
                rgb[at..at + 3].copy_from_slice(pixel);
            }
        }
        let (right, high) = (self.end(self.left, self.width), self.end(self.low, self.height));
        Picture {
            width: self.width,
            height: self.height,
            rgb,
            left: if self.view == View::Left { -right } else { self.left },
            top: if self.view == View::Back { -self.low } else { high },
        }
    }

    fn end(&self, from: f64, count: usize) -> f64 {
        from + count as f64 / self.fineness.dots
    }

    /// Coordinate of sample `k` of pixel `i` counted from `from`.
    fn sample(&self, from: f64, i: usize, k: u32) -> f64 {
        from + (i as f64 + (f64::from(k) + 0.5) / f64::from(self.fineness.samples)) / self.fineness.dots
    }
}

/// Least and greatest y (or z) of the stage.
fn extent(stage: &Sections, view: View, (from, to): (f64, f64)) -> (f64, f64) {
    let at = |k: usize| stage.at(from + (to - from) * (k as f64 + 0.5) / PROBES as f64);
    let sections = (0..PROBES).filter_map(at).chain(stage.at(from)).chain(stage.at(0.0));
    let of = |s: &CrossSection| match view {
        View::Right | View::Left => s.range(),
        View::Back | View::Edge => {
            let sides = s.heights().iter().map(|&y| s.flanks(y));
            sides.fold((f64::INFINITY, f64::NEG_INFINITY), |r, f| (r.0.min(f.0), r.1.max(f.1)))
        }
    };
    sections.map(|s| of(&s)).fold((f64::INFINITY, f64::NEG_INFINITY), |r, e| (r.0.min(e.0), r.1.max(e.1)))
}

/// Colours in linear light of every layer of every bar.
struct Colours {
    bars: Vec<Vec<[f32; 3]>>,
    /// The stored value for a linear one in steps.
    curve: Vec<u8>,
}

/// Steps of the table from linear to stored light: the steepest step of the curve is under half a stored value.
const CURVE: usize = 1 << 14;

impl Colours {
    fn new(billet: &Billet, colouring: Colouring) -> Self {
        let single = |c: [f64; 3]| c.map(|v| v as f32);
        let of = |(i, bar): (usize, &Bar)| {
            let layers = bar.layers.layers().iter();
            match colouring {
                Colouring::Steels => layers.map(|l| single(steel_colour(l.steel).linear())).collect(),
                Colouring::Bars => layers.map(|_| single(bar_colour(i).linear())).collect(),
            }
        };
        let curve = (0..=CURVE).map(|i| (stored(i as f64 / CURVE as f64) * 255.0).round() as u8).collect();
        Colours { bars: billet.bars().iter().enumerate().map(of).collect(), curve }
    }

    fn stored(&self, linear: [f32; 3]) -> [u8; 3] {
        linear.map(|c| self.curve[((c * CURVE as f32 + 0.5) as usize).min(CURVE)])
    }
}

struct Painter<'a> {
    lay: &'a Lay,
    stage: &'a Sections,
    colours: &'a Colours,
    frame: &'a Frame,
    sums: Vec<[f32; 3]>,
}

impl Painter<'_> {
    /// Column `i`, from the lowest row up.
    fn column(&mut self, i: usize) -> Vec<[u8; 3]> {
        let n = self.frame.fineness.samples;
        self.sums.fill([0.0; 3]);
        for k in 0..n {
            self.line(self.frame.sample(self.frame.left, i, k));
        }
        let share = 1.0 / (n * n) as f32;
        self.sums.iter().map(|s| self.colours.stored(s.map(|c| c * share))).collect()
    }

    /// Adds the samples of one line across the picture at station x.
    fn line(&mut self, x: f64) {
        let (from, to) = self.frame.range;
        // Textures repeat the border; a section is found a nanometre inside it.
        let x = if self.frame.fineness.bleed { x.clamp(from + 1e-6, to - 1e-6) } else { x };
        let found = self.lay.plane(x).zip(self.stage.at(x));
        let Some((plane, section)) = found else {
            self.sums.iter_mut().for_each(|s| add(s, WHITE, self.frame.fineness.samples as f32));
            return;
        };
        let mut reader = Reader::new(&plane, &section, self.lay.billet());
        for j in 0..self.frame.height {
            for k in 0..self.frame.fineness.samples {
                let at = self.frame.sample(self.frame.low, j, k);
                let colour = match reader.surface(self.frame.view, at, self.frame.fineness.bleed) {
                    Some((bar, layer)) => self.colours.bars[bar][layer],
                    None => WHITE,
                };
                add(&mut self.sums[j], colour, 1.0);
            }
        }
    }
}

const WHITE: [f32; 3] = [1.0; 3];

fn add(sum: &mut [f32; 3], colour: [f32; 3], times: f32) {
    for (s, c) in sum.iter_mut().zip(colour) {
        *s += c * times;
    }
}

/// Reads layers off the surface in one plane, with rows coming in increasing order.
struct Reader<'a> {
    plane: &'a Plane<'a>,
    section: &'a CrossSection,
    /// The stacked bars as they are turned here, from the edge up.
    bars: Vec<Stacked<'a>>,
    /// The interval of the stage's section, and the place in the forged one, that were read last.
    interval: usize,
    walk: Walk,
}

/// A bar in the stack.
struct Stacked<'a> {
    bar: usize,
    turned: Turned<'a>,
    /// Its lower face and its height, mm.
    low: f64,
    height: f64,
}

impl<'a> Reader<'a> {
    fn new(plane: &'a Plane<'a>, section: &'a CrossSection, billet: &'a Billet) -> Self {
        let stacked = |(bar, [low, high]): (usize, [f64; 2])| {
            let made = &billet.bars()[bar];
            Stacked { bar, turned: made.turned(made.twist.angle(plane.along())), low, height: high - low }
        };
        let bars = billet.stacked(plane.is_tang()).map(stacked).collect();
        Reader { plane, section, bars, interval: 0, walk: Walk::default() }
    }

    /// Bar and layer seen at a row of the view; `None` beside the blade.
    fn surface(&mut self, view: View, at: f64, bleed: bool) -> Option<(usize, usize)> {
        let (y, z) = match view {
            View::Right | View::Left => self.beside(view == View::Right, at, bleed)?,
            View::Back | View::Edge => {
                let (low, high) = self.extent();
                let z = if bleed { at.clamp(low, high) } else { at };
                (outermost(self.section, z, view == View::Back)?, z)
            }
        };
        Some(self.layer(y, z))
    }

    /// The point of the right or left flank at height `y`.
    fn beside(&mut self, right: bool, y: f64, bleed: bool) -> Option<(f64, f64)> {
        let (low, high) = self.section.range();
        if !bleed && !(low..=high).contains(&y) {
            return None;
        }
        let y = y.clamp(low, high);
        let heights = self.section.heights();
        while self.interval + 2 < heights.len() && heights[self.interval + 1] <= y {
            self.interval += 1;
        }
        let (l, r) = self.section.flanks_in(self.interval, y);
        Some((y, if right { r } else { l }))
    }

    fn extent(&self) -> (f64, f64) {
        let sides = self.section.heights().iter().map(|&y| self.section.flanks(y));
        sides.fold((f64::INFINITY, f64::NEG_INFINITY), |r, f| (r.0.min(f.0), r.1.max(f.1)))
    }

    fn layer(&mut self, y: f64, z: f64) -> (usize, usize) {
        let (up, through) = self.plane.walk(&mut self.walk, y, z);
        let last = self.bars.len() - 1;
        let above = self.bars[1..].iter().take_while(|b| b.low <= up).count();
        let stacked = &self.bars[above.min(last)];
        let at = SquarePoint { up: (up - stacked.low) / stacked.height - 0.5, through };
        (stacked.bar, stacked.turned.layer(at))
    }
}

/// The highest (or lowest) y at which a section reaches `z`.
fn outermost(section: &CrossSection, z: f64, highest: bool) -> Option<f64> {
    let heights = section.heights();
    let last = heights.len() - 1;
    let flanks = |i: usize| section.flanks(heights[i]);
    let holds = |(l, r): (f64, f64)| (l..=r).contains(&z);
    // From the outside in: the first end that holds z, or the place between two where a flank crosses it.
    (0..last).find_map(|k| {
        let (out, inner) = if highest { (last - k, last - k - 1) } else { (k, k + 1) };
        let (a, b) = (flanks(out), flanks(inner));
        if holds(a) {
            return Some(heights[out]);
        }
        let share = |from: f64, to: f64| (z - from) / (to - from);
        let t = if z > a.1 { share(a.1, b.1) } else { share(a.0, b.0) };
        holds(b).then(|| heights[out] + (heights[inner] - heights[out]) * t)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::billet::Tip;
    use crate::sample::{forged, four_bars, specs};

    #[test]
    #[ignore = "writes pictures to look at"]
    fn pictures_to_look_at() {
        for (name, spec) in specs().into_iter().take(2) {
            let lay = Lay::new(four_bars(Tip::Forged), forged(&spec)).unwrap();
            let stage = Sections::of(&blade::Blade::new(&spec).unwrap().loft(blade::Stage::Finished));
            for view in View::ALL {
                for (colouring, what) in [(Colouring::Steels, "steels"), (Colouring::Bars, "bars")] {
                    let t = std::time::Instant::now();
                    let p = Picture::new(
                        &lay,
                        &stage,
                        view,
                        colouring,
                        Fineness { dots: 10.0, samples: 4, bleed: false },
                    )
                    .unwrap();
                    println!("{name} {view:?} {what} {:?}", t.elapsed());
                    let mut bytes = format!("P6 {} {} 255\n", p.width, p.height).into_bytes();
                    bytes.extend(&p.rgb);
                    std::fs::write(
                        format!("/tmp/pic/{}-{}-{what}.ppm", name.replace(' ', "-"), view.name()),
                        bytes,
                    )
                    .unwrap();
                }
            }
        }
    }
}
