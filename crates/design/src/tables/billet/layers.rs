//! The `[[layers]]` tables: sets of alternating layers, restacked.

use laminate::{LayerSet, MOST_LAYERS};

use crate::file::checker::Checker;
use crate::file::draft::{Field, Length, Whole, table};
use crate::file::problem::Fault;
use crate::tables::billet::steel::Rack;

/// Most layer sets: two for each bar.
const MOST_SETS: usize = 18;
/// Fewest steels of a set, and the fewest layers.
const FEWEST: usize = 2;
/// Most steels that alternate: more are never told apart (common practice, no source).
const MOST_STEELS: usize = 8;
/// Most layers of the first stack: what a press holds (common practice, no source).
const MOST_FIRST: usize = 500;
/// Thicknesses of layers accepted, mm: from foil to plate.
const THICKNESSES: std::ops::RangeInclusive<f64> = 0.01..=100.0;
/// Pieces that a stack may be cut into at a time.
const PIECES: std::ops::RangeInclusive<usize> = 2..=100;
/// Most times of restacking: twelve doublings of two layers already are too many.
const MOST_RESTACKS: usize = 12;

table! {
    /// A set of layers that bars are made of.
    LayersDraft {
        /// The name that bars use for it.
        #[schemars(required)]
        name: String,
        /// The steels that alternate, 2 to 8, by their names.
        #[schemars(required)]
        steels: Vec<Field<String>>,
        /// Layers of the first stack, 2 to 500 and no fewer than steels.
        #[schemars(required)]
        count: Whole,
        /// Thickness of each steel's layers in the first stack, one for each of `steels`: what you cut. Default: all
        /// alike, together as high as `block` of `forging`.
        thickness: Vec<Field<Length>>,
        /// Pieces that the drawn-out stack is cut into and stacked again, one number for each time; at most 5000 layers
        /// in all.
        restack: Vec<Field<Whole>>,
    }
}

/// The layer sets of a file.
#[derive(Debug)]
pub(crate) struct Sets {
    /// By their names; `None` for one that was refused.
    sets: Vec<(String, Option<Set>)>,
}

/// What a set is made of.
#[derive(Debug)]
struct Set {
    /// Each steel and the thickness of its layers, mm.
    steels: Vec<(String, f64)>,
    /// Whether the thicknesses are the file's own.
    measured: bool,
    count: usize,
    restacks: Vec<usize>,
}

/// How the layers of a bar are welded: the first stack, and how often it is drawn out, cut and stacked over.
#[derive(Clone, Debug, PartialEq)]
pub struct Stacking {
    /// The first stack from one face to the other: index into the billet's steels, and thickness, mm.
    pub layers: Vec<(usize, f64)>,
    /// Whether the thicknesses are the file's own; otherwise only their ratios mean anything.
    pub measured: bool,
    /// Pieces that the drawn-out stack is cut into, once for each time.
    pub restacks: Vec<usize>,
}

impl Sets {
    /// Checks the tables, if any.
    pub(crate) fn from_tables(
        draft: Option<&Field<Vec<Field<LayersDraft>>>>,
        rack: &Rack,
        c: &mut Checker,
    ) -> Sets {
        let mut sets = Sets { sets: Vec::new() };
        let Some(list) = draft else { return sets };
        c.count(list, MOST_SETS, "layer sets");
        for field in list.value.iter().take(MOST_SETS) {
            let set = set(field, rack, c);
            if let Some(name) = name(field, &sets.names(), c) {
                sets.sets.push((name, set));
            }
        }
        sets
    }

    /// The names of all sets, refused ones too.
    pub(crate) fn names(&self) -> Vec<&str> {
        self.sets.iter().map(|s| s.0.as_str()).collect()
    }

    /// The layers of the set of this name, with the steels that `rack` counts as taken; `None` for one that is not there
    /// or was refused.
    pub(crate) fn laid(&self, name: &str, rack: &mut Rack) -> Option<(LayerSet, Stacking)> {
        self.sets.iter().find(|s| s.0 == name)?.1.as_ref()?.laid(rack)
    }
}

impl Set {
    fn laid(&self, rack: &mut Rack) -> Option<(LayerSet, Stacking)> {
        let round = self.steels.iter().map(|(name, thickness)| Some((rack.take(name)?, *thickness)));
        let round: Vec<(usize, f64)> = round.collect::<Option<_>>()?;
        let layers: Vec<(usize, f64)> = round.into_iter().cycle().take(self.count).collect();
        let set = LayerSet::stacked(&layers, self.restacks.iter().product())?;
        Some((set, Stacking { layers, measured: self.measured, restacks: self.restacks.clone() }))
    }
}

