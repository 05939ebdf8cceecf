//! What `check` reports of a design: sizes, stations, mass and balance of each stage.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::thread::ScopedJoinHandle;

use blade::{Loft, Stage, Station, TangForm};
use serde::Serialize;

use crate::{BarsSummary, Design, Figures, ForgedFrom, NO_STEEL, OutlineSkin, PatternTarget, Spoken, Target};

/// Everything `check` reports. Lengths in mm, masses in g, whatever unit the design file uses.
#[derive(Clone, Debug, Serialize)]
pub struct Summary {
    /// The design's name.
    pub name: String,
    /// The stem of its files' names.
    pub slug: String,
    /// The design file's unit, `mm` or `in`.
    pub unit: &'static str,
    /// How its figures are written.
    #[serde(skip)]
    pub figures: Figures,
    /// Shoulder to point, mm.
    pub length_mm: f64,
    /// What balance, inertia and percussion are measured from: `guard`, its front face, or without one the
    /// `shoulder`.
    pub measured_from: &'static str,
    /// The three stages by name.
    pub stages: BTreeMap<&'static str, StageSummary>,
    /// How much larger the outline is forged, against the skin that has to come off.
    pub outline_skin: OutlineSkin,
    /// The file's targets, and what the finished blade comes to.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub targets: Vec<Target>,
    /// What the file asks of the pattern, and what the finished blade shows.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pattern: Vec<PatternTarget>,
    /// The one steel and its bar; none with a billet, and where no steel is told.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub forged_from: Option<ForgedFrom>,
    /// Whether neither steel nor billet is told.
    #[serde(skip)]
    pub is_steel_missing: bool,
    /// The billet's bars on the finished blade; none for a blade of one steel.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bars: Option<BarsSummary>,
    /// What the smith should think about, though it is no fault.
    pub warnings: Vec<String>,
}

/// The tang at a stage, mm: sizes that the file leaves out are the ones that the program chose.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct TangSummary {
    /// `hidden` or `full`.
    pub form: &'static str,
    /// From the shoulder to its end.
    pub length_mm: f64,
    /// Breadth and thickness at the shoulder.
    pub root_mm: [f64; 2],
    /// Breadth and thickness at its end.
    pub end_mm: [f64; 2],
}

/// One stage.
#[derive(Clone, Debug, Serialize)]
pub struct StageSummary {
    /// Least and greatest coordinates of blade and tang, mm.
    pub size_mm: [[f64; 3]; 2],
    /// Volume of the steel, mm³.
    pub volume_mm3: f64,
    /// Mass of the steel, g.
    pub steel_mass_g: f64,
    /// Mass with fittings, g.
    pub mass_g: f64,
    /// Centre of mass of the bare steel, mm.
    pub centre_of_mass_mm: [f64; 3],
    /// Centre of mass with fittings, mm.
    pub centre_with_fittings_mm: [f64; 3],
    /// Point of balance from the guard's front face, mm towards the point, with fittings.
    pub balance_from_guard_mm: f64,
    /// Moment of inertia about the guard's front face, in the blade's plane, g·mm².
    pub inertia_at_guard_g_mm2: f64,
    /// Centre of percussion for a pivot at the guard's front face, mm from it; none when the blade
    /// balances at or behind the guard.
    pub percussion_from_guard_mm: Option<f64>,
    /// Stations of the first bending mode's nodes, mm from the shoulder.
    pub nodes_mm: Option<[f64; 2]>,
    /// The tang.
    pub tang: TangSummary,
    /// Sizes at ten stations.
    pub stations: Vec<StationSummary>,
    /// The same at the stations of the tables in words: those of the gauges, and on to the point.
    #[serde(skip)]
    told: Vec<StationSummary>,
}

/// Sizes at one station, mm.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct StationSummary {
    /// Distance from the shoulder.
    pub at_mm: f64,
    /// From the edge to the back.
    pub breadth_mm: f64,
    /// The greatest thickness.
    pub thickness_mm: f64,
    /// Thickness at the back's corners.
    pub back_mm: f64,
    /// Thickness at the grind line, where there is one.
    pub grind_mm: Option<f64>,
    /// Height of the grind line over the edge, where there is one.
    pub grind_height_mm: Option<f64>,
    /// Thickness of the edge flat; 0 where sharp.
    pub edge_mm: f64,
}

impl From<Station> for StationSummary {
    fn from(s: Station) -> Self {
        StationSummary {
            at_mm: s.at,
            breadth_mm: s.breadth,
            thickness_mm: s.thickness,
            back_mm: s.back,
            grind_mm: s.grind,
            grind_height_mm: s.grind_height,
            edge_mm: s.edge,
        }
    }
}

