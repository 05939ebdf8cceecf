//! Sections square to the blade as functions of the height: how far the steel reaches to either side at every y.
//!
//! [`crate::Loft::section`] gives a section to draw; this gives one to compute with.

use glam::DVec2;

use crate::loft::Loft;
use crate::loft::spans::Span;
use crate::measure::strip_chords::{Strip, StripCut, cuts, share, square};
use crate::spec::Part;

/// Heights nearer than this (mm) are one: a picometre is far above rounding and far under any use.
const SAME: f64 = 1e-9;

/// The section in a plane square to x: straight between its heights.
#[derive(Clone, Debug, PartialEq)]
pub struct CrossSection {
    y: Vec<f64>,
    right: Vec<f64>,
    left: Vec<f64>,
    below: Vec<f64>,
}

impl CrossSection {
    /// The section with the flanks given: (y, z) with y increasing, at least two points each. Where one flank reaches
    /// further up or down, the other's last z is kept.
    pub(crate) fn new(right: &[[f64; 2]], left: &[[f64; 2]]) -> Self {
        // Most blades are alike on both sides.
        let level = |(a, b): (&[f64; 2], &[f64; 2])| (a[0] - b[0]).abs() < SAME;
        if right.len() == left.len() && right.iter().zip(left).all(level) {
            let column = |flank: &[[f64; 2]], i: usize| flank.iter().map(|p| p[i]).collect();
            return CrossSection::summed(column(right, 0), column(right, 1), column(left, 1));
        }
        let mut y: Vec<f64> = right.iter().chain(left).map(|p| p[0]).collect();
        y.sort_by(f64::total_cmp);
        y.dedup_by(|a, b| (*a - *b).abs() < SAME);
        let (right, left) = (heights(right, &y), heights(left, &y));
        CrossSection::summed(y, right, left)
    }

    /// With the areas below the heights added up.
    fn summed(y: Vec<f64>, right: Vec<f64>, left: Vec<f64>) -> Self {
        let below = Vec::with_capacity(y.len());
        let mut section = CrossSection { y, right, left, below };
        section.sum();
        section
    }

    /// Adds up the areas below the heights.
    fn sum(&mut self) {
        let CrossSection { y, right, left, below } = self;
        let mut sum = 0.0;
        below.clear();
        for i in 0..y.len() {
            if i > 0 {
                sum += 0.5 * (y[i] - y[i - 1]) * (right[i] - left[i] + right[i - 1] - left[i - 1]);
            }
            below.push(sum);
        }
    }

    /// Becomes the section at share `t` of the way from one to another: straight between corresponding points. Tells
    /// whether it did, which it does not where the two have not the same number of them.
    pub fn set_between(&mut self, [from, to]: [&CrossSection; 2], t: f64) -> bool {
        if from.y.len() != to.y.len() {
            return false;
        }
        let mix = |mixed: &mut Vec<f64>, a: &[f64], b: &[f64]| {
            mixed.clear();
            mixed.extend(a.iter().zip(b).map(|(a, b)| a + (b - a) * t));
        };
        mix(&mut self.y, &from.y, &to.y);
        mix(&mut self.right, &from.right, &to.right);
        mix(&mut self.left, &from.left, &to.left);
        self.sum();
        true
    }

    /// The same so many times as thick, moved to the right by `right` (mm).
    fn moved(self, times: f64, right: f64) -> CrossSection {
        let moved = |flank: Vec<f64>| flank.into_iter().map(|z| times * z + right).collect();
        let below = self.below.into_iter().map(|area| times * area).collect();
        CrossSection { y: self.y, right: moved(self.right), left: moved(self.left), below }
    }

    /// The least and the greatest height, mm.
    pub fn range(&self) -> (f64, f64) {
        (self.y[0], self.y[self.y.len() - 1])
    }

    /// Area, mm².
    pub fn area(&self) -> f64 {
        self.below[self.below.len() - 1]
    }

    /// The heights between which both flanks are straight, mm, increasing.
    #[inline]
    pub fn heights(&self) -> &[f64] {
        &self.y
    }

    /// How far the steel reaches left and right at the height of index `i`, mm.
    #[inline]
    pub fn flanks_at(&self, i: usize) -> (f64, f64) {
        (self.left[i], self.right[i])
    }

