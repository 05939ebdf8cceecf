//! The heat table: guidance of `forge` as figures.

use design::Figures;
use forge::{BladeHeat, HELD, Plan, SteelHeat, TEMPERING};
use serde::Serialize;

use crate::typesetting::words::breakable;

/// Guidance on heat, °C and HRC.
#[derive(Serialize)]
pub(crate) struct Heat {
    steels: Vec<Steel>,
    /// Temperatures to which the hardness bands belong.
    tempering: Vec<String>,
    /// Minutes and temperature of the levelling.
    held: [String; 2],
    levelling: Vec<Levelled>,
    /// The steel of the edge.
    edge: String,
    /// What the blade's other steels do at the edge's hardening heat.
    others: Vec<[String; 2]>,
    /// Where the bands come from, steel by steel.
    sources: Vec<[String; 3]>,
    /// Why there is no hardening heat; none where there is one.
    why_not: Option<String>,
    /// Temperature and length of the forged blade.
    hot: Vec<[String; 2]>,
}

/// A step of the heat treatment, as planned.
#[derive(Serialize)]
pub(crate) struct Step {
    what: String,
    celsius: String,
    minutes: String,
}

#[derive(Serialize)]
struct Steel {
    name: String,
    ac1: String,
    ac3: Option<String>,
    ms: String,
    extrapolated: bool,
    austenite: String,
    normalising: String,
    hardening: String,
    tempered: Option<Vec<String>>,
}

/// How much of the carbon's first difference between layers is left, percent.
#[derive(Serialize)]
struct Levelled {
    bar: String,
    left: String,
    /// Each steel with its carbon then, percent.
    carbon: Vec<[String; 2]>,
}

/// The heat table of a plan.
pub(crate) fn heat(plan: &Plan, figures: Figures) -> Heat {
    let levelled = |l: &forge::Levelling| Levelled {
        bar: breakable(&l.bar),
        left: band(l.left.map(|share| 100.0 * share)),
        carbon: l.steels.iter().map(|s| [breakable(&s.steel), percent(s.carbon_percent)]).collect(),
    };
    Heat {
        steels: plan.heat.iter().map(steel).collect(),
        tempering: TEMPERING.iter().map(|t| degrees(*t)).collect(),
        held: [degrees(HELD.1 / 60.0), degrees(HELD.0)],
        levelling: plan.levelling.iter().map(levelled).collect(),
        edge: breakable(&plan.blade_heat.edge_steel),
        others: plan.blade_heat.others.iter().map(|(s, what)| [breakable(s), (*what).to_owned()]).collect(),
        sources: plan.heat.iter().map(sources).collect(),
        why_not: match plan.blade_heat.hardening.celsius {
            Some(_) => None,
            None => Some(plan.blade_heat.hardening.source.clone()),
        },
        hot: plan.hot.iter().map(|h| [degrees(h.celsius), figures.length(h.length_mm)]).collect(),
    }
}

/// The steps of the heat treatment: with what is planned for them where there is a plan.
pub(crate) fn steps(plan: Option<&Plan>) -> Vec<Step> {
    let heat = plan.map(|plan| &plan.blade_heat);
    let planned = |what: String, celsius: Option<String>, minutes: Option<String>| Step {
        what,
        celsius: celsius.unwrap_or_default(),
        minutes: minutes.unwrap_or_default(),
    };
    let normalising = (0..3).map(|i| {
        planned(
            format!("Normalising {}", i + 1),
            heat.and_then(|h| h.normalising_c.map(|n| band(n[i]))),
            None,
        )
    });
    let celsius = heat.and_then(|h| h.hardening.celsius).map(band);
    let hardening = planned("Hardening".into(), celsius, heat.map(|h| band(h.soak_min)));
    let times = heat.map_or(2, |h: &BladeHeat| h.tempers);
    let tempering = (0..times)
        .map(|i| planned(format!("Tempering {}", i + 1), None, heat.map(|h| degrees(h.temper_min))));
    normalising.chain([hardening]).chain(tempering).collect()
}

fn steel(h: &SteelHeat) -> Steel {
    Steel {
        name: breakable(&h.steel),
        ac1: degrees(h.ac1_c),
        ac3: h.ac3_c.map(degrees),
        ms: degrees(h.ms_c),
        extrapolated: h.ms_extrapolated,
        austenite: degrees(100.0 * h.retained_austenite),
        normalising: marked(&h.normalising),
        hardening: marked(&h.hardening),
        tempered: h.tempered_hrc.map(|bands| bands.into_iter().map(band).collect()),
    }
}

fn sources(h: &SteelHeat) -> [String; 3] {
    [breakable(&h.steel), h.normalising.source.clone(), h.hardening.source.clone()]
}

/// A band, marked where it is to be tried first; a dash without one.
fn marked(heat: &forge::Heat) -> String {
    let mark = if heat.unsure { "?" } else { "" };
    heat.celsius.map_or_else(|| "–".to_owned(), |b| format!("{}{mark}", band(b)))
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
