//! Spans: stretches of the blade over which every section has the same corners, and their rails.

use rayon::prelude::*;

use crate::loft::rails::{Rail, rails};
use crate::section::corners::{Layout, Side};
use crate::section::shape::Shape;
use crate::spec::{Fuller, Part};

/// A span between two parameters, over which every section has the same corners.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Span {
    pub(crate) from: f64,
    pub(crate) to: f64,
    pub(crate) rails: Vec<Rail>,
    pub(crate) part: Part,
}

/// The spans from the tang's end to the point.
pub(crate) fn spans(shape: &Shape) -> Vec<Span> {
    let mut all = vec![tang_span(shape)];
    let breaks = breaks(shape);
    let mut joins = shape.taper.stations().to_vec();
    joins.extend(shape.fan_joints());
    joins.extend(smooth_joints(shape));
    let seeds = seeds(shape);
    all.par_extend(breaks.par_windows(2).map(|pair| {
        let layout = layout(shape, 0.5 * (pair[0] + pair[1]));
        let made = rails(pair[0], pair[1], &joins, &seeds, |u| shape.nodes(u, &layout));
        Span { from: pair[0], to: pair[1], rails: made, part: Part::Blade }
    }));
    all
}

fn tang_span(shape: &Shape) -> Span {
    let (from, joins) = (shape.tang_start(), shape.flare_start());
    let made = rails(from, 0.0, joins.as_slice(), &[], |u| shape.tang_nodes(u));
    Span { from, to: 0.0, rails: made, part: Part::Tang }
}

/// Parameters at which the sections' corners change or the outline has a corner.
fn breaks(shape: &Shape) -> Vec<f64> {
    let end = shape.fan.end;
    let mut all = vec![0.0, end];
    for line in [&shape.lines.back, &shape.lines.edge] {
        all.extend(line.joints().iter().filter(|j| j.1 && j.0 < end).map(|j| j.0));
    }
    all.extend(shape.sharp_from());
    all.extend(shape.fullers().iter().flat_map(|f| [f.start, f.end]));
    all.sort_by(f64::total_cmp);
    all.dedup_by(|a, b| (*a - *b).abs() < MERGE);
    all
}

/// Breaks nearer to each other than this (mm) are one.
pub(crate) const MERGE: f64 = 1e-3;

/// Stations at which a line's pieces join smoothly before the fan.
fn smooth_joints(shape: &Shape) -> Vec<f64> {
    let joints = [&shape.lines.back, &shape.lines.edge].map(|l| l.joints());
    joints.iter().flatten().filter(|j| !j.1 && j.0 < shape.fan.start).map(|j| j.0).collect()
}

fn seeds(shape: &Shape) -> Vec<f64> {
    let ricasso = shape.spec.ricasso.map(|r| [r.length, r.length + r.plunge]);
    let run = |f: &Fuller| [f.start + f.run_in, f.end - f.run_out];
    ricasso.into_iter().flatten().chain(shape.fullers().iter().flat_map(run)).collect()
}

/// Which corners the sections around u have.
pub(crate) fn layout(shape: &Shape, u: f64) -> Layout {
    let on = |side: Side| {
        let here = |f: &Fuller| side.within(f.sides) && u > f.start && u < f.end;
        shape.fullers().iter().enumerate().filter(|(_, f)| here(f)).map(|(i, _)| i).collect()
    };
    Layout { sharp: shape.sharp_from().is_some_and(|x| u > x), fullers: Side::BOTH.map(on) }
}
