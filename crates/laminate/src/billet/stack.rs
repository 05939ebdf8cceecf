//! Bars welded to each other: the borders between them along the stack, and what it holds.

use std::borrow::Cow;

use blade::Part;

use crate::billet::bar::Bar;
use crate::billet::share::{CellRow, rows as cell_rows};
use crate::billet::teeth::Teeth;

/// Bars that are welded to each other, from the edge up.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Stack {
    /// Indices into the billet's bars.
    pub(crate) bars: Vec<usize>,
    /// Heights of faces and borders above the lowest face at the shoulder, mm: one more than bars, the first 0.
    seams: Vec<f64>,
    /// Where bars change their height, from the shoulder on; none where all are even.
    rows: Vec<Row>,
    /// Welds that are serrated, by their place among the seams.
    teeth: Vec<(usize, Teeth)>,
    /// The rows of cells of each bar that is parted, from the edge up; none for a bar of one piece.
    parted: Vec<Vec<CellRow>>,
    /// Whether any bar has plugs in this part.
    plugged: bool,
}

/// Faces and borders at a place along a stack, between which they run straight.
#[derive(Clone, Debug, PartialEq)]
struct Row {
    /// From the shoulder, mm.
    along: f64,
    /// As those of the stack, mm.
    seams: Vec<f64>,
    /// The stack's height summed up from the shoulder, mm².
    summed: f64,
}

impl Row {
    fn height(&self) -> f64 {
        self.seams[self.seams.len() - 1]
    }
}

impl Stack {
    /// Of those bars that run into a part; behind the shoulder they are as high as they are in it.
    pub(crate) fn new(bars: &[Bar], part: Part) -> Self {
        let own = own_places(bars);
        let indices: Vec<usize> = (0..own).rev().filter(|&i| part == Part::Blade || bars[i].tang).collect();
        let seams = |along: f64| -> Vec<f64> {
            let heights = indices.iter().scan(0.0, |sum, &i| {
                *sum += bars[i].height.at(along);
                Some(*sum)
            });
            std::iter::once(0.0).chain(heights).collect()
        };
        let (rows, teeth) = match part {
            Part::Blade => (rows(bars, seams), teeth(&bars[..own])),
            Part::Tang => (Vec::new(), Vec::new()),
        };
        let parted = indices.iter().map(|&i| parted(bars, i).unwrap_or_default()).collect();
        let plugged = part == Part::Blade && bars.iter().any(|bar| !bar.plugs.is_empty());
        Stack { seams: seams(0.0), rows, teeth, bars: indices, parted, plugged }
    }

    /// The rows of cells of the bar at a place among the stack's; none for a bar of one piece.
    pub(crate) fn cells(&self, place: usize) -> &[CellRow] {
        &self.parted[place]
    }

    /// Whether any of its bars is parted.
    pub(crate) fn is_parted(&self) -> bool {
        self.parted.iter().any(|rows| !rows.is_empty())
    }

    /// Whether it is as high all along.
    pub(crate) fn is_even(&self) -> bool {
        self.rows.is_empty()
    }

    /// Whether all of it is the same all along.
    pub(crate) fn is_level(&self) -> bool {
        self.is_even() && self.teeth.is_empty() && !self.plugged
    }

    /// Whether any of its bars has plugs.
    pub(crate) fn is_plugged(&self) -> bool {
        self.plugged
    }

    /// The serrated welds by their places among the seams.
    pub(crate) fn teeth(&self) -> &[(usize, Teeth)] {
        &self.teeth
    }

    /// Where its bars change their heights beyond the shoulder, mm.
    pub(crate) fn bends(&self) -> impl Iterator<Item = f64> + '_ {
        self.rows.iter().skip(1).map(|row| row.along)
    }

    /// Height of the stack at a place along it, mm.
    pub(crate) fn height(&self, along: f64) -> f64 {
        let last = |seams: &[f64]| seams[seams.len() - 1];
        last(&self.middles(along))
    }

    /// Heights of faces and borders at a place along it, mm.
    pub(crate) fn seams(&self, along: f64) -> Cow<'_, [f64]> {
        let mut seams = self.middles(along);
        for (k, teeth) in &self.teeth {
            seams.to_mut()[*k] += teeth.rise(along);
        }
        seams
    }

    /// The lower and upper face of each bar as it was before teeth were cut into it, at a place along the stack, mm: with its teeth
    /// it reaches as far into its neighbours everywhere as it does at most.
    pub(crate) fn faces(&self, along: f64) -> Vec<[f64; 2]> {
        let middles = self.middles(along);
        let mut faces: Vec<[f64; 2]> = middles.windows(2).map(|pair| [pair[0], pair[1]]).collect();
        for (k, teeth) in &self.teeth {
            faces[k - 1][1] += teeth.most();
            faces[*k][0] -= teeth.most();
        }
        faces
    }

    /// Heights of faces and borders as they would be without teeth, mm.
    fn middles(&self, along: f64) -> Cow<'_, [f64]> {
        let i = self.rows.partition_point(|row| row.along <= along);
        match (i.checked_sub(1).map(|i| &self.rows[i]), self.rows.get(i)) {
            (Some(a), Some(b)) => {
                let t = (along - a.along) / (b.along - a.along);
                Cow::Owned(a.seams.iter().zip(&b.seams).map(|(p, q)| p + (q - p) * t).collect())
            }
            (Some(last), None) => Cow::Borrowed(&last.seams),
            (None, _) => Cow::Borrowed(&self.seams),
        }
    }

    /// The stack's height summed up from the shoulder to a place along it, mm².
    pub(crate) fn summed(&self, along: f64) -> f64 {
        let i = self.rows.partition_point(|row| row.along <= along);
        let (from, before) =
            i.checked_sub(1).map_or((0.0, 0.0), |i| (self.rows[i].along, self.rows[i].summed));
        before + 0.5 * (self.height(from) + self.height(along)) * (along - from)
    }

    /// The place up to which its height sums up to so much, mm.
    pub(crate) fn along(&self, sum: f64) -> f64 {
        let i = self.rows.partition_point(|row| row.summed <= sum);
        let Some(row) = i.checked_sub(1).map(|i| &self.rows[i]) else { return sum / self.height(0.0) };
        let (rest, height) = (sum - row.summed, row.height());
        let slope = self.rows.get(i).map_or(0.0, |next| (next.height() - height) / (next.along - row.along));
        // The root of height·d + slope/2·d² = rest that goes over into rest/height without slope.
        row.along + 2.0 * rest / (height + (height * height + 2.0 * slope * rest).max(0.0).sqrt())
    }
}

