//! How hot: what the blade as one piece is held at, step by step, then its steels, carbon, skin and bath.

use design::Figures;
use forge::{BladeHeat, Heat, Levelling, MARKS, Plan, QuenchBath, SteelHeat, TEMPERING, mark};

use crate::document::{Block, Cell, Fact, Table};

/// Everything about heat.
pub(crate) fn heats(plan: &Plan) -> Vec<Block> {
    let (heat, figures) = (&plan.blade_heat, plan.figures);
    let mut blocks = vec![
        Block::Words(format!(
            "A guide from nominal compositions: test it on a scrap piece of the same steel first. {MARKS} {}",
            edge(plan)
        )),
        Block::Facts(steps(plan)),
    ];
    let after = outcome(heat, figures);
    if !after.is_empty() {
        blocks.push(Block::List(after));
    }
    blocks.extend(plan.bath.iter().flat_map(|b| bath(b, figures)));
    blocks.push(Block::Heading("Its steels".to_owned()));
    blocks.push(Block::Table(steels(plan)));
    blocks.push(Block::List(plan.heat.iter().flat_map(|h| sources(h, figures)).collect()));
    let carbon: Vec<String> =
        plan.levelling.iter().map(|l| levelled(l, figures)).chain(plan.skin.told(figures)).collect();
    blocks.push(Block::Heading("Carbon and skin".to_owned()));
    blocks.push(Block::List(carbon));
    blocks
}

/// What it is heated for.
fn edge(plan: &Plan) -> String {
    let heat = &plan.blade_heat;
    let carbon = hundredths(heat.edge_carbon_percent);
    let mut words = match plan.stock.one_steel() {
        Some(_) => format!("The blade is of {} with {carbon} % carbon.", heat.edge_steel),
        None => format!(
            "The blade is one piece: its heats are set for the edge, {} with {carbon} % carbon.",
            heat.edge_steel
        ),
    };
    if !heat.also_at_edge.is_empty() {
        let also = heat.also_at_edge.join(", ");
        words += &format!(" In places the edge is of {also}: its hardness there is not the figure given.");
    }
    words
}

/// The heats in the order of the work.
fn steps(plan: &Plan) -> Vec<Fact> {
    let (heat, l) = (&plan.blade_heat, plan.figures);
    let told = |name: &str, words: String| split(name, &words);
    let mut facts = Vec::new();
    facts.extend(plan.welding.as_ref().map(|welding| told("Weld", welding.told(l))));
    facts.push(told("Forge", heat.forging.told(l)));
    facts.push(normalising(heat, l));
    facts.push(hardened(plan));
    facts.extend(heat.medium.as_ref().map(|medium| told("Quench", medium.told(l))));
    facts.push(tempering(heat, l));
    facts
}

/// A heat that begins with its figure: that, and the rest as lines under it. Other words stay whole, so that no half of
/// them stands out alone.
fn split(name: &str, told: &str) -> Fact {
    let has_figure = told.starts_with(|c: char| c.is_ascii_digit());
    let ends = [": ", "; ", ". "].iter().filter_map(|sign| told.find(sign)).filter(|_| has_figure);
    let (figure, rest) = ends.min().map_or((told, ""), |at| (&told[..at], &told[at + 2..]));
    let words = rest.split(". ").filter(|line| !line.is_empty()).map(sentence).collect();
    Fact { name: name.to_owned(), figure: figure.to_owned(), words }
}

