//! The cut list and the forging schedule: for each bar, then for the stack, what is done one after the other and what it should
//! measure.

use design::Figures;
use forge::{Cut, Plan, WAYS_LEAD, Way};

use crate::typesetting::paragraph::Align;
use crate::typesetting::shape::MM;
use crate::typesetting::strip::{Strip, heading, lead, note, part};
use crate::typesetting::table::{Cell, Table, Track};
use crate::typesetting::text::{Text, space, tick};

/// Rows of a cut list, and steps of a way, that are still kept on one page.
const WHOLE: [usize; 2] = [12, 8];

/// What to cut.
pub(crate) fn cut_list(plan: &Plan, figures: Figures, width: f64) -> Vec<Strip> {
    let (auto, name) = ((Track::Auto, Align::Right), (Track::Share(1.5), Align::Left));
    let columns = [
        (Track::Auto, Align::Centre),
        name,
        name,
        auto,
        auto,
        auto,
        auto,
        auto,
        (Track::Share(1.0), Align::Left),
    ];
    let head = ["", "For", "Steel", "Pieces", "High", "Wide", "Long", "Total", "Measured"];
    let mut table = Table::new(columns, head);
    plan.stock.cuts.iter().for_each(|cut| table.row(cut_row(cut, figures)));
    let mut strips = heading("Cut list", width);
    strips.extend(table.strips(width));
    strips.extend(note(plan.cut_words(), width));
    part(table.rows.len() < WHOLE[0], strips)
}

/// Pieces to cut.
fn cut_row(cut: &Cut, figures: Figures) -> [Cell; 9] {
    let [high, wide, long] = cut.size_mm;
    let any = if cut.any_thickness { "*" } else { "" };
    [
        tick().into(),
        cut.bar.as_str().into(),
        cut.steel.as_str().into(),
        cut.count.to_string().into(),
        if cut.round { figures.plain_size(high) } else { format!("{}{any}", figures.side(high)) }.into(),
        if cut.round { "round".into() } else { figures.side(wide).into() },
        figures.hot(long).into(),
        figures.weight(cut.mass_g).into(),
        Cell::empty(),
    ]
}

/// The ways of all bars, then that of the stack.
pub(crate) fn schedule(plan: &Plan, width: f64) -> Vec<Strip> {
    let mut strips = heading("Forging schedule", width);
    strips.extend(lead(Text::note(WAYS_LEAD), width));
    strips.extend(plan.ways().into_iter().flat_map(|one| way(one, width)));
    strips
}

/// The way of a bar or of the stack. The name stands in the head, so that the next page tells it too.
fn way(way: Way, width: f64) -> Vec<Strip> {
    let columns = [
        (Track::Auto, Align::Centre),
        (Track::Share(3.4), Align::Left),
        (Track::Share(1.8), Align::Right),
        (Track::Share(1.2), Align::Left),
    ];
    let mut table = Table::new(columns, ["", way.name.as_str(), "Then it measures", "Measured"]);
    let count = way.steps.len();
    for step in way.steps {
        if step.sizes.is_empty() {
            table.row([tick().into(), step.what.into(), step.planned.into(), Cell::empty()]);
        } else {
            let sizes = step.sizes.into_iter().map(|[size, long]| {
                let words = tick().then(space(1.5 * MM)).then(format!("at {size}: {long} long"));
                words.boxed(4.5 * MM).airy(0.8 * MM)
            });
            let words = Text::from(step.what).then(Text::newline()).then(Text::all(sizes));
            table.row([Cell::empty(), Cell::from(words).over(3, Align::Left)]);
        }
    }
    part(count < WHOLE[1], table.strips(width))
}
