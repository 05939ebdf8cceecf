//! The design file: its tables, the checked [`Design`], its JSON Schema.
//!
//! [`read`] takes a file's bytes to a [`Design`] or to all its [`Problem`]s at once. A design is TOML: lengths as
//! numbers in the file's unit or as text with a unit, fractions included. This package never prints and never
//! opens a file.

mod checked;
mod file;
mod report;
mod tables;
mod unit;

pub use checked::design::{Design, read, read_candidate};
pub use file::problem::{Problem, hint};
pub use report::bars_summary::{BarsAtSummary, BarsSummary, PlugSummary, plug_words, teeth};
pub use report::cautions::cautions;
pub use report::edge_curve::edge_curve;
pub use report::forged_from::{ForgedFrom, NO_STEEL};
pub use report::outline_skin::OutlineSkin;
pub use report::schema::schema;
pub use report::spoken::Spoken;
pub use report::starter::starter;
pub use report::summary::{StageSummary, StationSummary, Summary, TangSummary};
pub use report::sureness::{DriftSummary, SlipSummary, Sureness};
pub use tables::bench::gauges::Gauges;
pub use tables::bench::jig::{Bore, Jig};
pub use tables::bench::paper::Paper;
pub use tables::bench::plate::{Plate, PlateForm};
pub use tables::bench::quench::Quench;
pub use tables::bench::shop::Shop;
pub use tables::billet::forging::{Forging, SKIN_HEATS};
pub use tables::billet::layers::Stacking;
pub use tables::billet::twist::usual_per;
pub use tables::weight::fitting::{Fitting, FittingKind};
pub use tables::weight::pattern_target::{PatternAim, PatternAsked, PatternTarget};
pub use tables::weight::targets::{Aim, Target, Targets};
pub use tables::weight::wanted::{Compared, Wanted};
pub use unit::figures::{Figures, minus, trimmed};
pub use unit::quantity::{Misread, Unit, angle, length, mass};
pub use unit::scales::{MassUnit, Temperature, Torque};

#[cfg(test)]
mod billet_tests;
#[cfg(test)]
mod tests;
