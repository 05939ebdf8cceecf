//! The sizes at the gauges' stations and even ones between, each with the gauges that are held there.

use blade::{Stage, Station};
use tooling::station_names;

use crate::document::{Block, Cell, Link, Table};
use crate::given::{Given, What};
use crate::shop::things::place;

/// Stations nearer to each other than this are one, mm: what rounding of inches leaves.
const SAME: f64 = 0.05;
/// Most even stations beside the smith's own: more than a dozen rows are hard to find one's place in.
const MOST: f64 = 12.0;

/// A table for each stage.
pub(crate) fn stations(given: &Given<'_>) -> Vec<Block> {
    let words = "Breadth is from edge to back. Back, Grind line and Edge are thicknesses: at the back's corners, where the bevel begins, \
         and of the flat at the edge.";
    let at = places(given);
    let mut blocks: Vec<Block> = held(given).map(Block::Table).into_iter().collect();
    blocks.push(Block::Words(words.to_owned()));
    blocks.extend(Stage::ALL.map(|stage| Block::Table(table(given, stage, &at))));
    blocks
}

/// The stations of the gauges, and even ones between, mm, increasing.
fn places(given: &Given<'_>) -> Vec<f64> {
    let (length, own) = (given.design.blade().length(), &given.design.gauges().stations);
    let step = given.design.figures().pitch();
    let pitches = [1.0, 2.0, 4.0, 8.0, 16.0, 32.0].map(|times| times * step);
    let pitch = pitches.into_iter().find(|pitch| length / pitch <= MOST).unwrap_or(pitches[5]);
    let even = (0..).map(|i| f64::from(i) * pitch).take_while(|at| *at < length);
    let mut all: Vec<f64> = even.filter(|at| !own.iter().any(|o| (o - at).abs() < SAME)).collect();
    all.extend(own);
    all.sort_by(f64::total_cmp);
    all
}

/// The stations of a stage.
fn table(given: &Given<'_>, stage: Stage, at: &[f64]) -> Table {
    let loft = given.design.blade().loft(stage);
    let head = ["Station", "Breadth", "Back", "Grind line", "Edge"].map(str::to_owned).into();
    let rows = at.iter().filter_map(|&at| loft.station(at)).map(|station| row(&station, given)).collect();
    let caption = format!("The {} blade, {}", stage.name(), given.design.figures().spoken());
    Table { caption, head, rows }
}

/// Which section gauge is held where; none where the build has none.
fn held(given: &Given<'_>) -> Option<Table> {
    let figures = given.design.figures();
    let row = |at: f64| {
        let gauged = [Stage::Forged, Stage::Ground]
            .map(|stage| Cell { text: String::new(), links: gauges(given, stage, at) });
        let any = gauged.iter().any(|cell| !cell.links.is_empty());
        any.then(|| std::iter::once(Cell::from(figures.station(at))).chain(gauged).collect())
    };
    let rows: Vec<Vec<Cell>> = given.design.gauges().stations.iter().filter_map(|&at| row(at)).collect();
    let head = ["Station", "Forged blade", "Ground blade"].map(str::to_owned).into();
    let caption = "The section gauge to hold at a station".to_owned();
    (!rows.is_empty()).then_some(Table { caption, head, rows })
}

/// A station's sizes.
fn row(s: &Station, given: &Given<'_>) -> Vec<Cell> {
    let figures = given.design.figures();
    [
        figures.station(s.at),
        figures.length(s.breadth),
        figures.thickness(s.back),
        s.grind.map_or_else(|| "–".to_owned(), |t| figures.thickness(t)),
        if s.edge > 0.0 { figures.thickness(s.edge) } else { "sharp".to_owned() },
    ]
    .map(Cell::from)
    .into()
}

/// The section gauges of a station that are in the build, as links to their places on the page.
fn gauges(given: &Given<'_>, stage: Stage, at: f64) -> Vec<Link> {
    let own = &given.design.gauges().stations;
    let Some(i) = own.iter().position(|o| (o - at).abs() < SAME) else { return Vec::new() };
    let name = format!("section-{}-{}", stage.name(), station_names(own, given.design.figures())[i]);
    let things = given.things.iter().filter(|thing| match thing.what {
        What::Part(part) => part.name == name,
        What::Gauge(gauge) => gauge.name == name,
        _ => false,
    });
    let link = |thing: &crate::given::Thing<'_>| {
        let stuff = if matches!(thing.what, What::Part(_)) { "plastic" } else { "metal" };
        Link {
            text: stuff.to_owned(),
            to: format!("#{}", place(thing)),
            label: format!("Gauge at {}, {}, {stuff}", given.design.figures().told(at), stage.name()),
        }
    };
    things.map(link).collect()
}
