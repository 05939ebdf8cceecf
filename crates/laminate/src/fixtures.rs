//! Billets and blades for the tests of this package.

use blade::*;
use glam::DVec3;

use crate::billet::bar::{Bar, Direction, Squaring};
use crate::billet::height::Height;
use crate::billet::layers::LayerSet;
use crate::billet::plug::Plug;
use crate::billet::recipe::{Billet, BilletFault, Recipe, Tip as Point};
use crate::billet::share::{Cell, Share, Skins, parted};
use crate::billet::twist::{Hand, Program, Turn};
use crate::map::material::{MaterialMap, Plane};
use brep::Mesh;
use steel::nominal;

/// The plain blade that all tests share, shorter and without a hole in its tang: sections are summed for every point.
pub(crate) fn spec() -> Spec {
    let mut spec = fixtures::specs::plain();
    spec.outline.form = OutlineForm::BrokenBack {
        length: 430.0,
        breadth: 36.0,
        break_at: 300.0,
        break_breadth: 40.0,
        sweep: 0.0,
        point_height: 0.0,
    };
    (spec.taper[1].at, spec.taper[2].at) = (280.0, 430.0);
    (spec.tang.length, spec.tang.offset) = (110.0, 8.0);
    spec.tang.holes.clear();
    spec
}

pub(crate) fn forged(spec: &Spec) -> Sections {
    Sections::of(&Blade::new(spec).unwrap_or_else(|p| panic!("{p:?}")).loft(Stage::Forged))
}

/// Blades of all kinds of back, bevel, point and tang.
pub(crate) fn specs() -> Vec<(&'static str, Spec)> {
    let mut all = vec![("plain", spec())];
    let mut add = |name, change: fn(&mut Spec)| {
        let mut spec = spec();
        change(&mut spec);
        all.push((name, spec));
    };
    add("pointed", |s| s.outline.tip = Tip::Point);
    add("round point", |s| s.outline.tip = Tip::Round { radius: 5.0 });
    add("hollow, rounded back", |s| {
        s.section.bevel = Bevel::Hollow { radius: 150.0 };
        s.section.back = Back::Rounded { radius: 1.0 };
    });
    add("one-sided, crowned", |s| {
        s.section.sides = Sides::Right;
    });
    add("dropped point, round", |s| {
        s.outline.form = OutlineForm::DroppedPoint {
            length: 430.0,
            breadth: 36.0,
            drop: 120.0,
            sweep: 30.0,
            point_height: 18.0,
        };
        s.outline.tip = Tip::Round { radius: 4.0 };
    });
    add("full tang, ricasso", |s| {
        s.tang.form = TangForm::Full;
        s.tang.end_breadth = 24.0;
        s.tang.end_thickness = 3.0;
        s.tang.offset = 0.0;
        s.ricasso = Some(Ricasso { length: 20.0, plunge: 12.0 });
    });
    all
}

/// 240 mm long with its point; when forged, the first 150 mm are a flat bar of 32 × 8 mm.
pub(crate) fn flat_bar() -> Spec {
    let mut spec = spec();
    spec.outline = Outline {
        form: OutlineForm::StraightBack { length: 240.0, breadth: 32.0, sweep: 60.0, point_height: 32.0 },
        tip: Tip::Point,
    };
    spec.taper = vec![TaperStation { at: 0.0, back: 6.1, grind: None }];
    // As thick at the edge as at the back.
    spec.ricasso = Some(Ricasso { length: 150.0, plunge: 10.0 });
    spec
}

/// Seven alternating layers of steels 0 and 1.
pub(crate) fn seven() -> LayerSet {
    let layers: Vec<_> = (0..7).map(|i| (i % 2, 1.0)).collect();
    LayerSet::stacked(&layers, 1).unwrap()
}

pub(crate) fn bar(height: f64, twist: Program, squaring: Squaring) -> Bar {
    Bar {
        name: format!("bar of {height} mm"),
        height: Height::even(height),
        layers: seven(),
        direction: Direction::Upright,
        slope: None,
        twist,
        squaring,
        tang: true,
        teeth: None,
        share: Share::default(),
        plugs: Vec::new(),
    }
}

pub(crate) fn even(hand: Hand, turns: f64) -> Program {
    Program::new(0.0, &[Turn { length: None, twist: Some((hand, turns)) }])
}

