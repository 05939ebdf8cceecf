//! A section's border as a polygon: what lies inside it, and whether it is simple.

use brep::Arc;
use glam::DVec2;
use rayon::iter::{IntoParallelIterator, ParallelIterator};

use crate::form::Form;
use crate::loft::spans;
use crate::rules::violations::Violations;
use crate::rules::{Fault, Field};
use crate::section::corners::{Corner, Join, Side, Tag};
use crate::spec::Stage;

/// A section's border as a polygon.
pub(super) struct Border(Vec<DVec2>);

impl Border {
    /// Of these corners, arcs in [`CHORDS`] chords.
    pub(super) fn of(corners: &[Corner]) -> Border {
        Border(outline_of(corners, |_| CHORDS))
    }

    /// Distance from (c, z) to the border, negative outside.
    pub(super) fn inner_distance(&self, c: f64, z: f64) -> f64 {
        let Border(ring) = self;
        let p = DVec2::new(c, z);
        let mut inside = false;
        let mut nearest = f64::INFINITY;
        for (i, &a) in ring.iter().enumerate() {
            let b = ring[(i + 1) % ring.len()];
            if (a.y > z) != (b.y > z) && c < a.x + (z - a.y) / (b.y - a.y) * (b.x - a.x) {
                inside = !inside;
            }
            let t = ((p - a).dot(b - a) / (b - a).length_squared().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
            nearest = nearest.min(p.distance(a.lerp(b, t)));
        }
        if inside { nearest } else { -nearest }
    }
}

/// Chords that stand for an arc of a section's border.
const CHORDS: usize = 24;

/// The section's border as a polygon, each arc in so many chords.
fn outline_of(corners: &[Corner], chords: impl Fn(&Arc<DVec2>) -> usize) -> Vec<DVec2> {
    let mut ring = Vec::with_capacity(CHORDS * corners.len());
    for (i, corner) in corners.iter().enumerate() {
        ring.push(corner.at);
        if let Join::Round(m, w) = corner.join {
            let end = corners[(i + 1) % corners.len()].at;
            let arc = Arc { start: corner.at, middle: m, weight: w, end };
            let chords = chords(&arc);
            ring.extend((1..chords).map(|k| arc.point(k as f64 / chords as f64)));
        }
    }
    ring
}

/// Chords that tell how often an arc crosses a height: one that never turns back along c does so as its ends do, for a
/// rational curve of positive weights crosses a line no more often than its control polygon (Piegl and Tiller, The NURBS
/// Book, section 4.2, from memory); its middle is for the area.
fn chords_across(arc: &Arc<DVec2>) -> usize {
    let [a, m, b] = [arc.start.x, arc.middle.x, arc.end.x];
    let runs_on = arc.weight > 0.0 && ((a <= m && m <= b) || (a >= m && m >= b));
    if runs_on { 2 } else { CHORDS }
}

/// The last word: at every stage and everywhere along the blade the section is one simple region.
pub(super) fn sections(form: &Form, found: &mut Violations) {
    for stage in Stage::ALL {
        let shape = form.shape(stage);
        let end = form.length();
        let stations = (0..=240_i32).into_par_iter().map(|i| end * f64::from(i) / 240.0 * (1.0 - 1e-6));
        let bad = stations.find_first(|&u| !simple(&shape.corners(u, &spans::layout(&shape, u))));
        if let Some(at) = bad {
            found.add(Field::Section, Fault::SectionFolds { at, stage });
            return;
        }
    }
}

/// Whether a section's border, arcs as chords, runs once round without touching itself.
fn simple(corners: &[Corner]) -> bool {
    let ring = outline_of(corners, chords_across);
    let (Some(first), Some(last)) = (ring.first(), ring.last()) else { return false };
    if ring.iter().any(|p| !p.is_finite()) {
        return false;
    }
    // Right side above left side at every height: both sides as functions of c.
    let heights = |side| corners.iter().filter(move |c| is_side(c.tag, side)).map(|c| c.at.x);
    let rising = heights(Side::Right).is_sorted_by(|a, b| a < b);
    let falling = heights(Side::Left).is_sorted_by(|a, b| a > b);
    let area = ring.windows(2).map(|p| p[0].perp_dot(p[1])).sum::<f64>() + last.perp_dot(*first);
    let breadth = ring.iter().map(|p| p.x).fold(0.0, f64::max);
    rising && falling && area < 0.0 && crossings(&ring, breadth).iter().all(|&times| times == 2)
}

/// Whether a rail belongs to this side of the section; the apex belongs to both.
fn is_side(tag: Tag, side: Side) -> bool {
    match tag {
        Tag::Apex => false,
        Tag::Edge(s)
        | Tag::Shoulder(s)
        | Tag::Grind(s)
        | Tag::Flank(s)
        | Tag::FullerLow(_, s)
        | Tag::FullerHigh(_, s)
        | Tag::BackFlat(s) => s == side,
    }
}

/// Heights at which a border is looked at, without its ends.
const HEIGHTS: usize = 39;

/// How often the border crosses each of the heights that part `breadth` evenly.
fn crossings(ring: &[DVec2], breadth: f64) -> [i32; HEIGHTS] {
    // Between two that nothing lies beyond: a point's place is the number of heights below it.
    let mut heights = [f64::INFINITY; HEIGHTS + 2];
    heights[0] = f64::NEG_INFINITY;
    for (k, height) in heights[1..=HEIGHTS].iter_mut().enumerate() {
        *height = breadth * (k + 1) as f64 / (HEIGHTS + 1) as f64;
    }
    // A piece of the border crosses the heights between its ends; most lie between the same two as the piece before.
    let mut steps = [0; HEIGHTS + 1];
    let mut from = ring.last().map_or(0, |last| place(&heights, 0, last.x));
    for p in ring {
        if heights[from] < p.x && p.x <= heights[from + 1] {
            continue;
        }
        let to = place(&heights, from, p.x);
        steps[from.min(to)] += 1;
        steps[from.max(to)] -= 1;
        from = to;
    }
    let mut times = 0;
    std::array::from_fn(|k| {
        times += steps[k];
        times
    })
}

/// How many of the inner `heights` are below c, sought from a place nearby.
fn place(heights: &[f64; HEIGHTS + 2], mut place: usize, c: f64) -> usize {
    while heights[place] >= c {
        place -= 1;
    }
    while heights[place + 1] < c {
        place += 1;
    }
    place
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A section of four corners whose first side is this arc; the others are straight.
    fn rounded(middle: DVec2, weight: f64) -> [Corner; 4] {
        let corner = |tag, c, z, join| Corner { tag, at: DVec2::new(c, z), join };
        [
            corner(Tag::Edge(Side::Right), 0.0, 0.5, Join::Round(middle, weight)),
            corner(Tag::BackFlat(Side::Right), 30.0, 3.0, Join::Straight),
            corner(Tag::BackFlat(Side::Left), 30.0, -3.0, Join::Straight),
            corner(Tag::Edge(Side::Left), 0.0, -0.5, Join::Straight),
        ]
    }

    #[test]
    fn arcs_in_few_chords_cross_heights_as_often_as_in_many() {
        let mut folded = 0;
        for i in 0..4000 {
            // Middles all over a box about the section, weights from a half turn's to a straight line's.
            let part = |by: f64| (f64::from(i) * by).fract();
            let middle = DVec2::new(90.0 * part(0.618_034) - 30.0, 24.0 * part(0.754_878) - 12.0);
            let corners = rounded(middle, 0.02 + 0.98 * part(0.569_840));
            let [few, many] = [outline_of(&corners, chords_across), outline_of(&corners, |_| CHORDS)];
            assert!(few.len() == 5 || few.len() == many.len());
            assert_eq!(crossings(&few, 30.0), crossings(&many, 30.0), "{middle}");
            folded += u32::from(!simple(&corners));
        }
        assert!(folded > 100 && folded < 3000, "{folded}");
    }
}
