//! Rules on plain measures, before any curve is made of them.

use crate::loft::spans;
use crate::rules::violations::Violations;
use crate::rules::{Fault, Field, OutlineLine, Problem};
use crate::spec::{Back, OutlineForm, Spec, Stage};

/// Rules on plain measures, before any curve is made of them.
pub(super) fn measures(spec: &Spec) -> Result<(), Vec<Problem>> {
    let mut found = Violations::default();
    outline_measures(spec, &mut found);
    if spec.taper.is_empty() {
        found.add(Field::Taper, Fault::NoTaper {});
    }
    for (i, pair) in spec.taper.windows(2).enumerate() {
        if pair[1].at - pair[0].at < spans::MERGE {
            found.add(Field::TaperAt(i + 1), Fault::Order { before: pair[0].at, at: pair[1].at });
        }
    }
    edges(spec, &mut found);
    let thick = spec.taper.first().map_or(0.0, |t| t.back);
    match spec.section.back {
        Back::Crowned { height } if height > 0.4 * thick => {
            found.add(Field::BackForm, Fault::Crown { height, most: 0.4 * thick });
        }
        Back::Rounded { radius } if radius > 0.35 * thick => {
            found.add(Field::BackForm, Fault::Crown { height: radius, most: 0.35 * thick });
        }
        _ => {}
    }
    found.into_result()
}

/// From stage to stage the edge gets thinner.
fn edges(spec: &Spec, found: &mut Violations) {
    let s = &spec.stages;
    let steps =
        [(Stage::Ground, s.forged_edge, s.ground_edge), (Stage::Finished, s.ground_edge, s.finished_edge)];
    for (stage, before, edge) in steps {
        // A rounding error's worth may come from inches.
        if edge > before + 1e-9 {
            found.add(Field::Stage(stage), Fault::EdgeGrows { edge, before, stage });
        }
    }
}

/// Sizes of the outline that fit each other.
fn outline_measures(spec: &Spec, found: &mut Violations) {
    let mut within = |field: Field, value: f64, low: f64, high: f64| {
        if !(value >= low && value <= high) {
            found.add(field, Fault::Range { value, low, high });
        }
    };
    match spec.outline.form {
        OutlineForm::Points { ref back, ref edge } => {
            for (name, line) in [(OutlineLine::Back, back), (OutlineLine::Edge, edge)] {
                if line.len() < 2 {
                    found.add(Field::OutlineLine(name), Fault::TooFewPoints {});
                    continue;
                }
                if line[0].at.x.abs() > 1e-9 {
                    found.add(Field::OutlinePoint(name, 0), Fault::NotAtShoulder { at: line[0].at.x });
                }
                for (i, pair) in line.windows(2).enumerate() {
                    if pair[1].at.x - pair[0].at.x < spans::MERGE {
                        let fault = Fault::Order { before: pair[0].at.x, at: pair[1].at.x };
                        found.add(Field::OutlinePoint(name, i + 1), fault);
                    }
                }
            }
        }
        OutlineForm::StraightBack { length, breadth, sweep, point_height } => {
            within(Field::Sweep, sweep, 0.0, 0.95 * length);
            within(Field::PointHeight, point_height, 0.0, breadth);
        }
        OutlineForm::BrokenBack { length, breadth, break_at, break_breadth, sweep, point_height } => {
            within(Field::Sweep, sweep, 0.0, 0.95 * length);
            within(Field::BreakAt, break_at, 0.05 * length, 0.98 * length);
            within(Field::BreakBreadth, break_breadth, 0.5 * breadth, 2.0 * breadth);
            within(Field::PointHeight, point_height, 0.0, break_breadth);
        }
        OutlineForm::CurvedBack { length, breadth, broadest_at, broadest, sweep, point_height } => {
            within(Field::Sweep, sweep, 0.0, 0.95 * length);
            within(Field::BroadestAt, broadest_at, 0.05 * length, 0.95 * length);
            within(Field::Broadest, broadest, breadth, 2.0 * breadth);
            within(Field::PointHeight, point_height, 0.0, breadth);
        }
        OutlineForm::DroppedPoint { length, breadth, drop, sweep, point_height } => {
            within(Field::Sweep, sweep, 0.0, 0.95 * length);
            within(Field::Drop, drop, 0.02 * length, 0.95 * length);
            within(Field::PointHeight, point_height, 0.0, breadth);
        }
    }
}
