//! The work of a picture: every sample of every column, read off the surface.

use std::borrow::Cow;
use std::num::NonZero;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use blade::{CrossSection, Sections};

use crate::map::flank::stacked;
use crate::map::material::MaterialMap;
use crate::picture::colours::{Colours, Light, add};
use crate::picture::frame::{Frame, View};
use crate::picture::line::{Desk, Line, WHITE};
use crate::picture::ridge::Reach;

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
    let blocks = AtomicUsize::new(0);
    let run = || {
        let mut painter = Painter::new(lay, stage, frames, colours);
        // Whoever is done takes the next block: the machine has other work, too.
        let next = || Some(blocks.fetch_add(1, Ordering::Relaxed)).filter(|b| b * BLOCK < width);
        let columns = std::iter::from_fn(next).flat_map(|b| b * BLOCK..((b + 1) * BLOCK).min(width));
        columns.map(|i| (i, painter.column(i))).collect::<Vec<_>>()
    };
    let run = &run;
    let mut all: Vec<(usize, Vec<Column>)> = thread::scope(|scope| {
        let spawned: Vec<_> = (0..threads).map(|_| scope.spawn(run)).collect();
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
    /// The borders of the column that was looked at last.
    borders: [Option<Cut>; 2],
    /// Room for the sections of a line.
    room: Option<Cut>,
    desk: Desk,
    /// Light gathered in the rows of each frame.
    sums: Vec<Vec<Light>>,
}

impl<'a> Painter<'a> {
    fn new(lay: &'a MaterialMap, stage: &'a Sections, frames: &'a [Frame], colours: &'a Colours<'a>) -> Self {
        let mut corners = [lay.sections().corners(), stage.corners()].concat();
        corners.sort_by(f64::total_cmp);
        Painter {
            lay,
            stage,
            forged: lay.sections() == stage,
            colours,
            frames,
            corners,
            borders: [None, None],
            room: None,
            desk: Desk::default(),
            sums: frames.iter().map(|f| vec![WHITE; f.height]).collect(),
        }
    }

    /// Column `i` of every frame.
    fn column(&mut self, i: usize) -> Vec<Column> {
        self.sums.iter_mut().for_each(|rows| rows.fill([0.0; 4]));
        let Some(first) = self.frames.first() else { return Vec::new() };
        let lines = first.fineness.samples;
        let smooth = lines > 1 && self.look(i, first);
        for k in 0..lines {
            self.line(first, first.line(i, k), smooth);
        }
        let share = 1.0 / lines as f32;
        let row = |s: &Light| self.colours.stored(*s, share);
        self.sums.iter().map(|rows| rows.iter().map(row).collect()).collect()
    }

    /// Looks at the borders of column `i`; whether the sections change smoothly from one to the other.
    fn look(&mut self, i: usize, frame: &Frame) -> bool {
        let [from, to] = [i, i + 1].map(|i| frame.left + i as f64 / frame.fineness.dots);
        let known = self.borders[1].take().filter(|b| b.x.total_cmp(&from).is_eq());
        self.borders = [known.or_else(|| self.cut(from)), self.cut(to)];
        let next = self.corners.partition_point(|&c| c < from);
        self.corners.get(next).is_none_or(|&c| c > to)
    }

    /// The sections at station x.
    fn cut(&self, x: f64) -> Option<Cut> {
        let forged = self.lay.sections().at(x)?;
        let stage = if self.forged { None } else { Some(self.stage.at(x)?) };
        Some(Cut { x, forged, stage })
    }

    /// The sections at station x: between those at the borders of its column where that is known to do.
    fn sections(&mut self, x: f64, smooth: bool) -> Option<Cut> {
        let [Some(a), Some(b)] = &self.borders else { return self.cut(x) };
        let mut room = self.room.take().unwrap_or_else(|| a.clone());
        if smooth && room.set_between([a, b], x) { Some(room) } else { self.cut(x) }
    }

    /// Adds one line across the pictures at station x.
    fn line(&mut self, first: &Frame, x: f64, smooth: bool) {
        let (bleed, (from, to)) = (first.fineness.bleed, first.range);
        // Textures repeat the border; a section is found a nanometre inside it.
        let x = if bleed { x.clamp(from + 1e-6, to - 1e-6) } else { x };
        let cut = self.sections(x, smooth);
        if cut.as_ref().and_then(|cut| self.across(cut)).is_none() {
            self.sums.iter_mut().flatten().for_each(|s| add(s, WHITE, 1.0));
        }
        self.room = cut;
    }

    /// The same where there is steel; `None` where nothing is left of it.
    fn across(&mut self, cut: &Cut) -> Option<()> {
        let plane = self.lay.plane_of(cut.x, Cow::Borrowed(&cut.forged))?;
        let section = cut.stage();
        let bars = stacked(&plane, self.lay.billet());
        let mut reach = None;
        for (frame, sums) in self.frames.iter().zip(&mut self.sums) {
            let line = Line { frame, colours: self.colours, plane: &plane, section, bars: &bars };
            match frame.view {
                View::Right | View::Left => line.flank(&mut self.desk, sums),
                View::Back | View::Edge => line.ridge(reach.get_or_insert_with(|| Reach::of(section)), sums),
            }
        }
        Some(())
    }
}

/// The sections at one station.
#[derive(Clone)]
struct Cut {
    x: f64,
    forged: CrossSection,
    /// The stage's; none where that is the forged one itself.
    stage: Option<CrossSection>,
}

impl Cut {
    fn stage(&self) -> &CrossSection {
        self.stage.as_ref().unwrap_or(&self.forged)
    }

    /// Becomes what lies at station x between two others, and tells whether there is such a thing.
    fn set_between(&mut self, [a, b]: [&Cut; 2], x: f64) -> bool {
        let t = (x - a.x) / (b.x - a.x);
        self.x = x;
        let stages = self.stage.as_mut().zip(a.stage.as_ref().zip(b.stage.as_ref()));
        self.forged.set_between([&a.forged, &b.forged], t)
            && stages.is_none_or(|(stage, (a, b))| stage.set_between([a, b], t))
    }
}
