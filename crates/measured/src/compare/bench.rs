//! All sessions of a measured file on their design: the one constructor, and the surface to be looked at.

use blade::{Sections, Sides, Stage};
use design::Figures;
use design::{Design, Problem};
use glam::DVec3;
use serde::Serialize;

use crate::compare::day::{Day, Measure};
use crate::compare::standing::{Standing, standing};
use crate::file::fault::{Fault, problem};
use crate::file::reading::{Quantity, Session};
use crate::surplus::advice::Advice;
use crate::surplus::doubt::median;
use crate::surplus::fit::{Breadth, Fitted};
use crate::surplus::mass_balance::MassBalance;
use crate::surplus::planned::Planned;
use crate::surplus::surface::{Over, Surface};

/// The comparison, as `--json` prints it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct History {
    /// The design's name.
    pub name: String,
    /// The unit of the words; everything here is in mm, g and degrees whatever it is.
    pub unit: &'static str,
    /// What balance is measured from: `guard`, or `shoulder`.
    pub measured_from: &'static str,
    /// Shoulder to point, mm.
    pub length_mm: f64,
    /// The sessions in the order of time, at least one.
    pub days: Vec<Day>,
}

/// A design's stages, ready to be compared with: worked out once for all files measured on it.
#[derive(Clone, Debug)]
pub struct Stages([Planned; 3]);

impl Stages {
    /// Of a design.
    pub fn of(design: &Design) -> Stages {
        Stages(Planned::all(design))
    }
}

/// The blade of the last session, to be looked at.
#[derive(Clone, Debug)]
pub struct Bench {
    history: History,
    figures: Figures,
    two_sided: bool,
    surface: Surface,
    stages: [Planned; 3],
    standing: Standing,
}

impl Bench {
    /// Compares the sessions of a measured file with its design. `past` is how many times its bow the smith bends a
    /// blade past straight; without it shims bring it straight. `None` where there is no session: nothing is filled
    /// in.
    ///
    /// # Errors
    /// A problem for every session that no smooth surface fits.
    pub fn from_sessions(
        design: &Design,
        sessions: &[Session],
        past: Option<f64>,
    ) -> Result<Option<Bench>, Vec<Problem>> {
        Bench::on(design, &Stages::of(design), sessions, past)
    }

