//! The work of a picture: every sample of every column, read off the surface.

use std::num::NonZero;
use std::thread;

use blade::{CrossSection, Sections};

use crate::map::flank::{Stacked, Stretch, Walked, beside, cuts, stacked};
use crate::map::material::{MaterialMap, Plane, Walk};
use crate::picture::colours::Colours;
use crate::picture::frame::{Frame, View};

/// Pixels of one column of one view, from the lowest row up.
pub(crate) type Column = Vec<[u8; 3]>;

/// Columns that a thread takes on at a time: few enough to share the work of the point, which takes longest.
const BLOCK: usize = 32;

/// All columns from the first x on, with one picture's worth for each frame. The frames share their columns.
pub(crate) fn painted(
    lay: &MaterialMap,
    stage: &Sections,
    frames: &[Frame],
    colours: &Colours,
) -> Vec<Vec<Column>> {
    let threads = thread::available_parallelism().map_or(1, NonZero::get);
    let width = frames.first().map_or(0, |f| f.width);
    let run = |mine: usize| {
        let sums = frames.iter().map(|f| vec![[0.0; 3]; f.height]).collect();
        let mut corners = [lay.sections().corners(), stage.corners()].concat();
        corners.sort_by(f64::total_cmp);
        let forged = lay.sections() == stage;
        let mut painter = Painter { lay, stage, forged, colours, frames, corners, border: None, sums };
        let blocks = (0..width.div_ceil(BLOCK)).skip(mine).step_by(threads);
        let columns = blocks.flat_map(|b| b * BLOCK..((b + 1) * BLOCK).min(width));
        columns.map(|i| (i, painter.column(i))).collect::<Vec<_>>()
    };
    let run = &run;
    let mut all: Vec<(usize, Vec<Column>)> = thread::scope(|scope| {
        let spawned: Vec<_> = (0..threads).map(|mine| scope.spawn(move || run(mine))).collect();
        spawned
            .into_iter()
            .flat_map(|t| t.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
            .collect()
    });
    all.sort_unstable_by_key(|c| c.0);
    all.into_iter().map(|c| c.1).collect()
}

struct Painter<'a> {
    lay: &'a MaterialMap,
    stage: &'a Sections,
    /// Whether the stage is the forged one itself, so that its sections need not be made twice.
    forged: bool,
    colours: &'a Colours<'a>,
    frames: &'a [Frame],
    /// Stations at which sections may change suddenly, mm, increasing.
    corners: Vec<f64>,
    /// The border of columns that was looked at last.
    border: Option<Cut>,
    /// Light gathered in the rows of each frame.
    sums: Vec<Vec<[f32; 3]>>,
}

