//! Weight and balance of the blade on the bench: now, as planned, and as it can still be made.

use design::{Design, Figures};
use measured::{Bench, Day, MassBalance};

use crate::typesetting::paragraph::Align;
use crate::typesetting::strip::{Strip, note};
use crate::typesetting::table::{Cell, Table, Track};
use crate::typesetting::text::Text;

/// Now; then each stage to come as planned, and as it can still be made; and what the scales said.
pub(crate) fn hangs(design: &Design, bench: &Bench, width: f64) -> Vec<Strip> {
    let (day, from, unexplained) = (bench.last(), bench.history().measured_from, bench.unexplained());
    let (figures, fitted) = (design.figures(), !design.fittings().is_empty());
    let (first, share) = ((Track::Share(1.5), Align::Left), (Track::Share(1.0), Align::Right));
    let balance = format!("Balance, from the {from}");
    let mut table = if fitted {
        let head = ["", "Take off", "Steel", &balance, "With fittings", &balance];
        Table::new([first, share, share, share, share, share], head)
    } else {
        Table::new([first, share, share, share], ["", "Take off", "Steel", &balance])
    };
    table.row(row("now".to_owned(), None, &day.bench, fitted, figures));
    for way in &day.ways {
        table.row(row(format!("{}, planned", way.stage), None, &way.planned, fitted, figures));
        let off = (unexplained.is_none() || way.stage != day.next).then_some(way.take_off_g);
        table.row(row(format!("{}, within reach", way.stage), off, &way.reached, fitted, figures));
    }
    let mut strips = table.strips(width);
    strips.extend(unexplained.into_iter().flat_map(|words| note(words, width)));
    strips.extend(scales(day, figures).into_iter().flat_map(|words| note(words, width)));
    strips
}

/// A row of the table: what it weighs and where it balances.
fn row(what: String, take_off: Option<f64>, hang: &MassBalance, fitted: bool, figures: Figures) -> Vec<Cell> {
    let length = |mm: f64| format!("{} {}", figures.length(mm), figures.unit.name());
    // Steel is only ever taken off; less than nothing is a tang taken as thin as the shoulder now, and as planned then.
    let off = take_off.map_or_else(Text::default, |g| Text::bold(figures.weight(g.max(0.0))));
    let mut cells = vec![
        Cell::from(what),
        off.into(),
        figures.weight(hang.steel_g).into(),
        length(hang.steel_balance_mm).into(),
    ];
    if fitted {
        let mass = figures.weight(hang.fitted_g);
        cells.extend([mass, length(hang.fitted_balance_mm)].map(Cell::from));
    }
    cells
}

/// What the scales said beside what the readings say; nothing where it was not weighed.
fn scales(day: &Day, figures: Figures) -> Option<String> {
    let w = day.weighed?;
    let [weighed, read, band, now] =
        [w.weight_g, w.unweighed_g, w.unweighed_band_g, day.bench.steel_g].map(|g| figures.weight(g));
    let told = format!("The scales said {weighed}; breadth and thickness alone say {read} ±{band}.");
    Some(match (w.agree, weighed == now) {
        (true, true) => told,
        (true, false) => format!("{told} The rest is more than blade and tang can account for."),
        (false, _) => format!(
            "{told} Both can't be right: either the difference is in the tang, or the blade is not as thick as measured. \
             Weigh and measure again before grinding."
        ),
    })
}
