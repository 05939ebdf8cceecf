//! The blade on the bench rebuilt from its readings.

use design::{Design, Unit};

use crate::file::reading::{Quantity, Reading, Session};
use crate::surplus::doubt::{Doubt, Expected, Judge};
use crate::surplus::mass_balance::{MassBalance, MassBand};
use crate::surplus::next_reading::NextReading;
use crate::surplus::places::{self, Broader};
use crate::surplus::planned::Planned;
use crate::surplus::posterior::{Observation, Posterior};
use crate::surplus::prior::{Patch, Prior, Waves};
use crate::surplus::repeats;
use crate::surplus::surface::{Fields, Surface};
use crate::surplus::weighing::{Scales, weigh};

/// Level of the surplus of thickness before anything was read, mm: about what a stage takes off, for the blade that
/// the readings are laid on is as far ground as they are.
const LEVEL: f64 = 0.4;
/// Its tilt, mm: thick at one end by as much as half of that.
const TILT: f64 = 0.25;
/// Waves of thickness: of the hammer's and the belt's long passes; of single heats and passes; and of dips too narrow
/// to follow between two readings, down to what a jaw of 5 mm still finds (common practice, no source).
const WAVES: [Waves; 3] = [
    Waves { high: 0.25, along: 100.0, up: 1.4 },
    Waves { high: 0.16, along: 20.0, up: 0.5 },
    Waves { high: 0.15, along: 2.5, up: 0.3 },
];
/// Level of the surplus of breadth, and its tilt, mm: half of what forging leaves too broad.
const BROAD: [f64; 2] = [1.0, 0.5];
/// Waves of breadth, as of thickness.
const BROAD_WAVES: [Waves; 3] = [
    Waves { high: 0.3, along: 100.0, up: 10.0 },
    Waves { high: 0.1, along: 20.0, up: 10.0 },
    Waves { high: 0.05, along: 2.5, up: 10.0 },
];
/// Lean of the middle to one side, mm: a hand's unevenness between the sides (common practice, no source).
const LEAN: f64 = 0.3;
/// Share of the tang's volume that is not known: it is not measured, and is forged and filed to fit (common practice,
/// no source).
const TANG: f64 = 0.1;
/// How far heights are off where no breadth was read, mm: a smith who reads none holds it to be as planned.
const UNREAD: f64 = 0.15;

/// The breadth of the blade on the bench.
#[derive(Clone, Debug)]
pub(crate) struct Breadth {
    field: Posterior,
    otherwise: Vec<Posterior>,
    doubts: Vec<Doubt>,
    local: Vec<String>,
    read: bool,
}

impl Breadth {
    /// Over a plan, from a session's readings. `None` where no smooth line fits.
    pub(crate) fn new(
        design: &Design,
        stages: &[Planned; 3],
        planned: &Planned,
        session: &Session,
    ) -> Option<Breadth> {
        let judge = Judge { figures: design.figures(), stages };
        let read = session.readings.iter().filter(|r| r.what == Quantity::Breadth);
        let seen = confirmed(read.filter_map(|r| seen(planned, r, Broader { over: 0.0, spread: 0.0 })));
        let [level, tilt] = BROAD;
        let prior = Prior {
            level,
            tilt,
            waves: BROAD_WAVES,
            dips: Vec::new(),
            lean: 0.0,
            tang: 0.0,
            length: planned.length,
        };
        let judged = judge.judge(seen, prior)?;
        Some(Breadth {
            field: judged.field,
            otherwise: judged.otherwise,
            doubts: judged.doubts,
            local: judged.local,
            read: judged.read,
        })
    }

    /// How much broader than planned it is at a reading's station.
    pub(crate) fn over(&self, reading: &Reading) -> Broader {
        let place = Patch::at(reading.station, 0.0);
        let spread = if self.read { self.field.spread(&place) } else { UNREAD };
        Broader { over: self.field.sum(&place), spread }
    }
}

/// A blade rebuilt.
#[derive(Clone, Debug)]
pub(crate) struct Fitted {
    pub(crate) surface: Surface,
    /// Its mass and balance, and how far they may be off.
    pub(crate) bench: MassBalance,
    pub(crate) mass_band: MassBand,
    /// What the scales said beside the readings, where it was weighed.
    pub(crate) scales: Option<Scales>,
    pub(crate) doubts: Vec<Doubt>,
    /// Dips and humps, in words.
    pub(crate) local: Vec<String>,
    /// Whether anything tells of thickness.
    pub(crate) thickness_read: bool,
    pub(crate) breadth_read: bool,
    /// Where reading next helps most.
    pub(crate) next: Vec<NextReading>,
}

