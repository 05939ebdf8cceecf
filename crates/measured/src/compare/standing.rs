//! Which stage a blade is nearest to, and which it goes to next.

use blade::Stage;
use design::Design;
use serde::Serialize;

use crate::file::reading::{Quantity, Reading, Session};
use crate::surplus::doubt::median;
use crate::surplus::fit::Breadth;
use crate::surplus::mass_balance::MassBalance;
use crate::surplus::planned::Planned;
use crate::surplus::slip;

/// A blade this much thicker than a stage has not reached it, mm: what a belt takes off in a pass or two (common
/// practice, no source).
const LEFT: f64 = 0.1;
/// The same by weight, as a share.
const HEAVIER: f64 = 0.02;

/// Share of the grinding just before the edge is sharpened.
const UNSHARPENED: f64 = 0.999;

/// Where a session's blade stands: what it is compared with, and where it goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Standing {
    /// The stage it is nearest to, or that the file names.
    pub(crate) nearest: Stage,
    /// The stage it goes to next; the finished one where nothing is left to do.
    pub(crate) next: Stage,
    /// Share of the grinding that is done, from the forged to the finished blade, 0 to 1: the blade of this share is the
    /// one that the readings are laid on.
    pub(crate) share: f64,
    /// What tells.
    pub(crate) by: By,
}

/// What tells which stage a blade is nearest to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum By {
    /// The file names it.
    File,
    /// Thicknesses that were read.
    Thickness,
    /// The weight alone.
    Weight,
    /// Neither file nor readings, so that the forged stage is taken, which has everything before it.
    Nothing,
}

/// The standing of a session, by how much broader it is than each stage.
pub(crate) fn standing(
    design: &Design,
    stages: &[Planned; 3],
    session: &Session,
    breadth: [&Breadth; 3],
) -> Standing {
    let shares = Stage::ALL.map(|s| design.blade().ground_share(s));
    let over = over(design, stages, session, breadth);
    let read = over.as_ref().map(|o| (o.nearest(), o.next(), share(&o.all, shares)));
    let given = session.stage.and_then(|g| Stage::ALL.iter().position(|s| *s == g));
    let (nearest, next, share) = match (given, read) {
        (Some(given), read) => (given, (given + 1).min(2), read.map_or(shares[given], |r| r.2)),
        (None, Some(read)) => read,
        (None, None) => (0, 1, 0.0),
    };
    // Fullers and holes are cut with the grinding: a blade just forged has none.
    let spec = design.blade().spec();
    let uncut = nearest == 0 && !(spec.fullers.is_empty() && spec.tang.holes.is_empty());
    let by = match (given, &over) {
        (Some(_), _) => By::File,
        (None, Some(over)) => over.by,
        (None, None) => By::Nothing,
    };
    // Nothing tells whether the edge is sharpened unless the file says so: the last secondary bevel comes at the very end.
    let most = if session.stage == Some(Stage::Finished) { 1.0 } else { UNSHARPENED };
    let [nearest, next] = [nearest, next].map(|i| Stage::ALL[i]);
    Standing { nearest, next, share: if uncut { 0.0 } else { share.min(most) }, by }
}

/// How far a session's readings stand over each stage.
struct Over {
    /// One for each reading: over the forged, the ground and the finished stage, mm or a share of the mass.
    all: Vec<[f64; 3]>,
    /// What is still over, in the same.
    left: f64,
    /// What tells it.
    by: By,
}

impl Over {
    fn median(&self, stage: usize) -> f64 {
        median(self.all.iter().map(|o| o[stage]))
    }

    fn nearest(&self) -> usize {
        let off = |stage: &usize| self.median(*stage).abs();
        [1, 2]
            .iter()
            .fold(0, |best, stage| if off(stage).total_cmp(&off(&best)).is_lt() { *stage } else { best })
    }

    fn next(&self) -> usize {
        if self.median(1) > self.left { 1 } else { 2 }
    }
}

/// How far the blade stands over each stage, by thickness or else by weight; `None` where nothing tells.
fn over(design: &Design, stages: &[Planned; 3], session: &Session, breadth: [&Breadth; 3]) -> Option<Over> {
    let likely = |r: &&Reading| {
        let plan = |i: usize| stages[i].reading(r, breadth[i].over(r).over);
        plan(2).zip(plan(0)).is_some_and(|(least, most)| r.sure || slip::plausible(r.value, least, most))
    };
    let thick = session.readings.iter().filter(|r| r.what.is_thickness()).filter(likely);
    let all: Vec<[f64; 3]> = thick.filter_map(|r| surplus(stages, r, breadth)).collect();
    if !all.is_empty() {
        return Some(Over { all, left: LEFT, by: By::Thickness });
    }
    let weighed = session.readings.iter().find(|r| r.what == Quantity::Weight)?.value;
    let over = [0, 1, 2].map(|i| weighed / MassBalance::planned(design, &stages[i]).steel_g - 1.0);
    Some(Over { all: vec![over], left: HEAVIER, by: By::Weight })
}

/// How much thicker than each stage a reading tells the blade to be, mm.
fn surplus(stages: &[Planned; 3], reading: &Reading, breadth: [&Breadth; 3]) -> Option<[f64; 3]> {
    // One flank tells of half the thickness.
    let whole = if matches!(reading.what, Quantity::Flank(_)) { 2.0 } else { 1.0 };
    let over = |i: usize| {
        let planned = stages[i].reading(reading, breadth[i].over(reading).over)?;
        Some(whole * (reading.value - planned))
    };
    Some([over(0)?, over(1)?, over(2)?])
}

/// The share of the grinding at which half of the readings stand over and half under, with the stages at `shares`.
fn share(all: &[[f64; 3]], shares: [f64; 3]) -> f64 {
    median(all.iter().map(|over| {
        // Over the later stages a blade stands higher.
        let [a, b] = if over[1] > 0.0 { [0, 1] } else { [1, 2] };
        let (from, to) = (over[a], over[b]);
        let t = if to > from { (-from / (to - from)).clamp(0.0, 1.0) } else { 1.0 };
        shares[a] + (shares[b] - shares[a]) * t
    }))
}
