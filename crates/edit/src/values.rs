//! Values put into a design file's text, with all around them as it was.

use design::Figures;
use toml_edit::Document;

use crate::place::{Step, end_of_line, item, line_end, parsed, spliced, steps};
use crate::tables;
use crate::written;

/// What a file says at a path, without the quotes around words; `None` where it says nothing.
pub fn raw(text: &str, path: &str) -> Option<String> {
    raw_of(&parsed(text)?, text, path)
}

/// The same of a text that was read already.
pub(crate) fn raw_of(document: &Document<&str>, text: &str, path: &str) -> Option<String> {
    let found = item(document, &steps(path))?;
    match found.value()? {
        toml_edit::Value::String(words) => Some(words.value().clone()),
        _ => Some(text[found.span()?].to_owned()),
    }
}

/// The text with what was typed at a path: a number, true, false or a list as such, anything else and names in quotes. `None`
/// where the file has no room for it.
pub fn put(text: &str, path: &str, typed: &str) -> Option<String> {
    put_source(text, path, &written::typed(written::key_of(path), typed))
}

/// The text with a length (mm) at a path, written as the one that was there: as a fraction, with its unit, or as a number in
/// the file's unit.
pub fn put_length(text: &str, path: &str, mm: f64, figures: Figures) -> Option<String> {
    put_source(text, path, &written::length(source(text, path).as_deref(), mm, figures))
}

/// The text with a share of the whole, 0 to 1, in per cent.
pub fn put_share(text: &str, path: &str, share: f64) -> Option<String> {
    put_source(text, path, &written::share(share))
}

/// The text without a key or an entry of a list and what it says; comments stay. `None` where there is none such.
pub fn unset(text: &str, path: &str) -> Option<String> {
    if let Some((list, place)) = entry(path) {
        return tables::remove(text, list, place);
    }
    let (table, key) = split(path)?;
    let document = parsed(text)?;
    let found = item(&document, &steps(table))?;
    let (key, value) = found.table()?.get_key_value(&key)?;
    let (from, to) = (key.span()?.start, value.span()?.end);
    if found.value().is_some() {
        return unset_inline(text, from, to);
    }
    // A comment after it keeps its line.
    let line = end_of_line(text, to);
    let rest = text[to..line].trim_start();
    if !rest.is_empty() {
        return Some(spliced(text, from..line - rest.len(), ""));
    }
    let next = text[line..].find('\n').map_or(text.len(), |n| line + n + 1);
    Some(spliced(text, crate::place::start_of_line(text, from)..next, ""))
}

/// The same in a table written in one line, with the comma before or after it.
fn unset_inline(text: &str, from: usize, to: usize) -> Option<String> {
    let after = text[to..].trim_start();
    if let Some(rest) = after.strip_prefix(',') {
        return Some(spliced(text, from..text.len() - rest.trim_start().len(), ""));
    }
    let before = text[..from].trim_end();
    let kept = before.strip_suffix(',').unwrap_or(before);
    Some(spliced(text, kept.len()..to, ""))
}

/// What stands at a path, as it is written.
fn source(text: &str, path: &str) -> Option<String> {
    let document = parsed(text)?;
    Some(text[item(&document, &steps(path))?.span()?].to_owned())
}

/// The text with a value, as it is to be written, at a path.
pub(crate) fn put_source(text: &str, path: &str, source: &str) -> Option<String> {
    let document = parsed(text)?;
    if let Some(found) = item(&document, &steps(path)) {
        found.value()?;
        return Some(spliced(text, found.span()?, source));
    }
    if let Some((list, place)) = entry(path) {
        let found = item(&document, &steps(list))?;
        let is_of_words = found.value()?.as_array()?.get(0)?.is_str();
        return if is_of_words { tables::insert_inline(text, found, place, source) } else { None };
    }
    let (table, key) = split(path)?;
    let Some(found) = item(&document, &steps(table)) else { return put_table(text, table, &key, source) };
    let line = format!("{key} = {source}");
    match found.value() {
        Some(toml_edit::Value::InlineTable(inline)) => {
            let at = found.own_end()?;
            match inline.is_empty() {
                true => Some(spliced(text, found.span()?, &format!("{{ {line} }}"))),
                false => Some(spliced(text, at..at, &format!(", {line}"))),
            }
        }
        Some(_) => None,
        None => put_line(text, found.own_end().unwrap_or(0), &line),
    }
}

/// The text with a line after the one in which `at` lies; at the top of a file that has no values of its own there.
fn put_line(text: &str, at: usize, line: &str) -> Option<String> {
    let end = line_end(text);
    if at == 0 {
        return Some([line, end, text].concat());
    }
    let at = end_of_line(text, at);
    Some(spliced(text, at..at, &format!("{end}{line}")))
}

/// The text with a new table at its end; `None` for one inside a list, which [`crate::insert`] makes.
fn put_table(text: &str, table: &str, key: &str, source: &str) -> Option<String> {
    let is_list = steps(table).iter().any(|step| matches!(step, Step::Index(_)));
    let end = line_end(text);
    let gap = if text.is_empty() || text.ends_with('\n') { "" } else { end };
    let added = [text, gap, end, "[", table, "]", end, key, " = ", source, end].concat();
    (!is_list && parsed(&added).is_some()).then_some(added)
}

