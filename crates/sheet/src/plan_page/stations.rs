//! The table of stations of each stage.

use blade::{Stage, Station};
use design::Design;
use design::Figures;
use serde::Serialize;

/// Most even stations: with the smith's own, the three stages then stand on two pages.
const MOST: f64 = 12.0;
/// Stations nearer to each other than this are one, mm: what rounding of inches leaves.
const SAME: f64 = 0.05;

/// A stage's stations, as figures in the design's unit.
#[derive(Serialize)]
pub(crate) struct StageTable {
    stage: &'static str,
    rows: Vec<Row>,
}

#[derive(Serialize)]
struct Row {
    at: String,
    /// Whether a section gauge is made for it.
    own: bool,
    breadth: String,
    back: String,
    grind: Option<String>,
    edge: String,
}

/// The stations of the design's gauges, and even ones between, mm, increasing.
pub(crate) fn stations(design: &Design) -> Vec<f64> {
    let (length, own) = (design.blade().length(), &design.gauges().stations);
    let step = Figures { unit: design.unit() }.pitch();
    let pitches = [1.0, 2.0, 4.0, 8.0, 16.0, 32.0].map(|times| times * step);
    let pitch = pitches.into_iter().find(|pitch| length / pitch <= MOST).unwrap_or(pitches[5]);
    let even = (0..).map(|i| f64::from(i) * pitch).take_while(|at| *at < length);
    let mut all: Vec<f64> = even.filter(|at| !has(own, *at)).chain(own.iter().copied()).collect();
    all.sort_by(f64::total_cmp);
    all
}

fn has(stations: &[f64], at: f64) -> bool {
    stations.iter().any(|own| (own - at).abs() < SAME)
}

/// The sizes at `stations` (mm) for every stage.
pub(crate) fn tables(design: &Design, stations: &[f64]) -> Vec<StageTable> {
    let (own, figures) = (&design.gauges().stations, Figures { unit: design.unit() });
    let table = |stage: Stage| {
        let loft = design.blade().loft(stage);
        let sizes = stations.iter().filter_map(|&at| loft.station(at));
        StageTable { stage: stage.name(), rows: sizes.map(|s| row(&s, has(own, s.at), figures)).collect() }
    };
    Stage::ALL.map(table).into()
}

fn row(s: &Station, own: bool, figures: Figures) -> Row {
    Row {
        at: figures.station(s.at),
        own,
        breadth: figures.length(s.breadth),
        back: figures.thickness(s.back),
        grind: s.grind.map(|t| figures.thickness(t)),
        edge: if s.edge > 0.0 { figures.thickness(s.edge) } else { "sharp".to_owned() },
    }
}
