//! The comparison as words and tables for a terminal, in the design's units.

use design::Figures;
use std::fmt::{Result, Write};

use crate::compare::bars::BarsNow;
use crate::compare::bench::Bench;
use crate::compare::day::{Day, Gone, StageGoal, Weighed};
use crate::compare::take_off::{Short, Spot, TakeOff};
use crate::surplus::advice::Advice;
use crate::surplus::mass_balance::MassBalance;
use crate::surplus::next_reading::NextReading;
use crate::surplus::repeats::Repeat;

impl Bench {
    /// The last session in full, the earlier ones in a line each.
    pub fn text(&self) -> String {
        let mut out = String::new();
        // Writing to a String can't fail.
        let _ = self.write(&mut out);
        out
    }

    /// The head, the last session, and progress once there is an earlier one.
    fn write(&self, out: &mut String) -> Result {
        let (history, words) = (self.history(), self.words());
        let count = self.last().readings.len();
        let counted = if count == 1 { "1 reading".to_owned() } else { format!("{count} readings") };
        writeln!(out, "{}, {} of {}", history.name, counted, self.last().date)?;
        words.day(out, self.last())?;
        if history.days.len() > 1 {
            words.progress(out, &history.days)?;
        }
        Ok(())
    }

    /// How the last session's blade is bent, and how to bring it straight: a sentence each, none where nothing of it was
    /// read.
    pub fn warp(&self) -> Vec<String> {
        self.words().warp(self.last())
    }

    /// Mass and balance by weights clamped on or by supports, and guard and pommel for them: a sentence each, none where
    /// there are none of these.
    pub fn hilt(&self) -> Vec<String> {
        self.words().hilt(self.last())
    }

    /// What can't be reached any more on a way of the last session, with the most that can still be: some words each.
    pub fn short(&self, way: &StageGoal) -> Vec<String> {
        way.short.iter().map(|short| self.words().short(short)).collect()
    }

    /// What the last session's weight says against its breadth and thickness, in a sentence: nothing should be ground by
    /// either. `None` where they go together.
    pub fn unexplained(&self) -> Option<String> {
        self.words().unexplained(self.last())
    }

    /// What else the last session tells: places read more than once, notes, and where reading next helps most.
    pub fn notes(&self) -> Vec<String> {
        let (words, day) = (self.words(), self.last());
        let repeats = day.repeats.iter().map(|r| words.repeat(r));
        repeats.chain(day.notes.iter().cloned()).chain(words.read_next(day)).collect()
    }

    pub(crate) fn words(&self) -> Words {
        Words { figures: self.figures(), from: self.history().measured_from }
    }
}

/// The least mass (g) that is worth a word: less no kitchen scales show.
const LEAST: f64 = 1.0;
/// Columns of the table of what to take off.
const WIDE: usize = 24;

/// What to do in a word or a figure.
fn advice(advice: Advice, figure: impl Fn(f64) -> String) -> String {
    match advice {
        Advice::Off(mm) => figure(mm),
        Advice::Leave => "done".to_owned(),
        Advice::Read => "check".to_owned(),
        Advice::Gone(mm) => format!("{} gone", figure(mm)),
    }
}

/// Lines with a gap before them, where there are any.
fn part(out: &mut String, lines: &[String]) -> Result {
    for (i, line) in lines.iter().enumerate() {
        let gap = if i == 0 { "\n" } else { "" };
        writeln!(out, "{gap}{line}")?;
    }
    Ok(())
}

/// How things are said.
pub(crate) struct Words {
    pub(crate) figures: Figures,
    pub(crate) from: &'static str,
}

