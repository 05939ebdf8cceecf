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
        let brittle = t.brittle_told(figures).map_or_else(String::new, |told| format!(" T{}.", &told[1..]));
        strips.extend(note(
            format!("{words} Within {:.1} HRC either way: {}.{mark}{brittle}", t.band_hrc, t.source),
            width,
        ));
    }
    let mut strips = part(true, strips);
    if let Some(b) = &plan.bath {
        let heading = if b.is_for_trying { "Quench bath to try oil in" } else { "Quench bath of oil" };
        let mut bath_strips = subheading(heading, width);
        bath_strips.extend(bath(b, figures).strips(width));
        bath_strips
            .extend(b.own.iter().flat_map(|own| note(format!("Your bath, {}.", own.told(figures)), width)));
        bath_strips.extend(note(bath_words(b, figures), width));
        strips.extend(part(true, bath_strips));
    }
    strips
}

/// Temperatures for hardnesses, and hardnesses for temperatures, in one row.
fn tempering(t: &TemperHeat, figures: Figures) -> Table {
    let mut table = Table::of_like_columns(WANTED.len() + TEMPERING.len());
    let mark = if t.unsure { "?" } else { "" };
    let wanted = WANTED
        .iter()
        .zip(t.celsius)
        .map(|(hrc, c)| (format!("{hrc:.0} HRC"), c.map(|c| figures.about(c) + mark)));
    let told = TEMPERING
        .iter()
        .zip(t.hrc)
        .map(|(c, hrc)| (figures.about(*c), hrc.map(|h| format!("{}{mark} HRC", band(h)))));
    let (head, row): (Vec<String>, Vec<Option<String>>) = wanted.chain(told).unzip();
    table.head = head.into_iter().map(|words| Cell::from(Text::bold(words))).collect();
    table.row(row.into_iter().map(|cell| Cell::from(cell.unwrap_or_else(dash))));
    table
}

/// What stands under the bath's figures.
fn bath_words(b: &QuenchBath, figures: Figures) -> String {
    format!(
        "{} All this is for the forged blade; ground it is {}. Oil of 0.87 kg/L and 1.97 kJ/kgK, heat by EN 1993-1-2. The bath stays {} below its flash point (29 CFR 1910.126). The \
         oil's data sheet comes first, also where it asks for other temperatures. Steels that ask for water or brine go into that.",
        b.tank_told(figures),
        figures.weight(GRAMS * b.ground_kg),
        figures.temperature_step(b.flash_margin_k)
    )
}

/// g in a kg.
const GRAMS: f64 = 1000.0;

/// The bath in one row.
fn bath(b: &QuenchBath, figures: Figures) -> Table {
    let mut table = Table::of_like_columns(5);
    let heads = ["Blade, forged", "Least oil", "It warms", "With that, let it cool", "Flash point"];
    let in_a_row =
        if b.blades == 1 { "after each blade".to_owned() } else { format!("after {} blades", b.blades) };
    let row = [
        format!("{} from {}", figures.weight(GRAMS * b.mass_kg), figures.about(b.from_c)),
        figures.volume(b.least_litres),
        format!("{} to {}", figures.degrees(b.start_c), figures.temperature(b.start_c + b.rise_k)),
        format!("{in_a_row}; never over {}", figures.temperature(b.most_c)),
        format!("{} or more", figures.temperature(b.least_flash_c)),
    ];
    table.head = heads.map(|words| Cell::from(Text::bold(words))).into();
    table.row(row.map(Cell::from));
    table
}
