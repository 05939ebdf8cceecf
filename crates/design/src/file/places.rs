//! Where the file's values stand, kept when the file itself is gone.

use std::collections::BTreeMap;
use std::ops::Range;

use toml::Spanned;
use toml::de::DeValue;

use crate::file::document::Document;

/// The place of every value of a file, by its dotted path.
#[derive(Clone, Debug)]
pub(crate) struct Places {
    spans: BTreeMap<String, Range<usize>>,
}

impl Places {
    /// The places of a document without unknown keys: only there are all paths short.
    pub(crate) fn from_document(document: &Document) -> Places {
        let mut places = Places { spans: BTreeMap::new() };
        places.add(document.root(), "");
        places
    }

    /// Notes where a value stands, and all values in it.
    fn add(&mut self, value: &Spanned<DeValue>, path: &str) {
        self.spans.insert(path.to_owned(), value.span());
        match value.get_ref() {
            DeValue::Table(table) => {
                table.iter().for_each(|(key, v)| self.add(v, &below(path, key.get_ref())))
            }
            DeValue::Array(list) => {
                list.iter().enumerate().for_each(|(i, v)| self.add(v, &format!("{path}[{i}]")));
            }
            _ => {}
        }
    }

    /// Place of the value at `path`, or of the nearest table or list around it that the file has; empty at the
    /// file's start when there is none.
    pub(crate) fn span(&self, path: &str) -> Range<usize> {
        let around = std::iter::successors(Some(path), |p| p.rfind(['.', '[']).map(|end| &p[..end]));
        around.chain([""]).find_map(|p| self.spans.get(p).cloned()).unwrap_or(0..0)
    }
}

fn below(path: &str, key: &str) -> String {
    if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_outlive_the_document() {
        let text = "unit = \"mm\"\n[shop]\nbed = [200, 210]\n[[taper]]\nat = 0\n[[taper]]\nat = 5\n\
                    [tang]\nhole = [{ at = 3 }]\n[stages]\nforged.edge = 2\n";
        let document = Document::parse(text).unwrap();
        let places = Places::from_document(&document);
        for (path, wanted) in [
            ("unit", "\"mm\""),
            ("shop.bed[1]", "210"),
            ("shop.bed[2]", "[200, 210]"),
            ("shop.stops[3]", "[shop]"),
            ("taper[1].at", "5"),
            ("taper[1].back", "[[taper]]"),
            ("tang.hole[0].at", "3"),
            ("stages.forged.edge", "2"),
            ("jig.tab", ""),
            ("", ""),
        ] {
            assert_eq!(&text[places.span(path)], wanted, "{path}");
            assert_eq!(places.span(path), document.span(path), "{path}");
        }
        assert_eq!(places.span("jig"), 0..0);
    }
}
