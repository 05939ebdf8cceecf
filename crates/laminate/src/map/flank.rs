//! The flanks in one plane, cut into stretches on which everything runs straight: what a picture's line is read from.

use blade::CrossSection;

use crate::billet::bar::{SquarePoint, Turned};
use crate::billet::recipe::Billet;
use crate::map::material::Plane;

/// A bar in the stack as it is turned in one plane.
pub(crate) struct Stacked {
    pub(crate) bar: usize,
    /// The plug of the bar that shows from there on; none for the bar itself.
    pub(crate) plug: Option<usize>,
    pub(crate) turned: Turned,
    /// From where on it shows, mm of the stack.
    pub(crate) from: f64,
    /// Its lower face and its height, mm: beside teeth of its neighbour its face lies lower than it shows.
    pub(crate) low: f64,
    pub(crate) height: f64,
    /// Beside which others it lies in its place: the share of the width, from the middle, from which on it does;
    /// least for a bar of one piece.
    left: f64,
    /// Its own middle and width as shares of the stack's width, the middle's from the stack's.
    middle: f64,
    wide: f64,
}

impl Stacked {
    /// The point of its own section at a height of the stack (mm) and a share of its width from the middle.
    #[inline]
    pub(crate) fn point(&self, up: f64, through: f64) -> SquarePoint {
        SquarePoint { up: (up - self.low) / self.height - 0.5, through: (through - self.middle) / self.wide }
    }
}

/// Of bars that lie side by side from `place` down the one at a share of the width from the middle.
#[inline]
pub(crate) fn beside(bars: &[Stacked], place: usize, through: f64) -> usize {
    let mut found = place;
    while found > 0 && through < bars[found].left && bars[found - 1].from >= bars[found].from {
        found -= 1;
    }
    found
}

/// The stacked bars in a plane, from the edge up.
pub(crate) fn stacked(plane: &Plane<'_>, billet: &Billet) -> Vec<Stacked> {
    let stack = billet.stack(plane.part());
    let turned = |bar: usize| {
        let (made, along) = (&billet.bars()[bar], plane.along());
        made.turned(made.twist.angle(along), billet.standing(bar), along)
    };
    let mut all = Vec::with_capacity(stack.bars.len());
    let bars = stack.bars.iter().zip(plane.faces()).zip(plane.stacked_seams());
    for (k, ((&bar, [low, high]), &from)) in bars.enumerate() {
        let height = high - low;
        if stack.cells(k).is_empty() {
            let whole = |(from, plug): (f64, Option<usize>)| {
                let (turned, left) = (turned(bar), f64::NEG_INFINITY);
                Stacked { bar, plug, turned, from, low, height, left, middle: 0.0, wide: 1.0 }
            };
            let cut = plane.chords(k).into_iter();
            let above = cut.flat_map(|(plug, [lower, upper])| [(lower, Some(plug)), (upper, None)]);
            all.extend([(from, None)].into_iter().chain(above).map(whole));
        }
        for row in stack.cells(k) {
            all.extend(row.cells.iter().map(|&(bar, cell)| {
                let own = billet.bars()[bar].share.cell();
                let [tall, wide] = own.size();
                Stacked {
                    bar,
                    plug: None,
                    turned: turned(bar),
                    from: low + row.from * height,
                    low: low + own.up[0] * height,
                    height: tall * height,
                    left: cell.through[0] - 0.5,
                    middle: own.through[0] + 0.5 * wide - 0.5,
                    wide,
                }
            }));
        }
    }
    all
}

/// A value that runs straight with the height.
#[derive(Clone, Copy, Debug)]
struct Straight {
    start: f64,
    slope: f64,
}

impl Straight {
    fn between(start: f64, end: f64, rise: f64) -> Self {
        Straight { start, slope: (end - start) / rise }
    }

    #[inline]
    fn at(self, rise: f64) -> f64 {
        self.start + self.slope * rise
    }
}