impl Fitted {
    /// The blade of a session rebuilt on the point of grinding it is nearest to, `planned`. `None` where no smooth
    /// surface fits.
    pub(crate) fn new(
        design: &Design,
        stages: &[Planned; 3],
        planned: &Planned,
        session: &Session,
        breadth: Breadth,
    ) -> Option<Fitted> {
        let judge = Judge { figures: design.figures(), stages };
        let read = session.readings.iter().filter(|r| r.what.is_thickness());
        let seen = confirmed(read.filter_map(|r| seen(planned, r, breadth.over(r))));
        let judged = judge.judge(seen, prior(planned, &breadth))?;
        let fields = Fields {
            thickness: judged.field,
            otherwise: judged.otherwise,
            breadth: breadth.field,
            breadth_otherwise: breadth.otherwise,
            unread: if breadth.read { 0.0 } else { UNREAD },
            less: 0.0,
        };
        let mut doubts = [breadth.doubts, judged.doubts].concat();
        let weight = repeats::merged(&session.readings).into_iter().find(|r| r.what == Quantity::Weight);
        let (fields, scales) = match weight {
            Some(reading) => weigh(design, planned, fields, &reading, &mut doubts)?,
            None => (fields, None),
        };
        let on_blade = |r: &&Reading| r.what.has_station() && !r.what.is_hung();
        let stations: Vec<f64> = session.readings.iter().filter(on_blade).map(|r| r.station).collect();
        let surface = Surface::banded(planned, &fields, &stations);
        let surface = match design.blade().spec().stages.forged_outline.is_none() {
            true => surface,
            false => surface.with_back_between(stages),
        };
        let bench = MassBalance::rebuilt(design, &surface);
        Some(Fitted {
            bench,
            mass_band: MassBand::new(design, planned, &fields.thickness, &bench),
            surface,
            scales,
            doubts,
            local: [breadth.local, judged.local].concat(),
            thickness_read: judged.read,
            breadth_read: breadth.read,
            next: NextReading::best(planned, &fields.thickness, grain(design)),
        })
    }
}

/// How the thickness is trusted to vary. What the breadth leaves open of the edge's strip is counted with the tang:
/// neither is seen by the thickness.
fn prior(planned: &Planned, breadth: &Breadth) -> Prior {
    let tang = TANG * planned.tang_volume();
    let spread = breadth.field.spread(&places::edge_strip(planned));
    let all: f64 = planned.edges().map(|(_, thick)| planned.step() * thick).sum();
    let strip = if breadth.read { spread } else { UNREAD * all };
    Prior {
        level: LEVEL,
        tilt: TILT,
        waves: WAVES,
        dips: Vec::new(),
        lean: LEAN,
        tang: tang.hypot(strip).max(LEAST_TANG),
        length: planned.length,
    }
}

/// A blade without a tang still has so much that nobody reads, mm³: the rounding of its corners.
const LEAST_TANG: f64 = 10.0;

/// To what stations and heights are rounded that are asked for, mm: as a rule is read.
fn grain(design: &Design) -> f64 {
    match design.unit() {
        Unit::Millimetre => 1.0,
        Unit::Inch => Unit::Inch.millimetres() / 8.0,
    }
}

/// A reading beside the plan; `None` where nothing is planned.
fn seen<'r>(planned: &Planned, reading: &'r Reading, broader: Broader) -> Option<Expected<'r>> {
    let expected = planned.reading(reading, broader.over)?;
    let patch = places::patch(planned, reading, broader.over)?;
    let noise = places::noise(planned, reading, broader)?;
    let known = Observation { patch, value: reading.value - expected, noise };
    Some(Expected { reading, known, planned: expected, confirmed: false })
}

/// Readings, those that bear each other out made one, with the marks of those that are confirmed.
fn confirmed<'r>(seen: impl Iterator<Item = Expected<'r>>) -> Vec<Expected<'r>> {
    let mut seen: Vec<Expected<'r>> = seen.collect();
    repeats::confirm(&mut seen);
    repeats::joined(seen)
}
