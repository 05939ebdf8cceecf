//! Key numbers, stage by stage.

use blade::Stage;
use design::{StageSummary, minus};

use crate::document::{Cell, Table};
use crate::given::Given;

/// The table: a row a number, a column a stage.
pub(crate) fn table(given: &Given<'_>) -> Table {
    let (figures, summary) = (given.design.figures(), given.summary);
    let stages: Vec<&StageSummary> =
        Stage::ALL.iter().filter_map(|stage| summary.stages.get(stage.name())).collect();
    let unit = figures.spoken();
    let length = |mm: f64| minus(&figures.length(mm));
    let mut rows = Vec::new();
    let mut row = |name: String, figure: &dyn Fn(&StageSummary) -> String| {
        let cells = stages.iter().map(|stage| Cell::from(figure(stage)));
        rows.push(std::iter::once(Cell::from(name)).chain(cells).collect());
    };
    row("Bare steel".to_owned(), &|s| figures.weight(s.steel_mass_g));
    if !given.design.fittings().is_empty() {
        row("With fittings".to_owned(), &|s| figures.weight(s.mass_g));
    }
    row(format!("Balance ahead of the {} (behind it with a minus), {unit}", summary.measured_from), &|s| {
        length(s.balance_from_guard_mm)
    });
    row(format!("Breadth at the shoulder, {unit}"), &|s| {
        s.stations.first().map_or_else(dash, |at| length(at.breadth_mm))
    });
    row(format!("Thickness at the shoulder, {unit}"), &|s| {
        s.stations.first().map_or_else(dash, |at| figures.thickness(at.thickness_mm))
    });
    row(format!("Centre of percussion ahead of the {}, {unit}", summary.measured_from), &|s| {
        let beyond = |mm: &f64| *mm > s.size_mm[1][0];
        match s.percussion_from_guard_mm {
            Some(mm) if beyond(&mm) => "beyond the point".to_owned(),
            found => found.map_or_else(dash, length),
        }
    });
    row(format!("Vibration nodes from the {}, {unit}", summary.measured_from), &|s| {
        let datum = s.centre_with_fittings_mm[0] - s.balance_from_guard_mm;
        s.nodes_mm.map_or_else(dash, |nodes| nodes.map(|mm| length(mm - datum)).join(" and "))
    });
    Table { caption: "Key numbers at each stage".to_owned(), head: heads(), rows }
}

fn heads() -> Vec<String> {
    ["", "Forged", "Ground", "Finished"].map(str::to_owned).into()
}

fn dash() -> String {
    "–".to_owned()
}
