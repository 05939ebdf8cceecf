//! Guidance of `forge` on heat: the steels' table, tempering and bath, and the heat treatment as planned and as done.

use design::Figures;
use forge::{HELD, Levelled, Levelling, Plan, QuenchBath, SteelHeat, TEMPERING, TemperHeat, WANTED};
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

/// The heat table of a plan, what the blade is heated for as one piece, its tempering and its bath, and what they rest
/// on.
pub(crate) fn heats(plan: &Plan, look: &Look<'_>) -> Vec<Strip> {
    let (width, figures) = (look.width(), look.figures);
    let mut strips = heading("Heat", width);
    strips.extend(table(plan, figures).strips(width));
    for levelling in &plan.levelling {
        strips.extend(note(levelled(levelling, figures), width));
    }
    strips.extend(note(as_one_piece(plan, figures), width));
    strips.extend(note(skin(plan, figures), width));
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
    let hardness = |t: f64| Text::bold("HRC").then(Text::newline()).then(Text::bold(figures.temperature(t)));
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
        h.ac3_c.map_or_else(dash, degrees),
        marked(&h.normalising, figures),
        marked(&h.hardening, figures),
        h.quenched.map_or_else(dash, |q| figures.degree_band(q.ms_c)),
        h.quenched
            .map_or_else(dash, |q| format!("{} %", band(q.retained_austenite.map(|share| 100.0 * share)))),
    ];
    let mark = if h.tempering.as_ref().is_some_and(|t| t.unsure) { "?" } else { "" };
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
    let (celsius, seconds) = HELD;
    let carbon = |s: &Levelled| format!("{} with {} %", s.steel, percent(s.carbon_percent));
    let carbon: Vec<String> = l.steels.iter().map(carbon).collect();
    let carbon = if carbon.is_empty() { ".".to_owned() } else { format!(": {}.", carbon.join(", ")) };
    format!(
        "{}: after {:.0} minutes at {} for each weld and as long again drawn out, {}\u{a0}% of the carbon’s difference \
         between layers is left{carbon}",
        l.bar,
        seconds / 60.0,
        figures.temperature(celsius),
        band(l.left.map(|share| 100.0 * share)),
    )
}

/// What the whole blade is heated for, and what its other steels do in that heat.
fn as_one_piece(plan: &Plan, figures: Figures) -> String {
    let heat = &plan.blade_heat;
    let (steel, carbon) = (&heat.edge_steel, percent(heat.edge_carbon_percent));
    let mut words = match plan.stock.one_steel() {
        Some(_) => format!("The blade is of {steel} with {carbon} % carbon."),
        None => {
            format!("The blade is one piece, heated for its edge of {steel} with {carbon} % carbon there.")
        }
    };
    match heat.hardening.celsius {
        Some(_) => {
            let (band, sign) = (marked(&heat.hardening, figures), figures.temperature.name());
            words += &format!(" Harden it from {band}\u{a0}{sign}: {}.", heat.hardening.source);
        }
        None => words += &format!(" No hardening heat: {}.", heat.hardening.source),
    }
    if let Some(medium) = heat.medium_told(figures.unit) {
        words += &format!(" Quench in {medium}.");
    }
    if let Some(q) = heat.quenched {
        let (ms, sign) = (figures.degree_band(q.ms_c), figures.temperature.name());
        words += &format!(" Martensite begins at {ms}\u{a0}{sign}.");
    }
    for (steel, what) in &heat.others {
        words += &format!(" {steel} {what}.");
    }
    words
}

/// The skin that lost carbon against what is ground off.
fn skin(plan: &Plan, figures: Figures) -> String {
    let s = &plan.skin;
    let word = if s.is_ground_off { "takes it off" } else { "leaves some of it: grind deeper" };
    format!(
        "Skin that lost carbon: nine tenths of it are left {} deep. Grinding {} off each side {word}. Take as much off edge and back.",
        figures.gap(s.depth_mm[1]),
        figures.gap(s.allowance_mm)
    )
}