    /// How far it reaches left and right anywhere, mm.
    pub fn extent(&self) -> (f64, f64) {
        let least = self.left.iter().copied().fold(f64::INFINITY, f64::min);
        (least, self.right.iter().copied().fold(f64::NEG_INFINITY, f64::max))
    }

    /// Index of the interval of [`CrossSection::heights`] that holds `y`, clamped to the ends.
    #[inline]
    pub fn interval(&self, y: f64) -> usize {
        self.y.partition_point(|&k| k <= y).saturating_sub(1).min(self.y.len() - 2)
    }

    /// How far the steel reaches to the left (least z) and to the right (greatest z) at height `y`, mm. Beyond the
    /// ends of the range, their values.
    pub fn flanks(&self, y: f64) -> (f64, f64) {
        self.flanks_in(self.interval(y), y)
    }

    /// As [`CrossSection::flanks`] for a y in interval `i`.
    #[inline]
    pub fn flanks_in(&self, i: usize, y: f64) -> (f64, f64) {
        self.read(i, y).0
    }

    /// Area under height `y`, mm²: 0 below the range, the whole above.
    pub fn below(&self, y: f64) -> f64 {
        self.read(self.interval(y), y).1
    }

    /// Flanks and area below a y in interval `i`: [`CrossSection::flanks`] and [`CrossSection::below`] in one.
    #[inline]
    pub fn read(&self, i: usize, y: f64) -> ((f64, f64), f64) {
        self.trapezium(i).read(y)
    }

    /// The section between two neighbouring heights, by its interval.
    #[inline]
    fn trapezium(&self, i: usize) -> Trapezium {
        let ends = |of: &[f64]| [of[i], of[i + 1]];
        let (y, left, right) = (ends(&self.y), ends(&self.left), ends(&self.right));
        Trapezium { y, left, right, below: self.below[i] }
    }

    /// The intervals in which `heights` (mm, increasing) lie, each with those of them that do.
    pub fn trapeziums<'a>(&'a self, heights: &'a [f64]) -> impl Iterator<Item = (Trapezium, &'a [f64])> + 'a {
        let (mut i, mut left) = (0, heights);
        std::iter::from_fn(move || {
            let first = left.first()?;
            while i + 2 < self.y.len() && self.y[i + 1] <= *first {
                i += 1;
            }
            let end = if i + 2 < self.y.len() { self.y[i + 1] } else { f64::INFINITY };
            let held = left.iter().position(|y| *y >= end).unwrap_or(left.len());
            let (within, beyond) = left.split_at(held);
            left = beyond;
            Some((self.trapezium(i), within))
        })
    }

    /// The height under which `area` (mm²) lies, clamped to the range, mm.
    pub fn height(&self, area: f64) -> f64 {
        let i = self.below.partition_point(|&b| b <= area).saturating_sub(1).min(self.y.len() - 2);
        let left = (area - self.below[i]).max(0.0);
        let step = self.y[i + 1] - self.y[i];
        let (low, high) = (self.right[i] - self.left[i], self.right[i + 1] - self.left[i + 1]);
        // The root of the trapezium's quadratic in the form that loses no digits.
        let root = (low * low + 2.0 * left * (high - low) / step).max(0.0).sqrt();
        if low + root > 0.0 { self.y[i] + (2.0 * left / (low + root)).min(step) } else { self.y[i] }
    }
}

/// A section between two heights between which both flanks are straight: values at the lower and the upper one.
#[derive(Clone, Copy, Debug)]
pub struct Trapezium {
    y: [f64; 2],
    left: [f64; 2],
    right: [f64; 2],
    /// Area of the section below it, mm².
    below: f64,
}

impl Trapezium {
    /// How far the steel reaches left and right at height `y`, and the section's area below it, mm and mm². Beyond the ends
    /// what there is at them.
    #[inline]
    pub fn read(&self, y: f64) -> ((f64, f64), f64) {
        let rise = self.y[1] - self.y[0];
        let t = ((y - self.y[0]) / rise).clamp(0.0, 1.0);
        let between = |z: [f64; 2]| z[0] + (z[1] - z[0]) * t;
        let (left, right) = (between(self.left), between(self.right));
        let mean = 0.5 * (self.right[0] - self.left[0] + right - left);
        ((left, right), self.below + rise * t * mean)
    }
}

