//! The clock, the hammer, the hot length, the skin and the bath.

use std::fmt::Write;

use design::Figures;

use crate::bevel_lift::BevelLift;
use crate::clock::WorkingHeat;
use crate::plan::Plan;
use crate::text::bands::{span, widest};

/// g in a kg.
const GRAMS: f64 = 1000.0;
/// J in a kJ.
const KILO: f64 = 1000.0;

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
            writeln!(
                out,
                "  drawing out {}: {} kJ, or {} blows of a 1.5 kg hammer",
                d.bar,
                span(d.energy_j.map(|e| e / KILO)),
                span(d.blows.map(tens))
            )?;
        }
        self.hot(out, l)?;
        self.skin(out, l)
    }

    /// The blade's length while it is hot, heating up and cooling.
    fn hot(&self, out: &mut String, l: Figures) -> std::fmt::Result {
        writeln!(out, "\nLength of the hot blade, shoulder to point")?;
        let each = self.hot.iter().map(|h| format!("{} {}", l.about(h.celsius), l.side(h.length_mm)));
        writeln!(out, "  heating up: {}", each.collect::<Vec<_>>().join(", "))?;
        let down = self
            .hot
            .iter()
            .rev()
            .filter_map(|h| Some(format!("{} {}", l.about(h.celsius), l.side(h.cooling_mm?))));
        writeln!(out, "  cooling at the anvil: {}", down.collect::<Vec<_>>().join(", "))?;
        self.bevel_lift.iter().try_for_each(|lift| bevels(out, *lift, l))
    }

    /// The skin against what is ground off.
    fn skin(&self, out: &mut String, l: Figures) -> std::fmt::Result {
        let s = &self.skin;
        let [larger, left] = s.outline.words(l);
        let [half, nine, most] = [s.depth_mm[0], s.depth_mm[1], s.most_mm].map(|mm| l.gap(mm));
        let word =
            if s.is_ground_off { "that takes the skin off" } else { "that may not be enough: grind deeper" };
        writeln!(
            out,
            "\nSkin that lost carbon: {half} deep half of the carbon is still there, {nine} deep nine tenths;"
        )?;
        writeln!(
            out,
            "  where less than {} scales off in all, nine tenths only {most} deep",
            l.gap(s.scale_mm)
        )?;
        writeln!(
            out,
            "  you grind {} off each side: {word}\n  the outline is forged {larger}:\n    {left}",
            l.gap(s.allowance_mm)
        )?;
        let Some(soak) = s.soak_mm else { return Ok(()) };
        let word =
            if s.is_soak_ground_off { "which is enough" } else { "which is too little: keep air from it" };
        writeln!(
            out,
            "  a soak at hardening heat without protection adds {}; after it you grind off {}, {word}",
            l.gap(soak),
            l.gap(s.after_hardening_mm)
        )
    }

    /// The bath of oil for this blade.
    pub(crate) fn oil(&self, out: &mut String, l: Figures) -> std::fmt::Result {
        let Some(b) = &self.bath else { return Ok(()) };
        let heading = if b.is_for_trying { "to try oil in" } else { "of oil" };
        writeln!(out, "\nQuench bath {heading}")?;
        writeln!(
            out,
            "  for {} (forged; ground it is {}) from {}: at least {} of oil, which warms from {} to {}",
            l.weight(GRAMS * b.mass_kg),
            l.weight(GRAMS * b.ground_kg),
            l.about(b.from_c),
            l.volume(b.least_litres),
            l.temperature(b.start_c),
            l.temperature(b.start_c + b.rise_k)
        )?;
        let in_a_row = if b.blades == 1 { "one blade".to_owned() } else { format!("{} blades", b.blades) };
        writeln!(
            out,
            "  with so little oil quench {in_a_row}, then let it cool: never over {}",
            l.temperature(b.most_c)
        )?;
        writeln!(
            out,
            "  oil with a flash point of {} or more: an open bath stays {} below it",
            l.temperature(b.least_flash_c),
            l.temperature_step(b.flash_margin_k)
        )?;
        b.tank_told(l).split_inclusive(". ").try_for_each(|line| writeln!(out, "  {}", line.trim_end()))?;
        b.own.iter().try_for_each(|own| {
            writeln!(out, "  your bath, {}", own.told(l).replace("; martensite", ";\n    martensite"))
        })
    }
}

/// How forging the bevels bends the blade.
fn bevels(out: &mut String, lift: BevelLift, l: Figures) -> std::fmt::Result {
    writeln!(out, "\nForging the bevels makes the edge longer and lifts the point towards the back")?;
    if let Some(mm) = lift.lift_mm {
        return writeln!(
            out,
            "  by about {} {}: bend the bar as far towards the edge first, or straighten it hot as you go",
            l.length(mm),
            l.unit.name()
        );
    }
    writeln!(
        out,
        "  by about {} {} for each tenth of a percent of the thinning that goes into length; only your last blade shows your percent",
        l.length(0.1 * lift.mm_per_percent),
        l.unit.name()
    )?;
    writeln!(
        out,
        "  measure how far this blade's point rises and divide by {}: write the percent you get as [forging] bevel_share for the next",
        l.gap(lift.mm_per_percent)
    )
}

/// A step's line.
fn seconds(out: &mut String, c: &WorkingHeat, wide: usize, l: Figures) -> std::fmt::Result {
    let size: Vec<String> = c.section_mm.iter().map(|mm| l.side(*mm)).collect();
    let [from, to] = c.celsius.map(|t| l.about_degrees(t));
    let short = match (c.short, c.uneven) {
        (true, _) => "  short: have everything ready",
        (false, true) => "  its skin cools ahead of its middle",
        (false, false) => "",
    };
    writeln!(
        out,
        "  {:wide$}  {:>13}  {from} to {to} {}  {:>4.0} s{short}",
        c.what,
        size.join(" × "),
        l.temperature.name(),
        c.seconds
    )
}

/// To tens, as blows are counted.
fn tens(x: f64) -> f64 {
    10.0 * (0.1 * x).round()
}
