//! The twist schedule, heat by heat.

use design::Figures;
use forge::{Plan, Stretch, Twisting};
use serde::Serialize;

use crate::typesetting::words::{breakable, turns};

/// How a bar is twisted, as figures.
#[derive(Serialize)]
pub(crate) struct Twist {
    bar: String,
    side: String,
    /// N·m.
    torque: String,
    wrench: String,
    /// Side, length and pressure (MPa) of the end tab for the jig's insert.
    tab: Option<[String; 3]>,
    /// Whether the tab is weaker than the bar.
    weak_tab: bool,
    stretches: Vec<Row>,
}

#[derive(Serialize)]
struct Row {
    from: String,
    to: String,
    hand: &'static str,
    turns: String,
    per_heat: String,
    corner: String,
    /// The same with chamfered corners.
    chamfered: String,
    may_tear: bool,
    /// Turns done when each heat is over.
    done: Vec<String>,
}

/// The schedule of every twisted bar.
pub(crate) fn twists(plan: &Plan, figures: Figures) -> Vec<Twist> {
    plan.twisting.iter().map(|t| twist(t, figures)).collect()
}

fn twist(t: &Twisting, figures: Figures) -> Twist {
    let ([weak, strong], wrench) = (t.torque_n_m, t.wrench_mm.map(|mm| figures.hot(mm)));
    Twist {
        bar: breakable(&t.bar),
        side: figures.side(t.side_mm),
        torque: format!("{weak:.0}–{strong:.0}"),
        wrench: wrench.join("–"),
        tab: t.tab.map(|tab| {
            let [low, high] = tab.pressure_mpa;
            [figures.side(tab.side_mm), figures.hot(tab.length_mm), format!("{low:.0}–{high:.0}")]
        }),
        weak_tab: t.tab.is_some_and(|tab| tab.weaker),
        stretches: t.stretches.iter().map(|s| row(s, figures)).collect(),
    }
}

fn row(s: &Stretch, figures: Figures) -> Row {
    Row {
        from: figures.hot(s.marks_mm[0]),
        to: figures.hot(s.marks_mm[1]),
        hand: s.hand,
        turns: turns(s.turns),
        per_heat: turns(s.turns_per_heat),
        corner: format!("{:.0}", 100.0 * s.corner_stretch),
        chamfered: format!("{:.0}", 100.0 * s.chamfered_stretch),
        may_tear: s.may_tear,
        done: done(s).into_iter().map(turns).collect(),
    }
}

/// Turns done after each heat: the last one takes the rest.
fn done(s: &Stretch) -> Vec<f64> {
    (1..=s.heats).map(|k| if k == s.heats { s.turns } else { k as f64 * s.turns_per_heat }).collect()
}
