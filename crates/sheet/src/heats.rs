//! The heat table: guidance of `forge` as figures.

use forge::{HELD, Plan, SteelHeat, TEMPERING};
use serde::Serialize;

use crate::words::breakable;

/// Guidance on heat, °C and HRC.
#[derive(Serialize)]
pub(crate) struct Heat {
    steels: Vec<Steel>,
    /// Temperatures to which the hardness bands belong.
    tempering: Vec<String>,
    /// Minutes and temperature of the levelling.
    held: [String; 2],
    levelling: Vec<Levelled>,
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
}

/// The heat table of a plan.
pub(crate) fn heat(plan: &Plan) -> Heat {
    let levelled = |l: &forge::Levelling| Levelled {
        bar: breakable(&l.bar),
        left: band(l.left.map(|share| 100.0 * share)),
    };
    Heat {
        steels: plan.heat.iter().map(steel).collect(),
        tempering: TEMPERING.iter().map(|t| degrees(*t)).collect(),
        held: [degrees(HELD.1 / 60.0), degrees(HELD.0)],
        levelling: plan.levelling.iter().map(levelled).collect(),
    }
}

fn steel(h: &SteelHeat) -> Steel {
    Steel {
        name: breakable(&h.steel),
        ac1: degrees(h.ac1_c),
        ac3: h.ac3_c.map(degrees),
        ms: degrees(h.ms_c),
        extrapolated: h.ms_extrapolated,
        austenite: degrees(100.0 * h.retained_austenite),
        normalising: band(h.normalising_c),
        hardening: band(h.hardening_c),
        tempered: h.tempered_hrc.map(|bands| bands.into_iter().map(band).collect()),
    }
}

/// A whole number, as no guidance is finer.
fn degrees(t: f64) -> String {
    format!("{t:.0}")
}

fn band([low, high]: [f64; 2]) -> String {
    format!("{low:.0}–{high:.0}")
}
