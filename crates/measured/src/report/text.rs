//! The comparison as words and tables for a terminal, in the design's units.

use design::Figures;
use std::fmt::{Result, Write};

use crate::compare::bars::BarsNow;
use crate::compare::bench::Bench;
use crate::compare::day::{Day, Gone, StageGoal};
use crate::compare::take_off::{Short, TakeOff};
use crate::compare::warp::{Bow, Shims, Twist, Warp};
use crate::file::reading::Line;
use crate::surplus::mass_balance::MassBalance;

/// Said where bows are told, but no twist was read.
const SIGHT: &str = "a straightedge won't show an even twist: sight over two sticks laid across the blade and write it \
                     as `twist`";
/// Said wherever shims are told.
const STRAIGHTEN: &str = "Straighten only tempered steel, at or a little below its tempering heat, clamped and slowly, with eyes, \
                          hands and bystanders shielded: a hard blade can break without a warning. Look for cracks before and \
                          after.";

impl Bench {
    /// The last session in full, the earlier ones in a line each.
    pub fn text(&self) -> String {
        let mut out = String::new();
        // Writing to a String can't fail.
        let _ = self.write(&mut out);
        out
    }

    fn write(&self, out: &mut String) -> Result {
        let (history, words) = (self.history(), self.words());
        writeln!(out, "{}, {} readings of {}", history.name, self.last().readings.len(), self.last().date)?;
        words.day(out, self.last())?;
        if history.days.len() > 1 {
            words.progress(out, &history.days)?;
        }
        Ok(())
    }

    /// How the last session's blade is bent, and how to clamp it straight: a sentence each, none where no gap was read.
    pub fn warp(&self) -> Vec<String> {
        self.words().warp(&self.last().warp)
    }

    /// What can't be reached any more on a way of the last session, with the most that can still be: some words each.
    pub fn short(&self, way: &StageGoal) -> Vec<String> {
        way.short.iter().map(|short| self.words().short(short)).collect()
    }

    fn words(&self) -> Words {
        Words { figures: self.figures(), from: self.history().measured_from }
    }
}

/// How things are said.
struct Words {
    figures: Figures,
    from: &'static str,
}

impl Words {
    /// A session: what was ignored, where the blade stands, and what is to be done.
    fn day(&self, out: &mut String, day: &Day) -> Result {
        if !day.set_aside.is_empty() {
            writeln!(out, "\nIgnored as likely mistakes:")?;
        }
        for aside in &day.set_aside {
            writeln!(out, "  {}", aside.words)?;
        }
        self.bench(out, day)?;
        for way in &day.ways {
            self.way(out, way)?;
        }
        self.take_off(out, day)?;
        for way in &day.ways {
            self.shorts(out, way)?;
        }
        for Gone { station_mm, height_mm, side, gone_mm } in day.gone() {
            let (x, h, gone) =
                (self.figures.told(station_mm), self.figures.told(height_mm), self.figures.gap(gone_mm));
            let side = side.name();
            writeln!(
                out,
                "  at {x}, {h} up, the {side} side is already {gone} under the {} stage",
                day.next
            )?;
        }
        if let Some(bars) = &day.bars {
            self.bars(out, bars)?;
        }
        for (i, line) in self.warp(&day.warp).iter().enumerate() {
            let gap = if i == 0 { "\n" } else { "" };
            writeln!(out, "{gap}{line}")?;
        }
        for note in &day.notes {
            writeln!(out, "\nNote: {note}")?;
        }
        Ok(())
    }

