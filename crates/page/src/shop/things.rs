//! What is told of a thing of the build: what it is called and made of, its size, its picture and its files.

use blade::Stage;
use design::Figures;
use drawing::{Drawing, Layer};
use glam::DVec3;
use tooling::{CutGauge, CutSheet, CutWork, Part, Stuff};

use crate::document::{Card, Link};
use crate::given::{Given, Thing, What};
use crate::picture::{drawn, flat};

/// Most characters of a part's picture: a hundred of them still make a small page.
const FINEST: usize = 9000;

/// What a title says of a gauge that is made larger for hot steel.
const HOT: &str = "HOT";

/// How plain parts lie.
const AS_IT_COMES: &str = "On the bed as it lies in its file, without supports.";

/// What is told of a thing.
pub(crate) struct Told {
    /// What things like it are called.
    pub(crate) family: String,
    pub(crate) note: String,
    pub(crate) material: String,
    pub(crate) lay: String,
    pub(crate) card: Card,
}

/// The place of a thing on the page.
pub(crate) fn place(thing: &Thing<'_>) -> String {
    let sort = match thing.what {
        What::Part(_) => "part",
        What::Gauge(_) | What::Sheet(_) => "metal",
        What::Template(_) | What::TipTemplate | What::BenchSheet => "paper",
        What::Blade(_) => "solid",
        What::Bars(_) => "bars",
        What::Layers(_) | What::Show => "look",
    };
    format!("{sort}-{}", thing.name)
}

/// A thing's family and card.
pub(crate) fn told(thing: &Thing<'_>, given: &Given<'_>) -> Told {
    let card = |title: String, size: String, svg: String| Card {
        id: place(thing),
        files: links(thing, &title),
        title,
        size,
        svg,
    };
    match thing.what {
        What::Part(part) => part_told(part, given.design.figures(), card),
        What::Sheet(sheet) => sheet_told(sheet, given, card),
        What::Gauge(gauge) => gauge_told(gauge, given, card),
        What::BenchSheet | What::Template(_) | What::TipTemplate => paper_told(thing.what, given, card),
        What::Blade(_) | What::Bars(_) | What::Layers(_) | What::Show => blade_told(thing.what, given, card),
    }
}

/// What is printed on paper.
fn paper_told(what: What<'_>, given: &Given<'_>, card: impl Fn(String, String, String) -> Card) -> Told {
    let (family, note, card) = match what {
        What::Template(stage) => (
            "Full-size template",
            "Side view, top view and sections. Join the pages by their crosses.",
            card(format!("Template ({})", stage.name()), size(given, stage), silhouette(given, stage)),
        ),
        What::TipTemplate => (
            "Tip before it is forged up",
            "Above: what to cut. Below: the tip it becomes once its edge is forged up to the curve.",
            card("Cut line of the tip".to_owned(), String::new(), tip(given)),
        ),
        _ => (
            "Bench sheet",
            "What to cut, forge, grind and measure, with room to write.",
            card("Bench sheet".to_owned(), String::new(), silhouette(given, Stage::Finished)),
        ),
    };
    plain(family, note, "Paper, at 100 %", card)
}

/// The blade in one of its forms, and its page for the customer.
fn blade_told(what: What<'_>, given: &Given<'_>, card: impl Fn(String, String, String) -> Card) -> Told {
    let staged = |name: &str, stage: Stage| {
        card(format!("{name} ({})", stage.name()), size(given, stage), silhouette(given, stage))
    };
    let (family, note, card) = match what {
        What::Blade(stage) => (
            "The blade",
            "STEP is the exact solid. 3MF and STL are for a printer: a blade to hold before you forge it.",
            staged("Blade", stage),
        ),
        What::Bars(stage) => (
            "The bars",
            "Every bar of the stack as a body of its own, in the blade and in the tang.",
            staged("Bars", stage),
        ),
        What::Layers(stage) => (
            "The layers as they etch",
            "From right, left, back and edge; and as a 3D blade to turn over.",
            staged("Layers", stage),
        ),
        _ => (
            "For the customer",
            "One file to send: the blade to turn over, its sides, sizes, weight and steels; no shop details.",
            card("Page for the customer".to_owned(), String::new(), silhouette(given, Stage::Finished)),
        ),
    };
    plain(family, note, "", card)
}

