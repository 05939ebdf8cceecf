//! Where a problem stands, in words: lists count from 1, and what has a name is called by it.

use std::collections::BTreeMap;

use toml::de::DeValue;

use crate::file::document::Document;
use crate::{Design, Problem};

/// Lists of tables with names.
const NAMED: [&str; 4] = ["bar", "layers", "steel", "fitting"];
/// A name as long as a sentence helps nobody to find its place.
const LONGEST: usize = 40;

/// Names by which places are told: those of bars, layers, steels and fittings.
#[derive(Clone, Debug, Default)]
pub struct Spoken {
    names: BTreeMap<String, String>,
}

impl Spoken {
    /// By the text of a file, which need not be sound: without TOML there are no names.
    pub fn of(text: &str) -> Spoken {
        let mut spoken = Spoken::default();
        let Ok(document) = Document::parse(text) else { return spoken };
        for list in NAMED {
            let tables = document.value(list).and_then(DeValue::as_array).map_or(0, |list| list.len());
            for i in 0..tables {
                let name = document.value(&format!("{list}[{i}].name")).and_then(DeValue::as_str);
                name.iter().for_each(|name| spoken.name(list, i, name));
            }
        }
        spoken
    }

    /// By the bars of a sound design; those without a name are told by their number.
    pub fn of_design(design: &Design) -> Spoken {
        let mut spoken = Spoken::default();
        let bars = design.billet().map_or(&[][..], |billet| &billet.bars()[..billet.places()]);
        let named = bars.iter().enumerate().filter(|(i, bar)| bar.name != format!("Bar {}", i + 1));
        named.for_each(|(i, bar)| spoken.name("bar", i, &bar.name));
        spoken
    }

    fn name(&mut self, list: &str, i: usize, name: &str) {
        if name.chars().count() <= LONGEST {
            self.names.insert(format!("{list}[{i}]"), format!(" ({name})"));
        }
    }

    /// Warnings in sentences: where, what, and what to do about it.
    pub fn warnings<'p>(&self, problems: impl Iterator<Item = &'p Problem>) -> Vec<String> {
        problems.map(|p| format!("{}: {}; {}", self.field(&p.field), p.message, p.help)).collect()
    }

    /// The field of a [`crate::Problem`] as a smith would say it: `bar[1].twist[0].turns` is "bar 2 (Upper twist),
    /// twist 1, turns". A path without lists stays as it is.
    pub fn field(&self, field: &str) -> String {
        let (mut path, mut said) = (String::new(), String::new());
        for key in field.split('.') {
            let apart = match (said.is_empty(), said.contains(' ')) {
                (true, _) => "",
                (_, true) => ", ",
                (_, false) => ".",
            };
            let (word, places) = key.split_once('[').unwrap_or((key, ""));
            said += &format!("{apart}{word}");
            path += &format!("{}{word}", if path.is_empty() { "" } else { "." });
            let places =
                places.trim_end_matches(']').split("][").filter_map(|place| place.parse::<usize>().ok());
            for (k, place) in places.enumerate() {
                path += &format!("[{place}]");
                let name = self.names.get(&path).map_or("", String::as_str);
                said += &format!("{} {}{name}", if k == 0 { "" } else { "," }, place + 1);
            }
        }
        said
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_said_as_a_smith_counts_them() {
        let text =
            "[[bar]]\nname = \"Back\"\n[[bar]]\nname = \"Upper twist\"\ntwist = [{ turns = 1 }]\n[[bar]]\n";
        for (field, wanted) in [
            ("bar[1].twist[0].turns", "bar 2 (Upper twist), twist 1, turns"),
            ("bar[0]", "bar 1 (Back)"),
            ("bar[2].height", "bar 3, height"),
            ("bar[7].height[1].at", "bar 8, height 2, at"),
            ("tang.hole[0].at", "tang.hole 1, at"),
            ("outline.edge[2][1]", "outline.edge 3, 2"),
            ("stages.forged.edge", "stages.forged.edge"),
            ("name", "name"),
            ("", ""),
        ] {
            assert_eq!(Spoken::of(text).field(field), wanted);
        }
        let long = format!("[[bar]]\nname = \"{}\"\n", "x".repeat(41));
        for text in [long.as_str(), "[[bar", "bar = 1", ""] {
            assert_eq!(Spoken::of(text).field("bar[0].height"), "bar 1, height");
        }
    }
}
