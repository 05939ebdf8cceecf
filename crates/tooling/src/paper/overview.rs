//! Small pictures for the bench sheet: the side view at a reduced scale, and sections of two stages over each other.

use blade::Stage;
use design::Design;

use crate::paper::layout::{APART, FIGURE, Layout};
use crate::paper::side_view;
use drawing::text_width;
use drawing::{Drawing, Layer};

/// How many times smaller than the steel a view may be: the steps of ISO 5455 (2, 5, 10; from memory) with some between,
/// so that short blades are not drawn needlessly small.
pub const REDUCTIONS: [f64; 13] = [1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 15.0, 20.0, 40.0];

/// The side view at a reduced scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Overview {
    /// Seen from the right, the shoulder at x = 0, mm on paper; figures are those of the steel.
    pub drawing: Drawing,
    /// How many times smaller than the steel it is.
    pub reduction: f64,
}

/// The side view of a stage, at most `width` (mm, positive) wide where a reduction by 40 is enough, with ticks at `stations`
/// (mm, increasing) and their numbers where these have room.
pub fn overview(design: &Design, stage: Stage, width: f64, stations: &[f64]) -> Overview {
    let whole = Layout::new(design, stage, 1.0);
    // Half of the last station's number, and of figures over the end of a dimension line, reach beyond the steel.
    let room = width - 2.0 * APART;
    let fits = |reduction: &&f64| (whole.high.x - whole.low.x) / **reduction <= room;
    let reduction = REDUCTIONS.iter().find(fits).copied().unwrap_or(40.0);
    let plan = Layout::new(design, stage, 1.0 / reduction);
    let mut drawing = Drawing::default();
    side_view::steel(&plan, &mut drawing);
    numbers(&plan, &mut drawing, stations);
    side_view::lengths(&plan, &mut drawing);
    Overview { drawing, reduction }
}

/// A tick for every station, and a number for those that have room after the one before.
fn numbers(plan: &Layout, drawing: &mut Drawing, stations: &[f64]) {
    // The shoulder plane's own line stands at 0.
    let mut free = FIGURE;
    for &at in stations.iter().filter(|at| **at > 0.0) {
        let half = 0.5 * text_width(&plan.figures.station(at), FIGURE);
        let x = plan.scale * at;
        if x - half >= free {
            side_view::number(plan, drawing, at);
            free = x + half + 0.5 * FIGURE;
        } else {
            side_view::mark(plan, drawing, at);
        }
    }
}

/// At each station (mm from the shoulder) the finished section in the forged one, at full size, each centred at its
/// own place in the blade's frame seen from the hilt; stations beyond the square sections are left out.
pub fn overlays(design: &Design, stations: &[f64]) -> Vec<(f64, Drawing)> {
    let lofts = [(Stage::Forged, Layer::Sheet), (Stage::Finished, Layer::Outline)]
        .map(|(stage, layer)| (design.blade().loft(stage), layer));
    let drawn = |at: f64| {
        let mut drawing = Drawing::default();
        for (loft, layer) in &lofts {
            drawing.closed(*layer, loft.section(at)?);
        }
        Some((at, drawing))
    };
    stations.iter().filter_map(|&at| drawn(at)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::profiles;
    use drawing::Mark;

    #[test]
    fn every_view_fits_and_no_number_lies_on_another() {
        for (name, design) in profiles() {
            for width in [120.0, 180.0, 270.0] {
                let stations = &design.gauges().stations;
                let view = overview(&design, Stage::Finished, width, stations);
                let [low, high] = view.drawing.bounds().unwrap();
                assert!(high.x - low.x <= width, "{name}: {} of {width}", high.x - low.x);
                assert!(view.reduction >= 1.0 && view.reduction < 40.0, "{name}");
                let boxes = view.drawing.text_extents();
                for i in 0..boxes.len() {
                    assert!(boxes[..i].iter().all(|b| !drawing::overlap(b, &boxes[i])), "{name}");
                }
            }
        }
    }

    #[test]
    fn the_finished_section_lies_in_the_forged_one() {
        for (name, design) in profiles() {
            let drawn = overlays(&design, &design.gauges().stations);
            assert_eq!(drawn.len(), design.gauges().stations.len(), "{name}");
            for (at, drawing) in drawn {
                let size = |layer: Layer| {
                    let items = drawing.items.iter().filter(|i| i.layer == layer).cloned().collect();
                    let [low, high] = Drawing { items }.bounds().unwrap();
                    high - low
                };
                assert!(drawing.items.iter().all(|i| matches!(i.mark, Mark::Path { closed: true, .. })));
                assert!(size(Layer::Outline).x < size(Layer::Sheet).x, "{name} at {at}");
            }
        }
    }
}
