//! Guidance of `forge` on heat: the steels' table, and the heat treatment as planned and as done.

use design::Figures;
use forge::{HELD, Levelling, Plan, SteelHeat, TEMPERING};
use glam::DVec2;

use crate::plan_page::log::ROW;
use crate::sheet::Look;
use crate::typesetting::paragraph::Align;
use crate::typesetting::shape::MM;
use crate::typesetting::strip::{Strip, heading, note, part, subheading};
use crate::typesetting::table::{Cell, Rules, Table, Track};
use crate::typesetting::text::{Text, space, tick};

/// Steels that are still kept on one page.
const WHOLE: usize = 12;

/// The heat table of a plan, and what it rests on.
pub(crate) fn heats(plan: &Plan, look: &Look<'_>) -> Vec<Strip> {
    let (width, figures) = (look.width(), look.figures);
    let mut strips = heading("Heat", width);
    strips.extend(table(plan).strips(width));
    for levelling in &plan.levelling {
        strips.extend(note(levelled(levelling), width));
    }
    strips.extend(note(as_one_piece(plan, figures), width));
    strips.extend(note(sources(plan), width));
    part(plan.heat.len() < WHOLE, strips)
}

/// The steels' table: temperatures, austenite left, and hardness for each tempering heat.
fn table(plan: &Plan) -> Table {
    let right = |track| (track, Align::Right);
    let mut columns = vec![(Track::Share(1.4), Align::Left)];
    columns.extend([right(Track::Auto); 4]);
    columns.extend([right(Track::Share(1.0)); 2]);
    columns.extend(TEMPERING.map(|_| right(Track::Share(0.9))));
    let heads = ["Steel", "Ac1", "Ac3", "Ms", "Austenite", "Normalise", "Harden"].map(Text::bold);
    let hardness =
        |t: f64| Text::bold("HRC").then(Text::newline()).then(Text::bold(format!("{t:.0}\u{a0}°C")));
    let head = heads.into_iter().chain(TEMPERING.map(hardness)).map(Cell::from).collect();
    let inset = DVec2::new(1.8, 1.5);
    let mut table = Table { columns, head, rows: Vec::new(), inset, rules: Rules::All, least: 0.0 };
    plan.heat.iter().for_each(|h| table.row(steel(h).into_iter().map(Cell::from)));
    table
}

/// A steel's row.
fn steel(h: &SteelHeat) -> Vec<String> {
    let ms = format!("{:.0}{}", h.ms_c, if h.ms_extrapolated { "?" } else { "" });
    let mut cells = vec![
        h.steel.clone(),
        degrees(h.ac1_c),
        h.ac3_c.map_or_else(dash, degrees),
        ms,
        format!("{:.0} %", 100.0 * h.retained_austenite),
        marked(&h.normalising),
        marked(&h.hardening),
    ];
    match h.tempered_hrc {
        Some(bands) => cells.extend(bands.map(band)),
        None => cells.extend(TEMPERING.map(|_| dash())),
    }
    cells
}

/// How much of the carbon's first difference between a bar's layers is left.
fn levelled(l: &Levelling) -> String {
    let (celsius, seconds) = HELD;
    let carbon: Vec<String> =
        l.steels.iter().map(|s| format!("{} with {} %", s.steel, percent(s.carbon_percent))).collect();
    let carbon = if carbon.is_empty() { ".".to_owned() } else { format!(": {}.", carbon.join(", ")) };
    format!(
        "{}: after {:.0} minutes at {celsius:.0}\u{a0}°C {}\u{a0}% of the carbon’s difference between layers is left{carbon}",
        l.bar,
        seconds / 60.0,
        band(l.left.map(|share| 100.0 * share)),
    )
}

/// What the whole blade is heated for, what its other steels do in that heat, and how long it is while hot.
fn as_one_piece(plan: &Plan, figures: Figures) -> String {
    let heat = &plan.blade_heat;
    let mut words = format!("The blade is one piece, heated for its edge of {}.", heat.edge_steel);
    if heat.hardening.celsius.is_none() {
        words += &format!(" No hardening heat: {}.", heat.hardening.source);
    }
    for (steel, what) in &heat.others {
        words += &format!(" {steel} {what}.");
    }
    let hot: Vec<String> = plan
        .hot
        .iter()
        .map(|h| format!("{:.0}\u{a0}°C {}", h.celsius, figures.length(h.length_mm)))
        .collect();
    words
        + &format!(" Shoulder to point while hot (EN 1993-1-2): {} {}.", hot.join(", "), figures.unit.name())
}

