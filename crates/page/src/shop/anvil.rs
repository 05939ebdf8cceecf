//! The tip's preform, how long the steel stays hot, and how long the blade is while it is hot.

use design::{Figures, edge_curve};
use forge::{HotLength, Plan, TipPreform, WorkingHeat};

use crate::document::{Block, Cell, Table};

/// The piece that the tip is forged up from.
pub(crate) fn tip(plan: &Plan) -> Vec<Block> {
    let (figures, unit) = (plan.figures, plan.figures.unit.name());
    let TipPreform::Straight { start_mm, edge_mm, breadths_mm, forged_between_mm, widest_leeway_mm, .. } =
        &plan.tip
    else {
        return plan.tip.instead(figures).map(Block::Words).into_iter().collect();
    };
    let mut words = format!(
        "From the blade's station {} {unit} on, cut the bar's end to the template page, the tip-preform gauge or the breadths \
         below: cut it at the back, leave its edge side straight, {} {unit} long; that side is then forged up to the curve.",
        figures.length(*start_mm),
        figures.length(*edge_mm)
    );
    if let (Some(between), Some(widest)) = (forged_between_mm, widest_leeway_mm) {
        words += &format!(" {}", edge_curve(*between, *widest, figures));
    }
    let row = |row: &[f64; 2]| {
        vec![figures.station(row[0]).into(), plan.tip.told(*row, |mm| figures.length(mm)).into()]
    };
    let table = Table {
        caption: format!("Breadths along the edge from that station towards the point, {}", figures.spoken()),
        head: ["Along the edge", "Breadth"].map(str::to_owned).into(),
        rows: breadths_mm.iter().map(row).collect(),
    };
    vec![Block::Words(words), Block::Table(table)]
}

/// Seconds for each step, what the hammer must bring, the hot blade's length, and how bevels lift the point.
pub(crate) fn clock(plan: &Plan) -> Vec<Block> {
    let figures = plan.figures;
    let head = ["Step", "Section", figures.temperature.name(), "Seconds"].map(str::to_owned);
    let table = Table {
        caption: format!(
            "How long it stays hot: from the fire down to the lower heat, in still air; sections in {}",
            figures.spoken()
        ),
        head: head.into(),
        rows: plan.clock.iter().map(|c| seconds(c, figures)).collect(),
    };
    let mut blocks = vec![
        Block::Table(table),
        Block::Words("On the anvil it cools faster. Calculated: Incropera, EN 1993-1-2.".to_owned()),
    ];
    blocks.push(Block::Table(hot(plan)));
    let notes: Vec<String> = blows(plan).into_iter().chain(bevels(plan)).collect();
    if !notes.is_empty() {
        blocks.push(Block::List(notes));
    }
    blocks
}

/// A step's row.
fn seconds(c: &WorkingHeat, figures: Figures) -> Vec<Cell> {
    let short = match (c.short, c.uneven) {
        (true, _) => " (quick: have everything ready)",
        (false, true) => " (its skin cools ahead of its middle)",
        (false, false) => "",
    };
    [
        format!("{}{short}", c.what),
        c.section_told(figures),
        figures.degree_band(c.celsius),
        format!("{:.0}", c.seconds),
    ]
    .map(Cell::from)
    .into()
}

/// Shoulder to point while the blade is hot.
fn hot(plan: &Plan) -> Table {
    let figures = plan.figures;
    let row = |hot: &HotLength| {
        let cooling = hot.cooling_mm.map_or_else(|| "–".to_owned(), |mm| figures.length(mm));
        vec![figures.about(hot.celsius).into(), figures.length(hot.length_mm).into(), cooling.into()]
    };
    Table {
        caption: format!("Shoulder to point of the hot blade, {} (EN 1993-1-2)", figures.spoken()),
        head: ["At", "Heating up", "Cooling"].map(str::to_owned).into(),
        rows: plan.hot.iter().map(row).collect(),
    }
}

/// What drawing out asks of the hammer.
fn blows(plan: &Plan) -> Vec<String> {
    let told = |d: &forge::DrawingOut| format!("{} (Shida 1969).", d.told(plan.figures));
    plan.drawing_out.iter().map(told).collect()
}

/// How forging the bevels lifts the point.
fn bevels(plan: &Plan) -> Vec<String> {
    plan.bevel_lift.map_or_else(Vec::new, |lift| lift.told(plan.figures))
}
