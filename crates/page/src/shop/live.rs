//! What the served page has besides: timers, and the name of what it writes into.

use forge::{BladeHeat, Plan};
use serde::Serialize;

use crate::given::Given;
use crate::shop::heats;

/// Minutes of a timer that nothing is planned for.
const OWN: f64 = 10.0;

/// The live part.
#[derive(Debug, Serialize)]
pub(crate) struct Live {
    /// Names what is written into.
    bench: String,
    timers: Vec<Timer>,
}

/// A time to keep.
#[derive(Debug, Serialize)]
struct Timer {
    /// Its place: letters and dashes.
    id: &'static str,
    name: &'static str,
    /// At what heat; empty where none is planned.
    figure: String,
    /// Minutes to begin with, whole.
    minutes: String,
    words: String,
}

impl Live {
    /// Of a build.
    pub(crate) fn of(given: &Given<'_>, bench: &str) -> Live {
        let mut timers = given.plan.map_or_else(Vec::new, planned);
        timers.push(timer("own", "Your own timer", String::new(), OWN, "Set its minutes.".to_owned()));
        Live { bench: bench.to_owned(), timers }
    }
}

fn timer(id: &'static str, name: &'static str, figure: String, minutes: f64, words: String) -> Timer {
    Timer { id, name, figure, minutes: format!("{:.0}", minutes.max(1.0)), words }
}

/// Warming, soak and temper as planned; the first two only where the edge hardens.
fn planned(plan: &Plan) -> Vec<Timer> {
    let (heat, figures) = (&plan.blade_heat, plan.figures);
    let mut timers = hardening(heat, heats::hardening(heat, figures).figure);
    let fact = heats::tempering(heat, figures);
    let words = fact.words.first().cloned().unwrap_or_default();
    timers.push(timer("temper", "Temper", fact.figure, heat.temper_min, words));
    timers
}

/// Warming in a kiln and the soak after it.
fn hardening(heat: &BladeHeat, figure: String) -> Vec<Timer> {
    if heat.hardening.celsius.is_none() {
        return Vec::new();
    }
    let [least, most] = heat.soak_min;
    let soak = format!(
        "In a kiln {least:.0} to {most:.0} min before you quench; in an open fire quench as soon as its colour is even."
    );
    let warming = heat.warming_min.map(|minutes| {
        let words = "In a kiln, to that heat; then the soak.".to_owned();
        timer("warming", "Warm through to harden", figure.clone(), minutes, words)
    });
    warming
        .into_iter()
        .chain([timer("soak", "Soak before the quench", figure.clone(), least, soak)])
        .collect()
}
