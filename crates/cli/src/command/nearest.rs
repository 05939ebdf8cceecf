//! The nearest finished blade that still can be made, where steel is already gone.

use std::fmt::Write;

use blade::Stage;
use design::Design;
use fit::{Ceiling, within};
use measured::{Bench, Short};
use serde::Serialize;

use crate::terminal::error::CliError;
use crate::terminal::source::Source;

/// It, and what it comes to.
#[derive(Debug, Serialize)]
pub(crate) struct Nearest {
    #[serde(flatten)]
    found: fit::Nearest,
    /// Mass of its bare steel made of the blade on the bench, g: never more than that has, for its tang may lack what the design
    /// asks for.
    steel_g: f64,
    /// The same with fittings, g.
    mass_g: f64,
    /// Its point of balance, with fittings, mm from the guard's front face or the shoulder.
    balance_mm: f64,
}

impl Nearest {
    /// Of a design on the bench; `None` where nothing is gone that the finished blade needs.
    pub(crate) fn of(source: &Source, design: &Design, bench: &Bench) -> Result<Option<Nearest>, CliError> {
        let gone: &[Short] = bench.last().ways.last().map_or(&[], |way| &way.short);
        if gone.is_empty() {
            return Ok(None);
        }
        let found = within(&source.bytes, design, &ceilings(design, gone))
            .map_err(|why| CliError::Unfit { path: source.path.clone(), why })?;
        let made = bench.made_of(&found.design);
        let (steel_g, mass_g, balance_mm) = (made.steel_g, made.fitted_g, made.fitted_balance_mm);
        Ok(Some(Nearest { found, steel_g, mass_g, balance_mm }))
    }

    /// Its design file.
    pub(crate) fn file(&self) -> &str {
        &self.found.file
    }

    /// In words.
    pub(crate) fn text(&self, design: &Design) -> String {
        let figures = design.figures();
        let mut text = "\nthe nearest finished blade you can still make\n".to_owned();
        for change in self.found.changes.iter().filter(|c| c.by.abs() > NOTICEABLE) {
            // Writing to a String can't fail.
            let by = design::minus(&format!("{:+.1}", 100.0 * change.by));
            let _ = writeln!(text, "  {}: {by} %", change.what);
        }
        let from = design.measured_from();
        let side = if self.balance_mm < 0.0 { "behind" } else { "ahead of" };
        let fitted = match self.mass_g - self.steel_g < FITTED {
            true => String::new(),
            false => format!(", {} with fittings", figures.mass(self.mass_g)),
        };
        let _ = writeln!(
            text,
            "  {} steel{fitted}, balance {} {side} the {from}",
            figures.mass(self.steel_g),
            figures.poise(self.balance_mm.abs())
        );
        if let Some(stop) = &self.found.stopped_by {
            let _ = writeln!(text, "  even that needs more steel than you have left: {stop}");
        }
        text
    }
}

/// Changes less than this are not told: a thousandth of a thickness is less than a caliper shows.
const NOTICEABLE: f64 = 1e-3;

/// Fittings lighter than this are none, g: no scales tell them.
const FITTED: f64 = 0.05;

/// The most steel that is left at each station: where a flank is too thin at any height, the back is to be thinner by as much.
fn ceilings(design: &Design, gone: &[Short]) -> Vec<Ceiling> {
    let finished = design.blade().loft(Stage::Finished);
    let stations = gone.chunk_by(|a, b| (a.station_mm - b.station_mm).abs() < 1e-9);
    let ceiling = |all: &[Short]| {
        let at = all[0].station_mm;
        let thin =
            all.iter().filter(|s| s.height_mm.is_some()).map(|s| s.most_mm / s.planned_mm).reduce(f64::min);
        let back = finished.station(at).zip(thin).map(|(s, share)| share * s.back);
        Ceiling { at, back, breadth: all.iter().find(|s| s.height_mm.is_none()).map(|s| s.most_mm) }
    };
    stations.map(ceiling).collect()
}
