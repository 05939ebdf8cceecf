//! What a fit found, as text for a terminal.

use std::fmt::Write;

use design::{Compared, Design, Figures, PatternTarget, Target, minus};

use crate::aim::Fitted;
use crate::knob::Change;

/// A start that turns by less stays, turns: less than is told.
const STAYS: f64 = 1e-4;

impl Fitted {
    /// As text, in the design file's units.
    pub fn text(&self, design: &Design) -> String {
        let mut out = String::new();
        // Writing to a String can't fail.
        let _ = self.write(&mut out, design);
        out
    }

    /// Before, after and what was changed, line by line.
    fn write(&self, out: &mut String, design: &Design) -> std::fmt::Result {
        let figures = design.figures();
        let met = self.pattern_before.iter().all(PatternTarget::is_reached);
        if met && self.before.iter().all(Target::is_reached) {
            writeln!(out, "{}: meets its targets, so nothing is changed\n", design.name())?;
            return targets(out, &self.before, &self.pattern_before, figures);
        }
        let outcome = if self.reached { "fitted to its targets" } else { "targets missed" };
        writeln!(out, "{}: {outcome}\n\nbefore", design.name())?;
        targets(out, &self.before, &self.pattern_before, figures)?;
        writeln!(out, "after")?;
        targets(out, &self.after, &self.pattern_after, figures)?;
        writeln!(out, "\nchanged")?;
        // Of starts, which are free, there is nothing to tell where they stay.
        let stays = |change: &&Change| change.unit == "turns" && change.by.abs() < STAYS;
        self.changes.iter().filter(|change| !stays(change)).try_for_each(|change| line(out, change))?;
        self.sizes(out, figures)?;
        self.cost(out, figures)?;
        self.zones(out, figures)?;
        self.warnings.iter().try_for_each(|warning| writeln!(out, "\nNew note: {warning}"))?;
        if !self.reached {
            writeln!(out, "\nlimits hit")?;
            self.stopped_by.iter().try_for_each(|stop| writeln!(out, "  {stop}"))?;
        }
        if !self.conflicts.is_empty() {
            writeln!(out, "\nwhat the targets cost each other")?;
        }
        self.conflicts.iter().try_for_each(|conflict| writeln!(out, "  {conflict}"))
    }

    /// Sizes of the finished blade.
    fn sizes(&self, out: &mut String, figures: Figures) -> std::fmt::Result {
        if self.sizes.is_empty() {
            return Ok(());
        }
        writeln!(out, "\nsizes of the finished blade, before and after, in {}", figures.unit.name())?;
        self.sizes.iter().try_for_each(|size| {
            let what = if size.what == "breadth" { "breadth" } else { "back" };
            let [was, is] = size.is_mm.map(|mm| figures.thickness(mm));
            writeln!(out, "  station {:>8}  {what:7}  {was:>7}  {is:>7}", figures.station(size.at_mm))
        })
    }

    /// What a reveal costs.
    fn cost(&self, out: &mut String, figures: Figures) -> std::fmt::Result {
        let Some(cost) = &self.cost else { return Ok(()) };
        let row = |[was, is]: [f64; 2], told: &dyn Fn(f64) -> String| {
            let by = if is < was { format!("−{}", told(was - is)) } else { format!("+{}", told(is - was)) };
            format!("{} before, {} after ({by})", told(was), told(is))
        };
        let (mass, gap) = (|g: f64| figures.mass(g), |mm: f64| figures.gap(mm));
        writeln!(out, "\nwhat the reveal costs")?;
        writeln!(out, "  steel of the forged blade     {}", row(cost.steel_g, &mass))?;
        writeln!(out, "  to grind away                 {}", row(cost.ground_g, &mass))?;
        writeln!(out, "  width of the stack            {}", row(cost.width_mm, &gap))
    }

    /// Breadths of the bars on the finished blade.
    fn zones(&self, out: &mut String, figures: Figures) -> std::fmt::Result {
        if self.zones.is_empty() {
            return Ok(());
        }
        let wide = self.zones.iter().map(|z| z.bar.chars().count()).max().unwrap_or(0);
        let unit = figures.spoken();
        writeln!(out, "\nbreadth of the bars on the finished blade, before and after, in {unit}")?;
        for zone in &self.zones {
            let (at, [was, is]) =
                (figures.station(zone.at_mm), zone.breadth_mm.map(|mm| figures.thickness(mm)));
            writeln!(out, "  station {at:>8}  {:wide$}  {was:>7}  {is:>7}", zone.bar)?;
        }
        Ok(())
    }
}

/// Both kinds of targets, a line each.
fn targets(
    out: &mut String,
    weight: &[Target],
    pattern: &[PatternTarget],
    figures: Figures,
) -> std::fmt::Result {
    weight.iter().try_for_each(|t| writeln!(out, "  {}", t.text(figures)))?;
    pattern.iter().try_for_each(|t| writeln!(out, "  {}", t.text(figures)))
}

/// A change in words.
fn line(out: &mut String, change: &Change) -> std::fmt::Result {
    if change.unit == "turns" {
        let by = minus(&format!("{:+6.1}", 360.0 * change.by));
        return writeln!(out, "  {:28} {by}°, free", change.what);
    }
    let limit = if change.at_limit { ": at its limit" } else { "" };
    let by = minus(&format!("{:+6.2}", 100.0 * change.by));
    writeln!(out, "  {:28} {by} % (at most {:.0} % either way){limit}", change.what, 100.0 * change.limit)
}
