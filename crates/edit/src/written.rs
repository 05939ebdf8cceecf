//! How values are written, in the way of the file that they come into.

use design::{Figures, Unit, trimmed};

/// Decimals of a length in millimetres and in inches: finer than any caliper of a workshop.
const PLACES: [usize; 2] = [3, 4];

/// Keys that hold names: steel 1084 is one, though it looks like a number.
const NAMES: [&str; 5] = ["name", "steel", "steels", "layers", "material"];

/// The key that a path ends with; of an entry of a list, the list's.
pub(crate) fn key_of(path: &str) -> &str {
    let last = path.rsplit_once('.').map_or(path, |(_, last)| last);
    last.split_once('[').map_or(last, |(key, _)| key)
}

/// What was typed for a key as TOML: numbers, truth, lists and tables as such, anything else and names as words in quotes.
pub(crate) fn typed(key: &str, typed: &str) -> String {
    let typed = typed.trim();
    let is_list = key == "steels" && typed.starts_with('[');
    if NAMES.contains(&key) && !is_list {
        return quoted(typed);
    }
    let stands =
        |source: &str| source.parse::<toml_edit::Value>().is_ok_and(|v| !v.is_str() && !v.is_datetime());
    if stands(typed) { typed.to_owned() } else { quoted(typed) }
}

/// Words in quotes.
fn quoted(words: &str) -> String {
    toml_edit::Value::from(words).to_string()
}

/// A length (mm) in the way of what stood there: text with a unit keeps its unit, anything else is a number in the file's.
pub(crate) fn length(before: Option<&str>, mm: f64, figures: Figures) -> String {
    let words = before.and_then(|source| source.parse::<toml_edit::Value>().ok());
    match words.as_ref().and_then(toml_edit::Value::as_str).map(str::trim) {
        Some(words) if words.ends_with("mm") => quoted(&format!("{} mm", number(mm, Unit::Millimetre))),
        Some(words) if figures.unit == Unit::Inch || has_inches(words) => {
            let name = if words.ends_with(|c: char| c.is_ascii_digit()) { "" } else { " in" };
            let inches = Figures { fractions: true, ..Figures::of(Unit::Inch) };
            let told = inches.fraction(mm).unwrap_or_else(|| number(mm, Unit::Inch));
            quoted(&format!("{told}{name}"))
        }
        Some(_) => quoted(&format!("{} mm", number(mm, Unit::Millimetre))),
        None => number(mm, figures.unit),
    }
}

fn has_inches(words: &str) -> bool {
    ["in", "in.", "inch", "inches", "\"", "''", "″"].iter().any(|unit| words.ends_with(unit))
}

/// A length in a unit, without zeros at its end and without a minus before nothing.
fn number(mm: f64, unit: Unit) -> String {
    let places = PLACES[usize::from(unit == Unit::Inch)];
    let told = trimmed(&format!("{:.places$}", mm / unit.millimetres()));
    if told == "-0" { "0".to_owned() } else { told }
}

/// A share in per cent, to a tenth.
pub(crate) fn share(share: f64) -> String {
    quoted(&format!("{} %", trimmed(&format!("{:.1}", 100.0 * share))))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_is_written_in_the_way_of_the_one_before() {
        let inches = Figures::of(Unit::Inch);
        let mm = Figures::default();
        for (before, length_mm, figures, now) in [
            (None, 36.0, mm, "36"),
            (Some("36.5"), 36.0, mm, "36"),
            (Some("36"), 36.25, mm, "36.25"),
            (Some("\"20 mm\""), 20.5, mm, "\"20.5 mm\""),
            (Some("\"20 mm\""), 20.5, inches, "\"20.5 mm\""),
            (Some("\"1 3/8 in\""), 25.4 * 1.5, mm, "\"1 1/2 in\""),
            (Some("\"1 3/8\""), 25.4 * 1.5, inches, "\"1 1/2\""),
            (Some("\"1 3/8 in\""), 25.4 * 1.3, inches, "\"1.3 in\""),
            (Some("'3/8\"'"), 25.4 * 0.25, inches, "\"1/4 in\""),
            (Some("\"2 cm\""), 21.0, mm, "\"21 mm\""),
            (Some("1.5"), 25.4 * 1.75, inches, "1.75"),
            (Some("1"), -0.0001, mm, "0"),
        ] {
            assert_eq!(length(before, length_mm, figures), now, "{before:?} {length_mm}");
        }
        assert_eq!((share(0.5), share(0.4567)), ("\"50 %\"".to_owned(), "\"45.7 %\"".to_owned()));
    }

    #[test]
    fn what_is_typed_is_a_number_or_words() {
        for (words, source) in [
            ("12", "12"),
            (" 1.5 ", "1.5"),
            ("true", "true"),
            ("[1, 2]", "[1, 2]"),
            ("9 1/4 in", "\"9 1/4 in\""),
            ("\"quoted\"", "'\"quoted\"'"),
            ("", "\"\""),
            ("2026-01-01", "\"2026-01-01\""),
            ("a\nb", "\"\"\"\na\nb\"\"\""),
        ] {
            assert_eq!(typed("at", words), source, "{words:?}");
        }
    }
}
