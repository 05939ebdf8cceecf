//! The bench note: what was made, of what each part may be, and the usual cautions.

use design::{Design, Figures};

use crate::held::Held;
use crate::metal::cut_gauge::CutGauge;
use crate::metal::cutting::Cutting;
use crate::metal::nest::CutSheet;
use crate::metal::words::BARE;
use crate::part::{Part, Stuff};

/// Width of the note's lines in characters: fits a page of typewriter text.
const WIDTH: usize = 88;

/// Gauges of sheet steel, the sheets they are cut from, and how.
#[derive(Clone, Debug, PartialEq)]
pub struct CutWork {
    /// The gauges.
    pub gauges: Vec<CutGauge>,
    /// The sheets.
    pub sheets: Vec<CutSheet>,
    /// Kerf, thickness and heat.
    pub cutting: Cutting,
}

/// What stands in a list: its file, or its files, a title, a note.
type Listed<'a> = (String, &'a str, &'a str);

/// The note as text: lines of at most 88 characters but for long names, ending with a line break. Each part stands with
/// its file and the folder of it, in every kind that the build has `held`; `page` names the page that shows all of it,
/// where there is one.
pub fn bench_note(
    design: &Design,
    parts: &[(&str, &Part)],
    cut: Option<&CutWork>,
    held: &Held,
    page: Option<&str>,
) -> String {
    let mut note = heading(&format!("BENCH NOTE: {}", design.name()), '=');
    note += &wrapped(
        "Solids and meshes are in millimetres; figures on paper and parts are in the design's unit. Paper: print at 100 %, \
         without fitting to the page, and measure the check bars before use. Print the fit coupon first; note which gaps fit, and enter them as `clearance` under [shop] in the design file.",
        "",
    );
    note += &page.map_or_else(String::new, |page| {
        wrapped(&format!("{page} shows all of this with pictures and links: open it in a browser."), "")
    });
    note += &wrapped(&which_files(parts, cut.is_some(), held), "");
    let of = |stuff: Stuff| parts.iter().filter(move |(_, p)| p.stuff == stuff);
    let path = |folder: &str, name: &str, kinds: &[&str]| {
        format!("{folder}/{}-{name}.{}", design.slug(), kinds.join(", ."))
    };
    let made = |stuff: Stuff, kinds: &[&str]| -> Vec<Listed<'_>> {
        of(stuff)
            .map(|(folder, p)| (path(folder, &p.name, kinds), p.title.as_str(), p.note.as_str()))
            .collect()
    };
    note += &list("PLASTIC WILL DO (cold work only)", made(Stuff::Plastic, &held.printed).into_iter());
    note += &list(
        "STEEL (heat or hammer: bare, never zinc-plated; give the STEP file to whoever makes it)",
        made(Stuff::Steel, &held.steel).into_iter(),
    );
    note += &cut.map_or_else(String::new, |work| sheet_steel(work, held, design));
    note += &heading("\nCAUTIONS", '-');
    let cautions = design::cautions(design.one_steel().is_none());
    cautions.iter().for_each(|line| note += &wrapped(&line.replace('*', ""), "- "));
    note
}

/// Where a part's file stands, and which file is for what.
fn which_files(parts: &[(&str, &Part)], cut: bool, held: &Held) -> String {
    let printed = parts.iter().any(|(_, part)| part.stuff == Stuff::Plastic);
    let mut words = vec!["Each part's file comes first."];
    words.extend([held.for_printer(), held.for_cad()].into_iter().filter(|_| printed));
    words.extend(cut.then(|| held.for_cutter()));
    words.join(" ")
}

/// A line with a rule under it.
fn heading(text: &str, rule: char) -> String {
    let length = text.trim_start().chars().count();
    format!("{text}\n{}\n", rule.to_string().repeat(length))
}

/// What is cut of sheet steel.
fn sheet_steel(work: &CutWork, held: &Held, design: &Design) -> String {
    let path = |name: &str| format!("metal/{}-{name}.{}", design.slug(), held.cut.join(", ."));
    let gauges = work.gauges.iter().map(|g| (path(&g.name), g.title.as_str(), g.note.as_str()));
    let mut text = list("SHEET STEEL (hot work too; cut from the files in metal/)", gauges);
    if !text.is_empty() {
        text += &wrapped(&how_to_cut(work, design.figures()), "");
    }
    text
}

/// What the cutter must know.
fn how_to_cut(work: &CutWork, figures: Figures) -> String {
    let (cutting, count) = (&work.cutting, work.sheets.len());
    let size = work.sheets.first().map_or_else(String::new, |sheet| sheet.told(figures));
    let sheets = if count == 1 { "one sheet".to_owned() } else { format!("{count} sheets") };
    let kerf = if cutting.kerf > 0.0 {
        format!(
            "Contours lie half a kerf of {} outside the steel: switch the cutter's own compensation off.",
            figures.size(cutting.kerf)
        )
    } else {
        "Lines are the finished edges: the cutter must compensate for the kerf.".to_owned()
    };
    format!(
        "All lie on {sheets} of {size}, {} thick; each is in a file of its own too. The steel must be {BARE}. Cut the layer \"cut\" (red), mark the \
         layer \"mark\" (blue); the files are in millimetres: tell whoever cuts them. {kerf} Measure every gauge before use, the profile from shoulder to point. Hot \
         gauges: tongs, infrared filters (see below), and nothing near you that can burn.",
        figures.metric_size(cutting.thickness)
    )
}

/// Parts with their notes; parts with the same note stand together.
fn list<'a>(title: &str, parts: impl Iterator<Item = Listed<'a>>) -> String {
    let mut groups: Vec<(&str, Vec<Listed<'a>>)> = Vec::new();
    for part in parts {
        match groups.iter_mut().find(|(note, _)| *note == part.2) {
            Some((_, group)) => group.push(part),
            None => groups.push((part.2, vec![part])),
        }
    }
    if groups.is_empty() {
        return String::new();
    }
    let mut text = heading(&format!("\n{title}"), '-');
    for (note, group) in groups {
        group.iter().for_each(|(path, title, _)| text += &wrapped(&format!("{path}: {title}"), "- "));
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
        let listed: Vec<(&str, &Part)> = parts.iter().map(|part| ("tools", part)).collect();
        let held = Held { printed: vec!["3mf", "stl"], steel: vec!["step"], cut: Vec::new() };
        let note = bench_note(&design, &listed, None, &held, Some("index.html"));
        assert!(!note.contains("SHEET STEEL"));
        let plastic = note.find("PLASTIC WILL DO").unwrap();
        let steel = note.find("STEEL (heat").unwrap();
        let at = |name: &str| note.find(name).unwrap_or_else(|| panic!("{name} in\n{note}"));
        assert!(
            plastic < at("comb-forged")
                && at("comb-forged") < steel
                && steel < at("- tools/chain-smiths-trial-jig-insert.step: ")
        );
        let words = note.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains("index.html shows all of this"), "{note}");
        assert!(words.contains("chain-smiths-trial-comb-forged.3mf, .stl: Thickness comb"), "{note}");
        assert!(words.contains(held.for_printer()) && !words.contains(held.for_cutter()), "{note}");
        assert!(words.contains("carbon monoxide") && words.ends_with("where you live."), "{note}");
        assert!(note.lines().all(|l| l.chars().count() <= WIDTH), "{note}");
    }

    #[test]
    fn long_words_stand_on_a_line_of_their_own() {
        let text = wrapped(&format!("a {} b", "x".repeat(200)), "- ");
        assert_eq!(text.lines().count(), 3);
        assert!(text.starts_with("- a\n  xxx"));
    }
}