    /// Weight and balance on the bench, and what the scales add to it.
    fn bench(&self, out: &mut String, day: &Day) -> Result {
        writeln!(out, "\non the bench, nearest to the {} stage: {}", day.stage, self.hang(&day.bench))?;
        if let Some(w) = &day.weighed {
            writeln!(
                out,
                "  weighed {}; from breadth and thickness alone it would be {}; the weight moved the thickness by {}",
                self.figures.mass(w.weight_g),
                self.figures.mass(w.unweighed_g),
                self.figures.gap(w.moved_mm)
            )?;
            let rest = w.weight_g - day.bench.steel_g;
            // What kitchen scales are off by.
            if rest.abs() > 1.0 {
                let side = if rest > 0.0 { "more" } else { "less" };
                let rest = self.figures.mass(rest.abs());
                writeln!(out, "  {rest} {side} than calculated; counted as tang and scales")?;
            }
        }
        Ok(())
    }

    /// Mass and balance of the steel, and with fittings where there are any.
    fn hang(&self, hang: &MassBalance) -> String {
        let at = |mm: f64| {
            let side = if mm < 0.0 { "behind" } else { "ahead of" };
            format!("balance {} {side} the {}", self.figures.told(mm.abs()), self.from)
        };
        let steel = format!("{} steel, {}", self.figures.mass(hang.steel_g), at(hang.steel_balance_mm));
        if hang.fitted_g - hang.steel_g < 0.05 {
            return steel;
        }
        format!("{steel}; with fittings {}, {}", self.figures.mass(hang.fitted_g), at(hang.fitted_balance_mm))
    }

    /// What is to take off for a stage.
    fn way(&self, out: &mut String, way: &StageGoal) -> Result {
        writeln!(
            out,
            "{}: {} to take off, then {}",
            way.stage,
            self.figures.mass(way.take_off_g),
            self.hang(&way.reached)
        )?;
        let missing = way.planned.steel_g - way.reached.steel_g;
        // A tenth of a gram is the last figure shown.
        if missing >= 0.1 {
            writeln!(
                out,
                "  the plan was {} of steel: {} are already gone",
                self.figures.mass(way.planned.steel_g),
                self.figures.mass(missing)
            )?;
        }
        Ok(())
    }

    /// The table of what to take off.
    fn take_off(&self, out: &mut String, day: &Day) -> Result {
        writeln!(
            out,
            "\nto take off per side for the {} stage, in {}: heights above the edge as it is now, right / left where they \
             differ",
            day.next,
            self.figures.spoken()
        )?;
        writeln!(
            out,
            "  {:>8}  {:>15}  {:>20}  {:>20}  {:>20}  {:>20}",
            "station", "breadth (over)", "low", "middle", "high", "back"
        )?;
        for row in &day.take_off {
            self.row(out, row)?;
        }
        Ok(())
    }

    /// A station of that table.
    fn row(&self, out: &mut String, row: &TakeOff) -> Result {
        let f = self.figures;
        let breadth = format!("{} ({})", f.length(row.breadth_mm), f.length(row.breadth_over_mm));
        write!(out, "  {:>8}  {breadth:>15}", f.station(row.station_mm))?;
        for spot in &row.spots {
            let [right, left] = [spot.right_mm, spot.left_mm].map(|mm| f.thickness(mm));
            let sides = if right == left { right } else { format!("{right} / {left}") };
            write!(out, "  {:>20}", format!("{sides} at {}", f.length(spot.height_mm)))?;
        }
        writeln!(out)
    }

    fn shorts(&self, out: &mut String, way: &StageGoal) -> Result {
        if !way.short.is_empty() {
            writeln!(out, "\nsteel already gone for the {} stage; the most you can still have:", way.stage)?;
        }
        for short in &way.short {
            writeln!(out, "  {}", self.short(short))?;
        }
        Ok(())
    }

    fn short(&self, short: &Short) -> String {
        let f = self.figures;
        let what = match short.height_mm {
            Some(height) => format!("thickness {} up", f.told(height)),
            None => "breadth".to_owned(),
        };
        let (x, most, planned) = (f.told(short.station_mm), f.gap(short.most_mm), f.gap(short.planned_mm));
        format!("at {x}: {what} {most}, planned {planned}")
    }

