//! Blades for the tests of this package: one plain one, and one for each thing that shapes a blade.

use crate::spec::*;

pub(crate) fn plain() -> Spec {
    Spec {
        outline: Outline {
            form: OutlineForm::BrokenBack {
                length: 480.0,
                breadth: 38.0,
                break_at: 330.0,
                break_breadth: 42.0,
                sweep: 0.0,
                point_height: 0.0,
            },
            tip: Tip::Flat { breadth: 1.0 },
        },
        section: Section {
            bevel: Bevel::Flat,
            sides: Sides::Both,
            grind_line: GrindLine::Share(0.6),
            back: Back::Flat,
        },
        taper: vec![
            TaperStation { at: 0.0, back: 6.5, grind: Some(6.2) },
            TaperStation { at: 300.0, back: 5.0, grind: None },
            TaperStation { at: 480.0, back: 2.5, grind: None },
        ],
        ricasso: None,
        fullers: vec![],
        tang: Tang {
            form: TangForm::Hidden { breadth: 10.0, thickness: 2.0, shoulder_radius: 2.0 },
            length: 120.0,
            end_breadth: 8.0,
            end_thickness: 1.8,
            offset: 9.0,
            holes: vec![Hole { at: 60.0, offset: 0.0, diameter: 3.0 }],
        },
        stages: Stages {
            forged_allowance: 0.8,
            forged_edge: 2.5,
            ground_allowance: 0.15,
            ground_edge: 1.0,
            finished_edge: 0.7,
            edge_angle: Some(0.5),
        },
    }
}

pub(crate) fn variants() -> Vec<(&'static str, Spec)> {
    let mut all = vec![("plain", plain())];
    let mut add = |name, change: fn(&mut Spec)| {
        let mut spec = plain();
        change(&mut spec);
        all.push((name, spec));
    };
    add("point", |s| s.outline.tip = Tip::Point);
    add("round", |s| s.outline.tip = Tip::Round { radius: 5.0 });
    add("hollow", |s| s.section.bevel = Bevel::Hollow { radius: 150.0 });
    add("convex", |s| s.section.bevel = Bevel::Convex { radius: 250.0 });
    add("right", |s| s.section.sides = Sides::Right);
    add("left", |s| {
        s.section.sides = Sides::Left;
        s.ricasso = Some(Ricasso { length: 20.0, plunge: 12.0 });
    });
    add("full", |s| s.section.grind_line = GrindLine::Full);
    add("height", |s| s.section.grind_line = GrindLine::Height(20.0));
    add("rounded", |s| s.section.back = Back::Rounded { radius: 1.0 });
    add("crowned", |s| s.section.back = Back::Crowned { height: 0.6 });
    add("ricasso", |s| s.ricasso = Some(Ricasso { length: 20.0, plunge: 12.0 }));
    add("ricasso hollow", |s| {
        s.ricasso = Some(Ricasso { length: 20.0, plunge: 12.0 });
        s.section.bevel = Bevel::Hollow { radius: 150.0 };
    });
    add("full tang", |s| {
        s.ricasso = Some(Ricasso { length: 20.0, plunge: 12.0 });
        s.tang.form = TangForm::Full;
        s.tang.end_breadth = 30.0;
        s.section.back = Back::Rounded { radius: 1.0 };
        s.section.bevel = Bevel::Hollow { radius: 150.0 };
    });
    add("full tang crowned", |s| {
        s.ricasso = Some(Ricasso { length: 20.0, plunge: 12.0 });
        s.tang.form = TangForm::Full;
        s.tang.end_breadth = 30.0;
        s.section.back = Back::Crowned { height: 0.6 };
        s.section.sides = Sides::Right;
    });
    add("fullers", |s| {
        let f = Fuller {
            start: 30.0,
            end: 300.0,
            run_in: 20.0,
            run_out: 40.0,
            from_back: 4.0,
            width: 5.0,
            depth: 1.0,
            sides: Sides::Both,
        };
        s.fullers = vec![f, Fuller { start: 0.0, from_back: 10.0, width: 3.0, depth: 0.6, ..f }];
    });
    add("dropped round", |s| {
        s.outline.form = OutlineForm::DroppedPoint {
            length: 300.0,
            breadth: 35.0,
            drop: 80.0,
            sweep: 90.0,
            point_height: 18.0,
        };
        s.outline.tip = Tip::Round { radius: 4.0 };
        s.taper = vec![
            TaperStation { at: 0.0, back: 5.0, grind: None },
            TaperStation { at: 300.0, back: 2.0, grind: None },
        ];
    });
    add("curved point", |s| {
        s.outline.form = OutlineForm::CurvedBack {
            length: 300.0,
            breadth: 35.0,
            broadest_at: 120.0,
            broadest: 38.0,
            sweep: 0.0,
            point_height: 0.0,
        };
        s.outline.tip = Tip::Point;
        s.section.bevel = Bevel::Convex { radius: 400.0 };
    });
    all
}