    /// The same with the stages of that design.
    ///
    /// # Errors
    /// As [`Bench::from_sessions`].
    pub fn on(
        design: &Design,
        stages: &Stages,
        sessions: &[Session],
        past: Option<f64>,
    ) -> Result<Option<Bench>, Vec<Problem>> {
        let stages = &stages.0;
        let mut problems = Vec::new();
        let mut days = Vec::new();
        let mut last = None;
        for session in sessions {
            match rebuilt(design, stages, session) {
                Some((standing, fitted)) => {
                    let measure = Measure { design, stages, session, standing, fitted: &fitted };
                    days.push(measure.day(past));
                    last = Some((fitted.surface, standing));
                }
                None => problems.extend(
                    session
                        .readings
                        .first()
                        .map(|r| problem(&format!("line {}", r.line), r.span.clone(), &Fault::Unfitted {})),
                ),
            }
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        let Some((surface, standing)) = last else { return Ok(None) };
        let history = History {
            name: design.name().to_owned(),
            unit: design.unit().name(),
            measured_from: design.measured_from(),
            length_mm: design.blade().length(),
            days,
        };
        let figures = design.figures();
        let two_sided = design.blade().spec().section.sides == Sides::Both;
        Ok(Some(Bench { history, figures, two_sided, surface, stages: stages.clone(), standing }))
    }

    /// All sessions.
    pub fn history(&self) -> &History {
        &self.history
    }

    /// The last session.
    pub fn last(&self) -> &Day {
        &self.history.days[self.history.days.len() - 1]
    }

    /// What the finished blade of `other`, a design near this one, comes to when it is made of the steel that the last session
    /// found: never heavier than that.
    pub fn made_of(&self, other: &Design) -> MassBalance {
        let finished = Planned::new(other.blade().loft(Stage::Finished));
        MassBalance::made_of(other, &self.surface, &finished)
    }

    pub(crate) fn figures(&self) -> Figures {
        self.figures
    }

    /// The stage that the last session's blade goes to next.
    pub fn next(&self) -> Stage {
        self.standing.next
    }

    /// How much to take off the side on which `point` (mm, the blade's frame) lies, at its station and height, on the
    /// way to the next stage: mm, by the edge of its band; 0 where it is known too little, below 0 where steel is
    /// already gone. Points of either surface do, the planned one and that on the bench; what lies on neither side of
    /// the section's middle counts as right. `None` off the blade.
    pub fn take_off(&self, point: DVec3) -> Option<f64> {
        self.section(point.x)?.take_off(point.y, point.z)
    }

    /// How far the side at `point` (as of [`Bench::take_off`]) stands over the next stage, and how far that may be
    /// off, at 95 %, mm. `None` off the blade.
    pub fn over(&self, point: DVec3) -> Option<[f64; 2]> {
        self.section(point.x)?.over(point.y, point.z)
    }

    /// The plane square to the blade at station `x`, mm; `None` off the blade.
    pub fn section(&self, x: f64) -> Option<Slice> {
        // Behind the shoulder sections are the tang's.
        let target = self.target().at(x).filter(|_| x >= 0.0)?;
        Some(Slice { rebuilt: self.surface.at(x)?, target })
    }

    /// The section of the blade on the bench at station `x`, mm.
    #[cfg(test)]
    pub(crate) fn rebuilt_at(&self, x: f64) -> Option<crate::surplus::surface::RebuiltSection> {
        self.surface.at(x)
    }

    fn target(&self) -> &Sections {
        &self.stages[self.standing.next as usize].sections
    }

    /// Whether both sides are to be ground alike: they are planned alike and nothing was read of one alone.
    pub(crate) fn is_even(&self) -> bool {
        let even = |(x, _): (f64, _)| {
            let (back, edge) = (self.surface.at_back(x).lean, self.surface.at_edge(x).lean);
            back.abs() < EVEN && edge.abs() < EVEN
        };
        self.two_sided && self.surface.slices().all(even)
    }
}

/// A session's blade, and where it stands; `None` where no smooth surface fits.
fn rebuilt(design: &Design, stages: &[Planned; 3], session: &Session) -> Option<(Standing, Fitted)> {
    let over = |planned: &Planned| Breadth::new(design, stages, planned, session);
    let finished = over(&stages[2])?;
    if design.blade().spec().stages.forged_outline.is_none() {
        // Every stage is planned as broad as the others.
        let standing = standing(design, stages, session, [&finished; 3]);
        let laid_on = Planned::new(design.blade().loft_ground(standing.share));
        return Some((standing, Fitted::new(design, stages, &laid_on, session, finished)?));
    }
    let standing = standing(design, stages, session, [&over(&stages[0])?, &finished, &finished]);
    let blade = design.blade();
    // Ground alike with the sides, unless the blade is narrower already.
    let alike = blade.outline_left(standing.share);
    let left = outline_left(stages, session).map_or(alike, |most| most.min(alike));
    let laid_on = Planned::new(blade.loft_between(standing.share, left));
    let breadth = over(&laid_on)?;
    Some((standing, Fitted::new(design, stages, &laid_on, session, breadth)?))
}

/// The most of the outline's own allowance that breadths tell to be left, as a share: half of them say more, half less. A
/// blade that was forged too broad has less of it left.
fn outline_left(stages: &[Planned; 3], session: &Session) -> Option<f64> {
    let read = session.readings.iter().filter(|r| r.what == Quantity::Breadth);
    let left = read.filter_map(|r| {
        let [forged, finished] = [&stages[0], &stages[2]].map(|p| p.reading(r, 0.0));
        let (forged, finished) = (forged?, finished?);
        (forged > finished).then(|| (r.value - finished) / (forged - finished))
    });
    let left: Vec<f64> = left.collect();
    (!left.is_empty()).then(|| median(left.into_iter()).clamp(0.0, 1.0))
}

/// How far off the border of a section a place is still on it, mm: more than rounding, less than any caliper tells.
const HAIR: f64 = 1e-3;
/// A middle that leans less than this is upright, mm: rounding.
const EVEN: f64 = 1e-9;

/// The blade on the bench and the next stage in one plane square to the blade.
#[derive(Clone, Debug)]
pub struct Slice {
    rebuilt: crate::surplus::surface::RebuiltSection,
    target: blade::CrossSection,
}

impl Slice {
    /// Heights between which there is steel on the bench, mm.
    pub(crate) fn range(&self) -> (f64, f64) {
        self.rebuilt.range()
    }

    /// Heights between which the next stage is planned, mm.
    pub(crate) fn planned(&self) -> (f64, f64) {
        self.target.range()
    }

    /// z of the planned section's middle at height `y`, mm: one-sided blades lie beside the middle plane.
    fn middle(&self, y: f64) -> f64 {
        let (left, right) = self.target.flanks(y);
        0.5 * (left + right)
    }

    /// As [`Bench::take_off`], at a height and a distance from the middle plane, mm.
    pub fn take_off(&self, y: f64, z: f64) -> Option<f64> {
        self.advice_at(y, z).map(Advice::millimetres)
    }

    /// What to do at a height and a distance from the middle plane, mm; `None` off the blade.
    pub fn advice_at(&self, y: f64, z: f64) -> Option<Advice> {
        let [right, left] = self.both(y)?.advice();
        Some(if z < self.middle(y) { left } else { right })
    }

    /// As [`Bench::over`], at a height and a distance from the middle plane, mm.
    pub fn over(&self, y: f64, z: f64) -> Option<[f64; 2]> {
        let over = self.both(y)?;
        Some([if z < self.middle(y) { over.left } else { over.right }, over.band])
    }

    /// What to do right and left at height `y`; `None` where there is neither blade nor plan.
    pub(crate) fn advice(&self, y: f64) -> Option<[Advice; 2]> {
        Some(self.both(y)?.advice())
    }

    fn both(&self, y: f64) -> Option<Over> {
        let ((a, b), (c, d)) = (self.rebuilt.range(), self.target.range());
        // On the border of both, rounding alone would decide whether one of the two is there.
        let inside = y.clamp(a.max(c), b.min(d).max(a.max(c)));
        let y = if (y - inside).abs() < HAIR { inside } else { y };
        (y >= a.min(c) && y <= b.max(d)).then(|| Over::at(&self.rebuilt, &self.target, y))
    }
}
