//! The clock, the hammer, the hot length, the skin and the bath.

use std::fmt::Write;

use design::Figures;

use crate::clock::WorkingHeat;
use crate::plan::Plan;
use crate::text::bands::widest;
use crate::text::notes::{WIDE, wrapped};

impl Plan {
    /// How long the steel stays hot, what drawing out asks of the hammer, how long the blade is while hot, and its
    /// skin.
    pub(crate) fn at_the_anvil(&self, out: &mut String, l: Figures) -> std::fmt::Result {
        writeln!(
            out,
            "\nClock: seconds from the fire to the lower limit in still air; on the anvil it cools faster"
        )?;
        let wide = widest(self.clock.iter().map(|c| &c.what));
        self.clock.iter().try_for_each(|c| seconds(out, c, wide, l))?;
        for d in &self.drawing_out {
            writeln!(out, "  {}", d.told(l))?;
        }
        self.hot(out, l)?;
        self.skin(out, l)
    }

    /// The blade's length while it is hot, heating up and cooling.
    fn hot(&self, out: &mut String, l: Figures) -> std::fmt::Result {
        writeln!(out, "\nLength of the hot blade, shoulder to point")?;
        let each = self.hot.iter().map(|h| format!("{}: {}", l.about(h.celsius), l.length(h.length_mm)));
        writeln!(out, "  heating up: {}", each.collect::<Vec<_>>().join(", "))?;
        let down = self
            .hot
            .iter()
            .rev()
            .filter_map(|h| Some(format!("{}: {}", l.about(h.celsius), l.length(h.cooling_mm?))));
        let down = down.collect::<Vec<_>>().join(", ");
        if !down.is_empty() {
            writeln!(out, "  cooling at the anvil, while it is still red: {down}")?;
        }
        let Some(lift) = self.bevel_lift else { return Ok(()) };
        writeln!(out, "\nBevels")?;
        sentences(out, &lift.told(l))
    }

    /// The skin against what is ground off.
    fn skin(&self, out: &mut String, l: Figures) -> std::fmt::Result {
        writeln!(out, "\nSkin")?;
        sentences(out, &self.skin.told(l))
    }

    /// The bath of oil for this blade.
    pub(crate) fn oil(&self, out: &mut String, l: Figures) -> std::fmt::Result {
        let Some(b) = &self.bath else { return Ok(()) };
        writeln!(out, "\n{}", b.heading())?;
        sentences(out, &b.least(l))?;
        sentences(out, &b.tank_and_own(l))
    }
}

/// Sentences, each from a line of its own on.
fn sentences(out: &mut String, all: &[String]) -> std::fmt::Result {
    all.iter().try_for_each(|sentence| {
        wrapped(sentence, WIDE - 4)
            .iter()
            .enumerate()
            .try_for_each(|(i, line)| writeln!(out, "  {}{line}", if i == 0 { "" } else { "  " }))
    })
}

/// A step's line.
fn seconds(out: &mut String, c: &WorkingHeat, wide: usize, l: Figures) -> std::fmt::Result {
    let [from, to] = c.celsius.map(|t| l.about_degrees(t));
    let short = match (c.short, c.uneven) {
        (true, _) => "  quick: have everything ready",
        (false, true) => "  its skin cools ahead of its middle",
        (false, false) => "",
    };
    writeln!(
        out,
        "  {:wide$}  {:>13}  {from} to {to} {}  {:>4.0} s{short}",
        c.what,
        c.section_told(l),
        l.temperature.name(),
        c.seconds
    )
}
