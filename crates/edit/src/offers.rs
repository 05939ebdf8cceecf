//! What a key can be given, where that is one of few or well-known names: steels, sets of layers, hands of a twist.

use toml_edit::Document;

use crate::place::steps;
use crate::values::raw_of;
use crate::written::key_of;

/// The names to choose from for the key at a path: the file's own first, then those of the standards; none where anything may
/// be typed.
pub(crate) fn offers(document: &Document<&str>, text: &str, path: &str) -> Vec<String> {
    let own = |list: &str| {
        let name = |i: usize| raw_of(document, text, &format!("{list}[{i}].name"));
        (0..).map_while(name).collect::<Vec<_>>()
    };
    let words = |words: &[&str]| words.iter().map(|&word| word.to_owned()).collect();
    match key_of(path) {
        "steel" | "steels" => own("steel").into_iter().chain(steel::nominals().map(str::to_owned)).collect(),
        "layers" if steps(path).len() > 1 => own("layers"),
        "hand" => words(&["right", "left"]),
        "direction" => words(&["upright", "flat"]),
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::place::parsed;

    #[test]
    fn own_names_stand_before_those_of_the_standards() {
        let text = "[[steel]]\nname = \"Weir\"\ncarbon = 0.8\n[[layers]]\nname = \"Sevens\"\n";
        let document = parsed(text).unwrap();
        let of = |path: &str| offers(&document, text, path);
        let steels = of("bar[2].steel");
        assert!(steels[0] == "Weir" && steels.contains(&"1084".to_owned()), "{steels:?}");
        assert_eq!(of("layers[0].steels[1]"), steels);
        assert_eq!(of("steel"), steels);
        assert_eq!(of("bar[0].layers"), ["Sevens"]);
        assert_eq!(of("bar[0].twist[1].hand"), ["right", "left"]);
        assert!(of("bar[0].name").is_empty() && of("outline.length").is_empty());
    }
}