/// z of a flank at the heights `y`, straight between its points.
fn heights(flank: &[[f64; 2]], y: &[f64]) -> Vec<f64> {
    let last = flank.len() - 2;
    let mut i = 0;
    y.iter()
        .map(|&y| {
            while i < last && flank[i + 1][0] < y - SAME {
                i += 1;
            }
            let ([y0, z0], [y1, z1]) = (flank[i], flank[i + 1]);
            z0 + (z1 - z0) * ((y - y0) / (y1 - y0)).clamp(0.0, 1.0)
        })
        .collect()
}

/// All sections of a loft, tang and blade.
#[derive(Clone, Debug, PartialEq)]
pub struct Sections {
    spans: Vec<Span>,
    /// Least and greatest station of each span.
    reach: Vec<(f64, f64)>,
    /// How each strip of each span is cut.
    cuts: Vec<Vec<StripCut>>,
    fan_start: f64,
    /// How much of its thickness the blade has lost at the point, evenly growing from the shoulder on, and how far it has
    /// moved to the right, mm; `None` where it is as the loft is.
    astray: Option<[f64; 2]>,
}

impl Sections {
    /// Of a loft at its stage.
    pub fn of(loft: &Loft) -> Self {
        let fan_start = loft.form.side(loft.stage).fan.start;
        let cuts = loft.spans.iter().map(|span| cuts(span, fan_start)).collect();
        let reach = loft.spans.iter().map(reach).collect();
        Sections { reach, spans: loft.spans.clone(), cuts, fan_start, astray: None }
    }

    /// The same gone astray: thinner by a share `thinner` (below 1) at the point, evenly growing from the shoulder on, and
    /// moved to the right by `right` (mm). The tang stays.
    pub fn astray(self, thinner: f64, right: f64) -> Self {
        Sections { astray: Some([thinner, right]), ..self }
    }

    /// Where the tang ends and where the blade ends, mm.
    pub fn range(&self) -> (f64, f64) {
        (self.reach[0].0, self.reach[self.reach.len() - 1].1)
    }

    /// Height of the point, mm, where all lines end in one; `None` where they end in a flat.
    pub fn point(&self) -> Option<f64> {
        let last = &self.spans[self.spans.len() - 1];
        let mut ends = last.rails.iter().map(|r| r.line.point(last.to));
        let first = ends.next()?;
        // Rails are fitted: what is nearer than a ten-thousandth of a millimetre was one point.
        ends.all(|p| p.distance(first) < 1e-4).then_some(first.y)
    }

    /// Station from which sections fan out towards the point, mm: before it they change smoothly between
    /// [`Sections::breaks`], beyond it they may shrink with the root of what is left.
    pub fn fan_start(&self) -> f64 {
        self.fan_start
    }

    /// Stations at which borders along the blade may have corners: where tang, blade and point end and where the
    /// outline or the section's corners change, mm, increasing.
    pub fn corners(&self) -> Vec<f64> {
        let (from, to) = self.range();
        let inner =
            self.spans.iter().filter(|s| s.part == Part::Blade && s.from < self.fan_start).map(|s| s.from);
        let mut all: Vec<f64> = inner.chain([from, 0.0, self.fan_start, to]).collect();
        all.sort_by(f64::total_cmp);
        all.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        all
    }

    /// Stations at which the section's change along x may have a corner: ends of spans and knots of rails, mm, from
    /// the tang's end to the point.
    pub fn breaks(&self) -> Vec<f64> {
        let (from, to) = self.range();
        let inner = self.spans.iter().flat_map(|span| {
            let lines = span.rails.iter().map(|r| &r.line);
            lines.flat_map(|line| line.breaks().into_iter().map(|u| line.point(u).x)).collect::<Vec<_>>()
        });
        let mut all: Vec<f64> = inner.filter(|&x| x > from && x < to).collect();
        all.extend([from, 0.0, to]);
        all.sort_by(f64::total_cmp);
        all.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        all
    }

    /// The section at station `x`, mm: of the blade from the shoulder (0) on, of the tang behind it. `None` outside
    /// blade and tang, and where nothing but a line is left.
    pub fn at(&self, x: f64) -> Option<CrossSection> {
        let mut flanks = Flanks::default();
        for ((span, cuts), reach) in self.spans.iter().zip(&self.cuts).zip(&self.reach) {
            if span.part == Part::at(x) && reach.0 <= x && x <= reach.1 {
                flanks.add(span, cuts, x, self.fan_start);
            }
        }
        let section = flanks.section()?;
        Some(match self.astray.filter(|_| x >= 0.0) {
            Some([_, right]) => section.moved(self.thinned(x), right),
            None => section,
        })
    }

