//! What of a design can be typed, block by block, with what the file says now.

use blade::{Back, Bevel, OutlineForm, TangForm};
use design::Design;
use toml_edit::Document;

use crate::choices::{Choice, choices};
use crate::handles::Handle;
use crate::offers::offers;
use crate::place::parsed;
use crate::values::raw_of;

/// A key that can be typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// What it is, in a word or two.
    pub label: String,
    /// Its path in the file.
    pub path: String,
    /// What the file says, without quotes; empty where it says nothing.
    pub says: String,
    /// What holds where the file says nothing, where that is known.
    pub usual: String,
    /// Names to choose from; none where anything may be typed.
    pub offers: Vec<String>,
}

/// The part of a design with its stack: the billet, its bars and their twists.
pub const BILLET: &str = "Billet";

/// Keys that belong together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Block {
    /// The part of the design that they belong to; blocks of a part follow each other.
    pub part: &'static str,
    /// What they are of.
    pub title: String,
    /// The list that they are an element of, and its place there: it can be taken out, moved, and followed by another.
    pub element: Option<(String, usize)>,
    /// What of it is chosen from a few words.
    pub choices: Vec<Choice>,
    /// The keys that are typed.
    pub rows: Vec<Row>,
}

/// Every block of a design, from the outline to the fittings; none where `text`, the file that it was read from, is no TOML.
/// `handles` are its handles.
pub fn blocks(design: &Design, text: &str, handles: &[Handle]) -> Vec<Block> {
    let Some(document) = parsed(text) else { return Vec::new() };
    let sheet = Sheet { document, text, design, handles };
    let spec = design.blade().spec();
    let mut all = vec![sheet.block("Outline", "outline", &outline(&spec.outline.form)), sheet.section()];
    all.extend(sheet.list(
        "Taper",
        "Taper, station",
        "taper",
        &[("from the shoulder", "at"), ("at the back", "back"), ("at the grind line", "grind")],
    ));
    all.push(sheet.block("Ricasso", "ricasso", &[("length", "length"), ("plunge", "plunge")]));
    all.extend(sheet.list("Fullers", "Fuller", "fuller", &FULLER));
    all.push(sheet.block("Tang", "tang", tang(&spec.tang.form)));
    if design.billet().is_some() {
        all.push(sheet.block(BILLET, "billet", &[("width", "width")]));
        all.extend(sheet.bars());
        all.extend(sheet.layers());
    } else {
        let row = sheet.row("steel", "steel".to_owned());
        all.push(Block { rows: vec![row], ..sheet.block("Steel", "", &[]) });
    }
    all.extend(sheet.list("Fittings", "Fitting", "fitting", &FITTING));
    all.push(sheet.block("Targets", "targets", &TARGETS));
    all
}

/// Labels and keys of a fuller and of a fitting.
const FULLER: [(&str, &str); 7] = [
    ("begins at", "start"),
    ("ends at", "end"),
    ("runs in over", "run_in"),
    ("runs out over", "run_out"),
    ("from the back", "from_back"),
    ("width", "width"),
    ("depth", "depth"),
];
const FITTING: [(&str, &str); 5] =
    [("name", "name"), ("at", "at"), ("length", "length"), ("radius", "radius"), ("weight", "mass")];

/// Labels and keys of a stretch of twist.
const STRETCH: [(&str, &str); 8] = [
    ("hand", "hand"),
    ("turns", "turns"),
    ("in a length of bar of", "per"),
    ("a full turn takes", "pitch"),
    ("length on the bar", "length"),
    ("from station", "from"),
    ("to station", "to"),
    ("straight", "straight"),
];

const TARGETS: [(&str, &str); 6] = [
    ("weight with fittings", "mass"),
    ("weight of the steel", "steel"),
    ("balance", "balance"),
    ("thickness may change, %", "taper"),
    ("breadth may change, %", "breadth"),
    ("fittings may change, %", "fittings"),
];

/// Labels and keys of an outline; none of own points, which are pulled.
fn outline(form: &OutlineForm) -> Vec<(&'static str, &'static str)> {
    let own: &[(&str, &str)] = match form {
        OutlineForm::Points { .. } => return Vec::new(),
        OutlineForm::StraightBack { .. } => &[],
        OutlineForm::BrokenBack { .. } => {
            &[("break at", "break_at"), ("breadth at the break", "break_breadth")]
        }
        OutlineForm::CurvedBack { .. } => &[("broadest at", "broadest_at"), ("greatest breadth", "broadest")],
        OutlineForm::DroppedPoint { .. } => &[("drop of the back", "drop")],
    };
    let first = [("length", "length"), ("breadth", "breadth")];
    let last = [("sweep of the edge", "sweep"), ("height of the point", "point_height")];
    first.into_iter().chain(own.iter().copied()).chain(last).collect()
}

