//! What a build hands to its pages.

use blade::Stage;
use design::{Design, Summary};
use forge::{Etching, Plan};
use tooling::{CutGauge, CutSheet, CutWork, Held, Part};

/// All that pages are made of, computed elsewhere.
#[derive(Clone, Debug)]
pub struct Given<'a> {
    /// The design.
    pub design: &'a Design,
    /// Its forging plan, where its steel is told.
    pub plan: Option<&'a Plan>,
    /// Its sizes and weights.
    pub summary: &'a Summary,
    /// How its layers etch, where it has any.
    pub etching: Option<&'a Etching>,
    /// The finished blade as binary glTF, the first one shown first.
    pub turned: Vec<Turned<'a>>,
    /// Its sides as pictures, where it has layers.
    pub sides: Vec<Side<'a>>,
    /// What stands in the build, in the order in which it is told.
    pub things: Vec<Thing<'a>>,
    /// How sheet steel is cut, where some is.
    pub cut: Option<&'a CutWork>,
    /// Which kinds of file the build has of parts and drawings.
    pub held: Held,
}

/// The finished blade to turn over.
#[derive(Clone, Debug)]
pub struct Turned<'a> {
    /// What its colours show: `As etched`, `Bars` or `Steel`.
    pub name: &'static str,
    /// The file, binary glTF 2.0.
    pub glb: &'a [u8],
}

/// A side of the finished blade as it etches.
#[derive(Clone, Debug)]
pub struct Side<'a> {
    /// Which one, with a capital.
    pub name: &'static str,
    /// The file, PNG.
    pub png: &'a [u8],
    /// Its width and height in dots.
    pub size: [u32; 2],
}

/// Something of a build with all its files.
#[derive(Clone, Debug)]
pub struct Thing<'a> {
    /// What it is.
    pub what: What<'a>,
    /// The part's name in the manifest: letters, digits and dashes.
    pub name: String,
    /// Its files, relative to the page.
    pub files: Vec<String>,
}

/// What a thing is.
#[derive(Clone, Copy, Debug)]
pub enum What<'a> {
    /// The bench sheet on paper.
    BenchSheet,
    /// A stage's template on paper.
    Template(Stage),
    /// The tip's cut line on paper.
    TipTemplate,
    /// A part to print or to make of steel.
    Part(&'a Part),
    /// Gauges nested on a sheet.
    Sheet(&'a CutSheet),
    /// A gauge of sheet steel.
    Gauge(&'a CutGauge),
    /// The blade at a stage.
    Blade(Stage),
    /// The bars at a stage.
    Bars(Stage),
    /// The layers of a stage, to look at.
    Layers(Stage),
    /// The page for a customer.
    Show,
}
