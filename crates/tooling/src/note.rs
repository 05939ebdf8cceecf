//! The bench note: what was made, of what each part may be, and the usual cautions.

use design::Design;

use crate::part::{Part, Stuff};

/// Width of the note's lines in characters: fits a page of typewriter text.
const WIDTH: usize = 88;

/// What every bench note says at its end. General words (common practice, no source).
const CAUTIONS: [&str; 8] = [
    "Printed plastic softens near hot steel and burns: hold prints and paper to cold steel only.",
    "Handle ground and finished blades as sharp: burrs and corners cut. Clamp the blade; keep hands behind the edge.",
    "A burning forge gives off carbon monoxide: fresh air, a vent to the outside, an alarm, no flame left alone.",
    "Never put galvanised steel or a closed tube into the fire.",
    "Hot oil flares up: a metal lid beside the tank, no water near it.",
    "Acid: gloves, goggles, fresh air. Fire: safety glasses, dark glass against the infrared glare.",
    "Grinding: safety glasses, dust mask that fits, ear protection; no gloves and no loose sleeves at the belt.",
    "Follow data sheets, your local codes and licensed practice, and the law on blades where you live.",
];

/// The note as text: lines of at most 88 characters but for long names, ending with a line break.
pub fn bench_note(design: &Design, parts: &[&Part]) -> String {
    let mut note = heading(&format!("BENCH NOTE: {}", design.name()), '=');
    note += &wrapped(
        "Solids and meshes are in millimetres; figures on paper and parts are in the design's unit. Paper: print at 100 %, \
         without fitting to the page, and measure the check bars before use. Print the fit coupon first, and put what fits into [shop] clearance.",
        "",
    );
    let made = |stuff: Stuff| parts.iter().filter(move |p| p.stuff == stuff).copied();
    note += &list("PLASTIC WILL DO (cold work only)", made(Stuff::Plastic));
    note += &list("STEEL (heat or hammer; make these from the STEP files)", made(Stuff::Steel));
    note += &heading("\nCAUTIONS", '-');
    CAUTIONS.iter().for_each(|line| note += &wrapped(line, "- "));
    note
}

/// A line with a rule under it.
fn heading(text: &str, rule: char) -> String {
    let length = text.trim_start().chars().count();
    format!("{text}\n{}\n", rule.to_string().repeat(length))
}

/// Parts with their notes; parts with the same note stand together.
fn list<'a>(title: &str, parts: impl Iterator<Item = &'a Part>) -> String {
    let mut groups: Vec<(&str, Vec<&Part>)> = Vec::new();
    for part in parts {
        match groups.iter_mut().find(|(note, _)| *note == part.note) {
            Some((_, group)) => group.push(part),
            None => groups.push((&part.note, vec![part])),
        }
    }
    if groups.is_empty() {
        return String::new();
    }
    let mut text = heading(&format!("\n{title}"), '-');
    for (note, group) in groups {
        group.iter().for_each(|part| text += &wrapped(&format!("{}: {}", part.name, part.title), "- "));
        text += &wrapped(note, "    ");
    }
    text
}

/// Words in lines of at most [`WIDTH`] characters, the first after `lead`, the others as far in.
fn wrapped(text: &str, lead: &str) -> String {
    let indent = " ".repeat(lead.chars().count());
    let mut lines = String::new();
    let mut line = lead.to_owned();
    for word in text.split_whitespace() {
        let full = line.chars().count() + 1 + word.chars().count() > WIDTH;
        if full && line.trim() != lead.trim() {
            lines += line.trim_end();
            lines.push('\n');
            line = indent.clone();
        }
        line += word;
        line.push(' ');
    }
    lines + line.trim_end() + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_note_sorts_parts_by_what_they_may_be_made_of() {
        let design = crate::fixtures::profile("chain-smiths-trial");
        let parts: Vec<Part> =
            crate::jig(&design).unwrap().into_iter().chain(crate::gauges(&design).unwrap()).collect();
        let note = bench_note(&design, &parts.iter().collect::<Vec<_>>());
        let plastic = note.find("PLASTIC WILL DO").unwrap();
        let steel = note.find("STEEL (heat").unwrap();
        let at = |name: &str| note.find(name).unwrap_or_else(|| panic!("{name} in\n{note}"));
        assert!(plastic < at("comb-forged") && at("comb-forged") < steel && steel < at("- jig-insert"));
        assert!(note.contains("carbon monoxide") && note.ends_with("where you live.\n"));
        assert!(note.lines().all(|l| l.chars().count() <= WIDTH), "{note}");
    }

    #[test]
    fn long_words_stand_on_a_line_of_their_own() {
        let text = wrapped(&format!("a {} b", "x".repeat(200)), "- ");
        assert_eq!(text.lines().count(), 3);
        assert!(text.starts_with("- a\n  xxx"));
    }
}
