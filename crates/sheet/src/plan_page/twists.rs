//! The twist schedule, heat by heat.

use design::Figures;
use forge::{PitchMarks, Plan, Stretch, TWIST_MARKS, TWO_ROUNDS, Twisting};

use crate::sheet::Look;
use crate::typesetting::paragraph::Align;
use crate::typesetting::shape::MM;
use crate::typesetting::strip::{Strip, heading, lead, note, paragraph, part, subheading};
use crate::typesetting::table::{Cell, Table, Track};
use crate::typesetting::text::{Text, space, tick};
use crate::typesetting::words::turns;

/// Stretches of a bar that are still kept on one page.
const WHOLE: usize = 9;

/// The schedule of every twisted bar; nothing where none is.
pub(crate) fn twists(plan: &Plan, look: &Look<'_>) -> Vec<Strip> {
    if plan.twisting.is_empty() {
        return Vec::new();
    }
    let width = look.width();
    let mut strips = heading("Twist schedule", width);
    let words = format!(
        "{TWIST_MARKS} Punch all marks before the first heat. A right-hand twist runs like a common screw. One box for each heat; \
         the figure after it is the turns in all once that heat is done."
    );
    strips.extend(lead(Text::note(words), width));
    plan.twisting.iter().for_each(|t| strips.extend(twist(t, look)));
    let words = "Corners: how much longer the corners get; chamfered: the same when a tenth of the side is taken off each corner first. \
         Torque: a square bar that flows throughout, by Shida's flow stress."
        .to_owned();
    let rounds = plan.twisting.iter().flat_map(|t| &t.stretches).any(|s| s.rounds > 1);
    let rounds = if rounds { format!(" {TWO_ROUNDS}") } else { String::new() };
    strips.extend(note(words + &rounds, width));
    strips
}

/// A bar's schedule.
fn twist(t: &Twisting, look: &Look<'_>) -> Vec<Strip> {
    let (width, figures) = (look.width(), look.figures);
    let mut strips = subheading(t.bar.as_str(), width);
    for words in [Some(t.told(figures)), tab(t, figures)].into_iter().flatten() {
        strips.extend(paragraph(&words.into(), width));
    }
    strips.iter_mut().for_each(|strip| strip.keep = true);
    let (right, left) = ((Track::Auto, Align::Right), (Track::Auto, Align::Left));
    let columns = [right, right, left, right, right, right, right, (Track::Share(1.0), Align::Left)];
    let head = ["From", "To", "Hand", "Turns", "Each heat", "Corners", "Chamfered", "Heats"];
    let mut table = Table::new(columns, head);
    t.stretches.iter().for_each(|s| table.row(row(t, s, figures)));
    strips.extend(table.strips(width));
    let marked = t.stretches.iter().filter_map(|s| s.pitch.as_ref());
    marked.for_each(|marks| strips.extend(paragraph(&pitch(marks, figures), width)));
    part(t.stretches.len() < WHOLE, strips)
}

/// The end tab for the jig's insert, where it has one.
fn tab(t: &Twisting, figures: Figures) -> Option<String> {
    t.tab.map(|tab| tab.told(figures))
}

/// Punch marks of a stretch that shows a pitch on the finished blade, and where it tears first.
fn pitch(marks: &PitchMarks, figures: Figures) -> Text {
    let unit = figures.unit.name();
    let [least, most] = marks.pitch_mm.map(|mm| figures.length(mm));
    let pitch = if least == most { least } else { format!("{least} to {most}") };
    let punched: Vec<String> = marks.punch_mm.iter().map(|&mm| figures.mark(mm)).collect();
    let ([station, place], [one, two]) = (marks.hardest_mm, marks.tightest_mm.map(|mm| figures.length(mm)));
    Text::from(format!("For a turn in {pitch} {unit} of the finished blade, {}: ", marks.between()))
        .then(Text::bold(punched.join(" · ")))
        .then(format!(
            ". Corners stretch most, and tear first, at {} (station {}); the tightest even twist it takes: one turn in {one} {unit} of the \
             blade in one round of heats, in {two} {unit} in two.",
            figures.mark(place),
            figures.told(station)
        ))
}

/// Turns in each heat, and in the last of a round.
fn each_heat(s: &Stretch) -> String {
    let (each, last) = (turns(s.turns_per_heat), turns(s.last_heat()));
    match (s.pitch.is_some(), s.heats / s.rounds.max(1)) {
        (true, _) => format!("up to {each}"),
        (false, 1) => last,
        (false, _) => format!("{each}, last {last}"),
    }
}

/// A stretch: marks, hand, turns, and a box for each heat.
fn row(t: &Twisting, s: &Stretch, figures: Figures) -> [Cell; 8] {
    let [from, to] = s.marks_mm.map(|mm| Cell::from(t.mark(mm, figures)));
    let empty = Cell::empty;
    if s.heats == 0 {
        let words = Text::note("leave it as it is");
        return [from, to, "straight".into(), empty(), empty(), empty(), empty(), words.into()];
    }
    let heat = |n: f64| tick().then(space(1.2 * MM)).then(turns(n)).boxed(4.0 * MM);
    let rounds = s.rounds_done().into_iter().enumerate().map(|(i, done)| {
        let begins = if i > 0 { Text::note("again: ") } else { Text::default() };
        begins.then(Text::all(done.into_iter().map(heat)))
    });
    let tear = match (s.may_tear, s.rounds) {
        (true, _) => Text::bold("corners may tear"),
        (false, 2..) => Text::note("in two rounds"),
        _ => Text::default(),
    };
    [
        from,
        to,
        Text::bold(s.hand).into(),
        turns(s.turns).into(),
        each_heat(s).into(),
        format!("+{:.0} %", 100.0 * s.corner_stretch).into(),
        format!("+{:.0} %", 100.0 * s.chamfered_stretch).into(),
        Text::all(rounds).then(tear).into(),
    ]
}
