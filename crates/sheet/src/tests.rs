//! Sheets of all profiles, and of names with letters that mean something to SVG, JSON or the setter.

use std::path::Path;

use design::{Design, Paper, Summary};
use forge::Plan;

use crate::{Sheet, sheet};

pub(crate) fn profiles() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles");
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    paths.sort();
    let read = |p: &std::path::PathBuf| {
        (p.file_stem().unwrap().to_string_lossy().into_owned(), std::fs::read_to_string(p).unwrap())
    };
    paths.iter().map(read).collect()
}

fn made(design: &Design, paper: Paper) -> Sheet {
    let plan = Plan::of(design);
    sheet(design, plan.as_ref(), &Summary::from_design(design), paper)
        .unwrap_or_else(|why| panic!("{}: {why}", design.name()))
}

pub(crate) fn count(bytes: &[u8], what: &str) -> usize {
    bytes.windows(what.len()).filter(|window| *window == what.as_bytes()).count()
}

#[test]
fn every_profile_has_a_sheet_on_every_paper_of_the_same_bytes_each_time() {
    let profiles = profiles();
    assert!(profiles.len() >= 9);
    for (name, text) in profiles {
        let design = design::read(text.as_bytes()).unwrap();
        let sheets = [Paper::A4, Paper::Letter, Paper::A3].map(|paper| made(&design, paper));
        let boxes = [
            "/MediaBox[0 0 595.2756 841.8898]",
            "/MediaBox[0 0 612 792]",
            "/MediaBox[0 0 841.8898 1190.5511]",
        ];
        for (sheet, page) in sheets.iter().zip(boxes) {
            assert!((2..=16).contains(&sheet.pages), "{name}: {} pages", sheet.pages);
            assert_eq!(count(&sheet.bytes, page), sheet.pages, "{name}: {page}");
            let dates = count(&sheet.bytes, "/CreationDate") + count(&sheet.bytes, "/ModDate");
            assert_eq!((dates, count(&sheet.bytes, "Seaxwright") > 0), (0, true));
        }
        assert!(made(&design, Paper::A4) == sheets[0], "{name}");
        let billet = Plan::of(&design).is_some();
        assert!(billet || sheets[0].pages < 5, "{name}: {} pages without a billet", sheets[0].pages);
    }
}

/// What means something to markup, to SVG or to JSON, and letters that the face lacks.
pub(crate) const HOSTILE: [&str; 6] = [
    r##"#panic() $x$ *bold* _i_ `raw` [a] {b} <c> @d // /* ~ \u{41} \ "##,
    r#""quoted" 'single' & <b> ]]> \\ %d {0}"#,
    "ᛋᛖᚪᛉ 漢字 é ü ß Ω Ж 🔥",
    "#import \"look.typ\": *; #eval(\"1\")",
    "- 1. + = == / term: x",
    "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx",
];

#[test]
fn names_are_never_markup() {
    let (_, text) = profiles().into_iter().find(|p| p.0 == "toll-keepers-langseax").unwrap();
    let whole = made(&design::read(text.as_bytes()).unwrap(), Paper::A4);
    for hostile in HOSTILE {
        let quoted = serde_json::to_string(hostile.trim()).unwrap();
        let names = [
            "\"Toll keeper's langseax\"",
            "\"Weir steel\"",
            "\"Lines\"",
            "\"Bronze guard\"",
            "\"Toll lines\"",
        ];
        let text = names.iter().fold(text.clone(), |text, name| text.replace(name, &quoted));
        let design = design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{hostile}: {p:#?}"));
        assert_eq!(design.name(), hostile.trim());
        let sheet = made(&design, Paper::A4);
        assert!(
            sheet.pages >= whole.pages && sheet.pages <= whole.pages + 3,
            "{hostile}: {} pages",
            sheet.pages
        );
    }
}

#[test]
fn the_least_and_the_longest_blade_have_sheets() {
    let blade = |length: f64, breadth: f64| {
        format!(
            "name = \"b\"\n[outline]\nform = \"straight-back\"\nlength = {length}\nbreadth = {breadth}\n\
             [[taper]]\nat = 0\nback = 3\n"
        )
    };
    for (length, breadth) in [(60.0, 15.0), (1500.0, 60.0)] {
        let design = design::read(blade(length, breadth).as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"));
        for paper in [Paper::A4, Paper::Letter, Paper::A3] {
            assert!(made(&design, paper).pages < 8, "{length}");
        }
    }
}
