//! `[[layers]]` tables: stacks of alternating layers, welded and restacked.

use std::ops::RangeInclusive;

use laminate::{LayerSet, MOST_LAYERS};

use crate::checker::Checker;
use crate::draft::{Field, Length, Number, table};
use crate::problem::{Fault, hint};
use crate::steel::Steels;

/// Most layer sets: one for each of nine bars, and as many again to try.
const MOST_SETS: usize = 18;
/// Most steels in turn.
const MOST_STEELS: usize = 8;
/// Layers of the first stack accepted.
const COUNTS: RangeInclusive<f64> = 2.0..=500.0;
/// Thicknesses of layers accepted, mm: from foil to bar.
const THICKNESSES: RangeInclusive<f64> = 0.01..=50.0;
/// Into how many pieces a stack is cut at a time.
const RESTACKS: RangeInclusive<f64> = 2.0..=20.0;
/// How often a stack is cut at most: twelve halvings alone make 4096 layers of one.
const MOST_RESTACKS: usize = 12;

table! {
    /// Layers through a bar, from one face to the other.
    LayersDraft {
        /// What bars call it by.
        #[schemars(required)]
        name: String,
        /// The steels that take turns, from 2 to 8.
        #[schemars(required)]
        steels: Vec<Field<String>>,
        /// Layers of the first stack, from 2 to 500.
        #[schemars(required)]
        count: Number,
        /// Thickness of each steel's layer in the first stack; all alike unless given.
        thickness: Vec<Field<Length>>,
        /// Into how many pieces the stack is cut and stacked again, one after the other: `[3, 2]` makes six times the
        /// layers. At most 5000 layers in all.
        restack: Vec<Field<Number>>,
    }
}

/// Layer sets by their names; `None` for one that is at fault.
pub(crate) type Sets = Vec<(String, Option<LayerSet>)>;

/// The file's layer sets.
pub(crate) fn check(
    draft: Option<&Field<Vec<Field<LayersDraft>>>>,
    steels: &mut Steels,
    c: &mut Checker,
) -> Sets {
    let mut sets = Sets::new();
    let Some(field) = draft else { return sets };
    c.count(field, MOST_SETS, "layer sets");
    for one in &field.value {
        let set = set(one, steels, c);
        match &one.value.name {
            Some(name) => {
                crate::name::own(name, sets.iter().map(|s| s.0.as_str()), c);
                sets.push((name.value.clone(), set));
            }
            None => c.missing(&format!("{}.name", one.at), "give the layer set a name"),
        }
    }
    sets
}

/// The set with this name.
pub(crate) fn named(sets: &Sets, name: &Field<String>, c: &mut Checker) -> Option<LayerSet> {
    let found = sets.iter().find(|s| s.0 == name.value);
    if found.is_none() {
        let known: Vec<&str> = sets.iter().map(|s| s.0.as_str()).collect();
        let word: String = name.value.chars().take(60).collect();
        c.fault(&name.at, &Fault::UnknownWord { nearest: hint(&word, &known), word });
    }
    found.and_then(|s| s.1.clone())
}

fn set(field: &Field<LayersDraft>, steels: &mut Steels, c: &mut Checker) -> Option<LayerSet> {
    let (d, path) = (&field.value, |key: &str| format!("{}.{key}", field.at));
    let taken = d.steels.as_ref().map(|list| {
        c.count(list, MOST_STEELS, "steels");
        if list.value.len() < 2 {
            c.fault(&list.at, &Fault::TooFew { count: list.value.len(), least: 2, what: "steels" });
        }
        list.value.iter().map(|name| steels.number(name, c)).collect::<Vec<_>>()
    });
    if taken.is_none() {
        c.missing(&path("steels"), "name the steels that take turns, as in [\"C75S\", \"75Ni8\"]");
    }
    if d.count.is_none() {
        c.missing(&path("count"), "give the layers of the first stack");
    }
    let count = c.whole(d.count.as_ref(), COUNTS);
    let thickness = thicknesses(d.thickness.as_ref(), taken.as_ref().map_or(0, Vec::len), c);
    let times = restacks(d.restack.as_ref(), c);
    let taken = taken?.into_iter().collect::<Option<Vec<usize>>>().filter(|t| t.len() > 1)?;
    let (count, thickness, times) = (count?, thickness?, times?);
    let turn = |i: usize| (taken[i % taken.len()], thickness.get(i % taken.len()).copied().unwrap_or(1.0));
    let first: Vec<(usize, f64)> = (0..count).map(turn).collect();
    let set = LayerSet::stacked(&first, times);
    if set.is_none() {
        let count = count.saturating_mul(times);
        c.fault(&path("restack"), &Fault::TooMany { count, most: MOST_LAYERS, what: "layers" });
    }
    set
}

/// Thicknesses of the layers, mm; none where all are alike.
fn thicknesses(list: Option<&Field<Vec<Field<Length>>>>, steels: usize, c: &mut Checker) -> Option<Vec<f64>> {
    let Some(list) = list else { return Some(Vec::new()) };
    if list.value.len() != steels && steels > 1 {
        c.fault(&list.at, &Fault::Numbers { count: list.value.len(), wanted: steels });
        return None;
    }
    list.value.iter().map(|one| c.length(Some(one), THICKNESSES)).collect()
}

/// How many times the first stack lies in the last.
fn restacks(list: Option<&Field<Vec<Field<Number>>>>, c: &mut Checker) -> Option<usize> {
    let Some(list) = list else { return Some(1) };
    c.count(list, MOST_RESTACKS, "restacks");
    let each: Option<Vec<usize>> = list.value.iter().map(|one| c.whole(Some(one), RESTACKS)).collect();
    Some(each?.into_iter().take(MOST_RESTACKS).fold(1, usize::saturating_mul))
}
