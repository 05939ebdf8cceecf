//! The title block: what blade it is, and what it weighs at each stage.

use blade::Stage;
use design::Figures;
use design::{Design, Summary};
use forge::Plan;
use serde::Serialize;

use crate::typesetting::words::{breakable, grams};

/// What identifies the blade, as figures in the design's unit, masses in g.
#[derive(Serialize)]
pub(crate) struct Title {
    overall: String,
    blade: String,
    tang: String,
    breadth: String,
    /// Names of the steels, in the order of first use; none for a blade of one steel.
    steels: Vec<String>,
    /// `guard` or `shoulder`.
    measured_from: &'static str,
    stages: Vec<Weight>,
    /// Names and masses of what is mounted.
    fittings: Vec<[String; 2]>,
}

#[derive(Serialize)]
struct Weight {
    stage: &'static str,
    steel: String,
    mounted: String,
    balance: String,
    /// `ahead of` or `behind`.
    side: &'static str,
}

/// The title block of a design.
pub(crate) fn title(design: &Design, plan: Option<&Plan>, summary: &Summary) -> Title {
    let figures = Figures { unit: design.unit() };
    let tang = design.blade().spec().tang.length;
    let at_shoulder = design.blade().loft(Stage::Finished).station(0.0);
    Title {
        overall: figures.length(tang + summary.length_mm),
        blade: figures.length(summary.length_mm),
        tang: figures.length(tang),
        breadth: at_shoulder.map_or_else(String::new, |s| figures.length(s.breadth)),
        steels: plan.map_or_else(Vec::new, |p| p.steel_g.iter().map(|s| breakable(&s.0)).collect()),
        measured_from: summary.measured_from,
        stages: weights(summary, figures),
        fittings: design.fittings().iter().map(|f| [breakable(&f.name), grams(f.mass)]).collect(),
    }
}

fn weights(summary: &Summary, figures: Figures) -> Vec<Weight> {
    let known = Stage::ALL.iter().filter_map(|stage| summary.stages.get_key_value(stage.name()));
    let weight = |(stage, s): (&&'static str, &design::StageSummary)| Weight {
        stage,
        steel: grams(s.steel_mass_g),
        mounted: grams(s.mass_g),
        balance: figures.length(s.balance_from_guard_mm.abs()),
        side: if s.balance_from_guard_mm < 0.0 { "behind" } else { "ahead of" },
    };
    known.map(weight).collect()
}
