//! Two people's changes of one file brought together, key by key.

use std::collections::{BTreeMap, BTreeSet};

use toml_edit::{ArrayOfTables, DocumentMut, Item, TableLike};

use crate::place::line_end;
use crate::values::{put_source, unset};

/// A key that both sides changed, each in its own way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clash {
    /// Its path.
    pub path: String,
    /// What we made of it; `None` where we took it away.
    pub ours: Option<String>,
    /// What they made of it.
    pub theirs: Option<String>,
}

/// Two changed texts as one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Merged {
    /// The text: where both changed a key, as they have it.
    pub text: String,
    /// The same with our side of every clash.
    pub ours: String,
    /// What both changed.
    pub clashes: Vec<Clash>,
}

/// Brings together what `ours` and `theirs` made of `base`: a key that one side changed is as that side has it. Comments,
/// order and line ends are theirs. Lists of tables that grew or shrank on one side count as one key. `None` when one of the
/// three is no TOML.
pub fn merge(base: &str, ours: &str, theirs: &str) -> Option<Merged> {
    let documents = [base, ours, theirs].map(|text| text.parse::<DocumentMut>().ok());
    let [Some(b), Some(o), Some(t)] = documents else { return None };
    if let Some(text) = settled(base, ours, theirs) {
        return Some(Merged { text: text.to_owned(), ours: text.to_owned(), clashes: Vec::new() });
    }
    let uneven = uneven([&b, &o, &t]);
    let [b, kept, t] = [&b, &o, &t].map(|document| leaves(document, &uneven));
    let mut merged = Merged { text: theirs.to_owned(), ours: theirs.to_owned(), clashes: Vec::new() };
    let paths: BTreeSet<&String> = b.keys().chain(kept.keys()).chain(t.keys()).collect();
    for path in paths {
        let [was, mine, other] = [&b, &kept, &t].map(|leaves| leaves.get(path));
        if mine == was || mine == other {
            continue;
        }
        merged.ours = with_ours(&merged.ours, path, mine, &o)?;
        match other == was {
            true => merged.text = with_ours(&merged.text, path, mine, &o)?,
            false => {
                let [ours, theirs] = [mine, other].map(Option::<&String>::cloned);
                merged.clashes.push(Clash { path: path.clone(), ours, theirs });
            }
        }
    }
    Some(merged)
}

/// Where one side changed nothing, or both the same.
fn settled<'t>(base: &str, ours: &'t str, theirs: &'t str) -> Option<&'t str> {
    match () {
        () if ours == base || ours == theirs => Some(theirs),
        () if theirs == base => Some(ours),
        () => None,
    }
}

/// Every value by its path; uneven lists of tables as one.
fn leaves(document: &DocumentMut, uneven: &BTreeSet<String>) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    walk(document.as_table(), "", uneven, &mut found);
    found
}

/// Gathers the values of a table and of all below it.
fn walk(table: &dyn TableLike, at: &str, uneven: &BTreeSet<String>, found: &mut BTreeMap<String, String>) {
    for (key, item) in table.iter() {
        let path = if at.is_empty() { key.to_owned() } else { format!("{at}.{key}") };
        match item {
            Item::ArrayOfTables(tables) if uneven.contains(&path) => {
                found.insert(path, tables.iter().map(ToString::to_string).collect());
            }
            Item::ArrayOfTables(tables) => {
                let each = tables.iter().enumerate();
                each.for_each(|(i, table)| walk(table, &format!("{path}[{i}]"), uneven, found));
            }
            Item::Table(table) => walk(table, &path, uneven, found),
            Item::Value(toml_edit::Value::InlineTable(table)) => walk(table, &path, uneven, found),
            Item::Value(value) => {
                found.insert(path, value.to_string().trim().to_owned());
            }
            Item::None => {}
        }
    }
}

/// The lists of tables that are not as long in one document as in another.
fn uneven(documents: [&DocumentMut; 3]) -> BTreeSet<String> {
    let [b, o, t] = documents.map(|document| {
        let mut lists = BTreeMap::new();
        lengths(document.as_table(), "", &mut lists);
        lists
    });
    let all = b.keys().chain(o.keys()).chain(t.keys()).collect::<BTreeSet<_>>();
    let length = |lists: &BTreeMap<String, usize>, path: &String| lists.get(path).copied().unwrap_or(0);
    let differ =
        |path: &&&String| length(&b, path) != length(&o, path) || length(&b, path) != length(&t, path);
    all.iter().filter(differ).map(|path| (*path).clone()).collect()
}

/// Gathers how long the lists of a table and of all below it are.
fn lengths(table: &dyn TableLike, at: &str, found: &mut BTreeMap<String, usize>) {
    for (key, item) in table.iter() {
        let path = if at.is_empty() { key.to_owned() } else { format!("{at}.{key}") };
        match item {
            Item::ArrayOfTables(tables) => {
                found.insert(path.clone(), tables.len());
                tables.iter().enumerate().for_each(|(i, t)| lengths(t, &format!("{path}[{i}]"), found));
            }
            item => {
                if let Some(table) = item.as_table_like() {
                    lengths(table, &path, found);
                }
            }
        }
    }
}

