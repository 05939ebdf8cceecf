//! How a blade is bent and twisted, from the gaps under a straight bar, and how to shim it for straightening.
//!
//! A bar laid along a side rests on two places; what it says is how far the surface stands off a straight line, not how
//! that line lies. So a bow is what is left when the straight line through the first and the last reading is taken off,
//! and an even twist from end to end shows under no bar: that is what a reading of `twist` is for. The blade's own taper
//! is taken off with the thickness that was measured.

use blade::Stage;
use design::Design;
use serde::Serialize;

use crate::compare::bow::{Bow, FEWEST, bow, half};
use crate::file::reading::{Line, Quantity, Reading, Session, Side};
use crate::straighten::straightening::Straightening;
use crate::surplus::planned::Planned;
use crate::surplus::repeats::merged;
use crate::surplus::surface::Surface;

/// Shims between a straight bar and the blade.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Shims {
    /// The side the bar lies on: the hollow one.
    pub side: Side,
    /// The line along which they lie.
    pub line: Line,
    /// How many times its bow the blade is bent past straight, where the smith said so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub past: Option<f64>,
    /// Stations (mm) and the shim there, mm; 0 where the bar touches.
    pub shims_mm: Vec<[f64; 2]>,
}

/// Twist along the blade.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Twist {
    /// Stations (mm) and turn against the first, degrees, with the sun seen from the shoulder.
    pub turn_deg: Vec<[f64; 2]>,
    /// Whether it was read as such; otherwise it comes from the bows of back and edge, and an even twist is not in it.
    pub read: bool,
}

/// How the blade is bent and twisted.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Warp {
    /// Bows, sideways ones first.
    pub bows: Vec<Bow>,
    /// Twist, as read and as the bows tell it.
    pub twists: Vec<Twist>,
    /// Shims for the sideways bows; none where nothing tells whether the steel is hard: clamped straight, it may snap.
    pub shims: Vec<Shims>,
    /// What the steel bears, and how it is bent straight; absent where no gap, hardness or temper was read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub straightening: Option<Straightening>,
}

/// What is asked of a bent blade.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Asked {
    /// The stage it is nearest to.
    pub(crate) stage: Stage,
    /// How many times its bow the smith bends a blade past straight.
    pub(crate) past: Option<f64>,
}

impl Warp {
    /// Of a session's readings on the blade rebuilt from them.
    pub(crate) fn new(
        design: &Design,
        surface: &Surface,
        session: &Session,
        Asked { stage, past }: Asked,
    ) -> Warp {
        let lines = [Line::Back, Line::Edge];
        let sideways: Vec<(Side, Bow)> =
            lines.into_iter().filter_map(|l| sideways(surface, session, l)).collect();
        let plane = lines.into_iter().filter_map(|l| in_plane(surface.planned(), session, l));
        let mut shims: Vec<Shims> =
            sideways.iter().filter_map(|(side, bow)| shims(surface, *side, bow, past)).collect();
        let bent = match &sideways[..] {
            [(_, back), (_, edge)] => unlike(surface, back, edge),
            _ => None,
        };
        let twists = twist_read(design, session).into_iter().chain(bent).collect();
        let bows: Vec<Bow> = sideways.into_iter().map(|(_, bow)| bow).chain(plane).collect();
        let straightening = Straightening::new(design, surface, session, stage, (&bows, past));
        if straightening.as_ref().is_none_or(|s| s.condition.hardened.is_none()) {
            shims.clear();
        }
        Warp { bows, twists, shims, straightening }
    }
}

/// The sideways bow along a line, and its hollow side: where the bar was laid on both sides, the side with more readings.
fn sideways(surface: &Surface, session: &Session, line: Line) -> Option<(Side, Bow)> {
    let read = |side: Side| readings(session, Quantity::SideGap(side, line));
    let (right, left) = (read(Side::Right), read(Side::Left));
    let (side, gaps) = if right.len() >= left.len() { (Side::Right, right) } else { (Side::Left, left) };
    // The bar's line, less the gap, is the skin; less half the thickness, the middle on that side's terms.
    let middle = |r: &Reading| [r.station, -side.sign() * (r.value + half(surface, line, r.station))];
    let bow = bow(line, true, gaps.iter().map(middle).collect())?;
    // What stands off to the right is hollow on the left.
    let hollow = if bow.most_mm > 0.0 { Side::Left } else { Side::Right };
    Some((hollow, bow))
}

/// The bow in the blade's plane against the planned line.
fn in_plane(planned: &Planned, session: &Session, line: Line) -> Option<Bow> {
    let gaps = readings(session, Quantity::PlaneGap(line));
    let sign = if line == Line::Back { 1.0 } else { -1.0 };
    let off = |r: &Reading| {
        let (low, high) = planned.at(r.station)?.range();
        let plan = if line == Line::Back { high } else { low };
        Some([r.station, -sign * r.value - plan])
    };
    bow(line, false, gaps.iter().filter_map(off).collect())
}

/// Readings of one kind from the shoulder on, each place once.
fn readings(session: &Session, what: Quantity) -> Vec<Reading> {
    let mut found = merged(&session.readings);
    found.retain(|r| r.what == what);
    found.sort_by(|a, b| a.station.total_cmp(&b.station));
    found
}

/// Shims with which the blade clamped to a straight bar on its hollow side comes straight, or `past` times its bow past
/// that: from the bar to the skin where it shall lie, the least of them none.
fn shims(surface: &Surface, side: Side, bow: &Bow, past: Option<f64>) -> Option<Shims> {
    let skin = |&[x, off]: &[f64; 2]| {
        let wanted = -past.unwrap_or(0.0) * off;
        side.sign() * wanted + half(surface, bow.line, x)
    };
    let highest = bow.off_mm.iter().map(skin).reduce(f64::max)?;
    let shims_mm = bow.off_mm.iter().map(|p| [p[0], highest - skin(p)]).collect();
    Some(Shims { side, line: bow.line, past, shims_mm })
}

/// Twist as it was read with winding sticks.
fn twist_read(design: &Design, session: &Session) -> Option<Twist> {
    let read = readings(session, Quantity::Twist);
    let turn_deg: Vec<[f64; 2]> = read.iter().map(|r| [r.station, r.value.to_degrees()]).collect();
    let on_blade = turn_deg.iter().all(|t| t[0] < design.blade().length());
    (!turn_deg.is_empty() && on_blade).then_some(Twist { turn_deg, read: true })
}

/// Twist that the bows of back and edge differ by, at the stations read on both.
fn unlike(surface: &Surface, back: &Bow, edge: &Bow) -> Option<Twist> {
    let turn = |&[x, off]: &[f64; 2]| {
        let other = edge.off_mm.iter().find(|e| (e[0] - x).abs() < 1e-6)?;
        let (low, high) = surface.at(x)?.range();
        // The back to the right of the edge turns with the sun, seen from the shoulder with the back up.
        Some([x, (off - other[1]).atan2(high - low).to_degrees()])
    };
    let turn_deg: Vec<[f64; 2]> = back.off_mm.iter().filter_map(turn).collect();
    (turn_deg.len() >= FEWEST).then_some(Twist { turn_deg, read: false })
}
