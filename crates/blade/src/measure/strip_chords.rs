//! The strips of a loft cut at stations into chords that hold the area of their arcs.

use std::cell::Cell;

use brep::{Across, KnotPlace, station_on};
use glam::{DVec2, DVec3, Vec3Swizzles};

use crate::loft::rails::Rail;
use crate::loft::spans::Span;
use crate::section::corners::{Side, Tag};
use crate::spec::Part;

/// Area (mm²) that chords may leave out of one strip of a section: under 1e-6 of any blade's.
const LEFT_OUT: f64 = 1e-5;
/// Chords a strip at most: a half round back of 12 mm stays within [`LEFT_OUT`] with half as many.
const MOST_CHORDS: f64 = 128.0;
/// Stations over a span at which the roundness of its strips is looked at, and points across each strip there.
const PROBES: usize = 9;
const STEPS: usize = 16;
/// Chords shorter than this (mm) have no direction: a picometre is far above rounding and far under any use.
const SAME: f64 = 1e-9;

/// Whether the sections of a span stand square to the blade, so that its parameter is the station.
pub(super) fn square(span: &Span, fan_start: f64) -> bool {
    span.part == Part::Blade && span.to <= fan_start
}

/// Points of a curve (y, z) at even parameters, the inner ones moved outwards so that the chords between them hold the
/// curve's area: Simpson's correction of the trapezium rule, by a twelfth of the second differences and half as much
/// again beside the ends. What is then left out shrinks with the fourth power of the number of chords.
fn filled(points: &[Option<DVec2>]) -> Vec<Option<DVec2>> {
    let last = points.len() - 1;
    let moved = |k: usize| {
        let (before, at, after) = (points[k - 1]?, points[k]?, points[k + 1]?);
        let beside = [k == 1, k + 1 == last].into_iter().filter(|b| *b).count();
        Some(at - (before - at * 2.0 + after) * ((1.0 + 0.5 * beside as f64) / 12.0))
    };
    (0..=last).map(|k| if k == 0 || k == last { points[k] } else { moved(k).or(points[k]) }).collect()
}

pub(super) fn share(k: usize, n: usize) -> f64 {
    k as f64 / n as f64
}

/// The strip of a span from one rail to the next.
pub(super) struct Strip<'a> {
    span: &'a Span,
    rail: &'a Rail,
    next: &'a Rail,
    cut: &'a StripCut,
}

/// How a strip of a span is cut into chords.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct StripCut {
    /// Into how many: the same all along the span, so that areas change smoothly.
    pub(super) chords: usize,
    /// The lines across where the span begins and ends.
    ends: [Across; 2],
}

impl<'a> Strip<'a> {
    pub(super) fn new(span: &'a Span, i: usize, cut: &'a StripCut) -> Self {
        let (rail, next) = rails(span, i);
        Strip { span, rail, next, cut }
    }

    /// The points (y, z) from which the chords start into which the strip is cut at the place of a station among the
    /// knots: where sections stand square to the blade.
    pub(super) fn square_starts(&self, place: &KnotPlace) -> Vec<Option<DVec2>> {
        match self.cut.chords {
            1 => vec![Some(self.rail.line.at_place(place).0.yz())],
            n => filled(&square_line(&across_at(self.rail, self.next, place), n)),
        }
    }

    /// The same at station x where they are tilted; `None` where the strip has ended.
    pub(super) fn tilted_starts(&self, x: f64) -> Vec<Option<DVec2>> {
        match self.cut.chords {
            1 => vec![self.crossing(0.0, x, None).map(|c| c.1.yz())],
            n => filled(&self.line(n, x)),
        }
    }

    /// The strip cut at station x into n chords, (y, z), where sections are tilted; `None` where it has ended.
    fn line(&self, n: usize, x: f64) -> Vec<Option<DVec2>> {
        let mut guess = None;
        (0..=n)
            .map(|k| {
                let (u, point) = self.crossing(share(k, n), x, guess)?;
                guess = Some(u);
                Some(point.yz())
            })
            .collect()
    }

    /// Parameter and point at share v of the strip's width where it stands at station x; `guess` lies near.
    fn crossing(&self, v: f64, x: f64, guess: Option<f64>) -> Option<(f64, DVec3)> {
        let range = (self.span.from, self.span.to);
        let [begin, end] = self.cut.ends.each_ref().map(|across| across.place(v).x);
        if begin > x || end < x {
            return None;
        }
        let near = Cell::new(None);
        // Stations run nearly evenly along a strip.
        let even = || range.0 + (range.1 - range.0) * ((x - begin) / (end - begin));
        let line = |u: f64| {
            let place = near.get().map_or_else(
                || self.rail.line.place(u),
                |near: KnotPlace| self.rail.line.place_near(u, &near),
            );
            near.set(Some(place));
            // On its borders a strip is its rails.
            let on = |rail: &Rail| {
                let (point, along) = rail.line.at_place(&place);
                (point, along, DVec3::ZERO)
            };
            match v {
                0.0 => on(self.rail),
                1.0 => on(self.next),
                _ => across_at(self.rail, self.next, &place).point(v),
            }
        };
        Some(station_on(line, range, x, guess.or_else(|| Some(even()))))
    }