impl Painter<'_> {
    /// Column `i` of every frame.
    fn column(&mut self, i: usize) -> Vec<Column> {
        self.sums.iter_mut().for_each(|rows| rows.fill([0.0; 3]));
        let Some(first) = self.frames.first() else { return Vec::new() };
        let lines = first.fineness.samples;
        let borders = if lines > 1 { self.borders(i) } else { None };
        for k in 0..lines {
            self.line(first.line(i, k), borders.as_ref());
        }
        let share = 1.0 / lines as f32;
        let row = |s: &[f32; 3]| self.colours.stored(s.map(|c| c * share));
        self.sums.iter().map(|rows| rows.iter().map(row).collect()).collect()
    }

    /// The sections at both borders of column `i`, where they change smoothly from one to the other.
    fn borders(&mut self, i: usize) -> Option<[Cut; 2]> {
        let frame = self.frames.first()?;
        let [from, to] = [i, i + 1].map(|i| frame.left + i as f64 / frame.fineness.dots);
        let known = self.border.take().filter(|b| b.x.total_cmp(&from).is_eq());
        let first = known.or_else(|| self.cut(from));
        let last = self.cut(to);
        self.border.clone_from(&last);
        let next = self.corners.partition_point(|&c| c < from);
        let smooth = self.corners.get(next).is_none_or(|&c| c > to);
        first.zip(last).filter(|_| smooth).map(|(a, b)| [a, b])
    }

    fn cut(&self, x: f64) -> Option<Cut> {
        let (forged, stage) = self.both(x)?;
        Some(Cut { x, forged, stage })
    }

    /// The sections at station x: between those at the borders of its column where that is known to do.
    fn sections(&self, x: f64, borders: Option<&[Cut; 2]>) -> Option<(CrossSection, CrossSection)> {
        let mixed = borders.and_then(|[a, b]| {
            let t = (x - a.x) / (b.x - a.x);
            a.forged.between(&b.forged, t).zip(a.stage.between(&b.stage, t))
        });
        mixed.or_else(|| self.both(x))
    }

    /// The forged section and the stage's at station x.
    fn both(&self, x: f64) -> Option<(CrossSection, CrossSection)> {
        let forged = self.lay.sections().at(x)?;
        let stage = if self.forged { forged.clone() } else { self.stage.at(x)? };
        Some((forged, stage))
    }

    /// Adds one line across the pictures at station x.
    fn line(&mut self, x: f64, borders: Option<&[Cut; 2]>) {
        let Some(first) = self.frames.first() else { return };
        let (bleed, (from, to)) = (first.fineness.bleed, first.range);
        // Textures repeat the border; a section is found a nanometre inside it.
        let x = if bleed { x.clamp(from + 1e-6, to - 1e-6) } else { x };
        let found = self.sections(x, borders);
        let laid = found.and_then(|(forged, stage)| Some((self.lay.plane_of(x, forged)?, stage)));
        let Some((plane, section)) = laid else {
            self.sums.iter_mut().flatten().for_each(|s| add(s, WHITE, 1.0));
            return;
        };
        let bars = stacked(&plane, self.lay.billet());
        let (cuts, reach) = (cuts(&plane, &section), Reach::of(&section));
        for (frame, sums) in self.frames.iter().zip(&mut self.sums) {
            let line = Line {
                frame,
                colours: self.colours,
                plane: &plane,
                section: &section,
                bars: &bars,
                cuts: &cuts,
                reach: &reach,
            };
            match frame.view {
                View::Right | View::Left => line.flank(sums),
                View::Back | View::Edge => line.ridge(sums),
            }
        }
    }
}

/// The forged section and the stage's at one station.
#[derive(Clone)]
struct Cut {
    x: f64,
    forged: CrossSection,
    stage: CrossSection,
}

/// One line across a view.
struct Line<'a> {
    frame: &'a Frame,
    colours: &'a Colours<'a>,
    plane: &'a Plane<'a>,
    section: &'a CrossSection,
    bars: &'a [Stacked],
    cuts: &'a [f64],
    reach: &'a Reach,
}

