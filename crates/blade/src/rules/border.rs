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

/// Distance from (c, z) to the section's border, negative outside.
pub(super) fn inner_distance(corners: &[Corner], c: f64, z: f64) -> f64 {
    let p = DVec2::new(c, z);
    let ring = outline_of(corners);
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

/// Chords that stand for an arc of a section's border.
const CHORDS: usize = 24;

/// The section's border as a polygon, arcs in [`CHORDS`] chords.
fn outline_of(corners: &[Corner]) -> Vec<DVec2> {
    let mut ring = Vec::with_capacity(CHORDS * corners.len());
    for (i, corner) in corners.iter().enumerate() {
        ring.push(corner.at);
        if let Join::Round(m, w) = corner.join {
            let end = corners[(i + 1) % corners.len()].at;
            let arc = Arc { start: corner.at, middle: m, weight: w, end };
            ring.extend((1..CHORDS).map(|k| arc.point(k as f64 / CHORDS as f64)));
        }
    }
    ring
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
    let ring = outline_of(corners);
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
    let heights: [f64; HEIGHTS] = std::array::from_fn(|k| breadth * (k + 1) as f64 / (HEIGHTS + 1) as f64);
    // How many heights are below a point: even parts tell nearly, the heights themselves exactly.
    let below = |p: &DVec2| {
        let mut count = ((p.x / breadth * (HEIGHTS + 1) as f64) as usize).min(HEIGHTS);
        while count > 0 && heights[count - 1] >= p.x {
            count -= 1;
        }
        while count < HEIGHTS && heights[count] < p.x {
            count += 1;
        }
        count
    };
    // A piece of the border crosses the heights between its ends.
    let mut steps = [0; HEIGHTS + 1];
    let mut from = ring.last().map_or(0, below);
    for to in ring.iter().map(below) {
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
