//! What of a blade is chosen from a few words: its bevel, the sides that are ground, the form of its back.

use blade::{Back, Bevel, Sides};
use design::Design;

use crate::values::{put_source, raw, unset};
use crate::written;

/// The radius that a hollow or convex bevel begins with, mm: so nearly flat that the blade hardly changes, until another is
/// typed.
const RADIUS: f64 = 400.0;
/// The radius or crown that a back begins with, mm: less than half of a back a millimetre thick, under which few blades are
/// ground (common practice, no source).
const ROUND: f64 = 0.4;

/// A choice among words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// What is chosen, in a word or two.
    pub label: &'static str,
    /// Its path in the file.
    pub path: &'static str,
    /// The words.
    pub words: &'static [&'static str],
    /// Which of them holds.
    pub chosen: usize,
}

/// The choices of a design.
pub(crate) fn choices(design: &Design) -> [Choice; 3] {
    let section = design.blade().spec().section;
    let bevel = match section.bevel {
        Bevel::Flat => 0,
        Bevel::Hollow { .. } => 1,
        Bevel::Convex { .. } => 2,
    };
    let sides = match section.sides {
        Sides::Both => 0,
        Sides::Right => 1,
        Sides::Left => 2,
    };
    let back = match section.back {
        Back::Flat => 0,
        Back::Rounded { .. } => 1,
        Back::Crowned { .. } => 2,
    };
    [
        Choice { label: "bevel", path: "section.bevel", words: &["flat", "hollow", "convex"], chosen: bevel },
        Choice {
            label: "ground on",
            path: "section.sides",
            words: &["both", "right", "left"],
            chosen: sides,
        },
        Choice { label: "back", path: "section.back", words: &["flat", "rounded", "crowned"], chosen: back },
    ]
}

/// The text with a word of the choice at `path`, and the measure that it wants (in the file's unit); `None` where the file has
/// no room for it, or `path` is none of a [`Choice`].
pub fn choose(text: &str, path: &str, word: &str, design: &Design) -> Option<String> {
    let length = |mm: f64| written::length(None, mm, design.figures());
    match (path, word) {
        ("section.bevel", "flat") => without(&without(text, path), "section.radius").into(),
        ("section.bevel", _) => {
            let bent = put_source(text, path, &written::typed("bevel", word))?;
            let known = raw(text, "section.radius").is_some();
            if known { Some(bent) } else { put_source(&bent, "section.radius", &length(RADIUS)) }
        }
        ("section.back", "flat") => without(text, path).into(),
        ("section.back", _) => {
            let measure = if word == "rounded" { "radius" } else { "height" };
            let form = written::typed("form", word);
            put_source(text, path, &format!("{{ form = {form}, {measure} = {} }}", length(ROUND)))
        }
        ("section.sides", _) => put_source(text, path, &written::typed("sides", word)),
        _ => None,
    }
}

/// The text without a key, were there one.
fn without(text: &str, path: &str) -> String {
    unset(text, path).unwrap_or_else(|| text.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use fixtures::profiles;

    #[test]
    fn every_word_of_every_choice_makes_a_blade_or_is_refused_by_a_rule() {
        let (mut made, mut refused) = (0, Vec::new());
        for profile in profiles::all() {
            let design = design::read(profile.text.as_bytes()).unwrap();
            for choice in choices(&design) {
                for (i, word) in choice.words.iter().enumerate() {
                    let text = choose(&profile.text, choice.path, word, &design).unwrap();
                    match design::read(text.as_bytes()) {
                        Ok(other) => {
                            let now = choices(&other).into_iter().find(|c| c.path == choice.path).unwrap();
                            assert_eq!(now.chosen, i, "{} {} {word}", profile.name, choice.path);
                            made += 1;
                        }
                        // What a wide fuller or a tang leaves no room for is a rule of the blade, never of the file.
                        Err(problems) => refused.push((profile.name.clone(), choice.path, *word, problems)),
                    }
                    let comments = |text: &str| text.lines().filter(|l| l.starts_with('#')).count();
                    assert_eq!(comments(&text), comments(&profile.text), "{} {word}", profile.name);
                }
            }
        }
        assert!(made > 8 * profiles::all().len(), "{made} made, refused: {refused:?}");
    }

    #[test]
    fn there_and_back_is_the_same_blade() {
        let text = profiles::named("oar-wrights-knife").text;
        let design = design::read(text.as_bytes()).unwrap();
        for choice in choices(&design) {
            let other = choice.words[(choice.chosen + 1) % 3];
            let there = choose(&text, choice.path, other, &design).unwrap();
            let Ok(changed) = design::read(there.as_bytes()) else { continue };
            let back = choose(&there, choice.path, choice.words[choice.chosen], &changed).unwrap();
            let again = design::read(back.as_bytes()).unwrap();
            assert_eq!(choices(&again), choices(&design));
        }
    }
}
