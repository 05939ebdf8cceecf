//! Weight and balance of the blade on the bench: now, as planned, and as it can still be made.

use design::Figures;
use measured::{Day, MassBalance};
use serde::Serialize;

use crate::typesetting::words::grams;

/// A row of the table, as figures: masses in g, lengths in the design's unit.
#[derive(Serialize)]
pub(crate) struct Row {
    what: String,
    take_off: Option<String>,
    steel: String,
    balance: String,
    fitted: String,
    fitted_balance: String,
}

/// Now; then each stage to come as planned, and as it can still be made.
pub(crate) fn hangs(day: &Day, figures: Figures) -> Vec<Row> {
    let now = row("now".to_owned(), None, &day.bench, figures);
    let ways = day.ways.iter().flat_map(|way| {
        let (planned, reached) = (format!("{}, planned", way.stage), format!("{}, within reach", way.stage));
        [row(planned, None, &way.planned, figures), row(reached, Some(way.take_off_g), &way.reached, figures)]
    });
    std::iter::once(now).chain(ways).collect()
}

fn row(what: String, take_off: Option<f64>, hang: &MassBalance, figures: Figures) -> Row {
    Row {
        what,
        // Steel is only ever taken off; less than nothing is a tang taken as thin as the shoulder now, and as planned then.
        take_off: take_off.map(|g| grams(g.max(0.0))),
        steel: grams(hang.steel_g),
        balance: figures.length(hang.steel_balance_mm),
        fitted: grams(hang.fitted_g),
        fitted_balance: figures.length(hang.fitted_balance_mm),
    }
}