    /// How much of the bars is left on the sides.
    fn bars(&self, out: &mut String, bars: &BarsNow) -> Result {
        writeln!(
            out,
            "\nbars on the side now (planned), in {}; layers show as at {:.0} % of the grinding",
            self.figures.spoken(),
            100.0 * bars.ground_share
        )?;
        let wide = |name: &String| name.chars().count().max(15);
        write!(out, "  {:>8}", "station")?;
        for name in &bars.names {
            write!(out, "  {name:>w$}", w = wide(name))?;
        }
        writeln!(out)?;
        for here in &bars.at {
            write!(out, "  {:>8}", self.figures.station(here.station_mm))?;
            for ((now, planned), name) in here.now_mm.iter().zip(&here.planned_mm).zip(&bars.names) {
                let cell = format!("{} ({})", self.figures.length(*now), self.figures.length(*planned));
                write!(out, "  {cell:>w$}", w = wide(name))?;
            }
            writeln!(out)?;
        }
        for warning in &bars.warnings {
            writeln!(out, "Watch out: {warning}")?;
        }
        Ok(())
    }

    /// Bow and twist in words.
    fn warp(&self, warp: &Warp) -> Vec<String> {
        let mut lines: Vec<String> = warp.bows.iter().map(|bow| self.bow(bow)).collect();
        lines.extend(warp.twists.iter().map(|twist| self.twist(twist)));
        if !warp.bows.is_empty() && !warp.twists.iter().any(|t| t.read) {
            lines.push(SIGHT.to_owned());
        }
        lines.extend(warp.shims.iter().map(|shims| self.shims(shims)));
        if !warp.shims.is_empty() {
            lines.push(STRAIGHTEN.to_owned());
        }
        lines
    }

    fn bow(&self, bow: &Bow) -> String {
        let way = match (bow.sideways, bow.most_mm > 0.0) {
            (true, true) => "to the right",
            (true, false) => "to the left",
            (false, true) => "up, towards the back, against the planned line",
            (false, false) => "down, towards the edge, against the planned line",
        };
        let most = self.figures.gap(bow.most_mm.abs());
        format!("bow along the {}: {most} {way} at {}", bow.line.name(), self.figures.told(bow.at_mm))
    }

    fn twist(&self, twist: &Twist) -> String {
        let turns = twist.turn_deg.iter().map(|[x, turn]| format!("{} {turn:.1}°", self.figures.told(*x)));
        let how = if twist.read {
            "twist as read"
        } else {
            "twist by the bows of back and edge, even twist left out"
        };
        format!("{how}, clockwise seen from the shoulder: {}", turns.collect::<Vec<_>>().join(", "))
    }

    /// The shims to straighten over, in words.
    fn shims(&self, shims: &Shims) -> String {
        let line = match shims.line {
            Line::Back => "back",
            Line::Edge => "edge",
        };
        let end = match shims.past {
            Some(past) => format!("{past} times the bow past straight, as you asked"),
            None => "straight; say with --past how far past straight you go".to_owned(),
        };
        let each = shims
            .shims_mm
            .iter()
            .map(|[x, shim]| format!("{} {}", self.figures.told(*x), self.figures.gap(*shim)));
        format!(
            "to clamp it {end}: a straight bar on the {} side, by the {line}, with shims at {}",
            shims.side.name(),
            each.collect::<Vec<_>>().join(", ")
        )
    }

    /// Weight from session to session.
    fn progress(&self, out: &mut String, days: &[Day]) -> Result {
        writeln!(out, "\nprogress towards the finished blade")?;
        for day in days {
            let left = day.ways.last().map_or(0.0, |way| way.take_off_g);
            writeln!(
                out,
                "  {}  {:>8}  {:>9} steel  {:>9} to take off",
                day.date,
                day.stage,
                self.figures.mass(day.bench.steel_g),
                self.figures.mass(left)
            )?;
        }
        Ok(())
    }
}
