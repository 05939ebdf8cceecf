//! What others wrote, made fit for a terminal: no control characters, nothing that turns the line round, nothing
//! endless.

use std::fmt::Write;

/// Most characters of a message or a hint: none of ours is half as long without what the file puts into it.
const MOST: usize = 2000;
/// Of a longer one the first so many are kept, and of its end what fits: the rule's own words stand around the file's.
const HEAD: usize = 1400;
/// Stands where something was left out; plain ASCII, for it is written where frames can't be drawn, too.
pub(crate) const CUT: &str = "...";

/// A message as it may be written to a terminal: at most [`MOST`] characters, line ends kept.
pub(crate) fn told(text: &str) -> String {
    let mut shown = String::with_capacity(text.len().min(MOST));
    for c in shortened(text).chars() {
        if c == '\n' { shown.push(c) } else { push(&mut shown, c) }
    }
    shown
}

/// The text without its middle where it is longer than [`MOST`] characters.
pub(crate) fn shortened(text: &str) -> String {
    let count = if text.len() > MOST { text.chars().count() } else { 0 };
    if count <= MOST {
        return text.to_owned();
    }
    let tail = count - (MOST - HEAD - CUT.len());
    let head = text.chars().take(HEAD);
    head.chain(CUT.chars()).chain(text.chars().skip(tail)).collect()
}

/// Writes a character as it is, or as an escape where a terminal would obey it instead of showing it.
pub(crate) fn push(shown: &mut String, c: char) {
    match c {
        '\t' => shown.push(c),
        _ if is_unseen(c) => {
            // Writing to a String doesn't fail.
            let _ = write!(shown, "{}", c.escape_default());
        }
        _ => shown.push(c),
    }
}

/// Whether a character commands rather than shows: controls, line and paragraph ends, marks of no width and of
/// direction (Unicode, categories Cc, Zl, Zp, and those of Cf that move or hide what stands beside them).
fn is_unseen(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}')
        || matches!(c, '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_terminal_would_obey_is_shown_as_an_escape() {
        assert_eq!(
            told("a\u{1b}[31m\0\u{85}\tb\u{202e}c\u{feff}"),
            "a\\u{1b}[31m\\u{0}\\u{85}\tb\\u{202e}c\\u{feff}"
        );
        assert_eq!(told("back é 刃 e\u{301}\nedge"), "back é 刃 e\u{301}\nedge");
        assert_eq!(told("a\r\nb"), "a\\r\nb");
    }

    #[test]
    fn long_texts_lose_their_middle() {
        let long = format!("the key `{}` is not known here", "é".repeat(400_000));
        let told = told(&long);
        assert_eq!(told.chars().count(), MOST);
        assert!(told.starts_with("the key `éé") && told.ends_with("éé` is not known here"), "{told}");
        let just = "x".repeat(MOST);
        assert_eq!(shortened(&just), just);
    }
}