/// Tempering of the edge, and the bath for this blade.
fn treatment(plan: &Plan, figures: Figures, width: f64) -> Vec<Strip> {
    let mut strips = Vec::new();
    if let Some(t) = &plan.blade_heat.tempering {
        strips.extend(subheading("Tempering the edge", width));
        strips.extend(tempering(t, figures).strips(width));
        let words =
            "Twice for an hour each, at once after quenching; straighten it no hotter than you tempered it.";
        let mark = if t.unsure { " Test it on a scrap piece first." } else { "" };
        strips.extend(note(
            format!("{words} Within {:.1} HRC either way: {}.{mark}", t.band_hrc, t.source),
            width,
        ));
    }
    let mut strips = part(true, strips);
    if let Some(b) = &plan.bath {
        let mut bath_strips = subheading("Quench bath", width);
        bath_strips.extend(bath(b, figures).strips(width));
        bath_strips.extend(note(bath_words(b, figures), width));
        strips.extend(part(true, bath_strips));
    }
    strips
}

/// Temperatures for hardnesses, and hardnesses for temperatures, in one row.
fn tempering(t: &TemperHeat, figures: Figures) -> Table {
    let mut table = Table::of_like_columns(WANTED.len() + TEMPERING.len());
    let wanted = WANTED
        .iter()
        .zip(t.celsius)
        .map(|(hrc, c)| (format!("{hrc:.0} HRC"), c.map(|c| figures.temperature(c))));
    let told = TEMPERING
        .iter()
        .zip(t.hrc)
        .map(|(c, hrc)| (figures.temperature(*c), hrc.map(|h| format!("{} HRC", band(h)))));
    let (head, row): (Vec<String>, Vec<Option<String>>) = wanted.chain(told).unzip();
    table.head = head.into_iter().map(|words| Cell::from(Text::bold(words))).collect();
    table.row(row.into_iter().map(|cell| Cell::from(cell.unwrap_or_else(dash))));
    table
}

/// What stands under the bath's figures.
fn bath_words(b: &QuenchBath, figures: Figures) -> String {
    format!(
        "Oil of 0.87 kg/L and 1.97 kJ/kgK, heat by EN 1993-1-2. The bath stays {} below its flash point (29 CFR 1910.126). The \
         oil’s data sheet comes first, also where it asks for other temperatures. Steels that ask for water or brine go into that.",
        figures.temperature_step(b.flash_margin_k)
    )
}

/// g in a kg.
const GRAMS: f64 = 1000.0;

/// The bath in one row.
fn bath(b: &QuenchBath, figures: Figures) -> Table {
    let mut table = Table::of_like_columns(6);
    let unit = figures.unit.name();
    let heads = ["Blade", "Least oil", "It warms", "Let it cool", "Flash point", "Oil upright; trough"];
    let in_a_row =
        if b.blades == 1 { "after each blade".to_owned() } else { format!("after {} blades", b.blades) };
    let row = [
        format!("{} from {}", figures.weight(GRAMS * b.mass_kg), figures.temperature(b.from_c)),
        format!("{:.1} L", b.least_litres),
        format!("{} to {}", figures.degrees(b.start_c), figures.temperature(b.start_c + b.rise_k)),
        format!("{in_a_row}; never over {}", figures.temperature(b.most_c)),
        format!("{} or more", figures.temperature(b.least_flash_c)),
        format!("{} deep; {} {unit} long", figures.hot(b.upright_mm[0]), figures.hot(b.trough_mm)),
    ];
    table.head = heads.map(|words| Cell::from(Text::bold(words))).into();
    table.row(row.map(Cell::from));
    table
}

