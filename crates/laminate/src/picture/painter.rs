//! The work of a picture: every sample of every column, read off the surface.

use std::num::NonZero;
use std::ops::Range;
use std::thread;

use blade::{CrossSection, Sections};

use crate::billet::bar::SquarePoint;
use crate::map::flank::{Stacked, Stretch, Walked, cuts, stacked};
use crate::map::material::{MaterialMap, Plane, Walk};
use crate::picture::frame::{Frame, View};
use crate::picture::colours::Colours;

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
        let n = first.fineness.samples;
        let borders = if n > 1 { self.borders(i) } else { None };
        for k in 0..n {
            self.line(first.sample(first.left, i, k), borders.as_ref());
        }
        let share = 1.0 / (n * n) as f32;
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

    /// Adds the samples of one line across the pictures at station x.
    fn line(&mut self, x: f64, borders: Option<&[Cut; 2]>) {
        let Some(first) = self.frames.first() else { return };
        let (bleed, (from, to)) = (first.fineness.bleed, first.range);
        // Textures repeat the border; a section is found a nanometre inside it.
        let x = if bleed { x.clamp(from + 1e-6, to - 1e-6) } else { x };
        let found = self.sections(x, borders);
        let laid = found.and_then(|(forged, stage)| Some((self.lay.plane_of(x, forged)?, stage)));
        let Some((plane, section)) = laid else {
            let white = first.fineness.samples as f32;
            self.sums.iter_mut().flatten().for_each(|s| add(s, WHITE, white));
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

/// One line of samples across a view.
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
        let (frame, n) = (self.frame, self.frame.fineness.samples as usize);
        let last = frame.height * n;
        // Samples are counted from the lowest row up; the first one at or above a height.
        let first = |y: f64| {
            let at = (y - frame.low) * frame.fineness.dots * n as f64 - 0.5;
            whole_above(at).min(last)
        };
        let [low, .., high] = *self.cuts else { return };
        let mut from = first(low);
        fill(sums, n, 0..from, self.beyond(self.cuts.first_chunk(), low));
        fill(sums, n, first(high)..last, self.beyond(self.cuts.last_chunk(), high));
        let (mut walk, mut below) = (Walked::default(), None);
        for pair in self.cuts.array_windows() {
            let range = from..first(pair[1]);
            from = range.end;
            // Most stretches of a coarse picture lie between two samples.
            if !range.is_empty() {
                below = self.stretch(sums, range, &self.stretch_of(&mut walk, *pair), below);
            }
        }
    }

    fn stretch_of(&self, walk: &mut Walked, ends: [f64; 2]) -> Stretch {
        walk.stretch(self.plane, self.section, self.bars, self.frame.view == View::Right, ends)
    }

    /// The colour beyond a flank's last stretch, which ends at height `y`.
    fn beyond(&self, ends: Option<&[f64; 2]>, y: f64) -> [f32; 3] {
        let Some(ends) = ends.filter(|_| self.frame.fineness.bleed) else { return WHITE };
        let stretch = self.stretch_of(&mut Walked::default(), *ends);
        let bar = &self.bars[stretch.place];
        self.colours.bars[bar.bar].at(bar.turned.share(stretch.point(y)))
    }

    /// The samples of one stretch, each the mean over its own height. `below` is where the last one ended, and so is what
    /// comes back.
    fn stretch(
        &self,
        sums: &mut [[f32; 3]],
        samples: Range<usize>,
        stretch: &Stretch,
        below: Option<Reached>,
    ) -> Option<Reached> {
        let (frame, n) = (self.frame, self.frame.fineness.samples as usize);
        let bar = &self.bars[stretch.place];
        let colours = &self.colours.bars[bar.bar];
        if let Some(single) = colours.single() {
            fill(sums, n, samples, single);
            return None;
        }
        let pitch = frame.pitch();
        let share = |m: usize| bar.turned.share(stretch.point(frame.low + m as f64 * pitch));
        // Where the last one ended in the same bar, this one begins.
        let known = below.filter(|b| b.place == stretch.place && b.sample == samples.start);
        let mut from = known.map_or_else(|| share(samples.start), |b| b.share);
        let sample = samples.end;
        by_rows(sums, n, samples, |m| {
            let to = share(m + 1);
            colours.mean(std::mem::replace(&mut from, to), to)
        });
        Some(Reached { place: stretch.place, sample, share: from })
    }

    /// A line across the back or the edge, each sample the mean over its own width.
    fn ridge(&self, sums: &mut [[f32; 3]]) {
        let (from, to) = self.section.extent();
        let (half, bleed) = (0.5 * self.frame.pitch(), self.frame.fineness.bleed);
        let (mut walk, mut reached, mut below) = (Walk::default(), 0, None);
        for (j, sum) in sums.iter_mut().enumerate() {
            for k in 0..self.frame.fineness.samples {
                let z = self.frame.sample(self.frame.low, j, k);
                if !bleed && !(from..=to).contains(&z) {
                    add(sum, WHITE, 1.0);
                    continue;
                }
                let mut at = |z: f64| self.across(&mut walk, &mut reached, z.clamp(from, to));
                let first = below.take().or_else(|| at(z - half));
                let last = at(z + half);
                add(sum, self.between(first, last), 1.0);
                below = last;
            }
        }
    }

    /// Which of the stacked bars back or edge show at z, and the share of its layers' thickness there.
    fn across(&self, walk: &mut Walk, reached: &mut usize, z: f64) -> Option<(usize, f64)> {
        let y = self.reach.outermost(self.section, z, self.frame.view == View::Back, reached)?;
        let (up, through) = self.plane.walk(walk, y, z);
        let place = self.bars[1..].iter().take_while(|b| b.low <= up).count();
        let bar = &self.bars[place];
        Some((place, bar.turned.share(SquarePoint { up: (up - bar.low) / bar.height - 0.5, through })))
    }

    /// The mean colour between two places of one bar; half of each bar's where they lie in two.
    fn between(&self, from: Option<(usize, f64)>, to: Option<(usize, f64)>) -> [f32; 3] {
        let Some((a, b)) = from.or(to).zip(to.or(from)) else { return WHITE };
        let [first, last] = [a, b].map(|(place, _)| &self.colours.bars[self.bars[place].bar]);
        if a.0 == b.0 {
            return first.mean(a.1, b.1);
        }
        let (first, last) = (first.at(a.1), last.at(b.1));
        std::array::from_fn(|k| 0.5 * (first[k] + last[k]))
    }
}

