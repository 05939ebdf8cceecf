//! The number of layers that lets a bar show as many as are asked for.

use std::collections::BTreeSet;

use design::{Compared, Design, PatternAim, PatternTarget};
use toml_edit::{DocumentMut, Item};

use crate::edit::nth;
use crate::knob::Change;

/// Most numbers tried for a set, the nearest ones: each is a file read.
const MOST_TRIED: usize = 60;

/// The file with the number of layers changed in every set whose bars miss their targets for it, and the changes; the nearest
/// number that meets them, or comes nearest. As it was where nothing is missed or may change.
pub(crate) fn counted(text: &str, design: &Design) -> (String, Vec<Change>) {
    let (mut text, mut changes) = (text.to_owned(), Vec::new());
    let most = design.targets().map_or(0.0, |targets| targets.layers);
    for set in missed_sets(&text, design) {
        if let Some((better, change)) = set_counted(&text, &set, most) {
            text = better;
            changes.push(change);
        }
    }
    (text, changes)
}

/// Names of the layer sets of which a bar misses its target.
fn missed_sets(text: &str, design: &Design) -> BTreeSet<String> {
    let Ok(mut document) = text.parse::<DocumentMut>() else { return BTreeSet::new() };
    let missed = design.against_pattern().into_iter().filter(|t| !t.is_reached());
    let bars = missed.filter_map(|t| match t.aim {
        PatternAim::Layers { bar, .. } => Some(bar),
        _ => None,
    });
    let mut name = |bar: usize| Some(nth(&mut document, "bar", bar)?.get("layers")?.as_str()?.to_owned());
    bars.filter_map(&mut name).collect()
}

/// The file with the best number of layers for one set, and what it changes; `None` where none is better.
fn set_counted(text: &str, set: &str, most: f64) -> Option<(String, Change)> {
    let document: DocumentMut = text.parse().ok()?;
    let lists = document.get("layers")?;
    let list: Vec<&dyn toml_edit::TableLike> = match lists {
        Item::ArrayOfTables(tables) => tables.iter().map(|t| t as &dyn toml_edit::TableLike).collect(),
        other => {
            let array = other.as_array()?;
            array.iter().filter_map(|v| v.as_inline_table()).map(|t| t as &dyn toml_edit::TableLike).collect()
        }
    };
    let place = list.iter().position(|t| t.get("name").and_then(Item::as_str) == Some(set))?;
    let before = list[place].get("count")?.as_integer()?;
    let with = |count: i64| {
        let mut changed = document.clone();
        let value = nth(&mut changed, "layers", place)?.get_mut("count")?.as_value_mut()?;
        let decor = value.decor().clone();
        *value = count.into();
        *value.decor_mut() = decor;
        let text = changed.to_string();
        let off = off(&design::read(text.as_bytes()).ok()?)?;
        Some((off, text))
    };
    let room = (most * before as f64).floor() as i64;
    let (start, _) = with(before)?;
    let steps = (1..=room).flat_map(|by| [before + by, before - by]).take(MOST_TRIED);
    let mut best = (start, text.to_owned(), before);
    for count in steps {
        let Some((off, text)) = with(count).filter(|(off, _)| *off < best.0 - 1e-12) else { continue };
        best = (off, text, count);
        if off <= 0.0 {
            break;
        }
    }
    let by = (best.2 - before) as f64 / before as f64;
    let what = format!("layers of {set}, from {before} to {}", best.2);
    let change = Change { what, by, unit: "share", limit: most, at_limit: best.0 > 0.0 };
    (best.2 != before).then_some((best.1, change))
}

/// How far a design is off its targets for layers, all added up.
fn off(design: &Design) -> Option<f64> {
    let all = design.against_pattern();
    let layers = all.iter().filter(|t| matches!(t.aim, PatternAim::Layers { .. }));
    let off = |t: &PatternTarget| if t.is_reached() { Some(0.0) } else { t.off().map(f64::abs) };
    layers.map(off).sum()
}
