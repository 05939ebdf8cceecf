//! The cut list and the forging schedule.

use design::Figures;
use forge::{Cut, Plan, WAYS_LEAD, Way, WayStep};

use crate::document::{Block, Cell, Step, Table};

/// What to cut of which steel.
pub(crate) fn list(plan: &Plan) -> Vec<Block> {
    let figures = plan.figures;
    let head = ["For", "Steel", "Pieces", "High × wide × long", "Total"].map(str::to_owned);
    let table = Table {
        caption: format!("Pieces to cut, sizes in {}", figures.spoken()),
        head: head.into(),
        rows: plan.stock.cuts.iter().map(|cut| row(cut, figures)).collect(),
    };
    vec![Block::Table(table), Block::Words(plan.cut_words())]
}

/// Pieces of one size.
fn row(cut: &Cut, figures: Figures) -> Vec<Cell> {
    let [high, wide, long] = cut.size_mm;
    let any = if cut.any_thickness { "*" } else { "" };
    let size = match cut.round {
        true => format!("{} round × {}", figures.plain_size(high), figures.hot(long)),
        false => {
            let section = figures.section([high, wide]).replacen(" × ", &format!("{any} × "), 1);
            format!("{section} × {}", figures.hot(long))
        }
    };
    let count = cut.count.to_string();
    [cut.bar.clone(), cut.steel.clone(), count, size, figures.weight(cut.mass_g)].map(Cell::from).into()
}

/// The ways of all bars, then that of the stack.
pub(crate) fn schedule(plan: &Plan) -> Vec<Block> {
    let mut blocks = vec![Block::Words(WAYS_LEAD.to_owned())];
    for Way { name, steps } in plan.ways() {
        blocks.push(Block::Heading(name));
        blocks.push(Block::Steps(steps.into_iter().map(step).collect()));
    }
    blocks
}

fn step(WayStep { what, planned, sizes }: WayStep) -> Step {
    let more = sizes.into_iter().map(|[size, long]| format!("at {size}: {long} long")).collect();
    Step { what, then: planned, more }
}