/// Where the figures come from.
fn sources(plan: &Plan) -> String {
    let bands: Vec<String> = plan
        .heat
        .iter()
        .map(|h| format!("{}: {}; {}", h.steel, h.normalising.source, h.hardening.source))
        .collect();
    format!(
        "In °C: guidance from nominal compositions; try it on a coupon of the same steel first. Ac1, Ac3, Ms: Andrews 1965; no Ac3 \
         above 0.77\u{a0}% carbon; Ms with ? is extrapolated above 0.6\u{a0}%. Austenite left at 20\u{a0}°C: Koistinen and Marburger \
         1959, all carbon dissolved. Bands to normalise and harden: {}. A ? marks what is from memory or calculated. Times: common \
         practice. Hardness after an hour: Grange and Baughman 1956 by the parameter of Hollomon and Jaffe, for plain steels near \
         0.65\u{a0}% carbon only. Carbon: diffusion data of Callister’s table, a factor of two either way.",
        bands.join(". ")
    )
}

/// The steps of the heat treatment, with what is planned for them where there is a plan and room for what was done.
pub(crate) fn record(plan: Option<&Plan>, width: f64) -> Vec<Strip> {
    let (left, right) = ((Track::Share(1.0), Align::Left), (Track::Share(0.8), Align::Right));
    let shares = [0.8, 1.0, 0.9, 1.6].map(|share| (Track::Share(share), Align::Left));
    let columns = [
        (Track::Auto, Align::Left),
        (Track::Share(1.0), Align::Right),
        right,
        (Track::Share(0.8), left.1),
        shares[0],
        shares[1],
        shares[2],
        shares[3],
    ];
    let head = [
        "Step",
        "Planned °C",
        "Minutes",
        "Heat, °C",
        "Minutes",
        "Cooled in",
        "Hardness",
        "Straight? cracks? remarks",
    ];
    let mut table = Table { least: ROW, ..Table::new(columns, head) };
    for [what, celsius, minutes] in steps(plan) {
        let what = tick().then(space(2.0 * MM)).then(what).boxed(0.0);
        let [a, b, c, d, e] = [(); 5].map(|()| Cell::empty());
        table.row([what.into(), celsius.into(), minutes.into(), a, b, c, d, e]);
    }
    let mut strips = subheading("Heat treatment: planned, and as done", width);
    strips.extend(table.strips(width));
    part(true, strips)
}

/// Each step with its temperature and minutes, as far as they are planned.
fn steps(plan: Option<&Plan>) -> Vec<[String; 3]> {
    let heat = plan.map(|plan| &plan.blade_heat);
    let normalising = (0..3).map(|i| {
        let celsius = heat.and_then(|h| h.normalising_c.map(|n| band(n[i])));
        [format!("Normalising {}", i + 1), celsius.unwrap_or_default(), String::new()]
    });
    let celsius = heat.and_then(|h| h.hardening.celsius).map(band).unwrap_or_default();
    let soak = heat.map_or_else(String::new, |h| band(h.soak_min));
    let hardening = ["Hardening".to_owned(), celsius, soak];
    let minutes = heat.map_or_else(String::new, |h| degrees(h.temper_min));
    let tempering = (0..heat.map_or(2, |h| h.tempers))
        .map(|i| [format!("Tempering {}", i + 1), String::new(), minutes.clone()]);
    normalising.chain([hardening]).chain(tempering).collect()
}

/// A band, marked where it is to be tried first; a dash without one.
fn marked(heat: &forge::Heat) -> String {
    let mark = if heat.unsure { "?" } else { "" };
    heat.celsius.map_or_else(dash, |b| format!("{}{mark}", band(b)))
}

fn dash() -> String {
    "–".to_owned()
}

/// A whole number, as no guidance is finer.
fn degrees(t: f64) -> String {
    format!("{t:.0}")
}

/// Hundredths of a percent, as carbon is told.
fn percent([a, b]: [f64; 2]) -> String {
    let (low, high) = (format!("{:.2}", a.min(b)), format!("{:.2}", a.max(b)));
    if low == high { low } else { format!("{low}–{high}") }
}

fn band([low, high]: [f64; 2]) -> String {
    format!("{low:.0}–{high:.0}")
}
