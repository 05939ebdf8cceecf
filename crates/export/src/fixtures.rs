//! Bodies and drawings made by hand for tests.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use brep::{Mesh, Piece};
use drawing::{Anchor, Drawing, Item, Layer, Mark};
use glam::{DVec2, DVec3};

use crate::page::view::{Page, View};

#[path = "../../solid/src/sample.rs"]
mod body;

pub(crate) use body::{holed_box, pointed_blade};

/// A corner cut off a cube of 10 mm.
pub(crate) fn tetrahedron() -> Mesh {
    let vertices = [DVec3::ZERO, DVec3::X, DVec3::Y, DVec3::Z].map(|v| v * 10.0).to_vec();
    Mesh::new(vertices, vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]]).unwrap()
}

/// That corner and a second one 20 mm further along x, as one mesh of two closed shells.
pub(crate) fn two_shells() -> Mesh {
    let one = tetrahedron();
    let second = one.vertices().iter().map(|v| *v + DVec3::X * 20.0);
    let vertices = one.vertices().iter().copied().chain(second).collect();
    let triangles = one.triangles().iter().copied().chain(one.triangles().iter().map(|t| t.map(|i| i + 4)));
    Mesh::new(vertices, triangles.collect()).unwrap()
}

/// Lines through points.
pub(crate) fn lines(points: &[[f64; 2]]) -> Vec<Piece> {
    points.windows(2).map(|p| Piece::Straight(p[0].into(), p[1].into())).collect()
}

/// A path that is not filled.
pub(crate) fn path(layer: Layer, pieces: Vec<Piece>, closed: bool) -> Item {
    Item { layer, mark: Mark::Path { pieces, closed, filled: false } }
}

/// A line of text 3.5 mm high on the text layer.
pub(crate) fn label(text: &str, at: DVec2) -> Item {
    let mark = Mark::Text { at, height: 3.5, anchor: Anchor::Start, turn: 0.0, text: text.to_owned() };
    Item { layer: Layer::Text, mark }
}

/// A bar of 100 mm by 10 mm, its lower left corner at the origin.
pub(crate) fn bar() -> Drawing {
    let corners = [[0.0, 0.0], [100.0, 0.0], [100.0, 10.0], [0.0, 10.0], [0.0, 0.0]];
    Drawing { items: vec![path(Layer::Outline, lines(&corners), true)] }
}

/// One of every mark, within 180 mm by 90 mm.
pub(crate) fn every_mark() -> Drawing {
    let slot = vec![
        Piece::Straight([20.0, 20.0].into(), [80.0, 20.0].into()),
        Piece::Arc([80.0, 30.0].into(), 10.0, -FRAC_PI_2, FRAC_PI_2),
        Piece::Straight([80.0, 40.0].into(), [20.0, 40.0].into()),
        Piece::Arc([20.0, 30.0].into(), 10.0, FRAC_PI_2, 3.0 * FRAC_PI_2),
    ];
    let wave = [[100.0, 20.0], [110.0, 45.0], [125.0, 0.0], [140.0, 30.0]].map(DVec2::from_array);
    let point = vec![
        Piece::Cubic(wave),
        Piece::Arc([130.0, 30.0].into(), 10.0, 0.0, PI),
        Piece::Straight([120.0, 30.0].into(), [100.0, 20.0].into()),
    ];
    let ring = vec![Piece::Arc([160.0, 30.0].into(), 8.0, 0.0, TAU)];
    let block = lines(&[[150.0, 60.0], [160.0, 60.0], [160.0, 70.0], [150.0, 70.0], [150.0, 60.0]]);
    let text = |at: [f64; 2], anchor, turn, text: &str| Item {
        layer: Layer::Text,
        mark: Mark::Text { at: at.into(), height: 3.5, anchor, turn, text: text.to_owned() },
    };
    let dimension = |from: [f64; 2], to: [f64; 2], offset, text: &str| Item {
        layer: Layer::Dimension,
        mark: Mark::Dimension {
            from: from.into(),
            to: to.into(),
            offset,
            height: 2.5,
            text: text.to_owned(),
        },
    };
    let filled = Item { layer: Layer::Sheet, mark: Mark::Path { pieces: block, closed: true, filled: true } };
    Drawing {
        items: vec![
            filled,
            text([20.0, 70.0], Anchor::Start, 0.0, "back é < & >"),
            text([90.0, 70.0], Anchor::Middle, 0.0, "edge"),
            text([140.0, 70.0], Anchor::End, 0.3, "point"),
            dimension([20.0, 40.0], [80.0, 40.0], 10.0, "60.0"),
            dimension([80.0, 20.0], [20.0, 20.0], 8.0, "60.0"),
            dimension([10.0, 20.0], [10.0, 40.0], 6.0, "20.0"),
            dimension([150.0, 60.0], [160.0, 60.0], -6.0, "10.0"),
            dimension([100.0, 60.0], [104.0, 60.0], 6.0, "4.00"),
            path(Layer::Centre, lines(&[[5.0, 30.0], [175.0, 30.0]]), false),
            path(Layer::Outline, slot, true),
            path(Layer::Outline, point, true),
            path(Layer::Outline, ring, true),
        ],
    }
}

/// An upright A4 page on which `drawing` is moved by `shift`, seen in a window 170 mm wide and 80 mm high.
pub(crate) fn page<'a>(sheet: &'a Drawing, drawing: &'a Drawing, shift: DVec2) -> Page<'a> {
    let window = [DVec2::new(20.0, 30.0), DVec2::new(190.0, 110.0)];
    Page { size: DVec2::new(210.0, 297.0), sheet, views: vec![View { drawing, shift, window }] }
}
