//! The cut list and the forging schedule.

use design::{Figures, Forging};
use forge::{Cut, Plan, Way, WayStep};

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
    let totals: Vec<String> =
        plan.steel_g.iter().map(|(steel, g)| format!("{} of {steel}", figures.weight(*g))).collect();
    let lie = match plan.stock.one_steel() {
        Some(_) => "",
        None => " High and wide as the piece lies in billet or stack: a layer's height is its thickness.",
    };
    let mut words = format!("Total: {}.{lie}", totals.join(", "));
    if plan.stock.cuts.iter().any(|cut| cut.any_thickness) {
        words += " * No thickness is given in [[layers]]: each layer's share of a block as high as `block` in [forging].";
    }
    vec![Block::Table(table), Block::Words(words)]
}

/// Pieces of one size.
fn row(cut: &Cut, figures: Figures) -> Vec<Cell> {
    let [high, wide, long] = cut.size_mm;
    let any = if cut.any_thickness { "*" } else { "" };
    let size = format!("{}{any} × {} × {}", figures.side(high), figures.side(wide), figures.hot(long));
    let count = cut.count.to_string();
    [cut.bar.clone(), cut.steel.clone(), count, size, figures.weight(cut.mass_g)].map(Cell::from).into()
}

/// The ways of all bars, then that of the stack.
pub(crate) fn schedule(plan: &Plan, shop: &Forging) -> Vec<Block> {
    let words = "Lengths follow from volume, less what you crop, scale, grind and saw away. A bar that comes out short has \
                 lost more than planned: stop and recalculate.";
    let mut blocks = vec![Block::Words(words.to_owned())];
    for Way { name, steps } in plan.ways(shop) {
        blocks.push(Block::Heading(name));
        blocks.push(Block::Steps(steps.into_iter().map(step).collect()));
    }
    blocks
}

fn step(WayStep { what, planned, sizes }: WayStep) -> Step {
    let more = sizes.into_iter().map(|[size, long]| format!("at {size}: {long} long")).collect();
    Step { what, then: planned, more }
}