/// Labels and keys of a tang.
fn tang(form: &TangForm) -> &'static [(&'static str, &'static str)] {
    match form {
        TangForm::Hidden { .. } => &[
            ("length", "length"),
            ("breadth", "breadth"),
            ("thickness", "thickness"),
            ("breadth at its end", "end_breadth"),
            ("thickness at its end", "end_thickness"),
            ("shoulder radius", "shoulder_radius"),
            ("rise", "offset"),
        ],
        TangForm::Full => &[
            ("length", "length"),
            ("breadth at its end", "end_breadth"),
            ("thickness at its end", "end_thickness"),
        ],
    }
}

struct Sheet<'d> {
    document: Document<&'d str>,
    text: &'d str,
    design: &'d Design,
    handles: &'d [Handle],
}

impl Sheet<'_> {
    fn raw(&self, path: &str) -> Option<String> {
        raw_of(&self.document, self.text, path)
    }

    fn row(&self, label: &str, path: String) -> Row {
        Row {
            label: label.to_owned(),
            says: self.raw(&path).unwrap_or_default(),
            usual: self.usual(&path),
            offers: offers(&self.document, self.text, &path),
            path,
        }
    }

    /// The value of a key in the blade as it was read.
    fn usual(&self, path: &str) -> String {
        let pull = self.handles.iter().flat_map(|h| &h.pulls).find(|pull| pull.path == path);
        pull.map_or_else(String::new, |pull| pull.told(self.design.figures()))
    }

    /// The keys of a table; its title is the part's.
    fn block(&self, part: &'static str, table: &str, keys: &[(&str, &str)]) -> Block {
        let rows = keys.iter().map(|(label, key)| self.row(label, format!("{table}.{key}"))).collect();
        Block { part, title: part.to_owned(), element: None, choices: Vec::new(), rows }
    }

    /// Bevel, sides and back by choice; grind line, the bevel's radius and the back's measure where they have one.
    fn section(&self) -> Block {
        let section = self.design.blade().spec().section;
        let mut keys = vec![("grind line", "grind_line")];
        if !matches!(section.bevel, Bevel::Flat) {
            keys.push(("radius of the bevel", "radius"));
        }
        match section.back {
            Back::Flat => {}
            Back::Rounded { .. } => keys.push(("radius of the back", "back.radius")),
            Back::Crowned { .. } => keys.push(("crown of the back", "back.height")),
        }
        Block { choices: choices(self.design).to_vec(), ..self.block("Section", "section", &keys) }
    }

    /// A block for each element of a list.
    fn list(&self, part: &'static str, title: &str, list: &str, keys: &[(&str, &str)]) -> Vec<Block> {
        let count = (0..)
            .take_while(|i| keys.iter().any(|(_, key)| self.raw(&format!("{list}[{i}].{key}")).is_some()))
            .count();
        let block = |i: usize| {
            let (title, element) = (format!("{title} {}", i + 1), Some((list.to_owned(), i)));
            Block { title, element, ..self.block(part, &format!("{list}[{i}]"), keys) }
        };
        (0..count).map(block).collect()
    }

    /// Bars: what they are made of, and after each the stretches of its twist.
    fn bars(&self) -> Vec<Block> {
        let mut blocks = Vec::new();
        for (i, mut block) in
            self.list(BILLET, "Bar", "bar", &[("name", "name"), ("height", "height")]).into_iter().enumerate()
        {
            let key = |key: &str| self.raw(&format!("bar[{i}].{key}")).map(|_| format!("bar[{i}].{key}"));
            let made = [
                ("layers", "layers"),
                ("layers stand", "direction"),
                ("layers slope by", "slope"),
                ("steel", "steel"),
                ("starts turned by", "phase"),
            ];
            block.rows.extend(made.iter().filter_map(|(label, name)| Some(self.row(label, key(name)?))));
            block.rows.extend(key("plugs").map(|path| self.row("plugs", path)));
            blocks.push(block);
            blocks.extend(self.stretches(i));
        }
        blocks
    }

    /// Sets of layers: the steels that alternate each by itself, with room for one more.
    fn layers(&self) -> Vec<Block> {
        let mut blocks = self.list("Layers", "Layers", "layers", &[("name", "name"), ("count", "count")]);
        for (i, block) in blocks.iter_mut().enumerate() {
            let steel = |k: usize| self.row(&format!("steel {}", k + 1), format!("layers[{i}].steels[{k}]"));
            let count = (0..).take_while(|&k| !steel(k).says.is_empty()).count();
            block.rows.extend((0..count).map(steel));
            block.rows.push(Row { usual: "one more".to_owned(), ..steel(count) });
            let made = [("thickness of each", "thickness"), ("cut and stacked again", "restack")];
            let rows = made.map(|(label, key)| self.row(label, format!("layers[{i}].{key}")));
            block.rows.extend(rows.into_iter().filter(|row| !row.says.is_empty()));
        }
        blocks
    }

    /// The stretches of a bar's twist, each with the keys that it has, and the length that its turns are counted over.
    fn stretches(&self, bar: usize) -> Vec<Block> {
        let title = format!("Bar {}, twist", bar + 1);
        let mut blocks = self.list(BILLET, &title, &format!("bar[{bar}].twist"), &STRETCH);
        for rows in blocks.iter_mut().map(|block| &mut block.rows) {
            let counts_turns = rows.iter().any(|row| row.path.ends_with(".turns") && !row.says.is_empty());
            for row in rows.iter_mut().filter(|row| counts_turns && row.path.ends_with(".per")) {
                row.usual = self.design.figures().told(design::usual_per(self.design.unit()));
            }
            rows.retain(|row| !row.says.is_empty() || !row.usual.is_empty());
        }
        blocks
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use fixtures::profiles;

    #[test]
    fn every_row_can_be_typed_again_as_it_stands() {
        for profile in profiles::all() {
            let design = design::read(profile.text.as_bytes()).unwrap_or_else(|p| panic!("{p:?}"));
            let blocks = blocks(&design, &profile.text, &crate::handles(&design, &profile.text));
            assert!(blocks.len() > 6, "{}", profile.name);
            for row in blocks.iter().flat_map(|b| &b.rows).filter(|row| !row.says.is_empty()) {
                let again = crate::put(&profile.text, &row.path, &row.says).unwrap_or_default();
                let same = design::read(again.as_bytes()).unwrap_or_else(|p| panic!("{}: {p:?}", row.path));
                assert_eq!(same.blade(), design.blade(), "{}", row.path);
            }
            let lists =
                blocks.iter().filter_map(|b| b.element.as_ref()).filter(|(list, _)| list == "taper").count();
            assert_eq!(lists, design.blade().spec().taper.len());
        }
    }

    /// A part is gone to by its name: its blocks stand together, and the parts with steel in them are there.
    #[test]
    fn every_part_is_in_one_place() {
        for profile in profiles::all() {
            let design = design::read(profile.text.as_bytes()).unwrap_or_else(|p| panic!("{p:?}"));
            let mut parts: Vec<&str> =
                blocks(&design, &profile.text, &[]).iter().map(|block| block.part).collect();
            parts.dedup();
            for part in &parts {
                assert_eq!(
                    parts.iter().filter(|other| *other == part).count(),
                    1,
                    "{}: {part}",
                    profile.name
                );
            }
            assert_eq!(parts.contains(&BILLET), design.billet().is_some(), "{}", profile.name);
            assert_eq!(parts.contains(&"Steel"), design.billet().is_none(), "{}", profile.name);
        }
    }

    /// Turns are counted over a length: it is there to be typed whether the file names it or not.
    #[test]
    fn the_length_of_a_turn_can_be_typed() {
        for unit in [design::Unit::Millimetre, design::Unit::Inch] {
            let starter = design::starter("Ferry seax", unit);
            let plain = design::read(starter.as_bytes()).unwrap_or_else(|p| panic!("{p:?}"));
            let text = crate::weld(&starter, &plain).unwrap_or_default();
            let path = "bar[1].twist[0].per";
            for text in [text.clone(), crate::unset(&text, path).unwrap_or_default()] {
                let design = design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:?}"));
                let rows = blocks(&design, &text, &[]).into_iter().flat_map(|b| b.rows);
                let row = rows.into_iter().find(|row| row.path == path).unwrap_or_else(|| panic!("{text}"));
                assert_eq!(row.usual, design.figures().told(design::usual_per(unit)));
                let typed = crate::put(&text, path, "24 mm").unwrap_or_else(|| panic!("{text}"));
                let read = design::read(typed.as_bytes()).unwrap_or_else(|p| panic!("{p:?}\n{typed}"));
                assert_ne!(read.billet(), design.billet());
            }
        }
    }

    /// Of whatever is typed no other line changes: bars keep their wraps, tapers, teeth, angles and all comments.
    #[test]
    fn other_lines_stay_to_the_byte() {
        let text = fixtures::commented::COMMENTED;
        let design = design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:?}"));
        let rows: Vec<Row> =
            blocks(&design, text, &crate::handles(&design, text)).into_iter().flat_map(|b| b.rows).collect();
        let typed = [
            ("outline.breadth", "36"),
            ("taper[0].back", "5.5"),
            ("billet.width", "13"),
            ("bar[0].name", "Spine"),
            ("bar[0].twist[0].hand", "left"),
            ("bar[2].height", "9.5"),
            ("bar[2].direction", "50 deg"),
            ("bar[3].slope", "-15"),
            ("bar[3].height", "11"),
            ("bar[4].steel", "C75S"),
            ("layers[0].steels[1]", "15N20"),
            ("bar[4].plugs", "[{ station = 60, diameter = 3, steel = \"C45\" }]"),
        ];
        for (path, says) in typed {
            assert!(rows.iter().any(|row| row.path == path && !row.says.is_empty()), "{path}");
            let changed = crate::put(text, path, says).unwrap_or_else(|| panic!("{path}"));
            assert_eq!(changed.lines().count(), text.lines().count(), "{path}");
            let other: Vec<_> = text.lines().zip(changed.lines()).filter(|(a, b)| a != b).collect();
            let [(was, is)] = other[..] else { panic!("{path}: {other:?}") };
            let comment = |line: &str| line.split_once('#').map(|(_, words)| words.to_owned());
            assert_eq!(comment(was), comment(is), "{path}");
            design::read(changed.as_bytes()).unwrap_or_else(|p| panic!("{path}: {p:?}"));
        }
    }
}
