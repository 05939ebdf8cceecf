//! Bars whose layers lie at an angle, on blades of all kinds: from the blade to the block that they were sawn from and back,
//! and what every layer holds.

use blade::Part;
use glam::DVec3;
use proptest::prelude::*;

use crate::billet::bar::{Bar, Direction, SquarePoint};
use crate::billet::recipe::{Billet, BilletFault, StackPoint, Tip};
use crate::billet::twist::{Hand, Program};
use crate::fixtures::{determinant, even, faults_with, forged, point, slanted_bars, spec, specs};
use crate::map::material::MaterialMap;
use crate::{Height, Serration, Teeth};

fn lays() -> Vec<(String, MaterialMap)> {
    let tips = [Tip::Forged, Tip::Cut { from: 330.0 }];
    let each = specs().into_iter().flat_map(|(name, spec)| tips.map(|tip| (name, spec.clone(), tip)));
    let lay = |tip, spec| MaterialMap::new(slanted_bars(tip), forged(&spec)).unwrap();
    each.map(|(name, spec, tip)| (format!("{name} {tip:?}"), lay(tip, spec))).collect()
}

/// The bar's height and width, mm.
fn size(billet: &Billet, bar: usize) -> [f64; 2] {
    [billet.made_height(bar).at(0.0), billet.made_width(bar)]
}

/// The turn (rad) from the bar to its block, in the plane of section or of length, by plain geometry.
fn turn(made: &Bar) -> f64 {
    match (made.direction, made.slope) {
        (Direction::Leaning(angle), None) => angle,
        (_, Some(slope)) => slope,
        other => panic!("{other:?}"),
    }
}

/// Where a point of the blade lay in the block of layers, mm: lengthwise, across and through its layers in the order in which
/// they are right-handed. Through them as the billet tells it, the other two by a turn.
fn block(lay: &MaterialMap, p: DVec3) -> Option<(usize, DVec3)> {
    let stack = lay.stack_point(p)?;
    let (bar, welded) = lay.billet().bar_point(stack);
    let (made, standing) = (&lay.billet().bars()[bar], lay.billet().standing(bar));
    let before = made.before_twist(welded, made.twist.angle(stack.along));
    let [high, wide] = size(lay.billet(), bar);
    let (up, through) = (before.up * high, before.through * wide);
    let (sin, cos) = turn(made).sin_cos();
    let layers = (standing.share(before, stack.along) - 0.5) * standing.stacked_thickness();
    let found = match (made.direction, made.slope) {
        (Direction::Leaning(_), _) => DVec3::new(stack.along, cos * up + sin * through, layers),
        (Direction::Upright, _) => DVec3::new(cos * stack.along + sin * up, layers, through),
        (Direction::Flat, _) => DVec3::new(cos * stack.along + sin * through, up, layers),
    };
    Some((bar, found))
}

/// The way back, by the opposite turn.
fn unblocked(lay: &MaterialMap, bar: usize, p: DVec3, part: Part) -> Option<DVec3> {
    let made = &lay.billet().bars()[bar];
    let (sin, cos) = turn(made).sin_cos();
    let (along, up, through) = match made.direction {
        Direction::Leaning(_) => (p.x, cos * p.y - sin * p.z, sin * p.y + cos * p.z),
        Direction::Upright => (cos * p.x - sin * p.y, sin * p.x + cos * p.y, p.z),
        Direction::Flat => (cos * p.x - sin * p.z, p.y, sin * p.x + cos * p.z),
    };
    let [high, wide] = size(lay.billet(), bar);
    let welded = made.after_twist(SquarePoint { up: up / high, through: through / wide }, 0.0);
    lay.blade_point(lay.billet().stack_point(bar, welded, along, part)?)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, ..ProptestConfig::default() })]

    #[test]
    fn there_and_back_with_every_volume(shares in proptest::collection::vec([0.001..0.9, 0.02..0.98, 0.02..0.98f64], 60)) {
        thread_local!(static LAYS: Vec<(String, MaterialMap)> = lays());
        LAYS.with(|lays| {
            let (mut seen, mut kept, mut bars) = (0, 0, [0; 5]);
            for (name, lay) in lays {
                for p in shares.iter().filter_map(|&s| point(lay, s)) {
                    let (bar, place) = block(lay, p).unwrap();
                    let back = unblocked(lay, bar, place, Part::at(p.x)).unwrap();
                    prop_assert!(back.distance(p) < 1e-8, "{name} {p} {back}");
                    let Some((bar, d)) = determinant(p, |p| block(lay, p)) else { continue };
                    seen += 1;
                    bars[bar] += 1;
                    kept += usize::from((d - 1.0).abs() < 1e-6);
                }
            }
            prop_assert!(seen > 200 && kept == seen && bars.iter().all(|n| *n > 0), "{seen} {kept} {bars:?}");
            Ok(())
        })?;
    }
}

