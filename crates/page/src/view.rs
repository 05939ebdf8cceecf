//! What both pages show of the blade: its 3D files and sides as text within the page, its name and its sizes.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use blade::Stage;
use design::Figures;
use forge::ETCHED_GREYS;
use laminate::{bar_colour, plug_colour};
use serde::Serialize;
use tooling::overview;

use crate::document::{Drawn, Swatch};
use crate::given::{Given, Turned};
use crate::picture::drawn;

/// Width of the side view on paper, mm: its figures are then as high on a phone as the page's own words.
const WIDTH: f64 = 110.0;

/// A body to turn over.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Body {
    /// What its colours show.
    name: &'static str,
    /// The file in base64 (RFC 4648).
    glb: String,
}

/// A side as a picture.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Picture {
    name: &'static str,
    /// The file in base64.
    png: String,
    width: u32,
    height: u32,
    /// What is said to those who don't see it.
    label: String,
}

/// The blade to turn over, and what stands in its place without a script.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct View {
    bodies: Vec<Body>,
    /// The side view drawn by lines.
    drawn: Drawn,
    sides: Vec<Picture>,
    /// The legend of the etch, and that of the bars.
    etched: Vec<Swatch>,
    bars: Vec<Swatch>,
    /// What the greys are.
    greys: Vec<String>,
}

impl View {
    /// Of a build, with sides and bodies of so many characters at most: what would be more is left out, the bodies last
    /// in the list first.
    pub(crate) fn of(given: &Given<'_>, most: usize) -> View {
        let body = |turned: &Turned<'_>| Body { name: turned.name, glb: STANDARD.encode(turned.glb) };
        let mut left = most;
        let mut fits = |length: usize| {
            let room = left.checked_sub(length);
            left = room.unwrap_or(left);
            room.is_some()
        };
        let sides = sides(given).into_iter().filter(|side| fits(side.png.len())).collect();
        let bodies = given.turned.iter().map(body).filter(|body| fits(body.glb.len())).collect();
        View {
            bodies,
            drawn: side_view(given),
            sides,
            etched: etched(given),
            bars: bars(given),
            greys: greys(given),
        }
    }
}

/// The side view with its stations.
fn side_view(given: &Given<'_>) -> Drawn {
    let design = given.design;
    let view = overview(design, Stage::Finished, WIDTH, &design.gauges().stations);
    let label = format!("{}, finished, from the right, point to the right", design.name());
    let seams = design.billet().is_some_and(|billet| billet.bars().len() > 1);
    let seams = if seams { " Broken lines are the seams between the bars." } else { "" };
    Drawn {
        svg: drawn::svg(&view.drawing, &label),
        caption: format!("From the right. Numbers are stations from the shoulder.{seams}"),
    }
}

/// The sides as pictures.
fn sides(given: &Given<'_>) -> Vec<Picture> {
    let picture = |side: &crate::given::Side<'_>| Picture {
        name: side.name,
        png: STANDARD.encode(side.png),
        width: side.size[0],
        height: side.size[1],
        label: format!("{} of the finished blade, its layers as they etch", side.name),
    };
    given.sides.iter().map(picture).collect()
}

/// The legend of the etch, dark to bright.
fn etched(given: &Given<'_>) -> Vec<Swatch> {
    let steels = given.etching.iter().flat_map(|etching| &etching.legend);
    let swatch = |steel: &forge::EtchedSteel| Swatch {
        name: steel.name.clone(),
        colours: steel.greys.iter().map(|grey| hexadecimal(*grey)).collect(),
    };
    steels.map(swatch).collect()
}

/// The legend of the bars, from the back to the edge, where there are several.
fn bars(given: &Given<'_>) -> Vec<Swatch> {
    let bars = given.design.billet().map_or(&[][..], |billet| billet.bars());
    let plugged = bars.iter().any(|bar| !bar.plugs.is_empty());
    if bars.len() < 2 && !plugged {
        return Vec::new();
    }
    let plugs =
        plugged.then(|| Swatch { name: "Plugs".to_owned(), colours: vec![hexadecimal(plug_colour().srgb)] });
    let swatch = |(i, bar): (usize, &laminate::Bar)| Swatch {
        name: bar.name.clone(),
        colours: vec![hexadecimal(bar_colour(i).srgb)],
    };
    bars.iter().enumerate().map(swatch).chain(plugs).collect()
}

/// What the greys are, and which bars will hardly show.
fn greys(given: &Given<'_>) -> Vec<String> {
    let Some(etching) = given.etching else { return Vec::new() };
    let faint =
        |bar: &String| format!("{bar}: its steels etch nearly alike, so that its layers will hardly show.");
    std::iter::once(ETCHED_GREYS.to_owned()).chain(etching.faint.iter().map(faint)).collect()
}

fn hexadecimal(srgb: [u8; 3]) -> String {
    srgb.iter().fold("#".to_owned(), |colour, part| format!("{colour}{part:02x}"))
}

/// A length with its unit.
pub(crate) fn long(figures: Figures, mm: f64) -> String {
    format!("{} {}", figures.dimension(mm), figures.unit.name())
}

/// Where it balances.
pub(crate) fn balance(given: &Given<'_>, mm: f64) -> String {
    let side = if mm < 0.0 { "behind" } else { "ahead of" };
    format!("{} {side} the {}", long(given.design.figures(), mm.abs()), given.summary.measured_from)
}

/// Text as HTML and SVG show it, never as markup.
pub(crate) fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe += "&amp;",
            '<' => safe += "&lt;",
            '>' => safe += "&gt;",
            '"' => safe += "&quot;",
            '\'' => safe += "&#39;",
            c => safe.push(c),
        }
    }
    safe
}
