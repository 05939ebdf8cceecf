//! What the steel is like when it is straightened: soft or hardened, how hard, and where that is known from.

use blade::Stage;
use design::Design;
use laminate::{Bar, Direction, Layer, Share};
use serde::Serialize;
use steel::{HARDENED, Steel, Tempering, cold_set, rockwell, vickers, yield_strength};

use crate::file::reading::{Quantity, Session};

/// How far a hardness that was read may be off either way, as a share of HV: 1.5 HRC, what a file set or a tester on a
/// thin edge leave open (common practice, no source).
const READ: f64 = 0.045;
/// Hardness of a tempered blade of which nothing is told, HRC: from a long blade's to a knife's (common practice, no
/// source).
const TEMPERED: [f64; 2] = [52.0, 62.0];
/// The least hardness of a blade of which nothing is told, HV: as annealed carbon steel is sold (EN ISO 4957, from memory).
const SOFT: f64 = 170.0;
/// The greatest, HRC: fresh from the quench (common practice, no source).
const QUENCHED: f64 = 66.0;
/// How long a blade is tempered in all where nothing else is told, h: twice an hour (common practice, no source).
const HOURS: f64 = 2.0;

/// Where the hardness is known from.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Known {
    /// It was read.
    Read,
    /// From the temper, by what is published of the edge's steel.
    Tempered {
        /// The steel.
        steel: String,
        /// Who published it.
        source: String,
    },
    /// Taken, because nothing tells.
    Taken,
}

/// The steel of a blade to be straightened.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Condition {
    /// Whether it counts as hardened: by its finished stage, its hardness or its temper; `None` where nothing tells: a
    /// blade is quenched forged or ground, so these stages tell neither.
    pub hardened: Option<bool>,
    /// The hottest temper that was written down, °C.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tempered_c: Option<f64>,
    /// Least and greatest hardness, HV.
    pub hardness_hv: [f64; 2],
    /// Where that is known from.
    pub known: Known,
    /// Least, middle and greatest yield strength, MPa.
    pub yield_mpa: [f64; 3],
    /// Plastic strain that the skin may be set by cold, as a share; 0 where it should not be set at all, or where nothing
    /// tells whether it is hard.
    pub cold_set: f64,
}

impl Condition {
    /// Of a session's blade, nearest to a stage.
    pub(crate) fn new(design: &Design, session: &Session, stage: Stage) -> Option<Condition> {
        let tempered_c = session
            .readings
            .iter()
            .filter(|r| r.what == Quantity::Tempered)
            .map(|r| r.value)
            .reduce(f64::max);
        let read = read(session);
        let is_hard = stage == Stage::Finished
            || tempered_c.is_some()
            || read.is_some_and(|[_, most]| most >= HARDENED);
        let hardened = (is_hard || read.is_some()).then_some(is_hard);
        let (hardness_hv, known) = match (read, tempered_c) {
            (Some([least, most]), _) => ([least * (1.0 - READ), most * (1.0 + READ)], Known::Read),
            (None, Some(celsius)) => by_temper(design, celsius).unwrap_or((tempered()?, Known::Taken)),
            (None, None) if is_hard => (tempered()?, Known::Taken),
            (None, None) => ([SOFT, vickers(QUENCHED)?], Known::Taken),
        };
        let [low, high] = hardness_hv.map(within);
        Some(Condition {
            hardened,
            tempered_c,
            hardness_hv: [low, high],
            known,
            yield_mpa: strengths([low, high])?,
            // By its hardest: that cracks first. A back that reads soft does not tell of the edge.
            cold_set: match hardened {
                None => 0.0,
                Some(true) if high < HARDENED => cold_set(tempered()?[1]),
                Some(_) => cold_set(high),
            },
        })
    }
}

