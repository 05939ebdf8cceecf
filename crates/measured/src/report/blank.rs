//! A measured file to fill in: what is worth measuring on a design, and what each stage should read.

use blade::Loft;
use design::{Design, Figures, Unit};

use crate::file::reading::{Line, Quantity, Reading, Side};
use crate::surplus::mass_balance::MassBalance;
use crate::surplus::planned::Planned;

/// Shares of the breadth at which thickness is asked for, from the edge up.
const SHARES: [f64; 3] = [0.25, 0.5, 0.75];
/// Share of the blade before which the last station lies: beyond it a caliper finds no two flanks alike.
const LAST: f64 = 0.92;
/// Places along a straight bar at which the gap is asked for.
const BAR: usize = 5;
/// Columns, as [`crate::read`] knows them.
const COLUMNS: [&str; 11] = [
    "date",
    "stage",
    "station",
    "what",
    "height",
    "planned forged",
    "planned ground",
    "planned finished",
    "measured",
    "sure",
    "note",
];

/// The file: CSV with commas, or with semicolons and decimal commas as half of Europe's spreadsheets want it. Only
/// `measured` and the first `date` are empty; rows that stay so are skipped when it is read.
pub fn blank(design: &Design, semicolons: bool) -> String {
    let stages = Planned::all(design);
    // A spreadsheet reads 3/8 as a day.
    let figures = Figures { fractions: false, ..design.figures() };
    let blank = BlankFile { design, stages: &stages, figures, semicolons };
    let mut rows = vec![blank.line(&blank.head())];
    for x in blank.stations() {
        rows.extend(blank.station(x));
    }
    rows.extend(blank.bars());
    rows.extend(blank.scales());
    rows.extend(blank.supports());
    rows.extend(blank.lever());
    rows.extend(blank.steel());
    rows.concat()
}

struct BlankFile<'a> {
    design: &'a Design,
    stages: &'a [Planned; 3],
    figures: Figures,
    semicolons: bool,
}

