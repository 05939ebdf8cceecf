//! The twist schedule.

use std::fmt::Write;

use design::{Figures, Unit};

use crate::pitch_marks::PitchMarks;
use crate::text::notes::{WIDE, hung, wrapped};
use crate::twisting::{HAND, Stretch, Tab, Twisting};

/// The longest wrench whose two ends one smith reaches and turns, mm (common practice, no source).
const SPAN: f64 = 1200.0;

/// The shortest wrench, end to end, that keeps both hands clear of the hot bar, mm: half a metre or 20 in (common practice, no
/// source).
fn clear(l: Figures) -> f64 {
    match l.unit {
        Unit::Millimetre => 500.0,
        Unit::Inch => 20.0 * l.unit.millimetres(),
    }
}

impl Tab {
    /// What it is like, in a sentence.
    pub fn told(&self, l: Figures) -> String {
        let (side, long) = (l.side(self.side_mm), l.hot(self.length_mm));
        let (presses, unit) = (l.pressure_band(self.pressure_mpa), l.unit.name());
        let tab = format!("{side} {unit} square and {long} {unit} long for the jig's insert");
        let Some(wanted) = self.wanted_mm else {
            let weak = if self.weaker { "; the tab is weaker than the bar, so keep it black" } else { "" };
            return format!("An end tab {tab}, which presses on it at {presses}{weak}.");
        };
        // Rather too thick than too thin.
        let step = l.mark_step();
        format!(
            "An end tab {tab} is too weak for this bar: even black it may twist off at {}. Make it {} {unit} square or more (`tab` \
             under [jig]) before you make the insert, and keep it black; or twist only while the bar is hottest, stand clear, and \
             stop as soon as the tab itself starts to twist. It presses on the insert at {presses}.",
            l.torque(self.holds_n_m),
            l.mark((wanted / step).ceil() * step)
        )
    }
}

impl Twisting {
    /// The bar's size and what turns it, in the words of sheet and page.
    pub fn told(&self, l: Figures) -> String {
        let ([weak, strong], [_, long], unit) =
            (self.torque_n_m, self.wrench_mm.map(|mm| l.hot(mm.max(clear(l)))), l.unit.name());
        format!(
            "{} {unit} square. Torque {} to {} from {} to {}; a wrench {long} {unit} or longer from end to end{}.",
            l.side(self.side_mm),
            l.torque(weak),
            l.torque(strong),
            l.about_degrees(self.heat_c[0]),
            l.about(self.heat_c[1]),
            self.hands(l)
        )
    }

    /// What turns such a wrench.
    fn hands(&self, l: Figures) -> String {
        let (each, needed) = (l.force(HAND), self.wrench_mm[1]);
        if needed < clear(l) {
            return format!(", which keeps your hands clear of the heat, for less than {each} from each");
        }
        match needed > SPAN {
            false => format!(", for {each} from each hand"),
            true => format!(
                ", for {each} at each end: too long for one smith, so get a helper, or twist only while the bar is hottest"
            ),
        }
    }
}

/// A bar's twist schedule as a table.
pub(crate) fn twist(out: &mut String, t: &Twisting, l: Figures) -> std::fmt::Result {
    let ([low, high], wrench) = (t.torque_n_m, t.wrench_mm);
    let words = format!(
        "{}, {} square, from {} to {}: {} to {} (it yields at {}), with a wrench {} {} or longer, end to end{}",
        t.bar,
        l.side(t.side_mm),
        l.about_degrees(t.heat_c[0]),
        l.about(t.heat_c[1]),
        l.torque(low),
        l.torque(high),
        l.pressure_band(t.flow_mpa),
        l.hot(wrench[1].max(clear(l))),
        l.unit.name(),
        t.hands(l)
    );
    hung(out, &words)?;
    let tab = t.tab.map_or_else(Vec::new, |tab| wrapped(&tab.told(l), WIDE - 4));
    tab.iter().try_for_each(|line| writeln!(out, "    {line}"))?;
    writeln!(
        out,
        "    {:>8}  {:>8}  {:8}  {:>6}  {:>5}  {:>6}  {:>6}  {:>5}  {:>6}  {:>7}  {:>9}",
        "from", "to", "hand", "turns", "heats", "each", "last", "face", "corner", "stretch", "chamfered"
    )?;
    for stretch in &t.stretches {
        let Stretch {
            marks_mm: [from, to],
            hand,
            turns,
            heats,
            turns_per_heat,
            rounds,
            helix_deg: [face, corner],
            corner_stretch,
            chamfered_stretch,
            may_tear,
            pitch,
        } = stretch;
        write!(out, "    {:>8}  {:>8}  {hand:8}", t.mark(*from, l), t.mark(*to, l))?;
        if *heats > 0 {
            let tear = match (*may_tear, *rounds) {
                (true, _) => "  corners may tear",
                (false, 2..) => "  in two rounds",
                _ => "",
            };
            let each = format!("{}{turns_per_heat:.2}", if pitch.is_some() { "≤" } else { "" });
            let last = stretch.last_heat();
            write!(
                out,
                "  {turns:>6.2}  {heats:>5}  {each:>6}  {last:>6.2}  {face:>4.0}°  {corner:>5.0}°  {:>5.0} %  {:>7.0} %{tear}",
                100.0 * corner_stretch,
                100.0 * chamfered_stretch
            )?;
        }
        writeln!(out)?;
        if let Some(marks) = pitch {
            pitch_marks(out, marks, l)?;
        }
    }
    Ok(())
}

/// What a stretch asks for that shows a pitch on the finished blade.
fn pitch_marks(out: &mut String, marks: &PitchMarks, l: Figures) -> std::fmt::Result {
    const WIDTH: usize = 100;
    let unit = l.unit.name();
    let pitch = marks.pitch_mm.map(|mm| l.length(mm));
    let pitch = if pitch[0] == pitch[1] { pitch[0].clone() } else { pitch.join(" to ") };
    writeln!(out, "      for a turn in {pitch} {unit} of the finished blade: {}", marks.between())?;
    let mut line = String::from("       ");
    for mark in marks.punch_mm.iter().map(|&mm| l.mark(mm)) {
        if line.chars().count() + 2 + mark.chars().count() > WIDTH {
            writeln!(out, "{line}")?;
            line = String::from("       ");
        }
        write!(line, "  {mark}")?;
    }
    writeln!(out, "{line}")?;
    let ([station, place], [one, two]) = (marks.hardest_mm, marks.tightest_mm);
    writeln!(
        out,
        "      corners stretch most, and tear first, at {} (station {});\n      the tightest even twist it takes: one turn in {} {unit} of the blade in one round of heats, in {} {unit} in two",
        l.mark(place),
        l.told(station),
        l.length(one),
        l.length(two)
    )
}
