//! Places in a design file's text: `taper[2].back`, as problems name them.

use std::ops::Range;

use toml_edit::{Document, Item, TableLike, Value};

/// A step of a path.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Step {
    Key(String),
    Index(usize),
}

/// The steps of a path; keys hold no dots or brackets, as no key of a design does.
pub(crate) fn steps(path: &str) -> Vec<Step> {
    let step = |part: &str| match part.strip_suffix(']').and_then(|n| n.parse().ok()) {
        Some(index) => Step::Index(index),
        None => Step::Key(part.to_owned()),
    };
    path.split(['.', '[']).filter(|part| !part.is_empty()).map(step).collect()
}

/// A text read as TOML; `None` where it is none.
pub(crate) fn parsed(text: &str) -> Option<Document<&str>> {
    Document::parse(text).ok()
}

/// What lies at a path. A point of an outline that is a table with more to say stands for its place: `edge[1][0]` is
/// `edge[1].at[0]` there.
pub(crate) fn item<'d>(document: &'d Document<&str>, steps: &[Step]) -> Option<Found<'d>> {
    steps.iter().try_fold(Found::Item(document.as_item()), |at, step| at.next(step))
}

/// Something in a document: toml_edit keeps tables of a list apart from items.
#[derive(Clone, Copy)]
pub(crate) enum Found<'d> {
    Item(&'d Item),
    Table(&'d toml_edit::Table),
    Value(&'d Value),
}

impl<'d> Found<'d> {
    /// What lies a step further.
    fn next(self, step: &Step) -> Option<Found<'d>> {
        match step {
            Step::Key(key) => self.table()?.get(key).map(Found::Item),
            Step::Index(i) => match self {
                Found::Item(Item::ArrayOfTables(tables)) => tables.get(*i).map(Found::Table),
                _ => match self.value()? {
                    Value::Array(array) => array.get(*i).map(Found::Value),
                    Value::InlineTable(point) => point.get("at")?.as_array()?.get(*i).map(Found::Value),
                    _ => None,
                },
            },
        }
    }

    pub(crate) fn value(self) -> Option<&'d Value> {
        match self {
            Found::Item(item) => item.as_value(),
            Found::Value(value) => Some(value),
            Found::Table(_) => None,
        }
    }

    pub(crate) fn table(self) -> Option<&'d dyn TableLike> {
        match self {
            Found::Item(item) => item.as_table_like(),
            Found::Value(value) => value.as_inline_table().map(|t| t as &dyn TableLike),
            Found::Table(table) => Some(table),
        }
    }

    /// The bytes of a value, or of a table's header.
    pub(crate) fn span(self) -> Option<Range<usize>> {
        match self {
            Found::Item(item) => item.span(),
            Found::Table(table) => table.span(),
            Found::Value(value) => value.span(),
        }
    }

    /// Where everything that belongs to it ends: of a table with those below it, its last value.
    pub(crate) fn end(self) -> Option<usize> {
        let own = self.span().map(|span| span.end);
        let below = match self {
            Found::Item(Item::ArrayOfTables(tables)) => {
                tables.iter().filter_map(|t| Found::Table(t).end()).max()
            }
            _ if self.value().is_some() => None,
            _ => self.table().and_then(|t| t.iter().filter_map(|(_, item)| Found::Item(item).end()).max()),
        };
        own.max(below)
    }

    /// Where the values that stand in the table itself end, or its header.
    pub(crate) fn own_end(self) -> Option<usize> {
        let values = self.table()?.iter().filter(|(_, item)| item.is_value());
        let last = values.filter_map(|(_, item)| item.span()).map(|span| span.end).max();
        last.or(self.span().map(|span| span.end))
    }
}

/// How a text ends its lines: as most of them do.
pub(crate) fn line_end(text: &str) -> &'static str {
    let (all, returns) = (text.matches('\n').count(), text.matches("\r\n").count());
    if 2 * returns > all { "\r\n" } else { "\n" }
}

/// Where the line ends in which `at` lies, its line end not counted.
pub(crate) fn end_of_line(text: &str, at: usize) -> usize {
    let end = text[at..].find('\n').map_or(text.len(), |n| at + n);
    if text[at..end].ends_with('\r') { end - 1 } else { end }
}

/// Where the line begins in which `at` lies.
pub(crate) fn start_of_line(text: &str, at: usize) -> usize {
    text[..at].rfind('\n').map_or(0, |n| n + 1)
}

/// A text with other bytes in a range.
pub(crate) fn spliced(text: &str, range: Range<usize>, with: &str) -> String {
    [&text[..range.start], with, &text[range.end..]].concat()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_read_as_problems_name_them() {
        let key = |k: &str| Step::Key(k.to_owned());
        assert_eq!(steps("taper[2].back"), [key("taper"), Step::Index(2), key("back")]);
        assert_eq!(
            steps("outline.edge[1][0]"),
            [key("outline"), key("edge"), Step::Index(1), Step::Index(0)]
        );
        assert_eq!(steps("density"), [key("density")]);
    }

    #[test]
    fn a_table_ends_where_its_last_table_does() {
        let text = "a = 1 # one\n[t]\nb = [1, 2]\n[[t.u]]\nc = 3\n\n[v]\nd = 4\n";
        let document = parsed(text).unwrap();
        let end = |path: &str| &text[..item(&document, &steps(path)).unwrap().end().unwrap()];
        assert!(end("t").ends_with("c = 3") && end("t.b").ends_with("2]") && end("v").ends_with("d = 4"));
        let own = item(&document, &steps("t")).unwrap().own_end().unwrap();
        assert!(text[..own].ends_with("2]"));
        assert_eq!((line_end("a\r\nb\r\nc\n"), line_end("a\nb")), ("\r\n", "\n"));
    }
}
