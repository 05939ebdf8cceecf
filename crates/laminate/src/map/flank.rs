//! The flanks in one plane, cut into pieces that lie in one bar each: what a picture's line is read from.

use blade::CrossSection;

use crate::billet::bar::{SquarePoint, Turned};
use crate::billet::recipe::Billet;
use crate::map::material::{Plane, Walk};

/// A bar in the stack as it is turned in one plane.
pub(crate) struct Stacked {
    pub(crate) bar: usize,
    /// The plug of the bar that shows from there on; none for the bar itself.
    pub(crate) plug: Option<usize>,
    pub(crate) turned: Turned,
    /// From where on it shows, mm of the stack.
    pub(crate) from: f64,
    /// Its lower face, mm, and one over its height: beside teeth of its neighbour its face lies lower than it shows.
    low: f64,
    per_height: f64,
    /// Beside which others it lies in its place: the share of the width, from the middle, from which on it does;
    /// least for a bar of one piece.
    left: f64,
    /// Its own middle as a share of the stack's width, from the stack's, and one over such a share that is its width.
    middle: f64,
    per_width: f64,
}

impl Stacked {
    /// The point of its own section at a height of the stack (mm) and a share of its width from the middle.
    #[inline]
    pub(crate) fn point(&self, up: f64, through: f64) -> SquarePoint {
        SquarePoint {
            up: (up - self.low) * self.per_height - 0.5,
            through: (through - self.middle) * self.per_width,
        }
    }

    /// The shares of its layers' thickness at heights of the stack (mm) and shares of its width from the middle.
    pub(crate) fn shares(&self, up: &[f64], through: &[f64], shares: &mut [f64]) {
        let points = up.iter().zip(through).map(|(up, through)| self.point(*up, *through));
        self.turned.shares(points, shares);
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
                Stacked {
                    bar,
                    plug,
                    turned,
                    from,
                    low,
                    per_height: 1.0 / height,
                    left,
                    middle: 0.0,
                    per_width: 1.0,
                }
            };
            let cut = plane.chords(k).into_iter();
            let above = cut.flat_map(|(plug, [lower, upper])| [(lower, Some(plug)), (upper, None)]);
            all.push(whole((from, None)));
            all.extend(above.map(whole));
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
                    per_height: 1.0 / (tall * height),
                    left: cell.through[0] - 0.5,
                    middle: own.through[0] + 0.5 * wide - 0.5,
                    per_width: 1.0 / wide,
                }
            }));
        }
    }
    all
}

/// A piece of a flank that lies in one bar.
pub(crate) struct Piece {
    /// Which of the stacked bars.
    pub(crate) place: usize,
    /// The heights at its ends, mm.
    pub(crate) between: [f64; 2],
}

/// The pieces of the right or left flank of a stage's section in the plane, from the edge up.
pub(crate) fn pieces(
    plane: &Plane<'_>,
    section: &CrossSection,
    bars: &[Stacked],
    right: bool,
    found: &mut Vec<Piece>,
) {
    found.clear();
    if plane.is_parted() || bars.iter().any(|b| b.plug.is_some()) {
        return found.extend(stretches(plane, section, bars, right));
    }
    let (low, high) = section.range();
    let (mut place, mut from) = (0, low);
    for (below, to) in plane.seams().enumerate().filter(|(_, y)| *y < high) {
        if to > from {
            found.push(Piece { place, between: [from, to] });
            from = to;
        }
        place = below + 1;
    }
    found.push(Piece { place, between: [from, high] });
}

/// The same cut wherever anything bends, a piece for each stretch on which everything runs straight.
fn stretches(plane: &Plane<'_>, section: &CrossSection, bars: &[Stacked], right: bool) -> Vec<Piece> {
    let (mut walk, mut bar) = (Walk::default(), 0);
    let mut piece = |pair: &[f64]| {
        let middle = 0.5 * (pair[0] + pair[1]);
        let (l, r) = section.flanks(middle);
        let (up, through) = plane.walk(&mut walk, middle, if right { r } else { l });
        while bar + 1 < bars.len() && bars[bar + 1].from <= up {
            bar += 1;
        }
        Piece { place: beside(bars, bar, through), between: [pair[0], pair[1]] }
    };
    cuts(plane, section).windows(2).map(&mut piece).collect()
}

/// Heights of a flank, and where in the stack it is at each of them.
#[derive(Default)]
pub(crate) struct Rungs {
    /// On the blade, mm, increasing.
    pub(crate) heights: Vec<f64>,
    /// Heights in the stack, mm, and shares of its width from the middle.
    pub(crate) up: Vec<f64>,
    pub(crate) through: Vec<f64>,
}

impl Rungs {
    /// Reads the right or left flank of the section at all heights.
    pub(crate) fn read(&mut self, plane: &Plane<'_>, section: &CrossSection, right: bool) {
        self.through.clear();
        for (part, heights) in section.trapeziums(&self.heights) {
            let flanks = heights.iter().map(|y| part.read(*y).0);
            match right {
                true => self.through.extend(flanks.map(|(_, r)| r)),
                false => self.through.extend(flanks.map(|(l, _)| l)),
            }
        }
        // A forged flank is one up to where both meet.
        let thin = match (plane.is_of(section), right) {
            (false, _) => 0.0,
            (true, true) => 0.5,
            (true, false) => -0.5,
        };
        plane.places(&self.heights, &mut self.through, thin, &mut self.up);
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
    let bars = stacked(plane, plane.billet());
    let all = stretches(plane, section, &bars, right).into_iter();
    all.map(|piece| (bars[piece.place].bar, piece.between)).collect()
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