/// Where the figures come from.
fn sources(plan: &Plan, figures: Figures) -> String {
    let bands: Vec<String> = plan
        .heat
        .iter()
        .map(|h| match (&h.normalising.source, &h.hardening.source) {
            (one, other) if one == other => format!("{}: {one}", h.steel),
            (normalising, hardening) => format!("{}: {normalising}; {hardening}", h.steel),
        })
        .collect();
    let carbon = match plan.levelling.is_empty() {
        true => "",
        false => " Carbon: Ågren 1986, other sources within a factor of 1.6.",
    };
    format!(
        "In {}: guidance from nominal compositions; test it on a scrap piece of the same steel first. Ac1, Ac3: Andrews 1965; no Ac3 above \
         0.77\u{a0}% carbon. Ms: carbon in solution at the hardening heat, by Andrews, van Bohemen, and Ingber and Kunert; austenite left at \
         {}: Koistinen and Marburger 1959. Bands to normalise and harden: {}. A ? marks what is calculated, or not confirmed by a published source. Times: \
         common practice. Hardness after two hours in all: published curves, time by Hollomon and Jaffe.{carbon}",
        figures.temperature.name(),
        figures.temperature(20.0),
        bands.join(". ")
    )
}

/// The steps of the heat treatment, with what is planned for them where there is a plan and room for what was done.
pub(crate) fn record(plan: Option<&Plan>, figures: Figures, width: f64) -> Vec<Strip> {
    let sign = figures.temperature.name();
    let [planned, done] = [format!("Planned {sign}"), format!("Heat, {sign}")];
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
    let head =
        ["Step", &planned, "Minutes", &done, "Minutes", "Cooled in", "Hardness", "Straight? cracks? remarks"];
    let mut table = Table { least: ROW, ..Table::new(columns, head) };
    for [what, celsius, minutes] in steps(plan, figures) {
        let what = tick().then(space(2.0 * MM)).then(what).boxed(0.0);
        let [a, b, c, d, e] = [(); 5].map(|()| Cell::empty());
        table.row([what.into(), celsius.into(), minutes.into(), a, b, c, d, e]);
    }
    let mut strips = subheading("Heat treatment: planned, and as done", width);
    strips.extend(table.strips(width));
    part(true, strips)
}

/// Each step with its temperature and minutes, as far as they are planned.
fn steps(plan: Option<&Plan>, figures: Figures) -> Vec<[String; 3]> {
    let heat = plan.map(|plan| &plan.blade_heat);
    let normalising = (0..3).map(|i| {
        let celsius = heat.and_then(|h| h.normalising_c.map(|n| figures.degree_band(n[i])));
        [format!("Normalising {}", i + 1), celsius.unwrap_or_default(), String::new()]
    });
    let celsius = heat.and_then(|h| h.hardening.celsius).map(|b| figures.degree_band(b)).unwrap_or_default();
    let soak = heat.map_or_else(String::new, |h| band(h.soak_min));
    let hardening = ["Hardening".to_owned(), celsius, soak];
    let tempered = heat
        .and_then(|h| h.tempering.as_ref())
        .and_then(hardnesses)
        .map(|b| figures.degree_band(b))
        .unwrap_or_default();
    let minutes = heat.map_or_else(String::new, |h| format!("{:.0}", h.temper_min));
    let tempering = (0..heat.map_or(2, |h| h.tempers))
        .map(|i| [format!("Tempering {}", i + 1), tempered.clone(), minutes.clone()]);
    normalising.chain([hardening]).chain(tempering).collect()
}

/// The temperatures from the hardest to the softest edge that is told.
fn hardnesses(t: &TemperHeat) -> Option<[f64; 2]> {
    let known: Vec<f64> = t.celsius.iter().flatten().copied().collect();
    Some([*known.first()?, *known.last()?])
}

/// A band, marked where it is to be tried first; a dash without one.
fn marked(heat: &forge::Heat, figures: Figures) -> String {
    let mark = if heat.unsure { "?" } else { "" };
    heat.celsius.map_or_else(dash, |b| format!("{}{mark}", figures.degree_band(b)))
}

fn dash() -> String {
    "–".to_owned()
}

/// Hundredths of a percent, as carbon is told.
fn percent([a, b]: [f64; 2]) -> String {
    let (low, high) = (format!("{:.2}", a.min(b)), format!("{:.2}", a.max(b)));
    if low == high { low } else { format!("{low}–{high}") }
}

/// Whole numbers; one where both ends are alike.
fn band([low, high]: [f64; 2]) -> String {
    let [low, high] = [low, high].map(|x| format!("{x:.0}"));
    if low == high { low } else { format!("{low}–{high}") }
}