impl Line<'_> {
    /// A line up one of the flanks.
    fn flank(&self, sums: &mut [[f32; 3]]) {
        let [low, .., high] = *self.cuts else { return };
        let mut walker = Walker { line: self, walk: Walked::default(), cut: 0, stretch: None };
        let bottom = self.beyond(&mut walker, low);
        self.cover(sums, [f64::NEG_INFINITY, low], bottom);
        if self.plane.is_parted() || self.bars.iter().any(|b| b.plug.is_some()) {
            self.cuts.windows(2).for_each(|pair| self.bar(sums, &mut walker, [pair[0], pair[1]]));
        } else {
            let mut from = low;
            for to in self.plane.seams().filter(|y| *y > low && *y < high).chain([high]) {
                self.bar(sums, &mut walker, [from, to]);
                from = to;
            }
        }
        let top = self.beyond(&mut walker, high);
        self.cover(sums, [high, f64::INFINITY], top);
    }

    /// The colour beyond an end of the flank at height `y`.
    fn beyond(&self, walker: &mut Walker<'_>, y: f64) -> [f32; 3] {
        if !self.frame.fineness.bleed {
            return WHITE;
        }
        let (place, share) = walker.at(y);
        self.colours.of(&self.bars[place]).at(share)
    }

    /// What one bar shows between two heights of the flank: every row its mean.
    fn bar(&self, sums: &mut [[f32; 3]], walker: &mut Walker<'_>, [low, high]: [f64; 2]) {
        let (place, mut from) = walker.at(low);
        let layered = self.colours.of(&self.bars[place]);
        if let Some(single) = layered.single() {
            return self.cover(sums, [low, high], single);
        }
        let (mut row, last) = (self.frame.rows(low), self.frame.rows(high));
        let is_straight = self.bars[place].turned.is_straight();
        let parts = if is_straight { 1.0 } else { parts(last - row) };
        while row < last {
            let next = (((row * parts).floor() + 1.0) / parts).min(last);
            // Rounding must not lead past the seam into the next bar.
            let to = walker.share(self.frame.height_of(next).min(high), place);
            add(&mut sums[row as usize], layered.mean(from, to), (next - row) as f32);
            (row, from) = (next, to);
        }
    }

    /// Adds one colour to the rows between two heights, mm.
    fn cover(&self, sums: &mut [[f32; 3]], [low, high]: [f64; 2], colour: [f32; 3]) {
        let (mut row, last) = (self.frame.rows(low), self.frame.rows(high));
        while row < last {
            let next = (row.floor() + 1.0).min(last);
            add(&mut sums[row as usize], colour, (next - row) as f32);
            row = next;
        }
    }

    /// A line across the back or the edge.
    fn ridge(&self, sums: &mut [[f32; 3]]) {
        let (from, to) = self.section.extent();
        let (frame, bleed) = (self.frame, self.frame.fineness.bleed);
        let (mut walk, mut reached) = (Walk::default(), 0);
        let mut at = |z: f64| self.across(&mut walk, &mut reached, z.clamp(from, to));
        if !bleed {
            self.cover(sums, [f64::NEG_INFINITY, from], WHITE);
            self.cover(sums, [to, f64::INFINITY], WHITE);
        }
        let ends = if bleed { [0.0, frame.height as f64] } else { [from, to].map(|z| frame.rows(z)) };
        let ([mut row, last], mut below) = (ends, at(frame.height_of(ends[0])));
        while row < last {
            // Edges of bevels and corners of bars pass within a row.
            let next = (((row * RIDGE).floor() + 1.0) / RIDGE).min(last);
            let above = at(frame.height_of(next));
            add(&mut sums[row as usize], self.between(below, above), (next - row) as f32);
            (row, below) = (next, above);
        }
    }

    /// Which of the stacked bars back or edge show at z, and the share of its layers' thickness there.
    fn across(&self, walk: &mut Walk, reached: &mut usize, z: f64) -> Option<(usize, f64)> {
        let y = self.reach.outermost(self.section, z, self.frame.view == View::Back, reached)?;
        let (up, through) = self.plane.walk(walk, y, z);
        let place = self.bars[1..].iter().take_while(|b| b.from <= up).count();
        let place = beside(self.bars, place, through);
        let bar = &self.bars[place];
        Some((place, bar.turned.share(bar.point(up, through))))
    }

    /// The mean colour between two places of one bar; half of each bar's where they lie in two.
    fn between(&self, from: Option<(usize, f64)>, to: Option<(usize, f64)>) -> [f32; 3] {
        let Some((a, b)) = from.or(to).zip(to.or(from)) else { return WHITE };
        let [first, last] = [a, b].map(|(place, _)| self.colours.of(&self.bars[place]));
        if a.0 == b.0 {
            return first.mean(a.1, b.1);
        }
        let (first, last) = (first.at(a.1), last.at(b.1));
        std::array::from_fn(|k| 0.5 * (first[k] + last[k]))
    }
}

/// Parts of a row in which a bar is read that takes so many rows where it is turned askew: twisted layers turn sharply where
/// the bar had its corners, and the mean is exact only between turns. At least sixteen parts of a bar, but two to eight of a
/// row, keep what is lost there small. Powers of two, so that a part's end is exactly where the next one begins.
fn parts(rows: f64) -> f64 {
    let wanted = 16.0 / rows;
    if wanted <= 2.0 {
        2.0
    } else if wanted <= 4.0 {
        4.0
    } else {
        8.0
    }
}