/// How many bars have a place of their own in the stack: the first ones.
pub(crate) fn own_places(bars: &[Bar]) -> usize {
    bars.iter().take_while(|bar| bar.share.of.is_none()).count()
}

/// The rows of cells of the bar at a place; `None` for a bar of one piece, and where cells don't fill it.
pub(crate) fn parted(bars: &[Bar], place: usize) -> Option<Vec<CellRow>> {
    let within = |&i: &usize| i == place || bars[i].share.of == Some(place);
    let held: Vec<usize> = (0..bars.len()).filter(within).collect();
    let cells = held.iter().flat_map(|&i| bars[i].share.cells.iter().map(move |cell| (i, *cell)));
    if held.len() > 1 { cell_rows(cells) } else { None }
}

/// The serrated welds of a blade's stack, from the edge up.
fn teeth(bars: &[Bar]) -> Vec<(usize, Teeth)> {
    let lower = bars.iter().enumerate().skip(1).rev();
    lower.filter_map(|(i, bar)| Some((bars.len() - i, bar.teeth.clone()?))).collect()
}

/// The rows of a stack whose bars change their height; the shoulder is the first.
fn rows(bars: &[Bar], seams: impl Fn(f64) -> Vec<f64>) -> Vec<Row> {
    let places = bars.iter().filter(|bar| !bar.height.is_even()).flat_map(|bar| bar.height.places());
    let mut places: Vec<f64> = places.map(|p| p.0).filter(|s| *s > 0.0).collect();
    if places.is_empty() {
        return Vec::new();
    }
    places.push(0.0);
    places.sort_by(f64::total_cmp);
    places.dedup_by(|a, b| a.total_cmp(b).is_eq());
    let mut rows: Vec<Row> = Vec::with_capacity(places.len());
    for along in places {
        let mut row = Row { along, seams: seams(along), summed: 0.0 };
        if let Some(before) = rows.last() {
            row.summed = before.summed + 0.5 * (before.height() + row.height()) * (along - before.along);
        }
        rows.push(row);
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::billet::bar::Squaring;
    use crate::billet::height::Height;
    use crate::billet::twist::Program;
    use crate::fixtures::bar;

    /// From 20 + 10 at the shoulder to 10 + 16 at 100 mm: 30·s − 0.02·s² up to there, 2800, then 26 a mm.
    fn tapered() -> Stack {
        let plain = |height| Bar { height, ..bar(1.0, Program::default(), Squaring::Forged) };
        let heights = [[10.0, 16.0], [20.0, 10.0]];
        let bars: Vec<Bar> = heights.map(|[a, b]| plain(Height::through(&[(0.0, a), (100.0, b)]))).to_vec();
        Stack::new(&bars, Part::Blade)
    }

    #[test]
    fn a_tapered_stack_is_a_trapezium() {
        let stack = tapered();
        assert_eq!(stack.seams(50.0).as_ref(), [0.0, 15.0, 28.0]);
        assert_eq!(stack.seams(-9.0).as_ref(), [0.0, 20.0, 30.0]);
        assert_eq!(stack.seams(150.0).as_ref(), [0.0, 10.0, 26.0]);
        for (s, sum) in [(-10.0, -300.0), (0.0, 0.0), (50.0, 1450.0), (100.0, 2800.0), (150.0, 4100.0)] {
            assert!((stack.summed(s) - sum).abs() < 1e-9 && (stack.along(sum) - s).abs() < 1e-12, "{s}");
        }
    }

    #[test]
    fn an_even_stack_has_no_rows_and_the_tang_none_ever() {
        let bars = vec![bar(9.0, Program::default(), Squaring::Forged); 3];
        let stack = Stack::new(&bars, Part::Blade);
        assert!(stack.is_even() && stack.seams(77.0).as_ref() == [0.0, 9.0, 18.0, 27.0]);
        let tapered = Bar { height: Height::through(&[(0.0, 9.0), (90.0, 5.0)]), ..bars[0].clone() };
        assert!(Stack::new(std::slice::from_ref(&tapered), Part::Tang).is_even());
        assert!(!Stack::new(&[tapered], Part::Blade).is_even());
    }

    /// Places behind the shoulder change nothing: there a bar is as high as it is in the shoulder.
    #[test]
    fn places_behind_the_shoulder_count_for_nothing() {
        let height = Height::through(&[(-50.0, 5.0), (50.0, 15.0)]);
        let stack =
            Stack::new(&[Bar { height, ..bar(1.0, Program::default(), Squaring::Forged) }], Part::Blade);
        assert!((stack.height(-30.0) - 10.0).abs() < 1e-12 && (stack.height(25.0) - 12.5).abs() < 1e-12);
    }
}
