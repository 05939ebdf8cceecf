//! Places that were read more than once: they confirm each other, are averaged, and their scatter is told.

use serde::Serialize;

use crate::file::reading::{Quantity, Reading};
use crate::surplus::doubt::Expected;
use crate::surplus::posterior::Observation;

/// Two readings of a place that differ by no more than so many of their standard deviations say the same.
const AGREE: f64 = 4.0;

/// A place that was read more than once.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Repeat {
    /// Lines of its readings in the file.
    pub lines: Vec<usize>,
    /// What was read.
    pub what: Quantity,
    /// mm from the shoulder; absent where there is no station.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub station_mm: Option<f64>,
    /// mm above the edge; absent where there is no height.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub height_mm: Option<f64>,
    /// Their mean, mm, rad or g.
    pub mean: f64,
    /// From the least to the most of them.
    pub scatter: f64,
}

impl Repeat {
    /// All of some readings, in the order of the file.
    pub(crate) fn all(readings: &[Reading]) -> Vec<Repeat> {
        // Every balance with weights has weights of its own, and every temper its own day.
        let alone = |g: &[&Reading]| {
            matches!(g[0].what, Quantity::ClampedWeight | Quantity::ClampedBalance | Quantity::Tempered)
        };
        let repeated = groups(readings, |r| r).into_iter().filter(|g| g.len() > 1 && !alone(g));
        repeated.map(|g| Repeat::new(&g)).collect()
    }

    /// Of all readings of one place, one at least.
    fn new(group: &[&Reading]) -> Repeat {
        let (first, values) = (group[0], group.iter().map(|r| r.value));
        let (least, most) =
            values.clone().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
        Repeat {
            lines: group.iter().map(|r| r.line).collect(),
            what: first.what,
            station_mm: first.what.has_station().then_some(first.station),
            height_mm: first.what.has_height().then_some(first.height),
            mean: values.sum::<f64>() / group.len() as f64,
            scatter: most - least,
        }
    }
}

/// Readings with those of one place made one, their mean.
pub(crate) fn merged(readings: &[Reading]) -> Vec<Reading> {
    let mean = |group: Vec<&Reading>| Reading { value: Repeat::new(&group).mean, ..group[0].clone() };
    groups(readings, |r| r).into_iter().map(mean).collect()
}

/// Marks readings that another one of the same place bears out.
pub(crate) fn confirm(seen: &mut [Expected<'_>]) {
    let bears_out = |a: &Expected<'_>, b: &Expected<'_>| {
        a.reading.line != b.reading.line
            && a.reading.same_place(b.reading)
            && (a.reading.value - b.reading.value).abs() <= AGREE * a.known.noise.hypot(b.known.noise)
    };
    let confirmed: Vec<bool> =
        seen.iter().map(|a| a.reading.sure || seen.iter().any(|b| bears_out(a, b))).collect();
    for (one, sure) in seen.iter_mut().zip(confirmed) {
        one.confirmed = sure;
    }
}

/// Confirmed readings of one place made one.
pub(crate) fn joined(seen: Vec<Expected<'_>>) -> Vec<Expected<'_>> {
    let (sure, open): (Vec<_>, Vec<_>) = seen.into_iter().partition(|s| s.confirmed);
    let one = |group: Vec<&Expected<'_>>| {
        let known = averaged(group.clone()).remove(0);
        (group[0].reading.line, known)
    };
    let known: Vec<(usize, Observation)> = groups(&sure, |s| s.reading).into_iter().map(one).collect();
    let mut all: Vec<Expected<'_>> = sure
        .into_iter()
        .filter_map(|s| {
            let (_, known) = known.iter().find(|(line, _)| *line == s.reading.line)?;
            Some(Expected { known: known.clone(), ..s })
        })
        .chain(open)
        .collect();
    all.sort_by_key(|s| s.reading.line);
    all
}

/// What is known, each place once: the mean of its readings, as sure as they agree.
pub(crate) fn averaged(seen: Vec<&Expected<'_>>) -> Vec<Observation> {
    let mean = |group: Vec<&&Expected<'_>>| {
        let count = group.len() as f64;
        let value = group.iter().map(|s| s.known.value).sum::<f64>() / count;
        let scatter =
            group.iter().map(|s| (s.known.value - value).powi(2)).sum::<f64>() / (count - 1.0).max(1.0);
        let own = group.iter().map(|s| s.known.noise.powi(2)).sum::<f64>() / count;
        let noise = (own.max(scatter) / count).sqrt();
        Observation { patch: group[0].known.patch.clone(), value, noise }
    };
    groups(&seen, |s| s.reading).into_iter().map(mean).collect()
}

/// Readings of the same place together, in the order of the first of each.
fn groups<T>(all: &[T], reading: impl Fn(&T) -> &Reading) -> Vec<Vec<&T>> {
    let mut groups: Vec<Vec<&T>> = Vec::new();
    for one in all {
        match groups.iter_mut().find(|g| reading(g[0]).same_place(reading(one))) {
            Some(group) => group.push(one),
            None => groups.push(vec![one]),
        }
    }
    groups
}
