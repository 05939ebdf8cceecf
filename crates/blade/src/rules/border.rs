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

/// The section's border as a polygon, arcs in 24 chords.
fn outline_of(corners: &[Corner]) -> Vec<DVec2> {
    let mut ring = Vec::new();
    for (i, corner) in corners.iter().enumerate() {
        ring.push(corner.at);
        if let Join::Round(m, w) = corner.join {
            let end = corners[(i + 1) % corners.len()].at;
            let arc = Arc { start: corner.at, middle: m, weight: w, end };
            ring.extend((1..24).map(|k| arc.point(f64::from(k) / 24.0)));
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
    let n = ring.len();
    if ring.iter().any(|p| !p.is_finite()) {
        return false;
    }
    // Right side above left side at every height: both sides as functions of c.
    let right: Vec<_> = corners.iter().filter(|c| is_side(c.tag, Side::Right)).collect();
    let left: Vec<_> = corners.iter().filter(|c| is_side(c.tag, Side::Left)).collect();
    let rising = right.windows(2).all(|p| p[1].at.x > p[0].at.x);
    let falling = left.windows(2).all(|p| p[1].at.x < p[0].at.x);
    let area: f64 = (0..n).map(|i| ring[i].perp_dot(ring[(i + 1) % n])).sum();
    let breadth = ring.iter().map(|p| p.x).fold(0.0, f64::max);
    let apart = (1..40).all(|k| crossings(&ring, breadth * f64::from(k) / 40.0) == 2);
    rising && falling && area < 0.0 && apart
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

/// How often the border crosses height c, with the upper crossing further right.
fn crossings(ring: &[DVec2], c: f64) -> usize {
    let n = ring.len();
    (0..n).filter(|&i| (ring[i].x > c) != (ring[(i + 1) % n].x > c)).count()
}