/// Least, middle and greatest yield strength for a band of hardness, HV, MPa: what the hardness and what the law leave
/// open, by the root of the squares, for neither knows of the other.
fn strengths([low, high]: [f64; 2]) -> Option<[f64; 3]> {
    let [least, middle, most] = yield_strength(0.5 * (low + high))?;
    let [soft, hard] = [yield_strength(low)?[1], yield_strength(high)?[1]];
    let (down, up) = ((middle - least).hypot(middle - soft), (most - middle).hypot(hard - middle));
    Some([(middle - down).max(0.3 * middle), middle, middle + up])
}

/// Within what strengths are published for, HV.
fn within(hv: f64) -> f64 {
    hv.clamp(100.0, 865.0)
}

/// The least and the greatest hardness that were read, HV: a hard edge under a soft back is hard.
fn read(session: &Session) -> Option<[f64; 2]> {
    let all = || session.readings.iter().filter(|r| r.what == Quantity::Hardness).map(|r| r.value);
    Some([all().reduce(f64::min)?, all().reduce(f64::max)?])
}

/// What is taken of a hardened blade where nothing more tells, HV.
fn tempered() -> Option<[f64; 2]> {
    let [low, high] = TEMPERED.map(vickers);
    Some([low?, high?])
}

/// The hardness of the edge's steel after a temper, HV; `None` where nothing published speaks for it.
fn by_temper(design: &Design, celsius: f64) -> Option<([f64; 2], Known)> {
    let all: Vec<(&Steel, Tempering)> =
        edge_steels(design).into_iter().filter_map(|s| Some((s, Tempering::of(s)?))).collect();
    let bands: Vec<[f64; 2]> = all.iter().filter_map(|(_, t)| t.hardness(celsius, HOURS)).collect();
    let low = bands.iter().map(|b| b[0]).reduce(f64::min).and_then(reached)?;
    let high = bands.iter().map(|b| b[1]).reduce(f64::max).and_then(reached)?;
    let names: Vec<&str> = all.iter().map(|(s, _)| s.name.as_str()).collect();
    let source = all.first()?.1.source();
    Some(([low, high], Known::Tempered { steel: names.join(" and "), source }))
}

/// Vickers at a Rockwell hardness, at its own end of the table beyond it.
fn reached(hrc: f64) -> Option<f64> {
    vickers(hrc.clamp(40.0, 66.0))
}

/// The steels of the edge: of the bar at the edge, or of the skin around it, and where its layers lie flat those of
/// the core alone. Of bars side by side any may come out at the edge.
fn edge_steels(design: &Design) -> Vec<&Steel> {
    let Some(billet) = design.billet() else { return Vec::new() };
    let at_edge = billet.sharing(billet.places() - 1);
    let skin = |i: &&usize| billet.bars()[**i].share.cells.iter().any(|cell| cell.up[0] <= 0.0);
    let skinned = billet.bars()[at_edge[0]].share.cells[0].up[0] > 0.0;
    let bars = at_edge.iter().filter(|i| !skinned || skin(i)).map(|&i| &billet.bars()[i]);
    let mut steels: Vec<&Steel> = Vec::new();
    for steel in bars.flat_map(shown).filter_map(|layer| billet.steels().get(layer.steel)) {
        if !steels.iter().any(|s| s.name == steel.name) {
            steels.push(steel);
        }
    }
    steels
}

/// The layers of a bar at the edge that come out there.
fn shown(bar: &Bar) -> &[Layer] {
    let layers = bar.layers.layers();
    let flat = bar.direction == Direction::Flat && bar.slope.is_none() && !bar.twist.is_twisted();
    let core = flat && bar.share == Share::default();
    if core { &layers[layers.len() / 2..=layers.len() / 2] } else { layers }
}

impl Condition {
    /// Its hardness in words: Rockwell where there is one, Vickers otherwise.
    pub(crate) fn hardness(&self) -> String {
        match self.hardness_hv.map(rockwell) {
            [Some(low), Some(high)] => format!("{low:.0} to {high:.0} HRC"),
            _ => format!("{:.0} to {:.0} HV", self.hardness_hv[0], self.hardness_hv[1]),
        }
    }
}
