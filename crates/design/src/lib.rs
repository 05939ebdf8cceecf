//! The design file: its tables, the checked [`Design`], its JSON Schema.
//!
//! [`read`] takes a file's bytes to a [`Design`] or to all its [`Problem`]s at once. A design is TOML: lengths as
//! numbers in the file's unit or as text with a unit, fractions included. This package never prints and never
//! opens a file.

mod bar;
mod bars_summary;
mod billet;
mod billet_warnings;
mod checker;
mod design;
mod document;
mod draft;
mod file;
mod fit;
mod fitting;
mod forging;
mod fuller;
mod gauges;
mod hang;
mod jig;
mod layers;
mod material;
mod name;
mod outline;
mod paper;
mod places;
mod plate;
mod problem;
mod quantity;
mod ricasso;
mod schema;
mod section;
mod shop;
mod stages;
mod starter;
mod steel;
mod summary;
mod tang;
mod taper;
mod targets;
mod twist;

pub use bars_summary::{BarsAtSummary, BarsSummary};
pub use design::{Design, read};
pub use fitting::{Fitting, FittingKind};
pub use forging::Forging;
pub use gauges::Gauges;
pub use jig::{Bore, Jig};
pub use layers::Stacking;
pub use paper::Paper;
pub use plate::{Plate, PlateForm};
pub use problem::{Problem, hint};
pub use quantity::{Misread, Unit, angle, length, mass};
pub use schema::schema;
pub use shop::Shop;
pub use starter::starter;
pub use summary::{StageSummary, StationSummary, Summary, TangSummary};
pub use targets::{Aim, Target, Targets};

#[cfg(test)]
mod billet_tests;
#[cfg(test)]
mod tests;