impl Words {
    /// A session: what was ignored, where the blade stands, and what is to be done.
    fn day(&self, out: &mut String, day: &Day) -> Result {
        self.readings(out, day)?;
        self.bench(out, day)?;
        for way in &day.ways {
            self.way(out, way, day)?;
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
                "  at {x}, {h} above the edge, the {side} side is already {gone} under the {} stage",
                day.next
            )?;
        }
        if let Some(bars) = &day.bars {
            self.bars(out, bars)?;
        }
        part(out, &self.hilt(day))?;
        part(out, &self.warp(day))?;
        for note in &day.notes {
            writeln!(out, "\nNote: {note}")?;
        }
        Ok(())
    }

    /// Readings to take again, and those that were taken more than once.
    fn readings(&self, out: &mut String, day: &Day) -> Result {
        if !day.set_aside.is_empty() {
            writeln!(out, "\nRead again; likely slips of writing, not counted until then:")?;
        }
        for doubt in &day.set_aside {
            writeln!(out, "  {}", doubt.words)?;
        }
        if !day.set_aside.is_empty() {
            writeln!(
                out,
                "  if one is right, write yes beside it in the column `sure`, or add a row with a second reading"
            )?;
        }
        for repeat in &day.repeats {
            writeln!(out, "{}", self.repeat(repeat))?;
        }
        Ok(())
    }

    /// A place that was read more than once, in words.
    fn repeat(&self, repeat: &Repeat) -> String {
        let told = |v: f64| repeat.what.format_value(v, self.figures);
        let at =
            repeat.station_mm.map_or_else(String::new, |x| format!(" at station {}", self.figures.told(x)));
        let up = repeat
            .height_mm
            .map_or_else(String::new, |h| format!(", {} above the edge", self.figures.told(h)));
        let lines: Vec<String> = repeat.lines.iter().map(usize::to_string).collect();
        format!(
            "{}{at}{up} was read {} times (lines {}): mean {}, {} from least to most",
            repeat.what.name(),
            lines.len(),
            lines.join(", "),
            told(repeat.mean),
            told(repeat.scatter)
        )
    }

    /// Where to read next, in words; `None` where it hardly helps.
    fn read_next(&self, day: &Day) -> Option<String> {
        let place = |r: &NextReading| {
            let up = r.height_mm.map_or_else(|| "back".to_owned(), |h| self.figures.told(h));
            format!("{}, {up} (±{} now)", self.figures.told(r.station_mm), self.figures.gap(r.band_mm))
        };
        let all: Vec<String> = day.read_next.iter().map(place).collect();
        let head = "measuring thickness helps most at these stations and heights above the edge";
        (!all.is_empty()).then(|| format!("{head}: {}", all.join("; ")))
    }

    /// Weight and balance on the bench, and what the scales add to it.
    fn bench(&self, out: &mut String, day: &Day) -> Result {
        writeln!(
            out,
            "\non the bench, nearest to the {} stage: {}; known to ±{}, balance to ±{}",
            day.stage,
            self.hang(&day.bench),
            self.figures.mass(day.bench_band.steel_g),
            self.along(day.bench_band.steel_balance_mm)
        )?;
        match &day.weighed {
            Some(weighed) if weighed.agree => self.weighed(out, weighed, day),
            Some(weighed) => self.two_stories(out, weighed),
            None => Ok(()),
        }
    }

    /// A weighing that goes with the readings.
    fn weighed(&self, out: &mut String, weighed: &Weighed, day: &Day) -> Result {
        let &Weighed { weight_g, unweighed_g, unweighed_band_g, moved_mm, .. } = weighed;
        let [scales, read, band] = [weight_g, unweighed_g, unweighed_band_g].map(|g| self.figures.mass(g));
        writeln!(
            out,
            "  weighed {scales}; from breadth and thickness alone it would be {read}, ±{band}; {}",
            self.matched(moved_mm)
        )?;
        let rest = weight_g - day.bench.steel_g;
        if rest.abs() > LEAST {
            let side = if rest > 0.0 { "more" } else { "less" };
            let rest = self.figures.mass(rest.abs());
            writeln!(out, "  {rest} {side} than worked out: more than blade and tang can account for")?;
        }
        Ok(())
    }

    /// What was changed (mm of thickness) to match the scales; nothing is said of what no caliper shows.
    fn matched(&self, moved: f64) -> String {
        let by = self.figures.gap(moved);
        match by == self.figures.gap(0.0) {
            true => "to match the scales the rest is counted as tang".to_owned(),
            false => format!(
                "to match the scales the thickness was changed by {by}, and the rest is counted as tang"
            ),
        }
    }

    /// Scales and readings that can't both be right.
    fn two_stories(&self, out: &mut String, weighed: &Weighed) -> Result {
        let &Weighed { weight_g, unweighed_g, unweighed_band_g, moved_mm, .. } = weighed;
        let masses = [weight_g, unweighed_g, unweighed_band_g, (weight_g - unweighed_g).abs()];
        let ([scales, read, band, off], moved) =
            (masses.map(|g| self.figures.mass(g)), self.figures.gap(moved_mm));
        let [astray, tang, thick] = if weight_g > unweighed_g {
            ["too much", "a heavier tang", "thicker"]
        } else {
            ["missing", "a lighter tang", "thinner"]
        };
        writeln!(
            out,
            "  scales and readings can't both be right: weighed {scales}; breadth and thickness say {read}, ±{band}\n  \
             - if the readings are right, {off} is {astray}: {tang}, fittings left on or off, or scales not at zero\n  \
             - if the scales are right, the blade is {thick} than measured, by {moved} on average: caliper or breadth\n  \
             the figures below go by the readings, with bands that reach to the scales'; weigh and measure again before grinding"
        )
    }

    /// Where something balances.
    fn balance(&self, mm: f64) -> String {
        let side = if mm < 0.0 { "behind" } else { "ahead of" };
        format!("balance {} {side} the {}", self.along(mm.abs()), self.from)
    }

    /// The same with how well it is known.
    pub(crate) fn balance_within(&self, mm: f64, band: f64) -> String {
        let side = if mm < 0.0 { "behind" } else { "ahead of" };
        let [at, band] = [mm.abs(), band].map(|v| self.along(v));
        format!("balance {at} ±{band} {side} the {}", self.from)
    }

    /// A length along the blade, with as many decimals whatever it is.
    fn along(&self, mm: f64) -> String {
        format!("{} {}", self.figures.length(mm), self.figures.unit.name())
    }

    /// Mass and balance of the steel, and with fittings where there are any.
    fn hang(&self, hang: &MassBalance) -> String {
        let at = |mm: f64| self.balance(mm);
        let steel = format!("{} steel, {}", self.figures.mass(hang.steel_g), at(hang.steel_balance_mm));
        if hang.fitted_g - hang.steel_g < 0.05 {
            return steel;
        }
        format!("{steel}; with fittings {}, {}", self.figures.mass(hang.fitted_g), at(hang.fitted_balance_mm))
    }

    /// What the weight says against breadth and thickness, for the next stage; `None` where they go together.
    fn unexplained(&self, day: &Day) -> Option<String> {
        Some(format!(
            "{}: the weight says {} too heavy, breadth and thickness say nothing to take off: weigh and measure again before you \
             grind",
            day.next,
            self.figures.mass(day.unexplained_g()?)
        ))
    }

    /// What is to take off for a stage.
    fn way(&self, out: &mut String, way: &StageGoal, day: &Day) -> Result {
        if way.take_off_g < LEAST {
            let light = way.planned.steel_g - day.bench.steel_g;
            let words = match light >= LEAST {
                true => format!("; already {} lighter than planned", self.figures.mass(light)),
                false => String::new(),
            };
            return writeln!(out, "{}: nothing to take off{words}", way.stage);
        }
        if let Some(words) = self.unexplained(day).filter(|_| way.stage == day.next) {
            return writeln!(out, "{words}");
        }
        writeln!(
            out,
            "{}: {} to take off, then {}",
            way.stage,
            self.figures.mass(way.take_off_g),
            self.hang(&way.reached)
        )?;
        let missing = way.planned.steel_g - way.reached.steel_g;
        if missing >= LEAST {
            writeln!(
                out,
                "  the plan was {} of steel: {} is already gone",
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
            "\nto take off each side for the {} stage, in {} (right / left where they differ)\n  \
             at least this much is still to come off: grind to just short of it, then measure again\n  \
             ± is how well each side is known; `at` is the height above the edge as it is now\n  \
             `done`: nothing to take off; `check`: known too little to take anything off yet; `gone`: already under the plan",
            day.next,
            self.figures.spoken()
        )?;
        writeln!(
            out,
            "  {:>8}  {:>14}  {:>8}  {:>WIDE$}  {:>WIDE$}  {:>WIDE$}  {:>WIDE$}",
            "station", "breadth", "off", "low", "middle", "high", "back"
        )?;
        for row in &day.take_off {
            self.row(out, row)?;
        }
        match self.read_next(day) {
            Some(words) => writeln!(out, "  {words}"),
            None => Ok(()),
        }
    }

    /// A station of that table.
    fn row(&self, out: &mut String, row: &TakeOff) -> Result {
        let f = self.figures;
        let breadth = format!("{} ±{}", f.length(row.breadth_mm), f.length(row.breadth_band_mm));
        let off = self.off_breadth(row);
        write!(out, "  {:>8}  {breadth:>14}  {off:>8}", f.station(row.station_mm))?;
        for spot in &row.spots {
            let sides = self.off_sides(spot);
            let cell = format!("{sides} ±{} at {}", f.thickness(spot.side_band_mm), f.length(spot.height_mm));
            write!(out, "  {cell:>WIDE$}")?;
        }
        writeln!(out)
    }

    /// What to do at the edge of a station.
    pub(crate) fn off_breadth(&self, row: &TakeOff) -> String {
        advice(row.breadth, |mm| self.figures.length(mm))
    }

    /// What to do on the sides of a spot, in one where both say the same.
    pub(crate) fn off_sides(&self, spot: &Spot) -> String {
        let [right, left] = [spot.right, spot.left].map(|a| advice(a, |mm| self.figures.thickness(mm)));
        if right == left { right } else { format!("{right} / {left}") }
    }

    /// What can't be reached any more, under its heading.
    fn shorts(&self, out: &mut String, way: &StageGoal) -> Result {
        if !way.short.is_empty() {
            writeln!(
                out,
                "\nsteel already gone for the {} stage; the thickest and broadest still possible:",
                way.stage
            )?;
        }
        for short in &way.short {
            writeln!(out, "  {}", self.short(short))?;
        }
        Ok(())
    }

    fn short(&self, short: &Short) -> String {
        let f = self.figures;
        let what = match short.height_mm {
            Some(height) => format!("{} above the edge", f.told(height)),
            None => "breadth".to_owned(),
        };
        let (x, most, planned) = (f.told(short.station_mm), f.gap(short.most_mm), f.gap(short.planned_mm));
        format!("at {x}, {what}: now {most}, planned {planned}")
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
