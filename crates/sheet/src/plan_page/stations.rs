//! The table of stations of each stage, each planned figure with room for the measured one beside it.

use blade::{Loft, Stage, Station};
use design::{Design, Figures};
use glam::DVec2;

use crate::typesetting::paragraph::Align;
use crate::typesetting::strip::{Strip, heading, lead, list, part, subheading};
use crate::typesetting::table::{Cell, Rules, Table, Track};
use crate::typesetting::text::{NOTE, Text};

/// Most even stations: with the smith's own, the three stages then stand on two pages.
const MOST: f64 = 12.0;
/// Stations nearer to each other than this are one, mm: what rounding of inches leaves.
const SAME: f64 = 0.05;
/// Rows of a table that is still kept on one page.
const WHOLE: usize = 16;

/// The stations of the design's gauges, and even ones between, mm, increasing.
pub(crate) fn stations(design: &Design) -> Vec<f64> {
    let (length, own) = (design.blade().length(), &design.gauges().stations);
    let step = design.figures().pitch();
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

/// Bevel, back, fullers and tang of the finished blade in words.
pub(crate) fn form(design: &Design, width: f64) -> Vec<Strip> {
    let items: Vec<Text> = design.form_words().iter().map(|words| Text::note(words.as_str())).collect();
    let mut strips = heading("Bevel, back and tang", width);
    strips.extend(list(items, NOTE, width));
    part(true, strips)
}

/// The sizes at `stations` (mm) for every stage.
pub(crate) fn tables(design: &Design, stations: &[f64], width: f64) -> Vec<Strip> {
    let mut strips = heading("Stations", width);
    let words = "From the shoulder. A dot marks the stations of the section gauges. Left: planned. Right: write what you \
                 measure: breadth from edge to back, thickness at the back's corners and at the grind line, the edge flat.";
    strips.extend(lead(Text::note(words), width));
    for stage in Stage::ALL {
        let table = table(design, stations, &design.blade().loft(stage));
        let mut stage = subheading(format!("The {} blade", stage.name()), width);
        stage.extend(table.strips(width));
        strips.extend(part(table.rows.len() < WHOLE, stage));
    }
    strips
}

/// The stations of a stage.
fn table(design: &Design, stations: &[f64], loft: &Loft) -> Table {
    let share = |share| (Track::Share(share), Align::Right);
    let mut columns = vec![share(1.2)];
    columns.extend([share(1.0); 8]);
    let heads = ["Breadth", "Back", "Grind line", "Edge flat"].map(|head| bold(head).over(2, Align::Centre));
    let head = [bold("Station").over(1, Align::Centre)].into_iter().chain(heads).collect();
    let mut table = Table {
        columns,
        head,
        rows: Vec::new(),
        inset: DVec2::new(1.8, 2.1),
        rules: Rules::Pairs,
        least: 0.0,
    };
    for station in stations.iter().filter_map(|&at| loft.station(at)) {
        let own = has(&design.gauges().stations, station.at);
        table.row(row(&station, own, design.figures()));
    }
    table
}

fn bold(words: &str) -> Cell {
    Cell::from(Text::bold(words))
}

/// The station, marked where it is one of the gauges', and each figure with an empty field behind it.
fn row(s: &Station, own: bool, figures: Figures) -> impl Iterator<Item = Cell> {
    let at = format!("{}{}", if own { "• " } else { "" }, figures.station(s.at));
    let planned = [
        figures.length(s.breadth),
        figures.thickness(s.back),
        s.grind.map_or_else(|| "–".to_owned(), |t| figures.thickness(t)),
        if s.edge > 0.0 { figures.thickness(s.edge) } else { "sharp".to_owned() },
    ];
    std::iter::once(Cell::from(at))
        .chain(planned.into_iter().flat_map(|figure| [Cell::from(figure), Cell::empty()]))
}
