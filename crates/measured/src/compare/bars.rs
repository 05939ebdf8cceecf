//! The billet's bars as they show on the surface now, and where grinding is about to go through one.

use design::{Design, Figures, teeth};
use glam::DVec3;
use laminate::{BarsAt, Billet, Direction, MaterialMap};
use serde::Serialize;

use crate::compare::take_off::TakeOff;
use crate::surplus::planned::Planned;
use crate::surplus::surface::{Flanks, Surface};

/// A lamination of so few layers is core and sides; more are a pattern, which grinding is meant to cut.
const CORE_LAYERS: std::ops::RangeInclusive<usize> = 2..=3;
/// Less steel than this left over the next layer is told, mm: a pass of a coarse belt (common practice, no source).
const THIN: f64 = 0.15;

/// Breadths of the bars on the side at one station, from the back to the edge, mm.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BarsHere {
    /// mm from the shoulder.
    pub station_mm: f64,
    /// Now: what is too broad or too narrow counts at the edge.
    pub now_mm: Vec<f64>,
    /// As planned.
    pub planned_mm: Vec<f64>,
}

/// The bars on the surface now.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BarsNow {
    /// Names of the bars, from the back to the edge.
    pub names: Vec<String>,
    /// Share of what the back shall lose from forged to finished that is gone, 0 to 1: the layers show as at this share.
    pub ground_share: f64,
    /// At the table's stations.
    pub at: Vec<BarsHere>,
    /// Where an edge bar or a core is near, in words.
    pub warnings: Vec<String>,
    /// What is to be known of the table, in words.
    pub notes: Vec<String>,
}

impl BarsNow {
    /// Of the rebuilt blade, at the stations of a table towards the finished stage; `None` without a billet.
    pub(crate) fn new(
        design: &Design,
        surface: &Surface,
        finished: &Planned,
        table: &[TakeOff],
    ) -> Option<BarsNow> {
        let lay = design.lay()?;
        let at: Vec<BarsHere> = table.iter().filter_map(|t| here(lay, finished, t)).collect();
        let names: Vec<String> =
            lay.billet().bars()[..lay.billet().places()].iter().map(|b| b.name.clone()).collect();
        let figures = design.figures();
        let near = design.limits().map_or(0.0, |l| l.near_edge);
        // Places along the bars take long to look up, so only a billet with a core has them asked for.
        let cored =
            if (0..lay.billet().bars().len()).any(|i| has_core(lay.billet(), i)) { table } else { &[] };
        let warnings = edge_bar(&names, &at, near, figures)
            .into_iter()
            .chain(cored.iter().filter_map(|t| core(lay, surface, finished, t, figures)))
            .collect();
        let notes = teeth(lay.billet(), figures);
        Some(BarsNow { names, ground_share: ground_share(design, table), at, warnings, notes })
    }
}

/// Share of the grinding of the back that is done, from forged to finished.
fn ground_share(design: &Design, table: &[TakeOff]) -> f64 {
    let stages = &design.blade().spec().stages;
    let all = 2.0 * (stages.forged_allowance + stages.ground_allowance);
    let backs: Vec<f64> =
        table.iter().filter_map(|t| t.spots.last()).map(|s| s.now_mm - s.planned_mm).collect();
    let left = backs.iter().sum::<f64>() / backs.len().max(1) as f64;
    if all > 0.0 { (1.0 - left / all).clamp(0.0, 1.0) } else { 1.0 }
}

/// The bars' breadths at a station now and as planned: what is gone at the edge is taken from the edge bar first.
fn here(lay: &MaterialMap, finished: &Planned, table: &TakeOff) -> Option<BarsHere> {
    let planned_mm = BarsAt::new(lay, &finished.sections, table.station_mm)?.places;
    let mut now_mm = planned_mm.clone();
    let mut over = table.breadth_over_mm;
    // From the edge up: what is gone of the edge bar may be more than there was.
    for width in now_mm.iter_mut().rev() {
        let left = (*width + over).max(0.0);
        over = (over + *width - left).min(0.0);
        *width = left;
    }
    Some(BarsHere { station_mm: table.station_mm, now_mm, planned_mm })
}

