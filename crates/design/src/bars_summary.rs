//! What `check` tells of the billet: how broad each bar comes out along the blade, and what to look out for.

use std::fmt::Write;

use blade::{Sections, Stage};
use laminate::{Finding, Survey};
use serde::Serialize;

use crate::Design;

/// The billet on the finished blade. Lengths in mm, bars from the back to the edge.
#[derive(Clone, Debug, Serialize)]
pub struct BarsSummary {
    /// The bars' names.
    pub names: Vec<String>,
    /// Each bar's breadth and pitch at stations.
    pub stations: Vec<BarsAtSummary>,
    /// What the smith can act on, in words and in the file's unit.
    pub findings: Vec<String>,
}

/// The bars at one station of the finished blade, mm.
#[derive(Clone, Debug, Serialize)]
pub struct BarsAtSummary {
    /// Distance from the shoulder.
    pub at_mm: f64,
    /// Breadth of each bar on the side; 0 where it has ended.
    pub breadths_mm: Vec<f64>,
    /// Length of the blade that a full turn of each bar takes; none where it is straight.
    pub pitches_mm: Vec<Option<f64>>,
}

impl BarsSummary {
    /// Of a design with a billet, at the stations given (mm); `None` for a blade of one steel.
    pub fn of(design: &Design, stations: &[f64]) -> Option<BarsSummary> {
        let (lay, limits) = (design.lay()?, design.limits()?);
        let finished = Sections::of(&design.blade().loft(Stage::Finished));
        let survey = Survey::new(lay, &finished, stations, limits);
        let names: Vec<String> = lay.billet().bars().iter().map(|b| b.name.clone()).collect();
        let told = |mm: f64| {
            let unit = design.unit();
            let places = if unit.millimetres() > 1.0 { 3 } else { 1 };
            format!("{:.places$} {}", mm / unit.millimetres(), unit.name())
        };
        let stations = survey.bars.into_iter().map(|b| BarsAtSummary {
            at_mm: b.at,
            breadths_mm: b.widths,
            pitches_mm: b.pitches,
        });
        Some(BarsSummary {
            stations: stations.collect(),
            findings: survey.findings.iter().map(|f| sentence(f, &names, &told)).collect(),
            names,
        })
    }

    pub(crate) fn write(
        &self,
        out: &mut String,
        unit: &str,
        length: &impl Fn(f64) -> String,
    ) -> std::fmt::Result {
        writeln!(out, "\nbars of the finished blade, breadth on the side in {unit} (length of a full turn)")?;
        let cell = |breadth: f64, pitch: Option<f64>| match pitch {
            _ if breadth <= 0.0 => "-".to_owned(),
            Some(pitch) => format!("{} ({})", length(breadth), length(pitch)),
            None => length(breadth),
        };
        let rows: Vec<Vec<String>> = self
            .stations
            .iter()
            .map(|s| {
                let cells = s.breadths_mm.iter().zip(&s.pitches_mm).map(|(b, p)| cell(*b, *p));
                std::iter::once(length(s.at_mm)).chain(cells).collect()
            })
            .collect();
        let head = std::iter::once("station".to_owned()).chain(self.names.iter().cloned()).collect();
        let table: Vec<Vec<String>> = std::iter::once(head).chain(rows).collect();
        let width = |k: usize| table.iter().map(|r| r[k].chars().count()).max().unwrap_or(0);
        for row in &table {
            let cells = row.iter().enumerate().map(|(k, text)| format!("{text:>w$}", w = width(k).max(9)));
            writeln!(out, "  {}", cells.collect::<Vec<_>>().join(" "))?;
        }
        self.findings.iter().try_for_each(|finding| writeln!(out, "\nBars: {finding}"))
    }
}

/// A finding in words.
fn sentence(finding: &Finding, names: &[String], told: &impl Fn(f64) -> String) -> String {
    let name = |bar: usize| names.get(bar).map_or("", String::as_str);
    match *finding {
        Finding::NearEdge { bar, at, distance } => format!(
            "the seam under {} comes within {} of the edge at station {}; make {} higher, or take less off the edge",
            name(bar),
            told(distance),
            told(at),
            name(bar + 1)
        ),
        Finding::Ends { bar, at, through_edge } => format!(
            "{} ends at station {}: it leaves through the {}",
            name(bar),
            told(at),
            if through_edge { "edge" } else { "back" }
        ),
        Finding::Drift { bar, from, turns } => format!(
            "the layers of {} and {} no longer meet at their seam from station {} on: up to {turns:.2} turns apart; \
             twist both by the same turns and start them alike",
            name(bar),
            name(bar + 1),
            told(from)
        ),
        Finding::Thin { bar, at, thickness } => format!(
            "layers of {} come out {thickness:.3} mm thick at station {}: too thin to see; stack fewer of them",
            name(bar),
            told(at)
        ),
        _ => String::new(),
    }
}
