//! Thickness combs for the distal taper: for each station a slot that the blade's back must enter, and one it must not.

use blade::Stage;
use design::{Design, Problem};
use glam::DVec2;

use crate::gauge::rack::{Column, Notch, Rack, endings, racks};
use crate::gauge::unlaid::Gauge;
use crate::slab::corner::{Corner, QUARTER};
use crate::slab::halves::{Part, extent, section};

/// How far a slot reaches over the back, mm: as far as a caliper's jaws, past every rounded corner (common practice,
/// no source).
const REACH: f64 = 8.0;

/// The most of the blade's breadth that a slot reaches over: near the point it stays off the bevel's thin part.
const REACH_SHARE: f64 = 0.4;

/// Narrowest no-go slot, mm: a narrower one would be closed by the plastic's own spread (common practice, no source).
const NARROWEST: f64 = 0.2;

/// Largest radius of the pockets in a slot's corners, mm: clears burrs and dirt (common practice, no source).
const POCKET: f64 = 1.0;

/// The most of a slot's width that the pockets' radius takes: a fifth of it is left for the back to rest on.
const POCKET_SHARE: f64 = 0.2;

/// What the slots of one station measure, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Slot {
    pub(crate) station: f64,
    /// The greatest thickness of the blade from its back down to `depth`.
    pub(crate) thickness: f64,
    pub(crate) depth: f64,
}

/// The printed combs of a stage, none without stations; several where one would not fit the bed.
pub(crate) fn combs(design: &Design, stage: Stage) -> Result<Vec<Gauge>, Problem> {
    let columns = columns(design, stage, notch)?;
    let heading = |number: usize, count: usize| {
        let part = if count > 1 { format!("{number}/{count}") } else { String::new() };
        heading(stage, part)
    };
    let racks = racks(design, &columns, &format!("a thickness comb of one station ({stage})"), heading)?;
    Ok(gauges(design, stage, &racks))
}

/// Words at a comb's left end.
pub(crate) fn heading(stage: Stage, part: String) -> [String; 4] {
    ["GO".to_owned(), stage.name().to_ascii_uppercase(), part, "NO GO".to_owned()]
}

/// Every station's slots, go in the upper edge and no-go in the lower one, each a notch of a width and depth (mm).
///
/// # Errors
/// That a slot is too narrow to refuse the blade.
pub(crate) fn columns(
    design: &Design,
    stage: Stage,
    notch: impl Fn(f64, f64) -> Notch,
) -> Result<Vec<Column>, Problem> {
    let (figures, press) = (design.figures(), design.shop().press);
    let slots = slots(design, stage);
    if let Some(slot) = slots.iter().find(|s| s.thickness - press < NARROWEST) {
        return Err(too_narrow(design, slot));
    }
    let column = |slot: &Slot| Column {
        above: Some(notch(slot.thickness + press, slot.depth)),
        below: Some(notch(slot.thickness - press, slot.depth)),
        words: [figures.station(slot.station), figures.thickness(slot.thickness)],
    };
    Ok(slots.iter().map(column).collect())
}

/// Thickness and depth of the slots at every station.
pub(crate) fn slots(design: &Design, stage: Stage) -> Vec<Slot> {
    let (blade, loft) = (design.blade(), design.blade().loft(stage));
    let slot = |&station: &f64| {
        let section = section(blade, &loft, station)?;
        let [low, high] = section.bounds();
        let depth = REACH.min(REACH_SHARE * (high.y - low.y));
        let [left, right] = extent(&section, high.y - depth, Part::Above);
        Some(Slot { station, thickness: right - left, depth })
    };
    design.gauges().stations.iter().filter_map(slot).collect()
}

/// The problem of a slot too narrow to be printed.
fn too_narrow(design: &Design, slot: &Slot) -> Problem {
    let press = design.shop().press;
    design.problem(
        "shop.clearance.press",
        "no-go",
        format!(
            "at {:.1} mm the blade is {:.2} mm thick; less the gap of {press} mm, no slot can be printed that \
             refuses it",
            slot.station, slot.thickness
        ),
        "give a smaller gap for parts pressed together, or end the gauges' stations before it".to_owned(),
    )
}

/// A slot with parallel sides down to its depth, where the back rests between two round pockets.
fn notch(width: f64, depth: f64) -> Notch {
    let (half, r) = (0.5 * width, POCKET.min(POCKET_SHARE * width));
    let corner = |x: f64, y: f64, bulge: f64| Corner { at: DVec2::new(x, y), bulge };
    let corners = vec![
        corner(half, 0.0, 0.0),
        corner(half, -depth, -QUARTER),
        corner(half - r, -depth - r, -QUARTER),
        corner(half - 2.0 * r, -depth, 0.0),
        corner(2.0 * r - half, -depth, -QUARTER),
        corner(r - half, -depth - r, -QUARTER),
        corner(-half, -depth, 0.0),
        corner(-half, 0.0, 0.0),
    ];
    Notch { width, depth: depth + r, corners }
}

