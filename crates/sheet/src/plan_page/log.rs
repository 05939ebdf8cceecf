//! The weighing log: what the scales should show.

use blade::Stage;
use design::Figures;
use design::{Design, Summary};
use forge::Plan;
use serde::Serialize;

use crate::typesetting::words::grams;

/// A weighing to come: figures in g and in the design's unit.
#[derive(Serialize)]
pub(crate) struct Weighing {
    what: String,
    mass: String,
    /// Where it balances; none for what has no shoulder yet.
    balance: Option<String>,
    /// What that is measured from.
    from: &'static str,
}

/// What is weighed on the way: the steel, the bare blade at each stage, and the finished one with its fittings, if any.
pub(crate) fn weighings(design: &Design, plan: Option<&Plan>, summary: &Summary) -> Vec<Weighing> {
    let figures = Figures { unit: design.unit() };
    let steel = plan.map(|plan| Weighing {
        what: "all steel as cut".to_owned(),
        mass: grams(plan.steel_g.iter().map(|s| s.1).sum()),
        balance: None,
        from: "",
    });
    let bare = Stage::ALL.iter().filter_map(|stage| summary.stages.get_key_value(stage.name()));
    let bare = bare.map(|(stage, s)| Weighing {
        what: format!("{stage}, bare"),
        mass: grams(s.steel_mass_g),
        balance: Some(figures.length(s.centre_of_mass_mm[0])),
        from: "shoulder",
    });
    let whole = summary.stages.get(Stage::Finished.name()).filter(|_| !design.fittings().is_empty());
    let mounted = whole.map(|s| Weighing {
        what: "finished, total with fittings".to_owned(),
        mass: grams(s.mass_g),
        balance: Some(figures.length(s.balance_from_guard_mm)),
        from: summary.measured_from,
    });
    steel.into_iter().chain(bare).chain(mounted).collect()
}