/// A gauge of sheet steel.
fn gauge_told(gauge: &CutGauge, given: &Given<'_>, card: impl Fn(String, String, String) -> Card) -> Told {
    let figures = given.design.figures();
    let size = flat_size(gauge.outline.bounds()[1].extend(0.0), figures);
    Told {
        family: family_of(&gauge.name, &gauge.title),
        note: gauge.note.clone(),
        material: given.cut.map_or_else(String::new, |cut| sheet_steel(cut, figures)),
        lay: "One flat piece, either face up.".to_owned(),
        card: card(gauge.title.clone(), size, drawn::svg(&gauge.drawing(), "")),
    }
}

fn plain(family: &str, note: &str, material: &str, card: Card) -> Told {
    let [family, note, material] = [family, note, material].map(str::to_owned);
    Told { family, note, material, lay: String::new(), card }
}

/// A printed part, or one of steel.
fn part_told(part: &Part, figures: Figures, card: impl Fn(String, String, String) -> Card) -> Told {
    let (low, high) = part.shell.bounds();
    let (material, lay) = match part.stuff {
        Stuff::Plastic => ("Printed plastic, for cold steel only", AS_IT_COMES),
        Stuff::Steel => ("Bare steel; give the STEP to whoever makes it", ""),
    };
    Told {
        family: family_of(&part.name, &part.title),
        note: part.note.clone(),
        material: material.to_owned(),
        lay: lay.to_owned(),
        card: card(part.title.clone(), flat_size(high - low, figures), flat::svg(&part.shell, FINEST)),
    }
}

/// Gauges nested on a sheet.
fn sheet_told(sheet: &CutSheet, given: &Given<'_>, card: impl Fn(String, String, String) -> Card) -> Told {
    let figures = given.design.figures();
    let (material, svg) = given.cut.map_or_else(Default::default, |cut| {
        (sheet_steel(cut, figures), drawn::svg(&sheet.drawing(&cut.gauges), ""))
    });
    let kerf = match given.cut.map(|cut| cut.cutting.kerf).filter(|kerf| *kerf > 0.0) {
        Some(kerf) => format!(
            "Contours lie half a kerf of {} outside the steel: switch the cutter's own compensation off.",
            figures.size(kerf)
        ),
        None => "Lines are the finished edges: the cutter must compensate for the kerf.".to_owned(),
    };
    let count = sheet.placed.len();
    Told {
        family: "All gauges on a sheet".to_owned(),
        note: format!(
            "Send this one to the waterjet, laser or plasma cutter: each gauge below is also in a file of its own. {kerf}"
        ),
        material,
        lay: String::new(),
        card: card(format!("Gauges on one sheet: {count}"), sheet.told(figures), svg),
    }
}

fn sheet_steel(cut: &CutWork, figures: Figures) -> String {
    format!("Bare sheet steel, {} thick", figures.metric_size(cut.cutting.thickness))
}

/// What parts with like titles are called: the title up to its first figure, piece or stage. Gauges for sections are told
/// apart by their stage, and what is held over hot steel says so.
fn family_of(name: &str, title: &str) -> String {
    let ends = [" at ", " of ", ", ", " (", ": "].iter().filter_map(|sign| title.find(sign));
    let head = &title[..ends.min().unwrap_or(title.len())];
    let bracket = title.strip_suffix(')').and_then(|title| title.rsplit_once(" ("));
    match bracket.filter(|(_, words)| name.starts_with("section-") || words.contains(HOT)) {
        Some((_, words)) => {
            let (stage, rest) = words.split_at(words.find(',').unwrap_or(words.len()));
            format!("{head} for the {stage} blade{rest}")
        }
        None => head.to_owned(),
    }
}