/// The racks as gauges, numbered where there are several.
fn gauges(design: &Design, stage: Stage, racks: &[Rack]) -> Vec<Gauge> {
    let gauge = |(i, rack): (usize, &Rack)| {
        let [suffix, part] = endings(i, racks.len());
        Gauge {
            name: format!("comb-{stage}{suffix}"),
            title: format!("Thickness comb ({stage}){part}"),
            note: note(design),
            stage: Some(stage),
            slab: rack.slab(design),
        }
    };
    racks.iter().enumerate().map(gauge).collect()
}

fn note(design: &Design) -> String {
    let gap = design.figures().gap(design.shop().press);
    format!(
        "Push it over the back at each station, measured from the shoulder: the blade is down to size when its back \
         enters the GO slot to the bottom, and too thin when it enters the NO GO slot. GO is {gap} wider, NO GO {gap} narrower \
         than the figure: this printer holds no finer. For cold steel only: printed plastic \
         softens near hot steel."
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::{profiles, with_shop};
    use crate::slab::contour::Contour;

    /// Widths of the outline's mouths in the line y = `edge`, by station.
    fn mouths(outline: &Contour, edge: f64) -> Vec<f64> {
        let on = |p: DVec2| (p.y - edge).abs() < 1e-9;
        let mut ends: Vec<f64> = outline.corners.iter().filter(|c| on(c.at)).map(|c| c.at.x).collect();
        ends.sort_by(f64::total_cmp);
        ends[1..ends.len() - 1].chunks(2).map(|pair| pair[1] - pair[0]).collect()
    }

    #[test]
    fn slots_are_the_design_and_the_gap() {
        for (name, design) in profiles() {
            let press = design.shop().press;
            for stage in [Stage::Forged, Stage::Ground] {
                let slots = slots(&design, stage);
                let (mut go, mut no_go) = (Vec::new(), Vec::new());
                for gauge in combs(&design, stage).unwrap() {
                    let [_, high] = gauge.slab.outline.bounds();
                    go.extend(mouths(&gauge.slab.outline, high.y));
                    no_go.extend(mouths(&gauge.slab.outline, 0.0));
                }
                assert_eq!([go.len(), no_go.len()], [slots.len(); 2], "{name}");
                for (i, slot) in slots.iter().enumerate() {
                    assert!((go[i] - slot.thickness - press).abs() < 1e-6, "{name} {stage}: {go:?}");
                    assert!((no_go[i] - slot.thickness + press).abs() < 1e-6, "{name} {stage}: {no_go:?}");
                }
            }
        }
    }

    #[test]
    fn the_figure_is_the_thickness_that_the_slot_meets() {
        for (name, design) in profiles() {
            let loft = design.blade().loft(Stage::Ground);
            for slot in slots(&design, Stage::Ground) {
                let station = loft.station(slot.station).unwrap();
                assert!(slot.thickness > station.back - 1e-3, "{name}: {slot:?} {station:?}");
                assert!(slot.thickness < station.thickness + 1e-3, "{name}: {slot:?} {station:?}");
                assert!(slot.depth <= REACH && slot.depth < 0.401 * station.breadth, "{name}: {slot:?}");
            }
        }
    }

    #[test]
    fn a_slot_has_parallel_sides_a_floor_and_pockets() {
        let notch = notch(6.1, 8.0);
        let body = Contour { corners: notch.corners }.reversed();
        // A rectangle, and half a disc of 1 mm in each corner.
        let due = 6.1 * 8.0 + std::f64::consts::PI;
        assert!((body.area() - due).abs() < 1e-9, "{}", body.area());
        assert!((notch.depth - 9.0).abs() < 1e-12);
    }

    #[test]
    fn a_gap_wider_than_the_blade_is_named() {
        let design =
            with_shop("clearance = { press = 2 }\n[gauges]\nstations = [100, 105]", 145.0, [2.4, 1.6]);
        let problem = combs(&design, Stage::Ground).unwrap_err();
        assert_eq!([problem.field.as_str(), problem.code], ["shop.clearance.press", "no-go"]);
    }

    #[test]
    fn a_small_bed_parts_the_comb() {
        let design = with_shop("bed = [100, 100, 50]", 400.0, [6.0, 4.0]);
        let combs = combs(&design, Stage::Forged).unwrap();
        assert!(combs.len() > 1 && combs[0].name == format!("comb-forged-1-of-{}", combs.len()));
    }
}
