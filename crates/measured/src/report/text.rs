//! The comparison as words and tables for a terminal, in the design's units.

use design::Figures;
use std::fmt::{Result, Write};

use crate::compare::bars::BarsNow;
use crate::compare::bench::Bench;
use crate::compare::day::{Day, Gone, StageGoal, Weighed};
use crate::compare::standing::By;
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
/// So many of the sizes that can't be reached are listed: the worst; the table has all.
const WORST: usize = 5;
/// What a `check` in what is to come off asks for.
pub(crate) const CHECK: &str = "`check`: not known well enough to grind, measure here again";
/// Heads of the table of what to take off.
const HEADS: [&str; 7] = ["station", "breadth", "off the breadth", "low", "middle", "high", "back"];

/// What to do in a word or a figure, told to a last place of `step` (mm).
fn advice(advice: Advice, step: f64, figure: impl Fn(f64) -> String) -> String {
    match advice.cut(step) {
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

impl Day {
    /// Where the blade stands and what tells it, in words; where thickness and weight tell otherwise, both.
    pub fn standing(&self) -> String {
        let stage = self.stage;
        let weight = self.stage_by_weight.filter(|by_weight| *by_weight != stage);
        match (self.stage_by, weight) {
            (By::File, _) => format!("at the {stage} stage by your file"),
            (By::Nothing, _) => format!("taken as {stage}"),
            (By::Weight, _) => format!("by its weight nearest to the {stage} stage"),
            (By::Thickness, None) => format!("by its thickness nearest to the {stage} stage"),
            (By::Thickness, Some(other)) => {
                format!("by its thickness nearest to the {stage} stage, by its weight to the {other}")
            }
        }
    }
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
            let up = r.height_mm.map_or_else(
                || "at the back".to_owned(),
                |h| format!("{} {} above the edge", self.figures.rule(h), self.figures.unit.name()),
            );
            format!("station {}, {up} (±{})", self.figures.told(r.station_mm), self.figures.gap(r.band_mm))
        };
        let all: Vec<String> = day.read_next.iter().map(place).collect();
        let head = "measure thickness next where it is least well known, between the places you measured";
        (!all.is_empty()).then(|| format!("{head}: {}", all.join("; ")))
    }

    /// Weight and balance on the bench, and what the scales add to it.
    fn bench(&self, out: &mut String, day: &Day) -> Result {
        writeln!(
            out,
            "\non the bench, {}: {}; known to ±{}, balance to ±{}",
            day.standing(),
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
        let &Weighed { weight_g, unweighed_g, unweighed_band_g, .. } = weighed;
        let [scales, read, band] = [weight_g, unweighed_g, unweighed_band_g].map(|g| self.figures.mass(g));
        let matched = self.matched(weighed);
        writeln!(out, "  weighed {scales}; breadth and thickness alone say {read}, ±{band}{matched}")?;
        let rest = weight_g - day.bench.steel_g;
        if rest.abs() > LEAST {
            let side = if rest > 0.0 { "more" } else { "less" };
            let rest = self.figures.mass(rest.abs());
            writeln!(out, "  {rest} {side} than worked out: more than blade and tang can account for")?;
        }
        Ok(())
    }

    /// What was changed to match the scales: the blade's thickness between its readings, and the tang; nothing is said of what
    /// neither caliper nor scales show.
    fn matched(&self, weighed: &Weighed) -> String {
        let f = self.figures;
        let side = |v: f64, more: &'static str, less: &'static str| if v > 0.0 { more } else { less };
        let thick = (f.gap(weighed.thicker_mm.abs()) != f.gap(0.0)).then(|| {
            let side = side(weighed.thicker_mm, "thicker", "thinner");
            format!("the blade counts as {} {side} on average", f.gap(weighed.thicker_mm.abs()))
        });
        let tang = (weighed.tang_g.abs() >= LEAST).then(|| {
            let side = side(weighed.tang_g, "heavier", "lighter");
            let counts = if thick.is_some() { "as" } else { "counts as" };
            format!("the tang {counts} {} {side}", f.mass(weighed.tang_g.abs()))
        });
        let all: Vec<String> = thick.into_iter().chain(tang).collect();
        if all.is_empty() { String::new() } else { format!("; to match the scales, {}", all.join(" and ")) }
    }

    /// Scales and readings that can't both be right.
    fn two_stories(&self, out: &mut String, weighed: &Weighed) -> Result {
        let &Weighed { weight_g, unweighed_g, unweighed_band_g, even_mm, .. } = weighed;
        let masses = [weight_g, unweighed_g, unweighed_band_g, (weight_g - unweighed_g).abs()];
        let ([scales, read, band, off], even) =
            (masses.map(|g| self.figures.mass(g)), self.figures.gap(even_mm.abs()));
        let [astray, why, thick, trust] = if weight_g > unweighed_g {
            let why = "a heavier tang, fittings still on, or scales not zeroed";
            ["over", why, "thicker", "go by the readings, not by the scales"]
        } else {
            let why = "a lighter tang, or scales not zeroed";
            ["under", why, "thinner", "go by the readings, and leave room for the scales to be right"]
        };
        writeln!(
            out,
            "  scales and readings can't both be right: weighed {scales}; breadth and thickness say {read}, ±{band}\n  \
             - if the readings are right, the scales read {off} {astray}: {why}\n  \
             - if the scales are right, the steel is {thick} than measured, by {even} all over, tang and all: caliper or breadth\n  \
             the figures below {trust}: weigh and measure again before you grind"
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
            let open = match way.stage == day.next && day.is_open() {
                true => "; measure at the places marked `check` before you rely on it",
                false => "",
            };
            return writeln!(out, "{}: nothing to take off{words}{open}", way.stage);
        }
        if let Some(words) = self.unexplained(day).filter(|_| way.stage == day.next) {
            return writeln!(out, "{words}");
        }
        writeln!(
            out,
            "{}: {} to take off{}, then {}",
            way.stage,
            self.figures.mass(way.take_off_g),
            self.parts(way),
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

    /// How much of what is to come off is counted as tang: the table is of the blade alone.
    fn parts(&self, way: &StageGoal) -> String {
        let tang = way.tang_g.min(way.take_off_g);
        let [blade, told] = [way.take_off_g - tang, tang].map(|g| self.figures.mass(g));
        match tang >= LEAST {
            true => format!(" ({blade} on the blade, {told} counted as tang, which was not measured)"),
            false => String::new(),
        }
    }

    /// The table of what to take off.
    fn take_off(&self, out: &mut String, day: &Day) -> Result {
        writeln!(
            out,
            "\nto take off each side for the {} stage, in {} (right / left where they differ)\n  \
             first what surely has to come off: grind to just short of it, then measure again\n  \
             after `of` all that stands over, ± how well that is known; `at`: how high above the edge\n  \
             `done`: nothing to take off; {CHECK}; `gone`: already under the plan",
            day.next,
            self.figures.spoken()
        )?;
        let rows: Vec<[String; 7]> = day.take_off.iter().map(|row| self.row(row)).collect();
        let heads = HEADS.map(str::to_owned);
        let wide =
            |k: usize| rows.iter().chain([&heads]).map(|row| row[k].chars().count()).max().unwrap_or(0);
        let wide: [usize; 7] = std::array::from_fn(wide);
        for row in [&heads].into_iter().chain(&rows) {
            let cells = row.iter().zip(wide).map(|(cell, wide)| format!("  {cell:>wide$}"));
            writeln!(out, "{}", cells.collect::<String>())?;
        }
        match self.read_next(day) {
            Some(words) => writeln!(out, "  {words}"),
            None => Ok(()),
        }
    }

    /// A station of that table.
    fn row(&self, row: &TakeOff) -> [String; 7] {
        let f = self.figures;
        let mut cells: [String; 7] = Default::default();
        cells[0] = f.station(row.station_mm);
        cells[1] = format!("{} ±{}", f.length(row.breadth_mm), f.length(row.breadth_band_mm));
        cells[2] = self.off_breadth(row);
        for (cell, spot) in cells[3..].iter_mut().zip(&row.spots) {
            *cell = format!("{} at {}", self.off_sides(spot), f.rule(spot.height_mm));
        }
        cells
    }

    /// What to do on a side, and of how much that is the least.
    fn of(&self, advice: Advice, over: f64) -> String {
        let told = self.off_side(advice);
        match advice.cut(self.figures.thickness_step()) {
            Advice::Off(_) => format!("{told} of {}", self.figures.thickness(over)),
            _ => told,
        }
    }

    fn off_side(&self, told: Advice) -> String {
        advice(told, self.figures.thickness_step(), |mm| self.figures.thickness(mm))
    }

    /// What to do at the edge of a station.
    pub(crate) fn off_breadth(&self, row: &TakeOff) -> String {
        advice(row.breadth, self.figures.length_step(), |mm| self.figures.length(mm))
    }

    /// What to do on the sides of a spot, in one where both say the same, and how well it is known.
    pub(crate) fn off_sides(&self, spot: &Spot) -> String {
        let sides = self.sides(spot, |advice, over| self.of(advice, over));
        format!("{sides} ±{}", self.figures.thickness(spot.side_band_mm))
    }

    /// Words on both sides of a spot, in one where they are alike.
    fn sides(&self, spot: &Spot, words: impl Fn(Advice, f64) -> String) -> String {
        let [right, left] =
            [(spot.right, spot.right_mm), (spot.left, spot.left_mm)].map(|(a, over)| words(a, over));
        if right == left { right } else { format!("{right} / {left}") }
    }

    /// The worst of what can't be reached any more, under its heading.
    fn shorts(&self, out: &mut String, way: &StageGoal) -> Result {
        if way.short.is_empty() {
            return Ok(());
        }
        let mut worst: Vec<&Short> = way.short.iter().collect();
        worst.sort_by(|a, b| a.lacks().total_cmp(&b.lacks()).reverse());
        let which = match worst.len() > WORST {
            true => format!("the {WORST} worst of {}", worst.len()),
            false => "at most as thick and as broad as now".to_owned(),
        };
        writeln!(out, "\nalready gone for the {} stage: {which}", way.stage)?;
        worst.truncate(WORST);
        worst.iter().try_for_each(|short| writeln!(out, "  {}", self.short(short)))
    }

    fn short(&self, short: &Short) -> String {
        let f = self.figures;
        let what = match short.height_mm {
            Some(height) => format!("{} {} above the edge: thickness", f.rule(height), f.unit.name()),
            None => "breadth".to_owned(),
        };
        let (x, most, planned) = (f.told(short.station_mm), f.gap(short.most_mm), f.gap(short.planned_mm));
        format!("at {x}, {what} {most} now, {planned} planned")
    }

    /// How much of the bars is left on the sides.
    fn bars(&self, out: &mut String, bars: &BarsNow) -> Result {
        let ground = format!("pattern as it shows now, {:.0} % ground", 100.0 * bars.ground_share);
        // One bar is as broad as the blade.
        match bars.names.len() {
            0 | 1 => writeln!(out, "\n{ground}")?,
            _ => self.bar_table(out, bars, &ground)?,
        }
        for note in &bars.notes {
            writeln!(out, "  {note}")?;
        }
        for warning in &bars.warnings {
            writeln!(out, "Watch out: {warning}")?;
        }
        Ok(())
    }

    /// Breadths of the bars at each station.
    fn bar_table(&self, out: &mut String, bars: &BarsNow, ground: &str) -> Result {
        writeln!(out, "\nbars on the side now (planned), in {}; {ground}", self.figures.spoken())?;
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