pub(crate) fn billet(bars: Vec<Bar>, width: f64, tip: Point) -> Billet {
    let steels = ["C75S", "75Ni8", "C45"].map(|n| nominal(n).unwrap()).to_vec();
    Billet::new(Recipe { width, bars, steels, tip }).unwrap()
}

/// What is wrong with a sound billet once its bars are changed.
pub(crate) fn faults_with(good: &Billet, change: &dyn Fn(&mut Vec<Bar>)) -> Vec<BilletFault> {
    let mut recipe = good.recipe().clone();
    change(&mut recipe.bars);
    Billet::new(recipe).err().unwrap_or_default()
}

/// A back of one steel, two bars twisted against each other, an edge of one steel that stops at the shoulder.
pub(crate) fn four_bars(tip: Point) -> Billet {
    let plain = |height, steel, tang| Bar {
        layers: LayerSet::plain(steel),
        tang,
        ..bar(height, Program::default(), Squaring::Forged)
    };
    let bars = vec![
        plain(7.0, 2, true),
        bar(9.0, even(Hand::Right, 0.04), Squaring::Forged),
        bar(9.0, even(Hand::Left, 0.04), Squaring::Ground),
        plain(12.0, 0, false),
    ];
    billet(bars, 11.0, tip)
}

/// A back of one steel, two twisted bars side by side in a wrap on back and sides, and an edge of layers under a
/// saddle that stops at the shoulder. All 11 mm wide.
pub(crate) fn parted_bars(tip: Point) -> Billet {
    let back = Bar { layers: LayerSet::plain(2), ..bar(6.0, Program::default(), Squaring::Forged) };
    let (beside, wrap) =
        parted([18.0, 11.0], &[3.0, 4.0], Skins { edge: 0.0, back: 1.0, sides: 1.5 }).unwrap();
    let (core, saddle) = parted([13.0, 11.0], &[1.0], Skins { edge: 3.0, back: 0.0, sides: 2.0 }).unwrap();
    let one = |cell: Cell, of| Share { of, cells: vec![cell] };
    let right = Bar { share: one(beside[0], None), ..bar(18.0, even(Hand::Right, 0.04), Squaring::Forged) };
    let left = Bar {
        share: one(beside[1], Some(1)),
        direction: Direction::Flat,
        ..bar(18.0, even(Hand::Left, 0.06), Squaring::Ground)
    };
    let edge =
        Bar { share: one(core[0], None), tang: false, ..bar(13.0, Program::default(), Squaring::Forged) };
    let skin = |cells, of| Share { of: Some(of), cells };
    let wrap = Bar {
        layers: LayerSet::plain(0),
        share: skin(wrap, 1),
        ..bar(18.0, Program::default(), Squaring::Forged)
    };
    let saddle = Bar { layers: LayerSet::plain(0), share: skin(saddle, 2), ..edge.clone() };
    billet(vec![back, right, edge, left, wrap, saddle], 11.0, tip)
}

/// A leaning bar at the back, two of slices under it, one with flat layers, and a leaning edge beside a plain one.
pub(crate) fn slanted_bars(tip: Point) -> Billet {
    let plain = || bar(9.0, Program::default(), Squaring::Forged);
    let leaning = |degrees: f64| Bar { direction: Direction::Leaning(degrees.to_radians()), ..plain() };
    let sloped = |direction, degrees: f64| Bar { direction, slope: Some(degrees.to_radians()), ..plain() };
    let (beside, _) = parted([9.0, 11.0], &[6.0, 5.0], Skins::default()).unwrap();
    let half = |cell: Cell, of| Share { of, cells: vec![cell] };
    let edge = Bar { share: half(beside[0], None), ..leaning(-50.0) };
    let right = Bar { share: half(beside[1], Some(3)), ..sloped(Direction::Upright, -12.0) };
    let bars =
        vec![leaning(33.0), sloped(Direction::Upright, 20.0), sloped(Direction::Flat, 7.0), edge, right];
    billet(bars, 11.0, tip)
}