/// A text with our side of a key.
fn with_ours(text: &str, path: &str, mine: Option<&String>, ours: &DocumentMut) -> Option<String> {
    match (list(ours.as_item(), path), mine) {
        (Some(tables), _) => with_list(text, path, Some(tables)),
        (None, Some(source)) => put_source(text, path, source),
        (None, None) => unset(text, path).or_else(|| with_list(text, path, None)),
    }
}

/// A list of tables at a path of keys.
fn list<'d>(item: &'d Item, path: &str) -> Option<&'d ArrayOfTables> {
    path.split('.').try_fold(item, |item, key| item.as_table_like()?.get(key))?.as_array_of_tables()
}

/// A text with a list of tables in the place of its own, or without it.
fn with_list(text: &str, path: &str, tables: Option<&ArrayOfTables>) -> Option<String> {
    let mut document: DocumentMut = text.parse().ok()?;
    let (table, key) = path.rsplit_once('.').map_or((None, path), |(table, key)| (Some(table), key));
    let mut keys = table.into_iter().flat_map(|table| table.split('.'));
    let parent = keys.try_fold(document.as_item_mut(), |item, key| item.as_table_like_mut()?.get_mut(key))?;
    let parent = parent.as_table_like_mut()?;
    match tables {
        Some(tables) => parent.insert(key, Item::ArrayOfTables(tables.clone())),
        None => parent.remove(key),
    };
    let merged = document.to_string();
    Some(if line_end(text) == "\n" { merged } else { merged.replace('\n', "\r\n") })
}

#[cfg(test)]
mod tests {
    use super::*;

    const BASE: &str = "# top\nname = \"a\"\n[outline]\nlength = 100\nbreadth = 30 # broad\n\n[[taper]]\nat = 0\nback = 5\n\n[[taper]]\nat = 100\nback = 3\n";

    #[test]
    fn changes_of_different_keys_stand_side_by_side() {
        let ours = BASE.replace("length = 100", "length = 110").replace("back = 3", "back = 2.5");
        let theirs = BASE.replace("# broad", "# as drawn").replace("\"a\"", "\"b\"") + "grind = 2\n";
        let merged = merge(BASE, &ours, &theirs).unwrap();
        let expected = theirs.replace("length = 100", "length = 110").replace("back = 3", "back = 2.5");
        assert_eq!((merged.text.as_str(), merged.clashes.len()), (expected.as_str(), 0));
        assert_eq!(merged.ours, expected);
        for (ours, other) in [(BASE, theirs.as_str()), (theirs.as_str(), BASE), (&theirs, &theirs)] {
            assert_eq!(merge(BASE, ours, other).unwrap().text, theirs);
        }
    }

    #[test]
    fn what_both_changed_is_asked() {
        let ours = BASE.replace("length = 100", "length = 110");
        let theirs = BASE.replace("length = 100", "length = 120").replace("breadth = 30", "breadth = 31");
        let merged = merge(BASE, &ours, &theirs).unwrap();
        assert_eq!(merged.text, theirs);
        assert_eq!(merged.ours, theirs.replace("120", "110"));
        let clash =
            Clash { path: "outline.length".into(), ours: Some("110".into()), theirs: Some("120".into()) };
        assert_eq!(merged.clashes, [clash]);
    }

    #[test]
    fn lists_that_grew_count_as_one() {
        let ours = crate::insert(BASE, "taper", 1, &[("at", "50"), ("back", "4")]).unwrap();
        let theirs = BASE.replace("breadth = 30", "breadth = 31");
        let merged = merge(BASE, &ours, &theirs).unwrap();
        assert_eq!(merged.text, ours.replace("breadth = 30", "breadth = 31"));
        let theirs = BASE.replace("back = 5", "back = 6");
        let merged = merge(BASE, &ours, &theirs).unwrap();
        assert_eq!((merged.text.as_str(), merged.clashes[0].path.as_str()), (theirs.as_str(), "taper"));
        assert_eq!(merged.ours, ours);
        let without = crate::remove(BASE, "taper", 1).unwrap();
        let merged = merge(BASE, &without, &BASE.replace("breadth = 30", "breadth = 31")).unwrap();
        assert_eq!(merged.text.trim_end(), without.replace("breadth = 30", "breadth = 31").trim_end());
    }

    #[test]
    fn keys_come_and_go_and_no_toml_is_no_merge() {
        let ours = crate::put(BASE, "ricasso.length", "20").unwrap();
        let theirs = crate::put(BASE, "density", "7840").unwrap();
        let merged = merge(BASE, &ours, &theirs).unwrap();
        assert!(merged.text.contains("density = 7840") && merged.text.contains("[ricasso]\nlength = 20"));
        let gone = crate::unset(BASE, "name").unwrap();
        assert_eq!(merge(BASE, &gone, &theirs).unwrap().text, theirs.replace("name = \"a\"\n", ""));
        assert_eq!(merge(BASE, &ours, "a = "), None);
    }
}