/// Where the edge bar is narrower than it should be and nearer to gone than the design allows.
fn edge_bar(names: &[String], at: &[BarsHere], near: f64, figures: Figures) -> Option<String> {
    let edge = names.len().checked_sub(1).filter(|last| *last > 0)?;
    let narrow = at.iter().filter(|b| b.now_mm[edge] < b.planned_mm[edge] && b.now_mm[edge] < near);
    let worst = narrow.min_by(|a, b| a.now_mm[edge].total_cmp(&b.now_mm[edge]))?;
    Some(format!(
        "the edge bar ({}) is down to {} at station {}; the plan there is {}",
        names[edge],
        figures.gap(worst.now_mm[edge]),
        figures.told(worst.station_mm),
        figures.gap(worst.planned_mm[edge])
    ))
}

/// Where a side's layer is ground through, or nearly, at one station: the worst of its spots.
fn core(
    lay: &MaterialMap,
    surface: &Surface,
    finished: &Planned,
    table: &TakeOff,
    figures: Figures,
) -> Option<String> {
    let (rebuilt, section) = (surface.at(table.station_mm)?, finished.at(table.station_mm)?);
    let (low, high) = rebuilt.range();
    let spots = table.spots.iter().flat_map(|s| {
        let y = (low + s.height_mm).clamp(section.range().0, high);
        let (left, right) = section.flanks(y);
        let now = rebuilt.flanks(y).unwrap_or(Flanks { left, right });
        // Finished, the surface lies where it is planned, or deeper where it is deeper already.
        [(s.height_mm, y, right, right.min(now.right), 1.0), (s.height_mm, y, left, left.max(now.left), -1.0)]
    });
    let left = spots.filter_map(|(height, y, planned, z, side)| {
        let over = |z: f64| over_core(lay, DVec3::new(table.station_mm, y, z), side);
        // Where the core shows by design, as along the edge, there is nothing to mind.
        over(planned).filter(|left| *left > 0.0)?;
        Some((over(z)?, height, side))
    });
    let (left, height, side) = left.filter(|(left, ..)| *left < THIN).min_by(|a, b| a.0.total_cmp(&b.0))?;
    let side = if side > 0.0 { "right" } else { "left" };
    let place =
        format!("at station {}, {} above the edge", figures.told(table.station_mm), figures.told(height));
    Some(if left > 0.0 {
        format!(
            "{place}: when finished, only {} of the outer layer will be left on the {side} side",
            figures.gap(left)
        )
    } else {
        format!("{place}: the outer layer on the {side} side is ground through")
    })
}

/// Whether a bar is core and sides.
fn has_core(billet: &Billet, index: usize) -> bool {
    let bar = &billet.bars()[index];
    let is_plain = bar.direction == Direction::Flat && bar.slope.is_none() && !bar.twist.is_twisted();
    is_plain && CORE_LAYERS.contains(&bar.layers.layers().len()) && !billet.is_parted(index)
}

/// Steel of the outer layer left under a point of the surface on the `side` (1 right, −1 left), mm, at most 0 where the
/// core shows; `None` where there is no core.
fn over_core(lay: &MaterialMap, p: DVec3, side: f64) -> Option<f64> {
    let plane = lay.plane(p.x)?;
    let (left, right) = plane.flanks(p.y);
    let at = plane.stack_point(p.y, p.z);
    let (index, _) = lay.billet().bar_point(at);
    if !has_core(lay.billet(), index) {
        return None;
    }
    let bar = &lay.billet().bars()[index];
    let layers = bar.layers.layers();
    // Layers are counted from left to right; their borders lie at shares of the forged thickness.
    let border = if side > 0.0 { bar.layers.start(layers.len() - 1) } else { layers[0].end };
    let z = left + border * (right - left);
    Some(side * (p.z - z))
}