    /// What is left of the thickness at station `x` of a blade gone astray.
    fn thinned(&self, x: f64) -> f64 {
        self.astray.filter(|_| x >= 0.0).map_or(1.0, |[thinner, _]| 1.0 - thinner * x / self.range().1)
    }

    /// Area of the section at station `x`, mm²: that of [`Sections::at`], 0 where there is none.
    pub fn area(&self, x: f64) -> f64 {
        let whole = || self.at(x).map_or(0.0, |section| section.area());
        self.loop_area(x).map_or_else(whole, |area| area * self.thinned(x))
    }

    /// The same by the loop of chords around the section; `None` where more than one span has a share in it, or only some
    /// of the strips of one, and where a flank hangs over.
    fn loop_area(&self, x: f64) -> Option<f64> {
        let all = self.spans.iter().zip(&self.cuts).zip(&self.reach);
        let is_in = |span: &Span, reach: &(f64, f64)| {
            let square = span.part == Part::Blade && x < self.fan_start;
            let (from, to) = if square { (span.from, span.to) } else { *reach };
            span.part == Part::at(x) && from <= x && (x < to || (!square && x <= to))
        };
        let mut cut = all.filter(|((span, _), reach)| is_in(span, reach));
        let (((span, cuts), _), None) = (cut.next()?, cut.next()) else { return None };
        loop_area(&around(span, cuts, x, self.fan_start)?)
    }
}

/// The points of the chords around a span's section at station `x`, from the edge up the right flank; `None` where a strip has ended.
fn around(span: &Span, cuts: &[StripCut], x: f64, fan_start: f64) -> Option<Vec<FlankPoint>> {
    let place = (span.part == Part::Blade && x < fan_start).then(|| span.rails[0].line.place(x));
    let mut points = Vec::with_capacity(cuts.iter().map(|cut| cut.chords).sum());
    for (i, cut) in cuts.iter().enumerate() {
        let strip = Strip::new(span, i, cut);
        let starts = place.map_or_else(|| strip.tilted_starts(x), |place| strip.square_starts(&place));
        for (k, point) in starts.into_iter().enumerate().take(cut.chords) {
            points.push((point?, strip.sides(share(k, cut.chords))));
        }
    }
    // An apex stands last, and begins the right flank.
    if points.last().is_some_and(|p| p.1 == [true; 2]) {
        points.rotate_right(1);
    }
    Some(points)
}

/// A point (y, z) of a section, and whether it belongs to the right and to the left flank.
type FlankPoint = (DVec2, [bool; 2]);

/// Area (mm²) within points around a section, up the right flank and down the left one; `None` where a flank does not rise
/// all along, or where the two begin or end at other heights.
fn loop_area(points: &[FlankPoint]) -> Option<f64> {
    let first_left = points.iter().skip(1).position(|(_, [_, left])| *left)? + 1;
    let shares_top = points[first_left].1[0];
    let up = &points[..first_left + usize::from(shares_top)];
    // The left flank ends in the first point where that belongs to both.
    let down: Vec<FlankPoint> =
        points[first_left..].iter().chain(&points[..1]).filter(|p| p.1[1]).copied().collect();
    let rises = |(low, high): (&FlankPoint, &FlankPoint)| high.0.x > low.0.x + SAME;
    let are_flanks = up.iter().all(|p| p.1[0])
        && up.windows(2).all(|w| rises((&w[0], &w[1])))
        && down.windows(2).all(|w| rises((&w[1], &w[0])));
    let level = |a: &FlankPoint, b: &FlankPoint| (a.0.x - b.0.x).abs() < SAME;
    let meet = level(up.last()?, down.first()?) && level(up.first()?, down.last()?);
    let around = points.iter().zip(points.iter().cycle().skip(1));
    (are_flanks && meet).then(|| (0.5 * around.map(|(a, b)| a.0.perp_dot(b.0)).sum::<f64>()).abs())
}

/// The least station at which a span's rails begin and the greatest at which they end.
fn reach(span: &Span) -> (f64, f64) {
    let at = |u: f64| span.rails.iter().map(move |r| r.line.point(u).x);
    (at(span.from).fold(f64::INFINITY, f64::min), at(span.to).fold(f64::NEG_INFINITY, f64::max))
}

