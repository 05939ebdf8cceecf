//! Tempering of the edge and the bath for this blade.

use design::Figures;
use forge::{Plan, QuenchBath, TEMPERING, TemperHeat, WANTED};

use crate::plan_page::heats::{band, dash};
use crate::typesetting::strip::{Strip, note, part, subheading};
use crate::typesetting::table::{Cell, Table};
use crate::typesetting::text::Text;

/// Tempering of the edge, and the bath for this blade.
pub(crate) fn treatment(plan: &Plan, figures: Figures, width: f64) -> Vec<Strip> {
    let mut strips = Vec::new();
    if let Some(t) = &plan.blade_heat.tempering {
        strips.extend(subheading("Tempering the edge", width));
        strips.extend(tempering(t, figures).strips(width));
        let words =
            "Twice for an hour each, at once after quenching; straighten it no hotter than you tempered it.";
        let mark = if t.unsure { " Test it on a scrap piece first." } else { "" };
        let brittle = t.brittle_told(figures).map_or_else(String::new, |told| format!(" {told}."));
        strips.extend(note(
            format!("{words} Within {:.1} HRC either way: {}.{mark}{brittle}", t.band_hrc, t.source),
            width,
        ));
    }
    let mut strips = part(true, strips);
    if let Some(b) = &plan.bath {
        let mut bath_strips = subheading(b.heading(), width);
        bath_strips.extend(bath(b, figures).strips(width));
        let words = [b.under_columns(figures)].into_iter().chain(b.tank_and_own(figures));
        bath_strips.extend(note(words.collect::<Vec<_>>().join(" "), width));
        strips.extend(part(true, bath_strips));
    }
    strips
}

/// Temperatures for hardnesses, and hardnesses for temperatures, in one row.
fn tempering(t: &TemperHeat, figures: Figures) -> Table {
    let mut table = Table::of_like_columns(WANTED.len() + TEMPERING.len());
    let mark = t.mark();
    let sound = t.sound();
    let wanted = WANTED.iter().map(|hrc| {
        let found = sound.iter().find(|(sound, _)| sound.total_cmp(hrc).is_eq());
        (format!("{hrc:.0} HRC"), found.map(|(_, c)| figures.about(*c) + mark))
    });
    let told = TEMPERING
        .iter()
        .zip(t.hrc)
        .map(|(c, hrc)| (figures.about(*c), hrc.map(|h| format!("{}{mark} HRC", band(h)))));
    let (head, row): (Vec<String>, Vec<Option<String>>) = wanted.chain(told).unzip();
    table.head = head.into_iter().map(|words| Cell::from(Text::bold(words))).collect();
    table.row(row.into_iter().map(|cell| Cell::from(cell.unwrap_or_else(dash))));
    table
}

/// The bath in one row.
fn bath(b: &QuenchBath, figures: Figures) -> Table {
    let mut table = Table::of_like_columns(5);
    let (heads, row): (Vec<String>, Vec<String>) =
        b.columns(figures).into_iter().map(|[what, figure]| (what, figure)).unzip();
    table.head = heads.into_iter().map(|words| Cell::from(Text::bold(words))).collect();
    table.row(row.into_iter().map(Cell::from));
    table
}
