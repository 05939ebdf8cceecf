//! Sheets of layers of all profiles with a billet.

use blade::Stage;
use design::{Design, Paper, Sureness};
use forge::Etching;

use crate::tests::{HOSTILE, count, profiles};
use crate::{LayerColours, LayerSheet, layer_sheet, sure_sheet};

fn made(design: &Design, stage: Stage) -> Option<LayerSheet> {
    let etching = Etching::of(design)?;
    let made = layer_sheet(design, design.lay()?, stage, &LayerColours::Etched(&etching));
    Some(made.unwrap_or_else(|why| panic!("{}: {why}", design.name())))
}

#[test]
fn every_billet_has_a_sheet_of_one_page_of_the_same_bytes_each_time() {
    let mut seen = 0;
    for (name, text) in profiles() {
        let design = design::read(text.as_bytes()).unwrap();
        let Some(sheet) = made(&design, Stage::Finished) else { continue };
        seen += 1;
        let pdf = sheet.pdf().unwrap();
        let page = match design.shop().paper {
            Paper::A4 => "/MediaBox[0 0 841.8898 595.2756]",
            Paper::A3 => "/MediaBox[0 0 1190.5511 841.8898]",
            Paper::Letter => "/MediaBox[0 0 792 612]",
        };
        assert_eq!(count(&pdf, page), 1, "{name}");
        assert!(count(&pdf, "/Subtype/Image") + count(&pdf, "/Subtype /Image") >= 4, "{name}");
        assert!(pdf == made(&design, Stage::Finished).unwrap().pdf().unwrap(), "{name}");
        assert!(sheet.png().unwrap().starts_with(&[0x89, b'P', b'N', b'G']), "{name}");
    }
    assert!(seen >= 7, "{seen}");
}

#[test]
fn how_sure_a_pattern_is_stands_on_one_page_of_the_same_bytes_each_time() {
    let mut seen = 0;
    for (name, text) in profiles() {
        let design = design::read(text.as_bytes()).unwrap();
        let Some((lay, sure)) = design.lay().zip(Sureness::of(&design, 2.0)) else { continue };
        seen += 1;
        let page = || sure_sheet(&design, lay, &sure, &LayerColours::Steels).unwrap();
        let pdf = page().pdf().unwrap();
        assert_eq!(count(&pdf, "/Count 1"), 1, "{name}");
        // As planned, and one for every kind of slip.
        let pictures = count(&pdf, "/Subtype/Image") + count(&pdf, "/Subtype /Image");
        assert!(pictures > sure.worst().len() && pdf == page().pdf().unwrap(), "{name}: {pictures}");
        assert!(page().png().unwrap().starts_with(&[0x89, b'P', b'N', b'G']), "{name}");
    }
    assert!(seen >= 7, "{seen}");
}

#[test]
fn names_are_never_markup_and_always_fit() {
    let (_, text) = profiles().into_iter().find(|p| p.0 == "toll-keepers-langseax").unwrap();
    for hostile in HOSTILE {
        let quoted = serde_json::to_string(hostile.trim()).unwrap();
        let design = design::read(text.replace("\"Toll keeper's langseax\"", &quoted).as_bytes()).unwrap();
        let sheet = made(&design, Stage::Ground).unwrap();
        assert_eq!(count(&sheet.pdf().unwrap(), "/Count 1"), 1, "{hostile}");
    }
}