/// Points gathered on both flanks.
#[derive(Default)]
struct Flanks {
    right: Vec<[f64; 2]>,
    left: Vec<[f64; 2]>,
}

impl Flanks {
    /// Adds what a span's strips give of the section at x.
    fn add(&mut self, span: &Span, cuts: &[StripCut], x: f64, fan_start: f64) {
        // Where sections stand square to the blade the parameter is the station.
        let is_square = span.part == Part::Blade && x < fan_start;
        if is_square && !(span.from <= x && x < span.to) {
            return;
        }
        let most = cuts.iter().map(|cut| cut.chords).sum();
        self.right.reserve(most);
        self.left.reserve(most);
        let place = is_square.then(|| span.rails[0].line.place(x));
        for (i, cut) in cuts.iter().enumerate() {
            let (strip, n) = (Strip::new(span, i, cut), cut.chords);
            let starts = place.map_or_else(|| strip.tilted_starts(x), |place| strip.square_starts(&place));
            for (k, point) in starts.into_iter().enumerate().take(n) {
                if let Some(point) = point {
                    self.push(&strip, share(k, n), point);
                }
            }
            // Where both ends stand square no line across passes a station within.
            if !square(span, fan_start) {
                strip.on_rings(x).for_each(|(v, point)| self.push(&strip, v, point));
            }
        }
    }

    fn push(&mut self, strip: &Strip<'_>, v: f64, point: DVec2) {
        let [right, left] = strip.sides(v);
        if right {
            self.right.push(point.to_array());
        }
        if left {
            self.left.push(point.to_array());
        }
    }

    fn section(mut self) -> Option<CrossSection> {
        tidy(&mut self.right, 1.0);
        tidy(&mut self.left, -1.0);
        let long = |flank: &[[f64; 2]]| flank.len() > 1;
        (long(&self.right) && long(&self.left)).then(|| CrossSection::new(&self.right, &self.left))
    }
}