/// The path of the list and the place of its entry, where a path leads to one.
fn entry(path: &str) -> Option<(&str, usize)> {
    let (list, place) = path.strip_suffix(']')?.rsplit_once('[')?;
    Some((list, place.parse().ok()?))
}

/// The path of the table and its key; `None` for an element of a list.
fn split(path: &str) -> Option<(&str, String)> {
    let (table, key) = path.rsplit_once('.').unwrap_or(("", path));
    (!key.ends_with(']')).then(|| (table, key.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use design::Unit;

    const FILE: &str = "# top\nname = \"Oar\" # whose\nunit = 'in'\n\n[outline] # side\nlength = \"9 1/4 in\" # long\r\nedge = [[0, 0], { at = [90, -0.8], corner = true }]\n\n[[taper]]\nat = 0\n# thick\nback = 5.5\n";

    #[test]
    fn a_value_is_put_where_the_old_one_stood_and_nothing_else_moves() {
        let inches = Figures { fractions: true, ..Figures::of(Unit::Inch) };
        let put = |path: &str, mm: f64| put_length(FILE, path, mm, inches).unwrap();
        assert_eq!(put("outline.length", 25.4 * 9.5), FILE.replace("9 1/4 in", "9 1/2 in"));
        assert_eq!(put("taper[0].back", 25.4 * 0.25), FILE.replace("5.5", "0.25"));
        assert_eq!(put("outline.edge[1][1]", -25.4), FILE.replace("-0.8", "-1"));
        assert_eq!(put("outline.edge[0][1]", 25.4), FILE.replace("[0, 0]", "[0, 1]"));
        assert_eq!(super::put(FILE, "name", "Net \"x\"").unwrap(), FILE.replace("\"Oar\"", "'Net \"x\"'"));
        assert_eq!(super::put(FILE, "name", "1084").unwrap(), FILE.replace("\"Oar\"", "\"1084\""));
        assert_eq!(raw(FILE, "outline.length").unwrap(), "9 1/4 in");
        assert_eq!(raw(FILE, "outline.edge[1]").unwrap(), "{ at = [90, -0.8], corner = true }");
    }

    #[test]
    fn a_new_key_comes_after_the_others_of_its_table() {
        let added = put(FILE, "taper[0].grind", "5").unwrap();
        assert_eq!(added, FILE.replace("back = 5.5\n", "back = 5.5\ngrind = 5\n"));
        let added = put(FILE, "density", "7840").unwrap();
        assert_eq!(added, FILE.replace("unit = 'in'\n", "unit = 'in'\ndensity = 7840\n"));
        let added = put(FILE, "outline.edge[1].corner2", "false").unwrap();
        assert_eq!(added, FILE.replace("corner = true }", "corner = true, corner2 = false }"));
        let added = put(FILE, "ricasso.length", "20").unwrap();
        assert_eq!(added, format!("{FILE}\n[ricasso]\nlength = 20\n"));
        assert_eq!(put("", "unit", "in").unwrap(), "unit = \"in\"\n");
        assert_eq!(put("t = {}\n", "t.a", "1").unwrap(), "t = { a = 1 }\n");
        for (path, typed) in [("taper[1].at", "3"), ("outline.edge[2]", "3"), ("name.first", "x")] {
            assert_eq!(put(FILE, path, typed), None, "{path}");
        }
    }

    #[test]
    fn a_key_taken_away_leaves_its_comments() {
        assert_eq!(unset(FILE, "taper[0].back").unwrap(), FILE.replace("back = 5.5\n", ""));
        assert_eq!(unset(FILE, "name").unwrap(), FILE.replace("name = \"Oar\" # whose", "# whose"));
        assert_eq!(unset(FILE, "outline.edge[1].corner").unwrap(), FILE.replace(", corner = true }", " }"));
        assert_eq!(unset("a = { b = 1, c = 2 }", "a.b").unwrap(), "a = { c = 2 }");
        assert_eq!(unset(FILE, "taper[0].grind"), None);
    }

    #[test]
    fn entries_of_a_list_are_put_and_taken_out() {
        let file = "[[layers]]\nsteels = [\"1084\", \"15N20\"] # both\n";
        let third = put(file, "layers[0].steels[2]", "1018").unwrap();
        assert_eq!(third, file.replace("\"15N20\"]", "\"15N20\", \"1018\"]"));
        assert_eq!(put(file, "layers[0].steels[1]", "1018").unwrap(), file.replace("15N20", "1018"));
        assert_eq!(put(file, "layers[0].steels[3]", "1018"), None);
        assert_eq!(unset(&third, "layers[0].steels[2]").unwrap(), file);
        assert_eq!(unset(file, "layers[0].steels[2]"), None);
        assert_eq!(
            put(file, "layers[0].steels", "[\"C45\", \"75Ni8\"]").unwrap(),
            "[[layers]]\nsteels = [\"C45\", \"75Ni8\"] # both\n"
        );
    }
}
