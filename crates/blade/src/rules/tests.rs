//! Every rule broken once, and the field and code that it names.

use glam::DVec2;

use crate::checked::Blade;
use crate::rules::{Fault, Field, LEAST_WALL, LengthUnit, OutlineLine, THINNER};
use crate::spec::*;
use crate::specs::plain;

/// The (field, code) pairs of a changed plain blade.
fn found(change: impl FnOnce(&mut Spec)) -> Vec<(Field, &'static str)> {
    let mut spec = plain();
    change(&mut spec);
    match Blade::new(&spec) {
        Ok(_) => Vec::new(),
        Err(problems) => {
            assert!(problems.iter().all(|p| !p.fault.to_string().is_empty() && !p.fault.help(&LengthUnit::INCHES).is_empty()));
            problems.into_iter().map(|p| (p.field, p.fault.code())).collect()
        }
    }
}

fn one(change: impl FnOnce(&mut Spec), field: Field, code: &str) {
    let all = found(change);
    assert!(all.iter().any(|(f, c)| *f == field && *c == code), "want {field:?} {code}, found {all:?}");
}

fn fuller() -> Fuller {
    let (start, end, run_in, run_out) = (30.0, 300.0, 20.0, 40.0);
    Fuller { start, end, run_in, run_out, from_back: 4.0, width: 5.0, depth: 1.0, sides: Sides::Both }
}

fn points(back: &[(f64, f64)], edge: &[(f64, f64)]) -> Outline {
    let line = |p: &[(f64, f64)]| {
        p.iter().map(|&(x, y)| OutlinePoint { at: DVec2::new(x, y), corner: true }).collect()
    };
    Outline {
        form: OutlineForm::Points { back: line(back), edge: line(edge) },
        tip: Tip::Flat { breadth: 0.0 },
    }
}

#[test]
fn the_plain_blade_has_no_fault() {
    assert!(found(|_| {}).is_empty());
}

#[test]
fn faults_of_the_outline_are_named() {
    one(
        |s| s.outline = points(&[(0.0, 30.0)], &[(0.0, 0.0), (100.0, 0.0)]),
        Field::OutlineLine(OutlineLine::Back),
        "too-few-points",
    );
    one(
        |s| s.outline = points(&[(5.0, 30.0), (400.0, 1.0)], &[(0.0, 0.0), (400.0, 0.0)]),
        Field::OutlinePoint(OutlineLine::Back, 0),
        "not-at-shoulder",
    );
    one(
        |s| s.outline = points(&[(0.0, 30.0), (90.0, 30.0), (80.0, 1.0)], &[(0.0, 0.0), (80.0, 0.0)]),
        Field::OutlinePoint(OutlineLine::Back, 2),
        "order",
    );
    one(
        |s| s.outline = points(&[(0.0, 30.0), (200.0, -5.0), (400.0, 1.0)], &[(0.0, 0.0), (400.0, 0.0)]),
        Field::OutlineLine(OutlineLine::Back),
        "lines-cross",
    );
    one(
        |s| s.outline = points(&[(0.0, 30.0), (400.0, 25.0)], &[(0.0, 0.0), (400.0, 0.0)]),
        Field::Tip,
        "tip-open",
    );
    one(
        |s| s.outline = points(&[(0.0, 30.0), (399.9, 3.0), (400.0, 1.0)], &[(0.0, 0.0), (400.0, 0.0)]),
        Field::OutlineLine(OutlineLine::Back),
        "corner-at-point",
    );
    one(|s| s.outline.tip = Tip::Round { radius: 60.0 }, Field::Tip, "rounding");
    let wild = |s: &mut Spec| {
        let p = |x: f64, y: f64| OutlinePoint { at: DVec2::new(x, y), corner: false };
        let back = vec![p(0.0, 30.0), p(200.0, 30.0), p(200.1, 20.0), p(400.0, 1.0)];
        let edge = vec![p(0.0, 0.0), p(400.0, 0.0)];
        s.outline = Outline { form: OutlineForm::Points { back, edge }, tip: Tip::Flat { breadth: 0.0 } };
    };
    one(wild, Field::OutlineLine(OutlineLine::Back), "turns-back");
}

