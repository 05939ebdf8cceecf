//! The twist schedule, heat by heat.

use design::Figures;
use forge::{PitchMarks, Plan, Stretch, TWIST_MARKS, TWO_ROUNDS, Twisting};

use crate::document::{Block, Step};

/// The schedule of every twisted bar; nothing where none is.
pub(crate) fn schedule(plan: &Plan) -> Vec<Block> {
    let figures = plan.figures;
    if plan.twisting.is_empty() {
        return Vec::new();
    }
    let words = format!(
        "{TWIST_MARKS} Punch all marks before the first heat. A right-hand twist runs like a common screw."
    );
    let mut blocks = vec![Block::Words(words)];
    for twisting in &plan.twisting {
        blocks.push(Block::Heading(twisting.bar.clone()));
        blocks.push(Block::Words(bar(twisting, figures)));
        let steps = twisting.stretches.iter().map(|s| stretch(twisting, s, figures)).collect();
        blocks.push(Block::Steps(steps));
    }
    blocks.push(Block::Words(notes(plan)));
    blocks
}

/// The bar's size, what turns it, and its end tab where it has one.
fn bar(t: &Twisting, figures: Figures) -> String {
    let mut words = t.told(figures);
    if let Some(tab) = t.tab {
        words += &format!(" {}", tab.told(figures));
    }
    words
}

/// A stretch: from where to where, hand and turns; then its heats, what its corners bear, and its marks.
fn stretch(t: &Twisting, s: &Stretch, figures: Figures) -> Step {
    let [from, to] = s.marks_mm.map(|mm| t.mark(mm, figures));
    let between = format!("From {from} to {to} {}", figures.unit.name());
    if s.heats == 0 {
        return Step { what: format!("{between}: leave it straight"), then: String::new(), more: Vec::new() };
    }
    let round = |done: &[f64]| done.iter().map(|turns| format!("{turns:.2}")).collect::<Vec<_>>().join(" · ");
    let rounds: Vec<String> = s.rounds_done().iter().map(|done| round(done)).collect();
    let mut more = vec![format!(
        "{}, turns done after each: {}",
        if s.heats == 1 { "One heat".to_owned() } else { format!("{} heats", s.heats) },
        rounds.join("; second round: ")
    )];
    more.push(format!(
        "The corners get {:.0} % longer, or {:.0} % where you chamfer them first{}",
        100.0 * s.corner_stretch,
        100.0 * s.chamfered_stretch,
        if s.may_tear { ": corners may tear" } else { "" }
    ));
    if s.rounds > 1 {
        more.push(TWO_ROUNDS.trim_end_matches('.').to_owned());
    }
    more.extend(s.pitch.as_ref().map(|marks| pitch(marks, figures)));
    Step { what: format!("{between}: {} hand", s.hand), then: format!("{:.2} turns", s.turns), more }
}

/// Punch marks of a stretch that shows a pitch on the finished blade, and where it tears first.
fn pitch(marks: &PitchMarks, figures: Figures) -> String {
    let unit = figures.unit.name();
    let [least, most] = marks.pitch_mm.map(|mm| figures.length(mm));
    let pitch = if least == most { least } else { format!("{least} to {most}") };
    let punched: Vec<String> = marks.punch_mm.iter().map(|&mm| figures.mark(mm)).collect();
    let [station, place] = marks.hardest_mm;
    format!(
        "For a turn in {pitch} {unit} of the finished blade, {}, punch at: {}. Corners tear first at {} (station {})",
        marks.between(),
        punched.join(" · "),
        figures.mark(place),
        figures.told(station)
    )
}

/// What the figures are.
fn notes(plan: &Plan) -> String {
    let tear = plan.twisting.iter().flat_map(|t| &t.stretches).any(|s| s.may_tear);
    let tear = if tear { " Where corners may tear, chamfer them first and keep the bar hot." } else { "" };
    format!(
        "Chamfered: a tenth of the side is taken off each corner first. Torque: a square bar that flows throughout, by \
         Shida's flow stress.{tear}"
    )
}