fn name(field: &Field<LayersDraft>, taken: &[&str], c: &mut Checker) -> Option<String> {
    let path = format!("{}.name", field.at);
    let Some(name) = &field.value.name else {
        c.missing(&path, "give the name that bars use for these layers");
        return None;
    };
    c.named(&path, &name.value, taken).then(|| name.value.clone())
}

/// One set; `None` where anything of it was refused.
fn set(field: &Field<LayersDraft>, rack: &Rack, c: &mut Checker) -> Option<Set> {
    let draft = &field.value;
    let steels = steels(field, rack, c);
    let kinds = draft.steels.as_ref().map_or(0, |s| s.value.len());
    if draft.count.is_none() {
        c.missing(&format!("{}.count", field.at), "give the layers of the first stack, 2 to 500");
    }
    // Too many steels are told already.
    let fewest = if kinds > MOST_STEELS { FEWEST } else { kinds.max(FEWEST) };
    let count = c.whole_number(draft.count.as_ref(), fewest..=MOST_FIRST, " layers");
    let thicknesses = thicknesses(draft.thickness.as_ref(), kinds, c);
    let restacks = restacks(draft.restack.as_ref(), count, c);
    let steels = steels?.into_iter().zip(thicknesses?).collect();
    Some(Set { steels, measured: draft.thickness.is_some(), count: count?, restacks: restacks? })
}

/// The names of the steels that alternate.
fn steels(field: &Field<LayersDraft>, rack: &Rack, c: &mut Checker) -> Option<Vec<String>> {
    let Some(list) = &field.value.steels else {
        c.missing(&format!("{}.steels", field.at), "give the names of 2 to 8 steels that alternate");
        return None;
    };
    // Counted in the file: an entry that is no text has its own problem.
    let count = (0..).take_while(|i| c.document.has(&format!("{}[{i}]", list.at))).take(FEWEST).count();
    if count < FEWEST {
        let why = "a bar of one steel names it as `steel`";
        c.fault(&list.at, &Fault::TooFew { count, least: FEWEST, what: "steels", why });
    }
    c.count(list, MOST_STEELS, "steels");
    // A list too long is told once, not by each of its entries.
    let list = &list.value[..list.value.len().min(MOST_STEELS)];
    let known: Vec<bool> = list.iter().map(|f| rack.has(f, &[], c)).collect();
    let same = |&(pair, known): &(&[Field<String>], &bool)| *known && pair[0].value == pair[1].value;
    for (pair, _) in list.windows(2).zip(&known).filter(same) {
        c.fault(&pair[1].at, &Fault::SameSteel { steel: pair[1].value.clone() });
    }
    (known.iter().all(|&k| k) && count >= FEWEST).then(|| list.iter().map(|f| f.value.clone()).collect())
}

/// Thickness of each of `kinds` steels' layers, mm.
fn thicknesses(list: Option<&Field<Vec<Field<Length>>>>, kinds: usize, c: &mut Checker) -> Option<Vec<f64>> {
    let Some(list) = list else { return Some(vec![1.0; kinds]) };
    let count = list.value.len();
    if count != kinds && kinds > 0 {
        c.fault(&list.at, &Fault::Numbers { count, wanted: kinds });
        return None;
    }
    let read: Vec<Option<f64>> = list.value.iter().map(|f| c.length(Some(f), THICKNESSES)).collect();
    read.into_iter().collect()
}

/// The pieces into which the first stack of `count` layers is cut each time.
fn restacks(
    list: Option<&Field<Vec<Field<Whole>>>>,
    count: Option<usize>,
    c: &mut Checker,
) -> Option<Vec<usize>> {
    let Some(list) = list else { return Some(Vec::new()) };
    if list.value.len() > MOST_RESTACKS {
        c.count(list, MOST_RESTACKS, "restacks");
        return None;
    }
    let read: Vec<Option<usize>> =
        list.value.iter().map(|f| c.whole_number(Some(f), PIECES, " pieces")).collect();
    let read = read.into_iter().collect::<Option<Vec<usize>>>()?;
    let times = read.iter().fold(1_usize, |times, pieces| times.saturating_mul(*pieces));
    let layers = times.saturating_mul(count.unwrap_or(FEWEST));
    if layers > MOST_LAYERS {
        c.fault(&list.at, &Fault::TooMany { count: layers, most: MOST_LAYERS, what: "layers" });
    }
    Some(read)
}