/// Where a sample of a flank ended: in which of the stacked bars, before which sample, and at what share of the thickness of
/// its layers.
#[derive(Clone, Copy)]
struct Reached {
    place: usize,
    sample: usize,
    share: f64,
}

const WHITE: [f32; 3] = [1.0; 3];

fn add(sum: &mut [f32; 3], colour: [f32; 3], times: f32) {
    for (s, c) in sum.iter_mut().zip(colour) {
        *s += c * times;
    }
}

/// Adds one colour for samples of which `n` make a row.
fn fill(sums: &mut [[f32; 3]], n: usize, samples: Range<usize>, colour: [f32; 3]) {
    by_rows(sums, n, samples, |_| colour);
}

/// Adds the colours of samples of which `n` make a row, row by row: dividing every sample's number takes longer than
/// reading its layer.
#[inline]
fn by_rows(sums: &mut [[f32; 3]], n: usize, samples: Range<usize>, mut colour: impl FnMut(usize) -> [f32; 3]) {
    let mut m = samples.start;
    while m < samples.end {
        let row = m / n;
        let end = ((row + 1) * n).min(samples.end);
        let sum = &mut sums[row];
        (m..end).for_each(|k| add(sum, colour(k), 1.0));
        m = end;
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

/// The least whole number at or above a number, at least 0.
#[inline]
fn whole_above(at: f64) -> usize {
    let below = at.max(0.0) as usize;
    below + usize::from((below as f64) < at)
}