/// Parts of a row in which a line across the back or the edge is read.
const RIDGE: f64 = 2.0;

/// A walk up a flank, from stretch to stretch: only those that are asked for are made, for most of a coarse picture's lie
/// between two borders of its rows.
struct Walker<'a> {
    line: &'a Line<'a>,
    walk: Walked,
    /// Which of the line's cuts begins the stretch, once it is made.
    cut: usize,
    stretch: Option<Stretch>,
}

impl Walker<'_> {
    /// The bar that begins at a height, or the last one at the flank's upper end, and the share of its layers there.
    fn at(&mut self, y: f64) -> (usize, f64) {
        while self.cut + 2 < self.line.cuts.len() && self.line.cuts[self.cut + 1] <= y {
            self.cut += 1;
            self.stretch = None;
        }
        let place = self.stretch().place;
        (place, self.share(y, place))
    }

    /// The share of the layers of a bar at a height in it, which may be its upper end.
    #[inline]
    fn share(&mut self, y: f64, place: usize) -> f64 {
        while self.cut + 2 < self.line.cuts.len() && self.line.cuts[self.cut + 1] < y {
            self.cut += 1;
            self.stretch = None;
        }
        let point = self.stretch().point(y);
        self.line.bars[place].turned.share(point)
    }

    fn stretch(&mut self) -> &Stretch {
        let (line, walk, cut) = (self.line, &mut self.walk, self.cut);
        self.stretch.get_or_insert_with(|| {
            let right = line.frame.view == View::Right;
            walk.stretch(line.plane, line.section, line.bars, right, [line.cuts[cut], line.cuts[cut + 1]])
        })
    }
}

const WHITE: [f32; 3] = [1.0; 3];

fn add(sum: &mut [f32; 3], colour: [f32; 3], times: f32) {
    for (s, c) in sum.iter_mut().zip(colour) {
        *s += c * times;
    }
}

/// How far the heights of a section reach left and right, least and greatest z (mm): each with all below it from the
/// lowest up, and each with all above it from the highest down.
struct Reach {
    up: Vec<(f64, f64)>,
    down: Vec<(f64, f64)>,
}

impl Reach {
    /// How far the section reaches.
    fn of(section: &CrossSection) -> Reach {
        let last = section.heights().len() - 1;
        let widening = |place: &dyn Fn(usize) -> usize| {
            let wider = |widest: &mut (f64, f64), i: usize| {
                let (left, right) = section.flanks_at(place(i));
                *widest = (widest.0.min(left), widest.1.max(right));
                Some(*widest)
            };
            (0..=last).scan((f64::INFINITY, f64::NEG_INFINITY), wider).collect()
        };
        Reach { up: widening(&|i| i), down: widening(&|i| last - i) }
    }

    /// The highest (or lowest) y at which the section reaches `z`: from the outside in, its first height if that holds
    /// z, or the place where a flank crosses it on the way to the first one that does.
    /// `reached` tells where the last search began: that of the next z begins nearby.
    fn outermost(&self, section: &CrossSection, z: f64, highest: bool, reached: &mut usize) -> Option<f64> {
        let heights = section.heights();
        let last = heights.len() - 1;
        let place = |i: usize| if highest { last - i } else { i };
        let holds = |(l, r): (f64, f64)| (l..=r).contains(&z);
        let widest = if highest { &self.down } else { &self.up };
        // What all heights up to one together don't reach, none of them holds.
        while *reached > 0 && holds(widest[*reached - 1]) {
            *reached -= 1;
        }
        while *reached <= last && !holds(widest[*reached]) {
            *reached += 1;
        }
        let found = (*reached..=last).find(|&i| holds(section.flanks_at(place(i))))?;
        if found == 0 {
            return Some(heights[place(0)]);
        }
        let (out, inner) = (place(found - 1), place(found));
        let (a, b) = (section.flanks_at(out), section.flanks_at(inner));
        let share = |from: f64, to: f64| (z - from) / (to - from);
        let t = if z > a.1 { share(a.1, b.1) } else { share(a.0, b.0) };
        Some(heights[out] + (heights[inner] - heights[out]) * t)
    }
}
