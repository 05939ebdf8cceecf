//! Guidance of `forge` on heat: the steels' table, and what the blade as one piece is heated for.

use design::Figures;
use forge::{Levelled, Levelling, MARKS, Plan, SteelHeat, TEMPERING, TemperHeat, mark};
use glam::DVec2;

use crate::plan_page::as_one_piece;
use crate::plan_page::treatment::treatment;
use crate::sheet::Look;
use crate::typesetting::paragraph::Align;
use crate::typesetting::strip::{Strip, heading, note, part};
use crate::typesetting::table::{Cell, Rules, Table, Track};
use crate::typesetting::text::Text;

/// Steels that are still kept on one page.
const WHOLE: usize = 12;

/// The heat table of a plan, what the blade is heated for as one piece, its tempering and its bath, and what they rest
/// on.
pub(crate) fn heats(plan: &Plan, look: &Look<'_>) -> Vec<Strip> {
    let (width, figures) = (look.width(), look.figures);
    let mut strips = heading("Heat", width);
    strips.extend(table(plan, figures).strips(width));
    for levelling in &plan.levelling {
        strips.extend(note(levelled(levelling, figures), width));
    }
    let told = as_one_piece::paragraphs(plan, figures);
    strips.extend(told.into_iter().filter(|words| !words.is_empty()).flat_map(|words| note(words, width)));
    strips.extend(note(plan.skin.told(figures).join(" "), width));
    strips.extend(note(sources(plan, figures), width));
    let mut strips = part(plan.heat.len() < WHOLE, strips);
    strips.extend(treatment(plan, figures, width));
    strips
}

/// The steels' table: temperatures, austenite left, and hardness for each tempering heat.
fn table(plan: &Plan, figures: Figures) -> Table {
    let right = |track| (track, Align::Right);
    let mut columns = vec![(Track::Share(1.4), Align::Left)];
    columns.extend([right(Track::Auto); 2]);
    columns.extend([right(Track::Share(1.0)); 3]);
    columns.extend([right(Track::Auto)]);
    columns.extend(TEMPERING.map(|_| right(Track::Share(0.8))));
    let heads = ["Steel", "Ac1", "Ac3", "Normalise", "Harden", "Ms", "Austenite"].map(Text::bold);
    let hardness = |t: f64| Text::bold("HRC").then(Text::newline()).then(Text::bold(figures.about(t)));
    let head = heads.into_iter().chain(TEMPERING.map(hardness)).map(Cell::from).collect();
    let inset = DVec2::new(1.8, 1.5);
    let mut table = Table { columns, head, rows: Vec::new(), inset, rules: Rules::All, least: 0.0 };
    plan.heat.iter().for_each(|h| table.row(steel(h, figures).into_iter().map(Cell::from)));
    table
}

/// A steel's row.
fn steel(h: &SteelHeat, figures: Figures) -> Vec<String> {
    let degrees = |t: f64| figures.degrees(t);
    let mut cells = vec![
        h.steel.clone(),
        h.ac1_c.map_or_else(dash, degrees),
        h.ac3_c.map_or_else(dash, |t| degrees(t) + mark(h.ac3_unsure)),
        marked(&h.normalising, figures),
        marked(&h.hardening, figures),
        h.quenched.map_or_else(dash, |q| figures.degree_band(q.ms_c)),
        h.quenched
            .map_or_else(dash, |q| format!("{} %", band(q.retained_austenite.map(|share| 100.0 * share)))),
    ];
    let mark = h.tempering.as_ref().map_or("", TemperHeat::mark);
    let hrc = h.tempering.as_ref().map_or([None; 3], |t| t.hrc);
    cells.extend(hrc.map(|hrc| hrc.map_or_else(dash, |hrc| format!("{}{mark}", band(hrc)))));
    cells
}

/// How much of the carbon's first difference between a bar's layers is left.
fn levelled(l: &Levelling, figures: Figures) -> String {
    if l.is_alike() {
        let carbon: Vec<String> =
            l.steels.iter().map(|s| format!("{} {:.2}\u{a0}%", s.steel, s.bought_percent)).collect();
        return format!("{}: its steels have nearly the same carbon: {}.", l.bar, carbon.join(", "));
    }
    let carbon = |s: &Levelled| format!("{} with {} %", s.steel, percent(s.carbon_percent));
    let carbon: Vec<String> = l.steels.iter().map(carbon).collect();
    let carbon = if carbon.is_empty() { ".".to_owned() } else { format!(": {}.", carbon.join(", ")) };
    format!(
        "{}: after {:.0} minutes at {} for each weld and as long again after drawing out, {}\u{a0}% of the difference in \
         carbon between the layers is left{carbon}",
        l.bar,
        l.weld_min,
        figures.about(l.weld_c),
        band(l.left.map(|share| 100.0 * share)),
    )
}

/// Where the figures come from.
fn sources(plan: &Plan, figures: Figures) -> String {
    let bands: Vec<String> = plan
        .heat
        .iter()
        .map(|h| match (&h.normalising.source, &h.hardening.source) {
            (one, other) if one == other => format!("{}: {one}", h.steel),
            (normalising, hardening) => format!("{}: normalise: {normalising}; harden: {hardening}", h.steel),
        })
        .collect();
    let left: Vec<String> = plan
        .heat
        .iter()
        .flat_map(|h| h.departures.iter().map(|d| format!(" {}: {}.", h.steel, d.told(figures))))
        .collect();
    let carbon = match plan.levelling.is_empty() {
        true => "",
        false => " Carbon: Ågren 1986, other sources within a factor of 1.6.",
    };
    format!(
        "In {}: guidance from nominal compositions; test it on a scrap piece of the same steel first. Ac1, Ac3: Andrews 1965, within {} and {}; no Ac3 above \
         0.77\u{a0}% carbon. Ms: carbon in solution at the hardening heat, by Andrews, van Bohemen, and Ingber and Kunert; austenite left at \
         {}: Koistinen and Marburger 1959. Bands to normalise and harden: {}. {MARKS} Times: \
         common practice. Hardness after two hours in all: published curves, time by Hollomon and Jaffe.{carbon}{}",
        figures.temperature.name(),
        figures.temperature_step(11.0),
        figures.temperature_step(17.0),
        figures.temperature(20.0),
        bands.join(". "),
        left.concat()
    )
}

/// A band, marked where it is to be tried first; a dash without one.
pub(crate) fn marked(heat: &forge::Heat, figures: Figures) -> String {
    let mark = mark(heat.unsure);
    heat.celsius.map_or_else(dash, |b| format!("{}{mark}", figures.degree_band(b)))
}

pub(crate) fn dash() -> String {
    "–".to_owned()
}

/// Hundredths of a percent, as carbon is told.
pub(crate) fn percent([a, b]: [f64; 2]) -> String {
    let (low, high) = (format!("{:.2}", a.min(b)), format!("{:.2}", a.max(b)));
    if low == high { low } else { format!("{low}–{high}") }
}

/// Whole numbers; one where both ends are alike.
pub(crate) fn band([low, high]: [f64; 2]) -> String {
    let [low, high] = [low, high].map(|x| format!("{x:.0}"));
    if low == high { low } else { format!("{low}–{high}") }
}
