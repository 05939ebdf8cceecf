//! Tables put into lists, taken out, and swapped: stations of the taper, fullers, bars.

use std::ops::Range;

use toml_edit::{Item, Value};

use crate::place::{Found, end_of_line, item, line_end, parsed, spliced, start_of_line, steps};
use crate::written;

/// The text with a new table at a place of a list, which may be at its end or a list of its own; its keys with what would be
/// typed for them. `None` where there is no such place.
pub fn insert(text: &str, list: &str, place: usize, entries: &[(&str, &str)]) -> Option<String> {
    let document = parsed(text)?;
    let entry = |(key, typed): &(&str, &str)| format!("{key} = {}", written::typed(key, typed));
    let lines: Vec<String> = entries.iter().map(entry).collect();
    let inline = format!("{{ {} }}", lines.join(", "));
    let end = line_end(text);
    let block = format!("[[{list}]]{end}{}", lines.join(end));
    let added = match item(&document, &steps(list)) {
        None if place > 0 => return None,
        None => {
            let gap = if text.is_empty() || text.ends_with('\n') { "" } else { end };
            [text, gap, end, &block, end].concat()
        }
        Some(Found::Item(Item::ArrayOfTables(tables))) if place == 0 => {
            let at = with_comments(text, Found::Table(tables.get(0)?).span()?.start);
            spliced(text, at..at, &format!("{block}{end}{end}"))
        }
        Some(Found::Item(Item::ArrayOfTables(tables))) => {
            let at = end_of_line(text, Found::Table(tables.get(place - 1)?).end()?);
            spliced(text, at..at, &format!("{end}{end}{block}"))
        }
        Some(found) => insert_inline(text, found, place, &inline)?,
    };
    let is_sound = parsed(&added).is_some();
    is_sound.then_some(added)
}

/// The text with an entry at a place of a list written in brackets.
pub(crate) fn insert_inline(text: &str, found: Found, place: usize, entry: &str) -> Option<String> {
    let Value::Array(array) = found.value()? else { return None };
    if array.is_empty() {
        return (place == 0).then_some(spliced(text, found.span()?, &format!("[{entry}]")));
    }
    if place == 0 {
        let at = array.get(0)?.span()?.start;
        return Some(spliced(text, at..at, &format!("{entry}, ")));
    }
    let at = array.get(place - 1)?.span()?.end;
    Some(spliced(text, at..at, &format!(", {entry}")))
}

/// The text without a table of a list; comments in and beside it stay. `None` where there is none such.
pub fn remove(text: &str, list: &str, place: usize) -> Option<String> {
    let document = parsed(text)?;
    match item(&document, &steps(list))? {
        Found::Item(Item::ArrayOfTables(tables)) => {
            let found = Found::Table(tables.get(place)?);
            let (from, to) = (start_of_line(text, found.span()?.start), end_of_line(text, found.end()?));
            let kept: Vec<&str> = text[from..to].lines().filter_map(comment).collect();
            // A gap of one line goes with it.
            let next = text[to..].find('\n').map_or(text.len(), |n| to + n + 1);
            let blank = text[next..].lines().next().is_some_and(|line| line.trim().is_empty());
            match (kept.is_empty(), blank) {
                (true, true) => Some(spliced(
                    text,
                    from..(end_of_line(text, next) + line_end(text).len()).min(text.len()),
                    "",
                )),
                (true, false) => Some(spliced(text, from..next, "")),
                (false, _) => Some(spliced(text, from..to, &kept.join(line_end(text)))),
            }
        }
        found => {
            let Value::Array(array) = found.value()? else { return None };
            let span = array.get(place)?.span()?;
            let range = match (place.checked_sub(1).and_then(|i| array.get(i)), array.get(place + 1)) {
                (Some(before), _) => before.span()?.end..span.end,
                (None, Some(after)) => span.start..after.span()?.start,
                (None, None) => span,
            };
            Some(spliced(text, range, ""))
        }
    }
}

/// The text with a table of a list and the next one in each other's place, each with the comments right above it.
pub fn swap(text: &str, list: &str, place: usize) -> Option<String> {
    let document = parsed(text)?;
    let [a, b] = match item(&document, &steps(list))? {
        Found::Item(Item::ArrayOfTables(tables)) => {
            let block = |i: usize| {
                let found = Found::Table(tables.get(i)?);
                Some(with_comments(text, found.span()?.start)..end_of_line(text, found.end()?))
            };
            [block(place)?, block(place + 1)?]
        }
        found => {
            let Value::Array(array) = found.value()? else { return None };
            [array.get(place)?.span()?, array.get(place + 1)?.span()?]
        }
    };
    Some(swapped(text, &a, &b))
}

