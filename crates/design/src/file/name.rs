//! Names: what may be shown, and the file name made of it.

/// Most characters in a name: it must fit a drawing's title.
const MOST_CHARACTERS: usize = 100;
/// Most characters in a slug: leaves room for part and stage in a file name.
const MOST_SLUG: usize = 60;

/// Whether text can serve as a name: 1 to 100 characters, no control characters, not only spaces.
pub(crate) fn fits(text: &str) -> bool {
    let count = text.chars().count();
    (1..=MOST_CHARACTERS).contains(&count) && !text.trim().is_empty() && !text.chars().any(char::is_control)
}

/// A file stem: ASCII letters in lower case, digits and single dashes. Apostrophes vanish, everything else
/// parts words; "blade" when nothing is left.
pub(crate) fn slug(name: &str) -> String {
    let kept = name.chars().filter(|c| !matches!(c, '\'' | '’' | 'ʼ')).map(|c| c.to_ascii_lowercase());
    let spaced: String = kept.map(|c| if c.is_ascii_alphanumeric() { c } else { ' ' }).collect();
    let joined = spaced.split_ascii_whitespace().collect::<Vec<_>>().join("-");
    let cut = joined[..joined.len().min(MOST_SLUG)].trim_end_matches('-');
    if cut.is_empty() { "blade".to_owned() } else { cut.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slugs_are_plain_file_stems() {
        let table = [
            ("Ferryman's knife", "ferrymans-knife"),
            ("  Toll keeper – No. 2 ", "toll-keeper-no-2"),
            ("../..", "blade"),
            ("Öl", "l"),
            ("ÄÖ", "blade"),
        ];
        for (name, wanted) in table {
            assert_eq!(slug(name), wanted);
        }
        assert!(slug(&"a ".repeat(50)).len() <= MOST_SLUG);
    }

    #[test]
    fn names_are_one_visible_line() {
        assert!(fits("Net mender"));
        assert!(["", "  ", "a\nb", "\u{7}"].iter().all(|n| !fits(n)));
        assert!(!fits(&"x".repeat(101)));
    }
}
