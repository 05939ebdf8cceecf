//! The twist schedule.

use std::fmt::Write;

use design::Figures;

use crate::text::bands::span;
use crate::twisting::{Stretch, Tab, Twisting};

/// A bar's twist schedule as a table.
pub(crate) fn twist(out: &mut String, t: &Twisting, l: Figures) -> std::fmt::Result {
    let ([low, high], wrench) = (t.torque_n_m, t.wrench_mm);
    writeln!(
        out,
        "  {}, {} square: {} to {} ({} MPa), with a wrench {} long or longer",
        t.bar,
        l.side(t.side_mm),
        l.torque(low),
        l.torque(high),
        span(t.flow_mpa),
        l.hot(wrench[1])
    )?;
    if let Some(Tab { side_mm, length_mm, pressure_mpa: [low, high], weaker }) = t.tab {
        let dark = if weaker { "; weaker than the bar: keep it cooler" } else { "" };
        writeln!(
            out,
            "    end tab for the jig's insert: {} square, {} long; pressure {low:.0} to {high:.0} MPa{dark}",
            l.side(side_mm),
            l.hot(length_mm)
        )?;
    }
    writeln!(
        out,
        "    {:>8}  {:>8}  {:8}  {:>6}  {:>5}  {:>6}  {:>5}  {:>6}  {:>7}  {:>9}",
        "from", "to", "hand", "turns", "heats", "a heat", "face", "corner", "stretch", "chamfered"
    )?;
    for Stretch {
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
    } in &t.stretches
    {
        write!(out, "    {:>8}  {:>8}  {hand:8}", l.hot(*from), l.hot(*to))?;
        if *heats > 0 {
            let tear = match (*may_tear, *rounds) {
                (true, _) => "  corners may tear",
                (false, 2..) => "  in two rounds",
                _ => "",
            };
            write!(
                out,
                "  {turns:>6.2}  {heats:>5}  {turns_per_heat:>6.2}  {face:>4.0}°  {corner:>5.0}°  {:>5.0} %  {:>7.0} %{tear}",
                100.0 * corner_stretch,
                100.0 * chamfered_stretch
            )?;
        }
        writeln!(out)?;
    }
    Ok(())
}