#[test]
fn a_slip_of_the_decimal_point_is_named_where_it_is() {
    one(|s| s.taper[0].back = 65.0, Field::TaperBack(0), "too-thick");
    one(|s| s.taper[2].back = 25.0, Field::TaperBack(2), "too-thick");
    one(|s| s.stages.finished_edge = 2.0, Field::Stage(Stage::Finished), "edge-grows");
    one(|s| s.stages.ground_edge = 2.6, Field::Stage(Stage::Ground), "edge-grows");
}

#[test]
fn faults_of_thickness_and_bevel_are_named() {
    one(|s| s.taper.clear(), Field::Taper, "no-taper");
    one(|s| s.taper[1].at = 0.0, Field::TaperAt(1), "order");
    one(|s| s.taper[2].back = 0.5, Field::TaperBack(2), "edge-thicker-than-back");
    one(
        |s| (s.stages.forged_edge, s.stages.ground_edge) = (6.0, 4.9),
        Field::TaperBack(2),
        "edge-thicker-than-back",
    );
    one(|s| s.taper[1].grind = Some(9.0), Field::TaperGrind(1), "grind-thicker");
    one(|s| s.section.grind_line = GrindLine::Height(36.0), Field::GrindLine, "grind-line");
    one(|s| s.section.bevel = Bevel::Hollow { radius: 8.0 }, Field::BevelRadius, "bevel-radius");
    one(|s| s.section.bevel = Bevel::Hollow { radius: 40.0 }, Field::BevelRadius, "bevel-through");
    one(|s| s.section.bevel = Bevel::Convex { radius: 60.0 }, Field::BevelRadius, "bevel-proud");
    one(|s| s.stages.edge_angle = Some(0.1), Field::Stage(Stage::Finished), "edge-angle");
    one(|s| s.section.back = Back::Crowned { height: 3.0 }, Field::BackForm, "back-form");
    one(|s| s.ricasso = Some(Ricasso { length: 440.0, plunge: 20.0 }), Field::Ricasso, "ricasso-too-long");
}

#[test]
fn the_tang_must_lie_within_the_shoulder_in_every_direction() {
    let hidden = |breadth, thickness| TangForm::Hidden { breadth, thickness, shoulder_radius: 2.0 };
    one(|s| s.tang.form = hidden(40.0, 2.0), Field::TangBreadth, "tang-root");
    one(|s| s.tang.form = hidden(10.0, 8.0), Field::TangThickness, "tang-root");
    one(|s| s.tang.offset = 19.0, Field::TangThickness, "tang-root");
    one(|s| s.tang.offset = -16.0, Field::TangThickness, "tang-root");
    one(
        |s| s.fullers = vec![Fuller { start: 0.0, from_back: 8.0, depth: 2.2, ..fuller() }],
        Field::TangThickness,
        "tang-root",
    );
    one(|s| s.tang.form = TangForm::Full, Field::TangForm, "full-tang-ricasso");
}

#[test]
fn faults_of_holes_are_named() {
    let hole = |at, offset, diameter| Hole { at, offset, diameter };
    one(|s| s.tang.holes = vec![hole(130.0, 0.0, 3.0)], Field::Hole(0), "hole-outside");
    one(|s| s.tang.holes = vec![hole(60.0, 0.0, 12.0)], Field::Hole(0), "hole-outside");
    one(|s| s.tang.holes = vec![hole(1.0, 0.0, 3.0)], Field::Hole(0), "hole-outside");
    one(|s| s.tang.holes = vec![hole(60.0, 0.0, 3.0), hole(62.0, 0.0, 3.0)], Field::Hole(1), "holes-meet");
}

#[test]
fn faults_of_fullers_are_named() {
    let with = |f: Fuller| move |s: &mut Spec| s.fullers = vec![f];
    one(with(Fuller { end: 479.0, ..fuller() }), Field::FullerEnd(0), "fuller-end");
    one(with(Fuller { end: 80.0, ..fuller() }), Field::FullerEnd(0), "fuller-runs");
    one(with(Fuller { depth: 3.0, ..fuller() }), Field::FullerDepth(0), "fuller-deep");
    one(with(Fuller { from_back: 30.0, ..fuller() }), Field::FullerFromBack(0), "fuller-off-flank");
    one(with(Fuller { from_back: 0.1, ..fuller() }), Field::FullerFromBack(0), "fuller-off-flank");
    one(with(Fuller { width: 8.0, depth: 3.2, ..fuller() }), Field::FullerDepth(0), "fuller-through");
    one(
        |s| s.fullers = vec![fuller(), Fuller { from_back: 8.0, ..fuller() }],
        Field::FullerFromBack(0),
        "fullers-meet",
    );
    // Named by its place in the design, though the blade keeps fullers in another order.
    one(
        |s| s.fullers = vec![fuller(), Fuller { from_back: 30.0, ..fuller() }],
        Field::FullerFromBack(1),
        "fuller-off-flank",
    );
}