impl BlankFile<'_> {
    /// The columns, and in the last one the units of plain numbers.
    fn head(&self) -> [String; 11] {
        let units =
            format!("note (lengths in {} and masses in {})", self.figures.spoken(), self.figures.mass.name());
        COLUMNS.map(|name| if name == "note" { units.clone() } else { name.to_owned() })
    }

    /// Every 50 mm or 2 in from the shoulder on, and one before the point.
    fn stations(&self) -> Vec<f64> {
        let (step, grain) = match self.design.unit() {
            Unit::Millimetre => (50.0, 1.0),
            Unit::Inch => (2.0 * Unit::Inch.millimetres(), 0.25 * Unit::Inch.millimetres()),
        };
        let length = self.design.blade().length();
        let last = (LAST * length / grain).floor() * grain;
        // On a short blade steps are a quarter of it.
        let step = step.min((0.25 * length / grain).floor().max(1.0) * grain);
        let even = (0..).map(|i| f64::from(i) * step).take_while(|x| *x < last - 0.4 * step);
        even.chain([last]).collect()
    }

    /// The rows of a station: breadth, back, and thickness at heights beside the fullers.
    fn station(&self, x: f64) -> Vec<String> {
        let Some(station) = self.finished().station(x) else { return Vec::new() };
        let grain = match self.design.unit() {
            Unit::Millimetre => 1.0,
            Unit::Inch => Unit::Inch.millimetres() / 16.0,
        };
        let round = |h: f64| ((h / grain).round() * grain).max(grain);
        let heights = SHARES
            .map(|share| round(self.beside_fullers(x, station.breadth, share * station.breadth, grain)));
        let mut heights: Vec<f64> = heights.into_iter().filter(|h| *h < station.breadth).collect();
        heights.dedup_by(|a, b| (*a - *b).abs() < 0.5 * grain);
        let thick = heights.into_iter().map(|h| self.row(Quantity::Thickness, x, h, ""));
        let first = [self.row(Quantity::Breadth, x, 0.0, ""), self.row(Quantity::Back, x, 0.0, "")];
        first.into_iter().chain(thick).collect()
    }

    /// A height at station `x`, or the nearest one below that lies on no fuller: a caliper's jaws bridge a groove.
    fn beside_fullers(&self, x: f64, breadth: f64, height: f64, grain: f64) -> f64 {
        let fullers = &self.design.blade().spec().fullers;
        // From the back down, so that what leaves one fuller is tried against the next.
        let mut here: Vec<_> = fullers.iter().filter(|f| f.start <= x && x <= f.end).collect();
        here.sort_by(|a, b| a.from_back.total_cmp(&b.from_back));
        here.into_iter().fold(height, |height, fuller| {
            let (top, bottom) = (breadth - fuller.from_back, breadth - fuller.from_back - fuller.width);
            let on = height < top + grain && height > bottom - grain;
            if on { bottom - 1.5 * grain } else { height }
        })
    }

    /// To what a station is rounded, mm: a millimetre or an eighth of an inch.
    fn rule(&self) -> f64 {
        match self.design.unit() {
            Unit::Millimetre => 1.0,
            Unit::Inch => 0.125 * Unit::Inch.millimetres(),
        }
    }

    /// Gaps under a straight bar along the right side.
    fn bars(&self) -> Vec<String> {
        let end = LAST * self.design.blade().length();
        let ricasso = self.design.blade().spec().ricasso.map_or(0.0, |r| r.length + r.plunge);
        // A bar along the edge lies on the bevel, which begins behind the ricasso.
        let lines = [(Line::Back, 0.0), (Line::Edge, ricasso)].into_iter();
        let gaps = lines.flat_map(|(line, from)| {
            let grain = self.rule();
            let at =
                move |i: usize| ((from + (end - from) * i as f64 / (BAR - 1) as f64) / grain).round() * grain;
            (0..BAR).map(move |i| (Quantity::SideGap(Side::Right, line), at(i)))
        });
        let note = |line: Line| {
            let line = line.name();
            format!(
                "gap under a straightedge laid on the right side; if the left side is hollow write gap left {line}"
            )
        };
        gaps.map(|(what, x)| {
            let line = if let Quantity::SideGap(_, line) = what { line } else { Line::Back };
            self.row(what, x, 0.0, &note(line))
        })
        .collect()
    }

    /// Mass and balance of the bare steel.
    fn scales(&self) -> [String; 2] {
        let from = self.design.measured_from();
        [
            self.row(
                Quantity::Weight,
                0.0,
                0.0,
                &format!("bare steel with its tang, {}", self.figures.mass.name()),
            ),
            self.row(
                Quantity::Balance,
                0.0,
                0.0,
                &format!("bare steel, ahead of the {from}; behind it with a minus"),
            ),
        ]
    }

    /// Two supports on scales, one under the tang and one under the blade, where there is a tang.
    fn supports(&self) -> [String; 2] {
        let note =
            "or lay it bare on two supports, each on scales: what each reads, less the weight of its support";
        let along = 0.6 * self.design.blade().length();
        [self.on_tang(0.5), along].map(|x| self.row(Quantity::Support, self.rounded(x), 0.0, note))
    }

    /// A weight clamped on, and the balance with it.
    fn lever(&self) -> [String; 2] {
        let from = self.design.measured_from();
        let clamp = "or clamp on a known weight: count its clamp too; one row for each weight; stations on the tang are minus";
        let balance = format!("with the weights above on, ahead of the {from}");
        [
            self.row(Quantity::ClampedWeight, self.rounded(self.on_tang(0.8)), 0.0, clamp),
            self.row(Quantity::ClampedBalance, 0.0, 0.0, &balance),
        ]
    }

    /// What the steel has been through.
    fn steel(&self) -> [String; 2] {
        let scale = self.figures.temperature.name();
        [
            self.row(
                Quantity::Hardness,
                0.0,
                0.0,
                "at the edge, in HRC, or in Vickers as 230 HV; for how far it bends and springs back",
            ),
            self.row(
                Quantity::Tempered,
                0.0,
                0.0,
                &format!("the hottest temper, {scale}; leave empty before hardening"),
            ),
        ]
    }

    /// A station on the tang, as a share of its length, mm.
    fn on_tang(&self, share: f64) -> f64 {
        -share * self.design.blade().spec().tang.length
    }

    /// A station as a rule is read, mm: towards the shoulder, so that it stays on the steel.
    fn rounded(&self, x: f64) -> f64 {
        let grain = match self.design.unit() {
            Unit::Millimetre => 1.0,
            Unit::Inch => 0.25 * Unit::Inch.millimetres(),
        };
        (x / grain).trunc() * grain
    }

    fn finished(&self) -> &Loft {
        &self.stages[2].loft
    }

    /// A row with what is planned, and an empty cell for the value.
    fn row(&self, what: Quantity, station: f64, height: f64, note: &str) -> String {
        let length = |told: bool, mm: f64| if told { self.figures.station(mm) } else { String::new() };
        let planned = |stage: usize| self.planned(&self.stages[stage], what, station, height);
        self.line(&[
            String::new(),
            String::new(),
            length(what.has_station(), station),
            what.name().to_owned(),
            length(what.has_height(), height),
            planned(0),
            planned(1),
            planned(2),
            String::new(),
            String::new(),
            note.to_owned(),
        ])
    }

    /// What a stage should read, without its unit.
    fn planned(&self, planned: &Planned, what: Quantity, station: f64, height: f64) -> String {
        let reading = Reading::at(what, station, height);
        let hang = || MassBalance::planned(self.design, planned);
        match what {
            Quantity::Weight => self.figures.plain_weight(hang().steel_g),
            Quantity::Balance => self.figures.length(hang().steel_balance_mm),
            _ => planned.reading(&reading, 0.0).map_or_else(String::new, |mm| self.figures.thickness(mm)),
        }
    }

    /// A line of the file: quoted where a cell holds a comma, or with decimal commas between semicolons.
    fn line(&self, cells: &[String]) -> String {
        if !self.semicolons {
            let quoted =
                |cell: &String| if cell.contains(',') { format!("\"{cell}\"") } else { cell.clone() };
            return cells.iter().map(quoted).collect::<Vec<_>>().join(",") + "\n";
        }
        let number = |cell: &String| cell.parse::<f64>().is_ok();
        let comma =
            |cell: &String| if number(cell) { cell.replace('.', ",") } else { cell.replace(';', ",") };
        cells.iter().map(comma).collect::<Vec<_>>().join(";") + "\n"
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures;

    #[test]
    fn heights_keep_off_fullers() {
        let design = fixtures::design_with(
            "[[fuller]]\nstart = 20\nend = 190\nfrom_back = 7\nwidth = 6\ndepth = 0.6\n",
        );
        let text = blank(&design, false);
        let heights: Vec<f64> = text
            .lines()
            .filter(|l| l.starts_with(",,100,thickness"))
            .map(|l| l.split(',').nth(4).unwrap().parse().unwrap())
            .collect();
        let breadth = design.blade().loft(blade::Stage::Ground).station(100.0).unwrap().breadth;
        assert_eq!(heights.len(), 3);
        assert!(heights.iter().all(|h| *h > breadth - 7.0 || *h < breadth - 13.0), "{heights:?} {breadth}");
    }

    #[test]
    fn the_file_filled_with_its_own_plan_is_the_planned_blade() {
        let design = fixtures::design();
        for semicolons in [false, true] {
            let text = blank(&design, semicolons);
            assert_eq!(crate::read(text.as_bytes(), &design), Ok(Vec::new()));
            let separator = if semicolons { ';' } else { ',' };
            let filled: String = text
                .lines()
                .enumerate()
                .map(|(i, line)| {
                    let mut cells: Vec<&str> = line.split(separator).collect();
                    if i > 0 {
                        (cells[0], cells[8]) = (if i == 1 { "2026-01-31" } else { "" }, cells[6]);
                    }
                    cells.join(&separator.to_string()) + "\r\n"
                })
                .collect();
            let sessions = crate::read(filled.as_bytes(), &design).unwrap_or_else(|p| panic!("{p:#?}"));
            let bench = crate::Bench::from_sessions(&design, &sessions, None).unwrap().unwrap();
            let day = &bench.history().days[0];
            assert_eq!((day.stage, day.next, &day.set_aside[..]), ("ground", "finished", &[][..]));
            // Figures are rounded to 0.01 mm.
            for spot in day.take_off.iter().flat_map(|t| &t.spots) {
                assert!((spot.right_mm - 0.15).abs() < 0.03 || spot.height_mm < 12.0, "{spot:?}");
            }
            assert!(
                (day.bench.steel_g
                    / day.readings.iter().find(|r| r.what == Quantity::Weight).unwrap().measured
                    - 1.0)
                    .abs()
                    < 0.01
            );
        }
    }
}