/// A stretch of a flank inside one bar, on which the stage's flank and both forged flanks are straight.
#[derive(Clone, Debug)]
pub(crate) struct Stretch {
    /// Height at its lower end, mm.
    from: f64,
    /// Which of the stacked bars it lies in.
    pub(crate) place: usize,
    /// The stage's flank over the forged left one, and the forged thickness, mm.
    depth: Straight,
    thickness: Straight,
    /// Share of the bar's height at its start, and that share over area, 1/mm².
    up: f64,
    scale: f64,
    /// The bar's own middle and width as shares of the stack's.
    middle: f64,
    wide: f64,
}

impl Stretch {
    /// The point of the bar's section at height `y`.
    #[inline]
    pub(crate) fn point(&self, y: f64) -> SquarePoint {
        let rise = y - self.from;
        let thickness = self.thickness.at(rise);
        let area = 0.5 * rise * (self.thickness.start + thickness);
        let share = if thickness > 0.0 { (self.depth.at(rise) / thickness).clamp(0.0, 1.0) } else { 0.5 };
        SquarePoint { up: self.up + self.scale * area, through: (share - 0.5 - self.middle) / self.wide }
    }
}

/// The heights between which everything runs straight on both flanks of a stage's section in the plane, mm: from its
/// least to its greatest, increasing.
pub(crate) fn cuts(plane: &Plane<'_>, section: &CrossSection) -> Vec<f64> {
    let (low, high) = section.range();
    let inner = |y: &f64| *y > low && *y < high;
    let both = merged(section.heights().iter().copied(), plane.heights().iter().copied().filter(inner));
    let mut all = merged(both.into_iter(), plane.seams().filter(inner));
    let chords = plane.chords_up();
    if !chords.is_empty() {
        all = merged(all.into_iter(), chords.into_iter().filter(inner));
    }
    if plane.is_parted() {
        all = merged(all.into_iter(), plane.rows().into_iter().filter(inner));
        all.dedup_by(|later, kept| later <= kept);
        let mut passed = passed(plane, section, &all);
        passed.sort_by(f64::total_cmp);
        all = merged(all.into_iter(), passed.into_iter());
    }
    all.dedup_by(|later, kept| later <= kept);
    all
}

/// Heights (mm) at which a flank of the section passes from one bar to the one beside it, between heights at which
/// everything runs straight.
fn passed(plane: &Plane<'_>, section: &CrossSection, cuts: &[f64]) -> Vec<f64> {
    let stack = plane.billet().stack(plane.part());
    let all = (0..stack.bars.len()).flat_map(|k| stack.cells(k)).flat_map(|row| &row.cells);
    let mut borders: Vec<f64> = all.map(|(_, cell)| cell.through[0]).filter(|c| *c > 0.0).collect();
    borders.sort_by(f64::total_cmp);
    borders.dedup_by(|a, b| a.total_cmp(b).is_eq());
    let mut found = Vec::new();
    for pair in cuts.windows(2) {
        let ends = [pair[0], pair[1]].map(|y| (plane.flanks(y), section.flanks(y)));
        for right in [true, false] {
            for &border in &borders {
                let over = ends
                    .map(|((from, to), (l, r))| (if right { r } else { l }) - from - border * (to - from));
                if over[0] * over[1] < 0.0 {
                    found.push(pair[0] + (pair[1] - pair[0]) * over[0] / (over[0] - over[1]));
                }
            }
        }
    }
    found
}

/// What of a flank of the section each bar takes, from the edge up: the bar and the heights (mm) between which it
/// shows, one entry for each stretch.
pub(crate) fn seen(plane: &Plane<'_>, section: &CrossSection, right: bool) -> Vec<(usize, [f64; 2])> {
    let (bars, cuts) = (stacked(plane, plane.billet()), cuts(plane, section));
    let mut walked = Walked::default();
    let stretch = |pair: &[f64]| {
        let found = walked.stretch(plane, section, &bars, right, [pair[0], pair[1]]);
        (bars[found.place].bar, [pair[0], pair[1]])
    };
    cuts.windows(2).map(stretch).collect()
}