impl Summary {
    /// The summary of a design, all three stages.
    pub fn from_design(design: &Design) -> Summary {
        let summary =
            |stage: Stage| (stage.name(), StageSummary::from_loft(design, &design.blade().loft(stage)));
        // Stages and bars don't depend on each other: one thread each.
        let (stages, bars) = std::thread::scope(|scope| {
            let running = Stage::ALL.map(|stage| scope.spawn(move || summary(stage)));
            let bars = BarsSummary::with_told(design, &stations(design), &told(design));
            let joined = |stage: ScopedJoinHandle<'_, _>| {
                stage.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
            };
            (running.map(joined), bars)
        });
        Summary {
            name: design.name().into(),
            slug: design.slug().into(),
            unit: design.unit().name(),
            figures: design.figures(),
            length_mm: design.blade().length(),
            measured_from: design.measured_from(),
            stages: stages.into_iter().collect(),
            outline_skin: OutlineSkin::of(design),
            targets: design.against_targets(),
            pattern: design.against_pattern(),
            forged_from: ForgedFrom::of(design),
            is_steel_missing: design.forged_from().is_none(),
            bars,
            warnings: Spoken::of_design(design)
                .warnings(design.warnings().iter().chain(&design.far_targets())),
        }
    }

    /// The summary as text for a terminal, in the design file's units.
    pub fn text(&self) -> String {
        let mut out = String::new();
        // Writing to a String can't fail.
        let _ = self.write(&mut out);
        out
    }

    /// Every stage, then bars, targets and notes.
    fn write(&self, out: &mut String) -> std::fmt::Result {
        writeln!(out, "{}, {} from shoulder to point", self.name, self.figures.told(self.length_mm))?;
        let unit = self.figures.spoken();
        writeln!(
            out,
            "tables in {unit}, at the stations of the gauges; the columns back, grind line and edge give the thickness there"
        )?;
        let outline = match self.bars {
            Some(_) => self.outline_skin.words_without_welds(self.figures),
            None => self.outline_skin.words(self.figures),
        };
        for stage in Stage::ALL {
            let Some(s) = self.stages.get(stage.name()) else { continue };
            writeln!(out)?;
            s.write(out, stage, (self.figures, self.measured_from), &outline)?;
        }
        if let Some(forged_from) = &self.forged_from {
            forged_from.write(out, self.figures)?;
        }
        if self.is_steel_missing {
            writeln!(out, "\nNo steel is named: for stock, heats and bath, {NO_STEEL}.")?;
        }
        if let Some(bars) = &self.bars {
            bars.write(out, self.figures)?;
        }
        if !(self.targets.is_empty() && self.pattern.is_empty()) {
            writeln!(out, "\ntargets of the finished blade")?;
        }
        for target in &self.targets {
            writeln!(out, "  {}", target.text(self.figures))?;
        }
        for target in &self.pattern {
            writeln!(out, "  {}", target.text(self.figures))?;
        }
        for warning in &self.warnings {
            writeln!(out, "\nNote: {warning}")?;
        }
        Ok(())
    }
}

impl TangSummary {
    fn from_loft(design: &Design, loft: &Loft) -> TangSummary {
        let tang = &design.blade().spec().tang;
        TangSummary {
            form: if tang.form == TangForm::Full { "full" } else { "hidden" },
            length_mm: tang.length,
            root_mm: loft.tang_root().to_array(),
            end_mm: loft.tang_end().to_array(),
        }
    }

    /// The tang's line: its form, length, and its section at both ends.
    fn write(&self, out: &mut String, figures: Figures) -> std::fmt::Result {
        let sizes = |[breadth, thick]: [f64; 2]| {
            format!("{} × {}", figures.dimension(breadth), figures.thickness(thick))
        };
        let (long, root, end) = (figures.told(self.length_mm), sizes(self.root_mm), sizes(self.end_mm));
        writeln!(
            out,
            "  tang                  {}, {long} long, {root} at the shoulder, {end} at its end",
            self.form
        )
    }
}

impl StageSummary {
    /// What a stage weighs and where it balances.
    fn from_loft(design: &Design, loft: &Loft) -> StageSummary {
        let moments = loft.moments();
        let swing = design.swing(loft, &moments);
        let (low, high) = loft.bounds();
        StageSummary {
            size_mm: [low.to_array(), high.to_array()],
            volume_mm3: moments.volume,
            steel_mass_g: swing.steel_mass,
            mass_g: swing.mass,
            centre_of_mass_mm: moments.centre().to_array(),
            centre_with_fittings_mm: swing.centre.to_array(),
            balance_from_guard_mm: swing.balance,
            inertia_at_guard_g_mm2: swing.inertia,
            percussion_from_guard_mm: swing.percussion,
            nodes_mm: swing.nodes,
            tang: TangSummary::from_loft(design, loft),
            stations: stations(design).iter().filter_map(|&x| loft.station(x)).map(Into::into).collect(),
            told: told(design).iter().filter_map(|&x| loft.station(x)).map(Into::into).collect(),
        }
    }

