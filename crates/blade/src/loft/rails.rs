//! From sections to rails: cubic splines through like-named corners, close to the sections everywhere.

use glam::DVec4;

use crate::section::corners::Tag;
use crate::section::shape::Node;
use brep::{Spline, Spline3, Spline4};

/// How close (mm) the rails keep to the exact corners: a fiftieth of the finest mesh tolerance accepted, and far
/// under what a workshop caliper resolves.
pub(crate) const FIT: f64 = 2e-5;

/// Halvings of the first intervals at most: beyond it a span of 1 m would be cut under a nanometre.
const ROUNDS: usize = 14;

/// One rail and the arc that joins it to the next, over a span.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Rail {
    pub(crate) tag: Tag,
    pub(crate) line: Spline3,
    pub(crate) middle: Option<Spline4>,
}

/// The rails over [u0, u1]: `joins` are inner parameters where the corners' paths are only once continuously
/// differentiable, `seeds` where a knot helps.
pub(crate) fn rails(
    u0: f64,
    u1: f64,
    joins: &[f64],
    seeds: &[f64],
    nodes: impl Fn(f64) -> Vec<Node>,
) -> Vec<Rail> {
    let inside = |list: &[f64]| -> Vec<f64> {
        // Knots closer than a micrometre to each other or to the ends would only lose digits.
        list.iter().copied().filter(|&u| u > u0 + 1e-3 && u < u1 - 1e-3).collect()
    };
    let mut joins = inside(joins);
    joins.sort_by(f64::total_cmp);
    joins.dedup_by(|a, b| (*a - *b).abs() < 1e-3);
    let mut at: Vec<f64> = inside(seeds);
    at.retain(|u| joins.iter().all(|j| (u - j).abs() >= 1e-3));
    at.extend(&joins);
    at.extend([u0, u1]);
    at.sort_by(f64::total_cmp);
    at.dedup_by(|a, b| (*a - *b).abs() < 1e-3);
    let samples = at.iter().map(|&u| flat(&nodes(u))).collect();
    let probes = at.windows(2).map(|pair| Probe::within(pair[0], pair[1], &nodes)).collect();
    let mut fit = Fit { at, samples, probes, joins };
    for _ in 0..ROUNDS {
        let wide = fit.wide(&fit.splines(&nodes));
        if wide.is_empty() {
            break;
        }
        fit.halve(&wide, &nodes);
    }
    let splines = fit.splines(&nodes);
    named(&nodes(u0), splines)
}

/// Corners and middles of a section as one list of homogeneous points.
fn flat(nodes: &[Node]) -> Vec<DVec4> {
    nodes.iter().flat_map(|n| std::iter::once(n.at.extend(1.0)).chain(n.middle)).collect()
}

/// The rails of these nodes, each with the line through its middle where its strip is round.
fn named(nodes: &[Node], splines: Vec<Spline4>) -> Vec<Rail> {
    let mut splines = splines.into_iter();
    nodes
        .iter()
        .filter_map(|n| {
            let line = splines.next()?.map(|p| p.truncate());
            let middle = if n.middle.is_some() { splines.next() } else { None };
            Some(Rail { tag: n.tag, line, middle })
        })
        .collect()
}

/// A place within an interval where the splines are held against the exact corners.
struct Probe {
    at: f64,
    exact: Vec<DVec4>,
}

impl Probe {
    /// The error of a cubic peaks near the middle; the second probe catches lopsided intervals.
    const SHARES: [f64; 2] = [0.5, 0.27];

    /// The probes of the interval [a, b].
    fn within(a: f64, b: f64, nodes: &impl Fn(f64) -> Vec<Node>) -> [Probe; 2] {
        Probe::SHARES.map(|share| {
            let at = a + (b - a) * share;
            Probe { at, exact: flat(&nodes(at)) }
        })
    }

    /// Whether some spline is further than [`FIT`] from its corner.
    fn is_off(&self, splines: &[Spline4]) -> bool {
        // All go through samples at the same parameters, so their knots are the same.
        let Some(place) = splines.first().map(|spline| spline.place(self.at)) else { return false };
        self.exact.iter().zip(splines).any(|(p, s)| distance(*p, s.at_place(&place).0) > FIT)
    }
}