/// Two increasing rows of numbers as one.
fn merged(a: impl Iterator<Item = f64>, b: impl Iterator<Item = f64>) -> Vec<f64> {
    let (mut a, mut b) = (a.peekable(), b.peekable());
    let mut all = Vec::with_capacity(a.size_hint().1.unwrap_or(0) + b.size_hint().1.unwrap_or(0));
    loop {
        let next = match (a.peek(), b.peek()) {
            (Some(x), Some(y)) if x > y => b.next(),
            (Some(_), _) => a.next(),
            (None, _) => b.next(),
        };
        let Some(next) = next else { return all };
        all.push(next);
    }
}

/// The intervals of both sections and the bar that stretches have come to, from the edge up.
#[derive(Default)]
pub(crate) struct Walked {
    stage: usize,
    forged: usize,
    bar: usize,
}

/// The interval of `heights` that holds `y`, at or beyond interval `from`.
fn onwards(heights: &[f64], from: usize, y: f64) -> usize {
    let mut i = from;
    while i + 2 < heights.len() && heights[i + 1] <= y {
        i += 1;
    }
    i
}

impl Walked {
    /// The stretch of the right or left flank between two neighbouring [`cuts`], at or above the one before.
    pub(crate) fn stretch(
        &mut self,
        plane: &Plane<'_>,
        section: &CrossSection,
        bars: &[Stacked],
        right: bool,
        [from, to]: [f64; 2],
    ) -> Stretch {
        let (middle, rise) = (0.5 * (from + to), to - from);
        self.stage = onwards(section.heights(), self.stage, middle);
        self.forged = onwards(plane.heights(), self.forged, middle);
        let flank = |y: f64| {
            let (l, r) = section.flanks_in(self.stage, y);
            if right { r } else { l }
        };
        let [start, end] = [from, to].map(|y| plane.read(self.forged, y));
        let up = 0.5 * (start.up + end.up);
        while self.bar + 1 < bars.len() && bars[self.bar + 1].from <= up {
            self.bar += 1;
        }
        let depth = Straight::between(flank(from) - start.left, flank(to) - end.left, rise);
        let thickness = Straight::between(start.right - start.left, end.right - end.left, rise);
        let through = depth.at(0.5 * rise) / thickness.at(0.5 * rise) - 0.5;
        let place = beside(bars, self.bar, through);
        let bar = &bars[place];
        Stretch {
            from,
            place,
            depth,
            thickness,
            up: (start.up - bar.low) / bar.height - 0.5,
            scale: plane.up_over_area() / bar.height,
            middle: bar.middle,
            wide: bar.wide,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::billet::recipe::Tip;
    use crate::fixtures::{forged, four_bars, specs};
    use crate::map::material::MaterialMap;
    use blade::{Blade, Sections, Stage};

    #[test]
    fn cuts_are_all_heights_of_the_section_and_those_within_it_of_the_plane() {
        for (name, spec) in specs() {
            let lay = MaterialMap::new(four_bars(Tip::Forged), forged(&spec)).unwrap();
            let stage = Sections::of(&Blade::new(&spec).unwrap().loft(Stage::Finished));
            for x in [-40.0, 30.0, 200.0, 330.0] {
                let (plane, section) = (lay.plane(x).unwrap(), stage.at(x).unwrap());
                let (low, high) = section.range();
                let within = |y: &f64| *y > low && *y < high;
                let inner = plane.heights().iter().copied().chain(plane.seams()).filter(within);
                let mut wanted: Vec<f64> = section.heights().iter().copied().chain(inner).collect();
                wanted.sort_by(f64::total_cmp);
                wanted.dedup();
                assert!(wanted.len() > 2, "{name} {x}");
                assert_eq!(cuts(&plane, &section), wanted, "{name} {x}");
            }
        }
    }
}