/// A back of one steel, a bar twisted but for a stretch, a leaning one and an edge of one steel, all with plugs: two of them one over
/// the other. 11 mm wide.
pub(crate) fn plugged_bars(tip: Point) -> Billet {
    let plain = |height, plugs| Bar { plugs, ..bar(height, Program::default(), Squaring::Forged) };
    let turn = |length, twist| Turn { length, twist };
    let right = Some((Hand::Right, 0.04));
    let twist = Program::new(0.3, &[turn(Some(70.0), right), turn(Some(20.0), None), turn(None, right)]);
    let bars = vec![
        Bar {
            layers: LayerSet::plain(2),
            ..plain(7.0, vec![Plug::new(30.0, 3.0, 4.0, 1), Plug::new(150.0, 4.0, 2.0, 0)])
        },
        Bar { twist, ..plain(9.0, vec![Plug::new(80.0, 4.5, 6.0, 2)]) },
        Bar { direction: Direction::Leaning(0.6), ..plain(9.0, vec![Plug::new(50.0, 5.0, 5.0, 0)]) },
        Bar {
            layers: LayerSet::plain(0),
            ..plain(
                12.0,
                vec![
                    Plug::new(60.0, 3.0, 3.0, 1),
                    Plug::new(61.5, 8.5, 4.0, 2),
                    Plug::new(140.0, 7.0, 6.0, 1),
                ],
            )
        },
    ];
    billet(bars, 11.0, tip)
}

/// A point of the forged blade or tang by three shares; `None` where it is too thin for steps along it.
pub(crate) fn point(lay: &MaterialMap, shares: [f64; 3]) -> Option<DVec3> {
    point_where(lay, shares, |plane, wide| {
        let (low, high) = plane.range();
        wide > 0.05 && wide * (high - low) >= 4.0
    })
}

/// A point of the forged blade or tang by three shares, where its plane and its thickness there (mm) are as wanted.
pub(crate) fn point_where(
    lay: &MaterialMap,
    [a, b, c]: [f64; 3],
    holds: impl Fn(&Plane, f64) -> bool,
) -> Option<DVec3> {
    let (start, end) = lay.sections().range();
    let x = start + (end - start) * a;
    let plane = lay.plane(x)?;
    let (low, high) = plane.range();
    let y = low + (high - low) * b;
    let (left, right) = plane.flanks(y);
    let wide = right - left;
    holds(&plane, wide).then(|| DVec3::new(x, y, left + wide * c))
}

/// The determinant at a point of a way that leads into one bar or another, by central differences of the fourth order, with the
/// bar; `None` across a border.
pub(crate) fn determinant(p: DVec3, way: impl Fn(DVec3) -> Option<(usize, DVec3)>) -> Option<(usize, f64)> {
    let h = 1e-4;
    let (bar, _) = way(p)?;
    let at = |d: DVec3| way(p + d).filter(|s| s.0 == bar).map(|s| s.1);
    let slope = |axis: DVec3| {
        let [a, b, c, d] = [-2.0, -1.0, 1.0, 2.0].map(|k| at(axis * h * k));
        Some((a? - b? * 8.0 + c? * 8.0 - d?) / (12.0 * h))
    };
    Some((bar, slope(DVec3::X)?.dot(slope(DVec3::Y)?.cross(slope(DVec3::Z)?))))
}

/// Zones are the blade to the last bit of rounding, there are as many exact bodies, and of a forged tip each zone of the blade
/// holds within `off` what its bar holds in a stack 11 mm wide.
pub(crate) fn zones_hold_what_bars_hold(name: &str, spec: &Spec, tip: Point, lay: &MaterialMap, off: f64) {
    let loft = Blade::new(spec).unwrap_or_else(|p| panic!("{name}: {p:?}")).loft(Stage::Forged);
    let mesh = Mesh::of(loft.shell(), 0.01).unwrap_or_else(|f| panic!("{name}: {f}"));
    let zones = lay.zones(&mesh, 0.005).unwrap_or_else(|f| panic!("{name} {tip:?}: {f}"));
    let sum: f64 = zones.iter().map(|z| z.mesh.volume()).sum();
    assert!((sum / mesh.volume() - 1.0).abs() < 1e-9, "{name} {tip:?}");
    let bodies = lay.bodies(&loft, 1e-3).unwrap_or_else(|f| panic!("{name} {tip:?}: {f}"));
    assert_eq!(bodies.len(), zones.len(), "{name} {tip:?}");
    let end = lay.along(lay.sections().range().1);
    for zone in zones.iter().filter(|z| tip == Point::Forged && z.part == Part::Blade) {
        let held = lay.billet().bars()[zone.bar].height.mean([0.0, end]) * 11.0 * end;
        let found = zone.mesh.volume() / held - 1.0;
        assert!(found.abs() < off, "{name} {} {found}", zone.bar);
    }
}