#[test]
fn several_faults_are_told_at_once() {
    let all = found(|s| {
        s.taper[1].grind = Some(9.0);
        s.tang.holes[0].at = 500.0;
        s.fullers = vec![Fuller { depth: 3.0, ..fuller() }];
        s.section.bevel = Bevel::Hollow { radius: 8.0 };
    });
    assert!(all.len() >= 4, "{all:?}");
}

#[test]
fn a_lone_taper_station_is_a_blade_of_one_thickness() {
    let all = found(|s| s.taper = vec![TaperStation { at: 0.0, back: 5.0, grind: None }]);
    assert!(all.is_empty(), "{all:?}");
}

/// The first fault of a changed plain blade.
fn fault(change: impl FnOnce(&mut Spec)) -> Fault {
    let mut spec = plain();
    change(&mut spec);
    let problems = Blade::new(&spec).unwrap_err();
    problems[0].fault.clone()
}

/// What a message offers is accepted at once: no second message follows.
#[test]
fn a_radius_offered_is_accepted() {
    for hollow in [true, false] {
        let bevel = |radius| if hollow { Bevel::Hollow { radius } } else { Bevel::Convex { radius } };
        for radius in [5.0, 8.0, 20.0, 40.0] {
            let least = match fault(|s| s.section.bevel = bevel(radius)) {
                Fault::BevelRadius { least, .. }
                | Fault::BevelProud { least, .. }
                | Fault::BevelThrough { least, .. } => least.unwrap(),
                other => panic!("{other}"),
            };
            assert_eq!(found(|s| s.section.bevel = bevel(least + 1e-6)), [], "{radius} {least}");
            assert_ne!(found(|s| s.section.bevel = bevel(least - 0.01)), [], "{radius} {least}");
        }
    }
}

#[test]
fn an_end_or_a_place_offered_for_a_fuller_is_accepted() {
    let with = |f: Fuller| move |s: &mut Spec| s.fullers = vec![f];
    let Fault::FullerEnd { most, .. } = fault(with(Fuller { end: 479.0, ..fuller() })) else { panic!() };
    assert_eq!(found(with(Fuller { end: most, ..fuller() })), []);
    // Too near the back for its crown, too near the grind line, and off the flank towards the point alone.
    for f in [
        Fuller { from_back: 0.1, ..fuller() },
        Fuller { from_back: 30.0, ..fuller() },
        Fuller { from_back: 9.0, end: most, ..fuller() },
        Fuller { from_back: 9.0, width: 9.0, end: most, ..fuller() },
    ] {
        let Fault::FullerOffFlank { least, most, reach, .. } = fault(with(f)) else { panic!("{f:?}") };
        for from_back in [least, most].into_iter().filter(|_| least < most) {
            let nearer = from_back.clamp(least + 1e-6, most - 1e-6);
            assert_eq!(found(with(Fuller { from_back: nearer, ..f })), [], "{f:?}");
        }
        if let Some(end) = reach {
            assert_eq!(found(with(Fuller { end: end - 0.01, ..f })), [], "{f:?}");
        }
        assert!(least < most || reach.is_some() || f.width > 8.0, "{f:?}");
    }
}

#[test]
fn a_thickness_offered_is_accepted() {
    for back in [0.05, 0.2, 0.5, 0.75] {
        let Fault::ThinnerThanEdge { thickness, edge, .. } = fault(|s| s.taper[2].back = back) else {
            panic!()
        };
        let more = (edge + THINNER).max(LEAST_WALL) - thickness + 1e-6;
        assert_eq!(found(|s| s.taper[2].back = back + more), [], "{back}");
    }
}