fn swapped(text: &str, a: &Range<usize>, b: &Range<usize>) -> String {
    let parts = [&text[..a.start], &text[b.clone()], &text[a.end..b.start], &text[a.clone()], &text[b.end..]];
    parts.concat()
}

/// Where a table begins, with the lines of comment right above its header.
fn with_comments(text: &str, header: usize) -> usize {
    let mut at = start_of_line(text, header);
    while at > 0 {
        let above = start_of_line(text, at - 1);
        if !text[above..at].trim_start().starts_with('#') {
            break;
        }
        at = above;
    }
    at
}

/// The comment of a line, where it has one outside of quotes.
fn comment(line: &str) -> Option<&str> {
    let mut quote = None;
    let mut escaped = false;
    for (i, c) in line.char_indices() {
        match (quote, c) {
            (None, '#') => return Some(&line[i..]),
            (None, '"' | '\'') => quote = Some(c),
            (Some('"'), '\\') if !escaped => {
                escaped = true;
                continue;
            }
            (Some(open), c) if c == open && !escaped => quote = None,
            _ => {}
        }
        escaped = false;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = "name = \"a\"\n\n# first\n[[taper]]\nat = 0 # here\nback = 5\n\n# second\n[[taper]]\nat = 200\nback = 3\n\n[tang]\nlength = 100\n\n[[tang.hole]]\nat = 20\n";

    #[test]
    fn a_station_is_put_between_others_and_taken_out_again() {
        let entries = [("at", "100"), ("back", "4")];
        let with = insert(FILE, "taper", 1, &entries).unwrap();
        let added = "[[taper]]\nat = 100\nback = 4\n\n";
        assert_eq!(with, FILE.replace("# second", &format!("{added}# second")));
        assert_eq!(remove(&with, "taper", 1).unwrap(), FILE);
        let first = insert(FILE, "taper", 0, &entries).unwrap();
        assert_eq!(first, FILE.replace("# first", &format!("{added}# first")));
        assert_eq!(remove(&first, "taper", 0).unwrap(), FILE);
        let last = insert(FILE, "taper", 2, &entries).unwrap();
        assert_eq!(last, FILE.replace("back = 3\n", &format!("back = 3\n\n{}", &added[..added.len() - 1])));
        let bars = insert(FILE, "bar", 0, &[("height", "1/2 in")]).unwrap();
        assert_eq!(bars, format!("{FILE}\n[[bar]]\nheight = \"1/2 in\"\n"));
        assert_eq!(insert(FILE, "taper", 4, &entries), None);
        assert_eq!(insert(FILE, "bar", 1, &entries), None);
        assert_eq!(insert(FILE, "name", 0, &entries), None);
    }

    #[test]
    fn what_is_taken_out_leaves_its_comments() {
        let without = remove(FILE, "taper", 0).unwrap();
        assert_eq!(without, FILE.replace("[[taper]]\nat = 0 # here\nback = 5\n", "# here\n"));
        assert_eq!(remove(FILE, "taper", 2), None);
        assert_eq!(comment("a = \"x # y\\\" #\" # z"), Some("# z"));
        assert_eq!(comment("a = 'x \\' # z"), Some("# z"));
        assert_eq!(comment("a = \"#\""), None);
    }

    #[test]
    fn neighbours_change_places_with_their_comments() {
        let swapped = swap(FILE, "taper", 0).unwrap();
        let [one, two] =
            ["# first\n[[taper]]\nat = 0 # here\nback = 5", "# second\n[[taper]]\nat = 200\nback = 3"];
        let expected = FILE.replace(one, "<one>").replace(two, one).replace("<one>", two);
        assert_eq!(swapped, expected);
        assert_eq!(swap(&swapped, "taper", 0).unwrap(), FILE);
        assert_eq!(swap(FILE, "taper", 1), None);
    }

    #[test]
    fn lists_in_brackets_are_changed_in_place() {
        let file = "taper = [{ at = 0, back = 5 }, { at = 9, back = 3 }] # all\n";
        let with = insert(file, "taper", 1, &[("at", "4")]).unwrap();
        assert_eq!(with, file.replace(" }, {", " }, { at = 4 }, {"));
        assert_eq!(remove(&with, "taper", 1).unwrap(), file);
        assert_eq!(remove(file, "taper", 0).unwrap(), "taper = [{ at = 9, back = 3 }] # all\n");
        assert_eq!(
            swap(file, "taper", 0).unwrap(),
            "taper = [{ at = 9, back = 3 }, { at = 0, back = 5 }] # all\n"
        );
        assert_eq!(insert("a = []\n", "a", 0, &[("b", "1")]).unwrap(), "a = [{ b = 1 }]\n");
        assert_eq!(insert(file, "taper", 0, &[("at", "4")]).unwrap(), file.replace("[{", "[{ at = 4 }, {"));
    }
}
