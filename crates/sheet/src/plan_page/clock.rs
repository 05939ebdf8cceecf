//! The clock: how long each step's steel stays hot enough to work, what the hammer must bring, and the hot blade's
//! length.

use design::Figures;
use forge::{Plan, WorkingHeat};

use crate::sheet::Look;
use crate::typesetting::paragraph::Align;
use crate::typesetting::strip::{Strip, heading, note, part};
use crate::typesetting::table::{Cell, Table, Track};
use crate::typesetting::text::Text;

/// Steps that are still kept on one page.
const WHOLE: usize = 20;

/// The clock's table, and what stands by the anvil.
pub(crate) fn clock(plan: &Plan, look: &Look<'_>) -> Vec<Strip> {
    let (width, figures) = (look.width(), look.figures);
    let mut strips = heading("At the anvil", width);
    let (right, left) = ((Track::Auto, Align::Right), (Track::Share(1.0), Align::Left));
    let head = ["Step", "Section", figures.temperature.name(), "Seconds", ""];
    let mut table = Table::new([left, (Track::Auto, Align::Left), right, right, left], head);
    plan.clock.iter().for_each(|c| table.row(row(c, figures)));
    strips.extend(table.strips(width));
    strips.extend(note(words(plan, figures), width));
    part(plan.clock.len() < WHOLE, strips)
}

/// A step's row.
fn row(c: &WorkingHeat, figures: Figures) -> [Cell; 5] {
    let short = match (c.short, c.uneven) {
        (true, _) => "quick: have everything ready",
        (false, true) => "its skin cools ahead of its middle",
        (false, false) => "",
    };
    [
        c.what.as_str().into(),
        c.section_told(figures).into(),
        figures.degree_band(c.celsius).into(),
        Text::bold(format!("{:.0}", c.seconds)).into(),
        Text::note(short).into(),
    ]
}

/// What the clock rests on, the hammer's work, and how long the blade is while hot.
fn words(plan: &Plan, figures: Figures) -> String {
    let unit = figures.spoken();
    let mut words = format!(
        "Sections in {unit}. Seconds from the fire to the lower heat in still air (Incropera, EN 1993-1-2); on the anvil it cools faster."
    );
    for d in &plan.drawing_out {
        words += &format!(" {} (Shida 1969).", d.told(figures));
    }
    let up: Vec<String> = plan
        .hot
        .iter()
        .map(|h| format!("{}: {}", figures.about(h.celsius), figures.length(h.length_mm)))
        .collect();
    let down: Vec<String> = plan
        .hot
        .iter()
        .rev()
        .filter_map(|h| Some(format!("{}: {}", figures.about(h.celsius), figures.length(h.cooling_mm?))))
        .collect();
    words
        + &format!(
            " Shoulder to point in {unit}, heating up (EN 1993-1-2): {}{}.",
            up.join(", "),
            if down.is_empty() {
                String::new()
            } else {
                format!("; cooling at the anvil, while it is still red: {}", down.join(", "))
            }
        )
}
