//! The bench page: what measuring has shown, to take back to the grinder.

use design::{Design, Paper};
use measured::{Bench, Day, StageGoal};
use serde::Serialize;

use crate::bench_page::hangs::{Row, hangs};
use crate::bench_page::shades::{Shown, shades};
use crate::bench_page::take_off::{Station, stations};
use crate::fault::SheetFault;
use crate::plan_page::content::BORDERS;
use crate::sheet::{Sheet, set};
use crate::typesetting::files::Files;
use crate::typesetting::words::{breakable, counted, grams};

/// What the markup reads as `data.json`.
#[derive(Serialize)]
pub(crate) struct Content {
    name: String,
    unit: &'static str,
    /// Width and height, mm.
    paper: [f64; 2],
    borders: [f64; 2],
    date: String,
    /// How many days were measured before, in words; none on the first.
    before: Option<String>,
    stage: &'static str,
    next: &'static str,
    /// `guard` or `shoulder`.
    measured_from: &'static str,
    /// Whether the design has fittings.
    fitted: bool,
    hangs: Vec<Row>,
    /// What the scales said and the readings alone say, g.
    weighed: Option<[String; 2]>,
    sides: Vec<Shown>,
    legend: Vec<Shown>,
    stations: Vec<Station>,
    /// Stages with what can't be reached of them any more.
    short: Vec<(&'static str, Vec<String>)>,
    set_aside: Vec<String>,
    warp: Vec<String>,
    /// Bars that are near to being ground through.
    bars: Vec<String>,
    notes: Vec<String>,
}

/// The bench page of the last session of `bench`, which was measured on `design`, on paper standing upright. Figures are
/// in the design's unit, masses in g.
///
/// # Errors
/// [`SheetFault`] when a picture or the pages can't be made.
pub fn bench_page(design: &Design, bench: &Bench, paper: Paper) -> Result<Sheet, SheetFault> {
    let mut files = Files::new();
    let content = content(design, bench, paper, &mut files)?;
    set("bench.typ", &content, files)
}

/// What the page of the last session tells; pictures go into `files`.
pub(crate) fn content(
    design: &Design,
    bench: &Bench,
    paper: Paper,
    files: &mut Files,
) -> Result<Content, SheetFault> {
    let (figures, day, history) = (design.figures(), bench.last(), bench.history());
    let before = history.days.len() - 1;
    let half = 0.5 * (paper.size()[0] - BORDERS[0] - BORDERS[1]);
    let [sides, legend] = shades(bench, half, files)?;
    Ok(Content {
        name: breakable(&history.name),
        unit: history.unit,
        paper: paper.size(),
        borders: BORDERS,
        date: day.date.clone(),
        before: (before > 0).then(|| counted(before, "session")),
        stage: day.stage,
        next: day.next,
        measured_from: history.measured_from,
        fitted: !design.fittings().is_empty(),
        hangs: hangs(day, figures),
        weighed: day.weighed.map(|w| [w.weight_g, w.unweighed_g].map(grams)),
        sides,
        legend,
        stations: stations(&day.take_off, figures),
        short: day.ways.iter().filter_map(|way| short(bench, way)).collect(),
        set_aside: words(day.set_aside.iter().map(|aside| &aside.words)),
        warp: bench.warp(),
        bars: bars(day),
        notes: words(&day.notes),
    })
}

/// A stage and what can't be reached of it; `None` where all of it can.
fn short(bench: &Bench, way: &StageGoal) -> Option<(&'static str, Vec<String>)> {
    (!way.short.is_empty()).then(|| (way.stage, bench.short(way)))
}

fn bars(day: &Day) -> Vec<String> {
    words(day.bars.iter().flat_map(|bars| &bars.warnings))
}

fn words<'a>(all: impl IntoIterator<Item = &'a String>) -> Vec<String> {
    all.into_iter().map(|words| breakable(words)).collect()
}