/// Splines through samples of the corners. Sections cost more than splines, so each is computed once and kept.
struct Fit {
    at: Vec<f64>,
    samples: Vec<Vec<DVec4>>,
    /// One pair for each interval.
    probes: Vec<[Probe; 2]>,
    joins: Vec<f64>,
}

impl Fit {
    /// One spline through every node's samples, with slopes of its own at the joins.
    fn splines(&self, nodes: &impl Fn(f64) -> Vec<Node>) -> Vec<Spline4> {
        let last = self.at.len() - 1;
        let mut joins = vec![0];
        joins.extend((1..last).filter(|&i| self.joins.iter().any(|&j| self.at[i].total_cmp(&j).is_eq())));
        joins.push(last);
        let slopes: Vec<Vec<DVec4>> = joins.iter().map(|&i| self.slope(i, nodes)).collect();
        (0..self.samples[0].len())
            .map(|k| {
                let values: Vec<DVec4> = self.samples.iter().map(|s| s[k]).collect();
                let slopes: Vec<DVec4> = slopes.iter().map(|s| s[k]).collect();
                Spline::through(&self.at, &values, &joins, &slopes)
            })
            .collect()
    }

    /// One-sided five-point difference quotient (exact to the fourth degree) into the neighbouring interval.
    fn slope(&self, i: usize, nodes: &impl Fn(f64) -> Vec<Node>) -> Vec<DVec4> {
        const WEIGHTS: [f64; 5] = [-25.0, 48.0, -36.0, 16.0, -3.0];
        let ahead =
            if i + 1 < self.at.len() { self.at[i + 1] - self.at[i] } else { self.at[i - 1] - self.at[i] };
        // A fortieth of the interval: truncation ~1e-10 of it, rounding ~1e-13 of the coordinates over it.
        let h = ahead / 40.0;
        let mut sum = self.samples[i].iter().map(|&p| p * WEIGHTS[0]).collect::<Vec<_>>();
        for (k, &w) in WEIGHTS.iter().enumerate().skip(1) {
            let step = flat(&nodes(self.at[i] + h * k as f64));
            for (s, p) in sum.iter_mut().zip(step) {
                *s += p * w;
            }
        }
        sum.into_iter().map(|s| s / (12.0 * h)).collect()
    }

    /// Indices of the intervals in which some rail is further than [`FIT`] from its corner.
    fn wide(&self, splines: &[Spline4]) -> Vec<usize> {
        let is_wide = |i: &usize| self.probes[*i].iter().any(|probe| probe.is_off(splines));
        (0..self.probes.len()).filter(is_wide).collect()
    }

    fn halve(&mut self, wide: &[usize], nodes: &impl Fn(f64) -> Vec<Node>) {
        for &i in wide.iter().rev() {
            let (a, b) = (self.at[i], self.at[i + 1]);
            let u = 0.5 * (a + b);
            self.samples.insert(i + 1, flat(&nodes(u)));
            self.probes[i] = Probe::within(a, u, nodes);
            self.probes.insert(i + 1, Probe::within(u, b, nodes));
            self.at.insert(i + 1, u);
        }
    }
}

/// Distance in space, with the weight counted over a breadth of 64 mm, the broadest blade at hand.
fn distance(p: DVec4, q: DVec4) -> f64 {
    let weight = (p.w - q.w).abs() * 64.0;
    (p.truncate() / p.w - q.truncate() / q.w).length() + weight
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loft::spans;
    use crate::rules;
    use crate::spec::{Part, Stage};
    use crate::specs::variants;

    #[test]
    fn rails_keep_to_the_exact_corners_everywhere() {
        for (name, spec) in variants() {
            let form = rules::check(&spec).unwrap();
            let shape = form.shape(Stage::Finished);
            for span in spans::spans(&shape).iter().filter(|s| s.part == Part::Blade) {
                let layout = spans::layout(&shape, 0.5 * (span.from + span.to));
                for i in 0..=500 {
                    let u = span.from + (span.to - span.from) * f64::from(i) / 500.0;
                    for (node, rail) in shape.nodes(u, &layout).iter().zip(&span.rails) {
                        let off = rail.line.point(u).distance(node.at);
                        // Twice the tolerance: the fit is tried at two places an interval.
                        assert!(off < 2.0 * FIT, "{name} {:?} at {u}: {off}", rail.tag);
                    }
                }
            }
        }
    }
}