/// Counted over a fine grid of a section each layer holds what is told of it: leaning ones by their part of the bar's section,
/// those of slices by their thickness in every section.
#[test]
fn every_layer_holds_its_part_of_the_section() {
    const N: usize = 300;
    let lay = MaterialMap::new(slanted_bars(Tip::Forged), forged(&spec())).unwrap();
    for x in [-40.0, 60.0, 250.0] {
        let (billet, along, part) = (lay.billet(), lay.along(x), Part::at(x));
        let high = billet.section(part, along) / billet.width();
        let mut counted = vec![[0_usize; 7]; billet.bars().len()];
        for k in 0..N * N {
            let middle = |i: usize| (i as f64 + 0.5) / N as f64;
            let (up, through) = (high * middle(k % N), (middle(k / N) - 0.5) * billet.width());
            let found = billet.layer(StackPoint { part, along, up, through });
            counted[found.bar][found.layer] += 1;
        }
        for (bar, layers) in counted.iter().enumerate() {
            let (set, all) = (&billet.bars()[bar].layers, layers.iter().sum::<usize>() as f64);
            for (i, count) in layers.iter().enumerate() {
                let held = billet.held(bar, [set.start(i), set.layers()[i].end]);
                assert!((*count as f64 / all - held).abs() < 0.01, "{x} {bar} {i}: {held}");
            }
        }
    }
    // Two of seven layers in the corners are thin: their steel is less than two sevenths.
    let carbon = |i: usize| lay.billet().steels()[i].composition.c;
    let even = (4.0 * carbon(0) + 3.0 * carbon(1)) / 7.0;
    assert!((lay.billet().carbon(1) - even).abs() < 1e-12 && (lay.billet().carbon(0) - even).abs() > 1e-4);
}

#[test]
fn what_would_bend_slanted_layers_is_no_billet() {
    let good = slanted_bars(Tip::Forged);
    let with = |change: &dyn Fn(&mut Vec<Bar>)| faults_with(&good, change);
    assert!(with(&|_| {}).is_empty());
    assert_eq!(with(&|bars| bars[0].twist = even(Hand::Right, 0.02)), [BilletFault::Slant(0)]);
    assert_eq!(with(&|bars| bars[1].twist = Program::new(0.4, &[])), [BilletFault::Slant(1)]);
    assert_eq!(with(&|bars| bars[0].slope = Some(0.2)), [BilletFault::Slant(0)]);
    for none in [0.0, 1.6, f64::NAN, f64::INFINITY] {
        assert_eq!(with(&|bars| bars[1].slope = Some(none)), [BilletFault::Slant(1)], "{none}");
        assert_eq!(
            with(&|bars| bars[0].direction = Direction::Leaning(none)),
            [BilletFault::Slant(0)],
            "{none}"
        );
    }
    let tapered = Height::through(&[(0.0, 9.0), (90.0, 7.0)]);
    assert_eq!(with(&|bars| bars[1].height = tapered.clone()), [BilletFault::Slant(1)]);
    let lay = MaterialMap::new(slanted_bars(Tip::Forged), forged(&spec())).unwrap();
    let teeth: Teeth = lay.teeth(1, Serration { period: 14.0, depth: 2.0 }).unwrap();
    assert_eq!(
        with(&|bars| bars[1].teeth = Some(teeth.clone())),
        [BilletFault::Slant(0), BilletFault::Slant(1)]
    );
}
