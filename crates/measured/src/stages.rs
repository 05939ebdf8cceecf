//! Which stage a blade is nearest to, and which it goes to next.

use blade::Stage;
use design::Design;

use crate::fit::median;
use crate::hang::Hang;
use crate::planned::Planned;
use crate::reading::{Reading, Session, What};

/// A blade this much thicker than a stage has not reached it, mm: what a belt takes off in a pass or two (common
/// practice, no source).
const LEFT: f64 = 0.1;
/// The same by weight, as a share.
const HEAVIER: f64 = 0.02;

/// Where a session's blade stands: the stage that it is compared with, and the one that it goes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Standing {
    /// Index of the stage it is nearest to, or that the file names.
    pub(crate) nearest: usize,
    /// Index of the stage it goes to next; the finished one where nothing is left to do.
    pub(crate) next: usize,
    /// Whether neither file nor readings tell, so that the forged stage is taken, which has everything before it.
    pub(crate) guessed: bool,
}

/// The standing of a session.
pub(crate) fn standing(design: &Design, stages: &[Planned; 3], session: &Session) -> Standing {
    if let Some(given) = session.stage {
        let nearest = Stage::ALL.iter().position(|s| *s == given).unwrap_or(0);
        return Standing { nearest, next: (nearest + 1).min(2), guessed: false };
    }
    let Some((over, left)) = over(design, stages, session) else {
        return Standing { nearest: 0, next: 1, guessed: true };
    };
    let nearest = (0..3).min_by(|&a, &b| over[a].abs().total_cmp(&over[b].abs())).unwrap_or(0);
    Standing { nearest, next: if over[1] > left { 1 } else { 2 }, guessed: false }
}

/// How far the blade stands over each stage, by thickness or else by weight, and what is still over; `None` where nothing
/// tells.
fn over(design: &Design, stages: &[Planned; 3], session: &Session) -> Option<([f64; 3], f64)> {
    let thick: Vec<&Reading> = session.readings.iter().filter(|r| r.what.is_thickness()).collect();
    if !thick.is_empty() {
        let over = |p: &Planned| median(thick.iter().filter_map(|r| surplus(p, r)));
        return Some(([over(&stages[0]), over(&stages[1]), over(&stages[2])], LEFT));
    }
    let weighed = session.readings.iter().find(|r| r.what == What::Weight)?.value;
    let over = |p: &Planned| weighed / Hang::planned(design, p).steel_g - 1.0;
    Some(([over(&stages[0]), over(&stages[1]), over(&stages[2])], HEAVIER))
}

/// How much thicker than planned a reading tells the blade to be, mm.
fn surplus(planned: &Planned, reading: &Reading) -> Option<f64> {
    // One flank tells of half the thickness.
    let whole = if matches!(reading.what, What::Flank(_)) { 2.0 } else { 1.0 };
    Some(whole * (reading.value - planned.reading(reading, 0.0)?))
}
