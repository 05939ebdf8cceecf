//! The nearest blade that still can be made where steel is already gone.

use design::Design;
use serde::Serialize;

use crate::aim::FitFault;
use crate::edit::Editor;
use crate::knob::{Change, Limit};
use crate::search::{STEPS, Search};

/// How much of a ceiling is used, so that rounding to a micrometre stays under it.
const USED: f64 = 0.9995;
/// Excess over a ceiling that counts as none, as a share of it: what is left over by the search and by rounding.
const EXCESS: f64 = 1e-3;

/// The most steel that is left for the finished blade at a station; `None` where anything will do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ceiling {
    /// Station, mm from the shoulder, on the blade.
    pub at: f64,
    /// Greatest thickness at the back, mm; positive.
    pub back: Option<f64>,
    /// Greatest breadth, mm; positive.
    pub breadth: Option<f64>,
}

/// The nearest blade.
#[derive(Debug, Serialize)]
pub struct Nearest {
    /// Its design file.
    #[serde(skip)]
    pub file: String,
    /// That file read, without its warnings.
    #[serde(skip)]
    pub design: Design,
    /// What was changed.
    pub changes: Vec<Change>,
    /// Whether it lies under all ceilings.
    pub possible: bool,
    /// What stops it from doing so; none when it does.
    pub stopped_by: Option<String>,
}

/// The least change of taper stations and breadth that brings the finished blade under all ceilings, in the measure of
/// [`crate::fit`] with 50 % of each station's thickness and 30 % of the breadth as limits; of a file and the design that
/// was read from it.
///
/// # Errors
/// A file whose text can't be changed.
pub fn within(bytes: &[u8], design: &Design, ceilings: &[Ceiling]) -> Result<Nearest, FitFault> {
    let limits = Limit::stations(design);
    let text = String::from_utf8_lossy(bytes);
    let editor = Editor::new(&text, design).ok_or(FitFault::Uneditable)?;
    let goal = |d: &Design| Ok(excess(d, ceilings, USED));
    let mut search = Search {
        limits: &limits,
        editor: &editor,
        goal: &goal,
        bars: None,
        two_sided: 0,
        steps: STEPS,
        obstacle: None,
    };
    let turns = search.run();
    let (file, after, turns) = search.made(design, &turns);
    let possible = excess(&after, ceilings, 1.0).iter().all(|over| *over <= EXCESS);
    let stop = || {
        search.obstacle.clone().unwrap_or_else(|| {
            "more steel is gone than a change of taper and breadth can make up for".to_owned()
        })
    };
    let (changes, stopped_by) = (search.changes(&turns), (!possible).then(stop));
    Ok(Nearest { file, design: after, changes, possible, stopped_by })
}

/// How far the finished blade stands over this share of each ceiling, in parts of it.
fn excess(design: &Design, ceilings: &[Ceiling], used: f64) -> Vec<f64> {
    let over = |c: &Ceiling| {
        let read = design.blade().caliper(blade::Stage::Finished, c.at);
        let pairs = read.map_or(Vec::new(), |r| vec![(r.back, c.back), (r.breadth, c.breadth)]);
        pairs
            .into_iter()
            .filter_map(move |(is, most)| most.map(|most| is / (used * most) - 1.0))
            .collect::<Vec<_>>()
    };
    ceilings.iter().flat_map(over).collect()
}