/// The station in a gauge's title, with its unit.
pub(crate) fn station_of(title: &str) -> Option<&str> {
    title.split_once(" at ").and_then(|(_, rest)| rest.split_once(" from the shoulder")).map(|(at, _)| at)
}

/// The number of a piece in a part's title, and how many there are.
pub(crate) fn piece_of(title: &str) -> Option<(&str, &str)> {
    let (number, rest) = title.split_once(", piece ")?.1.split_once(" of ")?;
    Some((number, rest.split(|c: char| !c.is_ascii_digit()).next()?))
}

/// Length, breadth and thickness of what lies flat; without the thickness where that is not told.
fn flat_size(size: DVec3, figures: Figures) -> String {
    let sides = [size.x, size.y, size.z].into_iter().filter(|mm| *mm > 0.0);
    let sides: Vec<String> = sides.map(|mm| figures.length(mm)).collect();
    format!("{} {}", sides.join(" × "), figures.unit.name())
}

/// Size of the blade with its tang.
fn size(given: &Given<'_>, stage: Stage) -> String {
    let (low, high) = given.design.blade().loft(stage).bounds();
    flat_size(high - low, given.design.figures())
}

/// The blade's outline at a stage.
fn silhouette(given: &Given<'_>, stage: Stage) -> String {
    let mut drawing = Drawing::default();
    drawing.closed(Layer::Outline, given.design.blade().loft(stage).silhouette().closed());
    drawn::svg(&drawing, "")
}

/// The tip's cut line.
fn tip(given: &Given<'_>) -> String {
    let template = tooling::preform(given.design);
    template.map_or_else(String::new, |template| {
        let lines = template.drawing.items.into_iter().filter(|item| item.layer == Layer::Outline);
        drawn::svg(&Drawing { items: lines.collect() }, "")
    })
}

/// A thing's files, what it is made from first, each as a link that says what it is.
fn links(thing: &Thing<'_>, title: &str) -> Vec<Link> {
    let order: &[&str] = match thing.what {
        What::Part(part) if part.stuff == Stuff::Plastic => &["3mf", "stl", "step"],
        What::Sheet(_) | What::Gauge(_) => &["dxf", "svg"],
        What::BenchSheet | What::Template(_) | What::TipTemplate => &["pdf", "svg", "dxf", "png"],
        _ => &["step", "3mf", "stl", "glb", "png", "html"],
    };
    let rank = |file: &&String| order.iter().position(|ending| *ending == self::ending(file));
    let mut files: Vec<&String> = thing.files.iter().collect();
    files.sort_by_key(rank);
    files.iter().enumerate().map(|(i, file)| link(file, title, i == 0)).collect()
}

fn ending(file: &str) -> &str {
    file.rsplit('.').next().unwrap_or_default()
}

/// A file as a link; the first one says what it is for.
fn link(file: &str, title: &str, first: bool) -> Link {
    let side =
        ["right", "left", "back", "edge"].into_iter().find(|side| file.ends_with(&format!("-{side}.png")));
    let (long, short) = match ending(file) {
        "3mf" => ("3MF to print", "3MF"),
        "stl" => ("STL to print", "STL"),
        "step" => ("STEP for CAD", "STEP"),
        "dxf" => ("DXF for the cutter", "DXF"),
        "svg" => ("SVG drawing", "SVG"),
        "pdf" => ("PDF to print", "PDF"),
        "glb" => ("GLB in 3D", "GLB"),
        "png" => ("PNG picture", "PNG"),
        "html" => ("Open the page", "HTML"),
        other => (other, other),
    };
    let text = match side {
        Some(side) => format!("PNG {side}"),
        None if first => long.to_owned(),
        None => short.to_owned(),
    };
    Link { label: format!("{text}: {title}"), text, to: file.to_owned() }
}