    /// Where the lines across at the ends of the span, which may be tilted to x, pass station x: share of the width and
    /// point (y, z).
    pub(super) fn on_rings(&self, x: f64) -> impl Iterator<Item = (f64, DVec2)> {
        self.cut.ends.iter().filter_map(move |end| on_ring(end, x))
    }

    /// Whether the point at share v of the width belongs to the right and to the left flank.
    pub(super) fn sides(&self, v: f64) -> [bool; 2] {
        let (from, to) = (side(self.rail.tag), side(self.next.tag));
        let on = |side: Option<Side>| [side != Some(Side::Left), side != Some(Side::Right)];
        if v <= 0.0 {
            return on(from);
        }
        match (from.or(to), to.or(from)) {
            (a, b) if a == b => on(a),
            (a, _) if v < 0.5 => on(a),
            (_, b) if v > 0.5 => on(b),
            _ => on(None),
        }
    }
}

/// The line across a strip at parameter u. All rails of a span have the same knots.
fn across(rail: &Rail, next: &Rail, u: f64) -> Across {
    across_at(rail, next, &rail.line.place(u))
}

/// The same at a place among their knots.
fn across_at(rail: &Rail, next: &Rail, place: &KnotPlace) -> Across {
    let (low, high) = (rail.line.at_place(place), next.line.at_place(place));
    match &rail.middle {
        Some(middle) => Across::Round(low, middle.at_place(place), high),
        None => Across::Ruled([low, high]),
    }
}

/// A line across cut into n chords, (y, z).
fn square_line(line: &Across, n: usize) -> Vec<Option<DVec2>> {
    (0..=n).map(|k| Some(line.place(share(k, n)).yz())).collect()
}

/// Where a line across passes station x.
fn on_ring(line: &Across, x: f64) -> Option<(f64, DVec2)> {
    let off = |v: f64| line.place(v).x - x;
    let (a, b) = (off(0.0), off(1.0));
    if a * b >= 0.0 {
        return None;
    }
    let v = brep::numeric::root::zero(0.0, 1.0, |v| off(v) * (b - a).signum());
    Some((v, line.place(v).yz()))
}

/// The side of a corner; `None` for the apex, which belongs to both.
fn side(tag: Tag) -> Option<Side> {
    match tag {
        Tag::Apex => None,
        Tag::Edge(s) | Tag::Shoulder(s) | Tag::Grind(s) | Tag::Flank(s) | Tag::BackFlat(s) => Some(s),
        Tag::FullerLow(_, s) | Tag::FullerHigh(_, s) => Some(s),
    }
}

/// The cuts of all strips of a span.
pub(super) fn cuts(span: &Span, fan_start: f64) -> Vec<StripCut> {
    (0..span.rails.len()).map(|i| cut(span, i, fan_start)).collect()
}

/// Into how many chords a strip is cut, by the greatest bulge found along it.
fn cut(span: &Span, i: usize, fan_start: f64) -> StripCut {
    let (rail, next) = rails(span, i);
    let ends = [span.from, span.to].map(|u| across(rail, next, u));
    let uncut = StripCut { chords: 1, ends };
    let strip = Strip::new(span, i, &uncut);
    let probe = |k: usize| {
        let u = span.from + (span.to - span.from) * (0.5 + k as f64) / PROBES as f64;
        let line = across(rail, next, u);
        let tilted = || strip.line(STEPS, line.point(0.5).0.x);
        bulge(&if square(span, fan_start) { square_line(&line, STEPS) } else { tilted() })
    };
    let chords = chords((0..PROBES).map(probe).fold(0.0, f64::max));
    StripCut { chords, ..uncut }
}

/// The rails on both sides of a strip.
fn rails(span: &Span, i: usize) -> (&Rail, &Rail) {
    (&span.rails[i], &span.rails[(i + 1) % span.rails.len()])
}

/// How many chords keep [`LEFT_OUT`] for a strip whose own chord leaves `bulge` (mm²) out: one for a straight strip.
/// An even number keeps the middle of a crowned back.
fn chords(bulge: f64) -> usize {
    let n = (bulge / LEFT_OUT).powf(0.25).min(MOST_CHORDS).ceil() as usize;
    if n > 1 { n.next_multiple_of(2).max(4) } else { 1 }
}

/// Area between a curve through points and the chord of its ends, mm².
fn bulge(points: &[Option<DVec2>]) -> f64 {
    let points: Vec<DVec2> = points.iter().flatten().copied().collect();
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return 0.0 };
    let along = *last - *first;
    let off = points
        .windows(2)
        .map(|w| (w[1] - w[0]).length() * ((w[0] + w[1]) * 0.5 - *first).perp_dot(along).abs());
    if along.length() > SAME { off.sum::<f64>() / along.length() } else { 0.0 }
}