/// Sorts a flank from the edge up; of points at one height the outermost stays.
fn tidy(flank: &mut Vec<[f64; 2]>, sign: f64) {
    flank.sort_by(|a, b| a[0].total_cmp(&b[0]).then((sign * b[1]).total_cmp(&(sign * a[1]))));
    flank.dedup_by(|later, kept| {
        let same = (later[0] - kept[0]).abs() < SAME;
        if same && sign * later[1] > sign * kept[1] {
            kept[1] = later[1];
        }
        same
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specs::variants;
    use crate::{Blade, Stage};

    #[test]
    fn gone_astray_the_blade_is_thinner_towards_the_point_and_moved() {
        let blade = Blade::new(&variants()[0].1).unwrap();
        let plain = Sections::of(&blade.loft(Stage::Forged));
        let astray = plain.clone().astray(0.1, 0.5);
        let length = plain.range().1;
        for x in [0.0, 0.3 * length, 0.8 * length] {
            let (was, is) = (plain.at(x).unwrap(), astray.at(x).unwrap());
            let times = 1.0 - 0.1 * x / length;
            assert!((is.area() - times * was.area()).abs() < 1e-9 && is.range() == was.range(), "{x}");
            let y = 0.5 * (was.range().0 + was.range().1);
            assert!((is.flanks(y).1 - times * was.flanks(y).1 - 0.5).abs() < 1e-9, "{x}");
        }
        assert_eq!(plain.at(-5.0), astray.at(-5.0));
    }

    #[test]
    fn sections_hold_the_volume_of_the_loft() {
        for (name, spec) in variants() {
            let blade = Blade::new(&spec).unwrap();
            for stage in Stage::ALL {
                let loft = blade.loft(stage);
                let sections = Sections::of(&loft);
                let area = |x: f64| sections.at(x).map_or(0.0, |s| s.area());
                let breaks = sections.breaks();
                let mut volume = 0.0;
                for pair in breaks.windows(2) {
                    for k in 0..2 {
                        let (a, b) = (pair[0], pair[1]);
                        let cut = |i: i32| a + (b - a) * f64::from(i) / 2.0;
                        volume += brep::numeric::gauss::integrate(cut(k), cut(k + 1), area);
                    }
                }
                let holes: f64 = if stage == Stage::Forged {
                    0.0
                } else {
                    spec.tang
                        .holes
                        .iter()
                        .map(|h| {
                            let thick = sections.at(-h.at).unwrap().flanks(h.offset);
                            std::f64::consts::FRAC_PI_4 * h.diameter * h.diameter * (thick.1 - thick.0)
                        })
                        .sum()
                };
                let exact = loft.moments().volume + holes;
                assert!((volume / exact - 1.0).abs() < 1e-7, "{name} {stage}: {}", volume / exact - 1.0);
            }
        }
    }

    #[test]
    fn a_section_between_two_near_ones_is_the_one_between_them() {
        for (name, spec) in variants() {
            let sections = Sections::of(&Blade::new(&spec).unwrap().loft(Stage::Finished));
            let (_, end) = sections.range();
            for share in [0.1, 0.3, 0.6, 0.95, 0.98] {
                let x = share * end;
                let [a, m, b] = [x, x + 0.05, x + 0.1].map(|x| sections.at(x).unwrap());
                let mut mixed = m.clone();
                assert!(mixed.set_between([&a, &b], 0.5));
                assert!((mixed.area() / m.area() - 1.0).abs() < 1e-4, "{name} {share}");
                let y = m.height(0.4 * m.area());
                let ((l, r), (k, s)) = (mixed.flanks(y), m.flanks(y));
                assert!((l - k).abs() < 1e-3 && (r - s).abs() < 1e-3, "{name} {share}");
            }
            let [blade, tang] = [100.0, -50.0].map(|x| sections.at(x).unwrap());
            assert!(!blade.clone().set_between([&blade, &tang], 0.5) || name != "hollow");
        }
    }

    #[test]
    fn the_area_alone_is_that_of_the_section() {
        let mut by_loop = 0;
        for (name, spec) in variants() {
            let plain = Sections::of(&Blade::new(&spec).unwrap().loft(Stage::Finished));
            let both = [plain.clone(), plain.astray(0.1, 0.5)];
            let (from, to) = both[0].range();
            for i in 0..=800 {
                let x = from + (to - from) * f64::from(i) / 800.0;
                let sections = &both[i as usize % 2];
                let whole = sections.at(x).map_or(0.0, |s| s.area());
                assert!((sections.area(x) - whole).abs() < 1e-9, "{name} {x}: {} {whole}", sections.area(x));
                by_loop += usize::from(sections.loop_area(x).is_some());
            }
        }
        // Most sections need not be put together.
        assert!(by_loop > 600 * variants().len(), "{by_loop}");
    }

    #[test]
    fn many_heights_read_as_each_of_them() {
        for (name, spec) in variants() {
            let section = Sections::of(&Blade::new(&spec).unwrap().loft(Stage::Finished)).at(90.0).unwrap();
            let (low, high) = section.range();
            // From below the section to above it, its own heights among them.
            let even = (0..200).map(|i| low - 1.0 + (high - low + 2.0) * f64::from(i) / 199.0);
            let mut heights: Vec<f64> = even.chain(section.heights().iter().copied()).collect();
            heights.sort_by(f64::total_cmp);
            let all = section.trapeziums(&heights);
            let read: Vec<_> =
                all.flat_map(|(part, of)| of.iter().map(move |y| (*y, part.read(*y)))).collect();
            let wanted: Vec<_> =
                heights.iter().map(|y| (*y, (section.flanks(*y), section.below(*y)))).collect();
            assert_eq!(read, wanted, "{name}");
        }
    }

    #[test]
    fn area_and_height_are_inverse() {
        for (name, spec) in variants() {
            let loft = Blade::new(&spec).unwrap().loft(Stage::Forged);
            let sections = Sections::of(&loft);
            for share in [0.001, 0.3, 0.9, 0.99, 0.9999] {
                let section = sections.at(share * sections.range().1).unwrap();
                for part in [0.0, 1e-6, 0.2, 0.5, 0.999, 1.0] {
                    let area = part * section.area();
                    let y = section.height(area);
                    assert!(
                        (section.below(y) - area).abs() < 1e-12 * section.area(),
                        "{name} {share} {part}"
                    );
                }
                let (low, high) = section.range();
                let whole = section.area();
                assert!(
                    section.below(low - 1.0).abs() < 1e-12
                        && (section.below(high + 1.0) - whole).abs() < 1e-12 * whole
                );
                assert!(
                    (section.height(-1.0) - low).abs() < 1e-12
                        && (section.height(2.0 * whole) - high).abs() < 1e-9
                );
            }
            assert!(
                sections.at(sections.range().1 + 1e-3).is_none() && sections.at(-500.0).is_none(),
                "{name}"
            );
        }
    }
}