    /// A stage: weight, balance, swing, tang and stations.
    fn write(
        &self,
        out: &mut String,
        stage: Stage,
        (figures, from): (Figures, &str),
        [larger, left]: &[String; 2],
    ) -> std::fmt::Result {
        let [steel, mounted] = [self.steel_mass_g, self.mass_g].map(|g| figures.mass(g));
        match self.is_fitted() {
            false => writeln!(out, "{stage}: {steel} steel, without fittings")?,
            true => writeln!(
                out,
                "{stage}: {steel} steel, {mounted} with fittings; balance and swing include them"
            )?,
        }
        self.swing(out, figures, from)?;
        self.tang.write(out, figures)?;
        if stage == Stage::Forged {
            writeln!(out, "  outline               {larger}\n                        {left}")?;
        }
        self.table(out, figures)
    }

    /// Whether fittings weigh what a scale tells.
    fn is_fitted(&self) -> bool {
        self.mass_g - self.steel_mass_g >= 0.05
    }

    /// Balance, inertia, centre of percussion and nodes, from where balance counts.
    fn swing(&self, out: &mut String, figures: Figures, from: &str) -> std::fmt::Result {
        let side = |mm: f64| if mm < 0.0 { "behind" } else { "ahead of" };
        let place = |mm: f64| {
            let far = figures.poise(mm.abs());
            let is_off = far.contains(|c: char| ('1'..='9').contains(&c));
            if is_off { format!("{far} {}", side(mm)) } else { "at".to_owned() }
        };
        // From where the balance counts.
        let datum = self.centre_with_fittings_mm[0] - self.balance_from_guard_mm;
        let bare = match self.is_fitted() {
            true => format!("; the bare steel {} it", place(self.centre_of_mass_mm[0] - datum)),
            false => String::new(),
        };
        writeln!(out, "  balance               {} the {from}{bare}", place(self.balance_from_guard_mm))?;
        writeln!(
            out,
            "  inertia               {} about the {from}",
            figures.inertia(self.inertia_at_guard_g_mm2)
        )?;
        if let Some(p) = self.percussion_from_guard_mm {
            // The far end of the solid is the point.
            let place = match p > self.size_mm[1][0] {
                true => format!("beyond the point (pivoted at the {from})"),
                false => format!("{} the {from} (pivoted there)", place(p)),
            };
            writeln!(out, "  centre of percussion  {place}")?;
        }
        if let Some([a, b]) = self.nodes_mm.map(|nodes| nodes.map(|mm| mm - datum)) {
            // Both on the blade: the side is said once.
            let one = if a.min(b) < 0.0 { place(a) } else { figures.poise(a) };
            writeln!(out, "  vibration nodes       {one} and {} the {from}", place(b))?;
        }
        Ok(())
    }

    /// Sizes at the stations told.
    fn table(&self, out: &mut String, figures: Figures) -> std::fmt::Result {
        let mut row = |cells: [String; 5]| {
            let [station, breadth, back, grind, edge] = cells;
            writeln!(out, "  {station:>9} {breadth:>9} {back:>9} {grind:>11} {edge:>9}")
        };
        row(["station", "breadth", "back", "grind line", "edge"].map(str::to_owned))?;
        self.told.iter().try_for_each(|s| {
            let thick = |mm: f64| figures.thickness(mm);
            let edge = if s.edge_mm > 0.0 { thick(s.edge_mm) } else { "sharp".into() };
            let grind = s.grind_mm.map_or("–".into(), thick);
            row([figures.station(s.at_mm), figures.length(s.breadth_mm), thick(s.back_mm), grind, edge])
        })
    }
}

/// The stations of the gauges, and every 25 mm or inch from there to the point, mm.
fn told(design: &Design) -> Vec<f64> {
    let (own, length) = (&design.gauges().stations, design.blade().length());
    let pitch = design.figures().pitch();
    let last = own.last().copied().unwrap_or(-pitch);
    let even = (0..).map(|i| f64::from(i) * pitch).take_while(|x| *x < length);
    own.iter().copied().chain(even.filter(|x| x - last > 0.5 * pitch)).collect()
}

/// Ten even stations from the shoulder on, mm.
fn stations(design: &Design) -> [f64; 10] {
    std::array::from_fn(|i| 0.1 * i as f64 * design.blade().length())
}
