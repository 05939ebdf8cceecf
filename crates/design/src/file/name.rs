//! Names: what may be shown, and the file name made of it.

/// Most characters in a name: it must fit a drawing's title.
const MOST_CHARACTERS: usize = 100;
/// Most characters in a slug: leaves room for part and stage in a file name.
const MOST_SLUG: usize = 60;

/// What stands in a file's name where nothing of the blade's is left, and beside what is left where that is no file's
/// name.
const BLADE: &str = "blade";

/// Whether text can serve as a name: 1 to 100 characters, no control characters, not only spaces.
pub(crate) fn fits(text: &str) -> bool {
    let count = text.chars().count();
    (1..=MOST_CHARACTERS).contains(&count) && !text.trim().is_empty() && !text.chars().any(char::is_control)
}

/// A file stem: ASCII letters in lower case, digits and single dashes. Apostrophes vanish, everything else
/// parts words; "blade" when nothing is left, and behind names that some systems keep for devices.
pub(crate) fn slug(name: &str) -> String {
    let kept = name.chars().filter(|c| !matches!(c, '\'' | '’' | 'ʼ')).map(|c| c.to_ascii_lowercase());
    let spaced: String = kept.map(|c| if c.is_ascii_alphanumeric() { c } else { ' ' }).collect();
    let joined = spaced.split_ascii_whitespace().collect::<Vec<_>>().join("-");
    let cut = joined[..joined.len().min(MOST_SLUG)].trim_end_matches('-');
    match cut {
        "" => BLADE.to_owned(),
        _ if is_device(cut) => format!("{cut}-{BLADE}"),
        _ => cut.to_owned(),
    }
}

/// Whether Windows keeps a name of small ASCII letters and digits for a device (its documentation, "Naming Files,
/// Paths, and Namespaces"): no file there can have it, whatever ending follows.
fn is_device(name: &str) -> bool {
    let port = name.strip_prefix("com").or_else(|| name.strip_prefix("lpt"));
    let numbered = port.is_some_and(|rest| matches!(rest.as_bytes(), [b'0'..=b'9']));
    numbered || matches!(name, "con" | "prn" | "aux" | "nul")
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
            ("Con", "con-blade"),
            ("NUL.", "nul-blade"),
            ("com 1", "com-1"),
            ("COM1", "com1-blade"),
            ("lpt¹", "lpt"),
            ("Lpt9  ", "lpt9-blade"),
            ("aux.stl", "aux-stl"),
            ("Conrad", "conrad"),
            ("a<b>:c|d?*\\e. ", "a-b-c-d-e"),
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