/// With a capital at its beginning and a full stop at its end.
fn sentence(words: &str) -> String {
    let mut letters = words.trim_end_matches('.').chars();
    let first = letters.next().map(|c| c.to_uppercase().collect::<String>()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}

/// The normalising heats, or why there are none.
fn normalising(heat: &BladeHeat, l: Figures) -> Fact {
    let n = &heat.normalising;
    let name = "Normalise".to_owned();
    let Some([first, second, third]) = n.told(l) else {
        return Fact { name, figure: "none".to_owned(), words: vec![sentence(&n.why_not())] };
    };
    let mut words = vec!["Three times, cooling in still air to black each time.".to_owned()];
    words.extend(n.coarse_told(l));
    if n.source != heat.hardening.source {
        words.push(sentence(&n.source));
    }
    Fact { name, figure: format!("{first}, {second}, {third} {}", l.temperature.name()), words }
}

/// The same, with how far it is ground then and where the heat comes from, where it hardens at all.
fn hardened(plan: &Plan) -> Fact {
    let mut fact = hardening(&plan.blade_heat, plan.figures);
    if plan.blade_heat.hardening.celsius.is_some() {
        let [when, then] = plan.hardened_as.told(plan.figures);
        fact.words.insert(0, when);
        fact.words.extend([then, sentence(&plan.blade_heat.hardening.source)]);
    }
    fact
}

/// The hardening heat, how long to hold it, and the quench.
pub(crate) fn hardening(heat: &BladeHeat, l: Figures) -> Fact {
    let name = "Harden".to_owned();
    if heat.hardening.celsius.is_none() {
        let words = vec![sentence(&heat.hardening.source)];
        return Fact { name, figure: "no hardening heat".to_owned(), words };
    }
    let [least, most] = heat.soak_min;
    let warming = heat
        .warming_min
        .map_or_else(String::new, |min| format!("about {:.0} min to warm through, then ", min.max(1.0)));
    let mut words = vec![
        "In an open fire quench as soon as its colour is even.".to_owned(),
        format!(
            "In a kiln already at that heat {warming}{least:.0} to {most:.0} min more before you quench."
        ),
    ];
    words.extend(heat.common.iter().map(|common| sentence(&common.told(l))));
    let figure = format!("{} {}", band(&heat.hardening, l), l.temperature.name());
    Fact { name, figure, words }
}

/// How the edge is tempered.
pub(crate) fn tempering(heat: &BladeHeat, l: Figures) -> Fact {
    let name = "Temper".to_owned();
    let often = format!(
        "At once after quenching, {}; straighten it no hotter than you tempered it.",
        heat.tempers_told()
    );
    let Some(t) = &heat.tempering else {
        let words = vec![
            often,
            "No tempering is published for it: temper a scrap piece and test it with a file.".to_owned(),
        ];
        return Fact { name, figure: "not published".to_owned(), words };
    };
    let mark = t.mark();
    let each = t.sound().into_iter().map(|(hrc, c)| format!("{}{mark} for {hrc:.0} HRC", l.about(c)));
    let each: Vec<String> = each.collect();
    let hardness = TEMPERING
        .iter()
        .zip(t.hrc)
        .filter_map(|(c, hrc)| Some(format!("{} gives {} HRC{mark}", l.about(*c), whole(hrc?))));
    let hardness: Vec<String> = hardness.collect();
    let mut words = vec![often, format!("Within {:.1} HRC either way.", t.band_hrc)];
    if !hardness.is_empty() {
        words.push(format!("{}.", hardness.join(", ")));
    }
    words.extend(t.brittle_told(l).iter().map(|words| sentence(words)));
    words.push(sentence(&t.source));
    let figure = if each.is_empty() { "see below".to_owned() } else { each.join(", ") };
    Fact { name, figure, words }
}

/// What quenching makes of it, and what its other steels do.
fn outcome(heat: &BladeHeat, l: Figures) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(q) = heat.quenched {
        lines.push(format!(
            "Martensite begins at {} {}; {} % austenite is left at {}.",
            l.degree_band(q.ms_c),
            l.temperature.name(),
            whole(q.retained_austenite.map(|share| 100.0 * share)),
            l.temperature(20.0)
        ));
        lines.extend(q.dissolved_told(heat.edge_carbon_percent).iter().map(|words| sentence(words)));
        lines.push(sentence(&q.hardness_told()));
    }
    lines.extend(heat.growth.iter().map(|growth| sentence(&growth.told(l))));
    lines.extend(heat.others_told().iter().map(|words| sentence(words)));
    lines.extend(heat.phosphorus_told(l).iter().map(|words| sentence(words)));
    lines
}

/// The bath for this blade.
fn bath(b: &QuenchBath, l: Figures) -> Vec<Block> {
    let lines = b.least(l).into_iter().chain(b.tank_and_own(l)).collect();
    vec![Block::Heading(b.heading().to_owned()), Block::List(lines)]
}

/// The steels' heats.
fn steels(plan: &Plan) -> Table {
    let l = plan.figures;
    let row = |h: &SteelHeat| {
        let ms = h.quenched.map_or_else(|| "–".to_owned(), |q| l.degree_band(q.ms_c));
        [h.steel.clone(), band(&h.normalising, l), band(&h.hardening, l), ms].map(Cell::from).into()
    };
    Table {
        caption: format!("Heats of the steels, {}", l.temperature.name()),
        head: ["Steel", "Normalise", "Harden", "Ms"].map(str::to_owned).into(),
        rows: plan.heat.iter().map(row).collect(),
    }
}

/// Where a steel's heats come from, and where its data sheet leaves them.
fn sources(h: &SteelHeat, l: Figures) -> Vec<String> {
    let (normalise, harden) = (&h.normalising.source, &h.hardening.source);
    let from = match normalise == harden {
        true => format!("{}: {harden}.", h.steel),
        false => format!("{}: normalise: {normalise}; harden: {harden}.", h.steel),
    };
    let departed = h.departures.iter().map(|d| format!("{}: {}.", h.steel, d.told(l)));
    std::iter::once(from).chain(departed).collect()
}

/// How far carbon evens out in a bar.
fn levelled(l: &Levelling, figures: Figures) -> String {
    if l.is_alike() {
        let carbon: Vec<String> =
            l.steels.iter().map(|s| format!("{} {:.2} %", s.steel, s.bought_percent)).collect();
        return format!("{}: its steels have nearly the same carbon: {}.", l.bar, carbon.join(", "));
    }
    let carbon: Vec<String> =
        l.steels.iter().map(|s| format!("{} then has {} %", s.steel, hundredths(s.carbon_percent))).collect();
    let carbon = if carbon.is_empty() { String::new() } else { format!(": {}", carbon.join(", ")) };
    format!(
        "{}: after {:.0} min at {} for each weld and as long again after drawing out, {} % of the difference in carbon between \
         the layers is left{carbon}. Ågren 1986, other sources within a factor of 1.6.",
        l.bar,
        l.weld_min,
        figures.about(l.weld_c),
        whole(l.left.map(|share| 100.0 * share))
    )
}

/// A band, marked where it is to be tried first; a dash without one.
fn band(heat: &Heat, l: Figures) -> String {
    let mark = mark(heat.unsure);
    heat.celsius.map_or_else(|| "–".to_owned(), |b| format!("{}{mark}", l.degree_band(b)))
}

/// Hundredths of a percent, as carbon is told.
fn hundredths([a, b]: [f64; 2]) -> String {
    joined([format!("{:.2}", a.min(b)), format!("{:.2}", a.max(b))])
}

/// Whole numbers; one where both ends are alike.
fn whole(band: [f64; 2]) -> String {
    joined(band.map(|x| format!("{x:.0}")))
}

fn joined([low, high]: [String; 2]) -> String {
    if low == high { low } else { format!("{low}–{high}") }
}
