//! Places for marks on bars of material: clear of borders, joints and each other.

use glam::DVec2;

use crate::plate::panel::Bar;
use crate::slab::label::CLEAR;

/// Marks of one kind (engraved regions, or strokes) on their bars.
#[derive(Debug)]
pub(crate) struct Stamps<M> {
    bars: Vec<Bar>,
    /// Ranges of x that joints take.
    zones: Vec<[f64; 2]>,
    /// Boxes taken.
    taken: Vec<[DVec2; 2]>,
    marks: Vec<M>,
}

/// Half rows tried above and below the middle: over a plate as broad as 200 mm.
const ROWS: u32 = 40;

/// Distance between places tried, and between probes along a border, mm.
const STEP: f64 = 1.0;

impl<M> Stamps<M> {
    pub(crate) fn new(bars: Vec<Bar>, zones: Vec<[f64; 2]>) -> Stamps<M> {
        Stamps { bars, zones, taken: Vec::new(), marks: Vec::new() }
    }

    pub(crate) fn marks(&self) -> &[M] {
        &self.marks
    }

    /// Keeps a box clear.
    pub(crate) fn take(&mut self, bounds: [DVec2; 2]) {
        self.taken.push(bounds);
    }

    /// Puts marks within a box if it is clear; says whether it was.
    pub(crate) fn put(&mut self, marks: Vec<M>, bounds: [DVec2; 2]) -> bool {
        let clear = self.free(bounds);
        if clear {
            self.take(bounds);
            self.marks.extend(marks);
        }
        clear
    }

    /// Puts marks in several boxes if all of them are clear, of each other too, or none; says whether they were.
    pub(crate) fn put_all(&mut self, all: Vec<(Vec<M>, [DVec2; 2])>) -> bool {
        let before = [self.taken.len(), self.marks.len()];
        let clear = all.into_iter().all(|(marks, bounds)| self.put(marks, bounds));
        if !clear {
            self.taken.truncate(before[0]);
            self.marks.truncate(before[1]);
        }
        clear
    }

    /// Whether a box is clear on one of the bars.
    fn free(&self, bounds: [DVec2; 2]) -> bool {
        (0..self.bars.len()).any(|bar| self.clear(bar, bounds))
    }

    /// Whether a box lies on the bar with clear material all around.
    fn clear(&self, bar: usize, [low, high]: [DVec2; 2]) -> bool {
        let bar = &self.bars[bar];
        let [from, to] = bar.range();
        // A hair is granted to boxes placed exactly CLEAR from a level border or from each other.
        let pad = CLEAR - 1e-6;
        let (left, right) = (low.x - pad, high.x + pad);
        let apart =
            |[a, b]: &[DVec2; 2]| a.x >= right || b.x <= left || a.y >= high.y + pad || b.y <= low.y - pad;
        left >= from
            && right <= to
            && self.zones.iter().all(|z| z[0] >= right || z[1] <= left)
            && self.taken.iter().all(apart)
            && probes(left, right)
                .all(|x| bar.lower.height(x) <= low.y - pad && bar.upper.height(x) >= high.y + pad)
    }

    /// The lower left corner of the first clear box of this size between two x: from the left, on each bar at its
    /// middle, then in rows above and below.
    pub(crate) fn place(&self, size: DVec2, bars: &[usize], from: f64, to: f64) -> Option<DVec2> {
        let row = size.y + CLEAR;
        let rows: Vec<f64> =
            (0..=ROWS).flat_map(|k| [-0.5, 0.5].map(|half| half * f64::from(k) * row)).collect();
        let at = |bar: usize, rise: f64, x: f64| {
            let (low, high) = (&self.bars[bar].lower, &self.bars[bar].upper);
            let middle = x + 0.5 * size.x;
            DVec2::new(x, 0.5 * (low.height(middle) + high.height(middle) - size.y) + rise)
        };
        let places = bars.iter().flat_map(|&bar| rows.iter().map(move |&rise| (bar, rise)));
        let mut all = places.flat_map(|(bar, rise)| {
            let [first, last] = self.bars[bar].range();
            let (first, last) = (first.max(from), last.min(to) - size.x);
            steps(first, last).map(move |x| (bar, at(bar, rise, x)))
        });
        all.find(|(bar, p)| self.clear(*bar, [*p, *p + size])).map(|(_, p)| p)
    }

    /// The centre of the first clear box of these half sizes on the middle line of the first bar, from the left.
    pub(crate) fn middle_place(&self, half: DVec2) -> Option<DVec2> {
        let [from, to] = self.bars.first()?.range();
        self.place_on_middle(half, from, to)
    }

    fn place_on_middle(&self, half: DVec2, from: f64, to: f64) -> Option<DVec2> {
        let bar = &self.bars[0];
        let centre = |x: f64| DVec2::new(x, 0.5 * (bar.lower.height(x) + bar.upper.height(x)));
        steps(from, to).map(centre).find(|&c| self.clear(0, [c - half, c + half]))
    }
}

/// Places from `first` to `last`.
fn steps(first: f64, last: f64) -> impl Iterator<Item = f64> {
    let count = ((last - first) / STEP).floor().max(-1.0) as i64;
    (0..=count).map(move |i| first + STEP * i as f64)
}

/// Both ends and places between.
pub(crate) fn probes(left: f64, right: f64) -> impl Iterator<Item = f64> {
    steps(left, right).chain([right])
}
