//! Plugs on blades of all kinds: from the blade to the rod that was driven in and back, what they hold, and the ovals they show as.

use std::f64::consts::{PI, TAU};

use blade::{Blade, Part, Sections, Stage};
use brep::Mesh;
use glam::DVec3;
use proptest::prelude::*;

use crate::billet::bar::{Bar, Squaring};
use crate::billet::plug::Plug;
use crate::billet::recipe::{BilletFault, StackPoint, Tip};
use crate::billet::twist::Program;
use crate::fixtures::{bar, billet, determinant, even, faults_with, flat_bar, forged, plugged_bars, specs};
use crate::map::material::MaterialMap;
use crate::picture::palette::{linear, steel_colour};
use crate::{Colouring, Fineness, Height, LayerSet, Picture, Seams, Serration, Skins, Turn, View};
use crate::{Hand, Share, parted};

fn lays() -> Vec<(String, MaterialMap)> {
    let tips = [Tip::Forged, Tip::Cut { from: 330.0 }];
    let each = specs().into_iter().flat_map(|(name, spec)| tips.map(|tip| (name, spec.clone(), tip)));
    let lay = |tip, spec| MaterialMap::new(plugged_bars(tip), forged(&spec)).unwrap();
    each.map(|(name, spec, tip)| (format!("{name} {tip:?}"), lay(tip, spec))).collect()
}

/// Heights of the lower faces of the bars in the stack, mm, by their heights alone: the edge bar lies lowest.
fn low(lay: &MaterialMap, bar: usize, along: f64) -> f64 {
    lay.billet().bars()[bar + 1..].iter().map(|bar| bar.height.at(along)).sum()
}

/// Where a point of the blade lay in the rod that holds it, mm: along the bar, up and through from the rod's middle.
fn rod(lay: &MaterialMap, p: DVec3) -> Option<(usize, DVec3)> {
    let stack = lay.stack_point(p)?;
    let found = lay.billet().layer(stack);
    let plug = &lay.billet().bars()[found.bar].plugs[found.plug?];
    let up = stack.up - low(lay, found.bar, stack.along) - plug.up;
    Some((10 * found.bar + found.plug?, DVec3::new(stack.along - plug.at, up, stack.through)))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, ..ProptestConfig::default() })]

    /// From a place in the rod to the blade and back, with every volume; a hair outside the rod its bar's own steel shows.
    #[test]
    fn there_and_back_with_every_volume(shares in proptest::collection::vec([0.001..0.999, 0.0..1.0, 0.02..0.98f64], 4)) {
        thread_local!(static LAYS: Vec<(String, MaterialMap)> = lays());
        LAYS.with(|lays| {
            let (mut seen, mut kept) = (0, 0);
            for (name, lay) in lays {
                let bars = lay.billet().bars().iter().enumerate();
                let plugs: Vec<_> = bars.flat_map(|(bar, made)| made.plugs.iter().map(move |plug| (bar, plug))).collect();
                for ((bar, plug), &[away, turn, through]) in plugs.iter().flat_map(|one| shares.iter().map(move |s| (*one, s))) {
                    let at = |away: f64| {
                        let (sin, cos) = (turn * TAU).sin_cos();
                        let along = plug.at + away * plug.radius() * cos;
                        let up = low(lay, bar, along) + plug.up + away * plug.radius() * sin;
                        StackPoint { part: Part::Blade, along, up, through: (through - 0.5) * 11.0 }
                    };
                    let (within, beyond) = (at(away.sqrt()), at(1.001));
                    let p = lay.blade_point(within).unwrap();
                    let (_, place) = rod(lay, p).unwrap_or_else(|| panic!("{name} {bar} {within:?}"));
                    let back = DVec3::new(place.x + plug.at, place.y + plug.up + low(lay, bar, within.along), place.z);
                    prop_assert!(back.distance(DVec3::new(within.along, within.up, within.through)) < 1e-8, "{name} {p}");
                    let found = lay.billet().layer(lay.stack_point(p).unwrap());
                    prop_assert!(found.bar == bar && found.layer == 0 && found.steel == plug.steel(), "{name} {found:?}");
                    prop_assert!(rod(lay, lay.blade_point(beyond).unwrap()).is_none(), "{name} {bar} {beyond:?}");
                    let Some((_, d)) = determinant(p, |p| rod(lay, p)) else { continue };
                    seen += 1;
                    kept += usize::from((d - 1.0).abs() < 1e-6);
                }
            }
            // Across a corner of a section the map is not smooth.
            prop_assert!(seen > 150 && 50 * (seen - kept) <= seen, "{seen} {kept}");
            Ok(())
        })?;
    }
}

/// Zones are the blade to the last bit of rounding at every stage; of the forged one each plug's hold what its rod held, and a bar's
/// pieces what the bar held without.
#[test]
fn zones_are_the_blade_and_hold_what_was_driven_in() {
    for (name, spec) in specs() {
        for tip in [Tip::Forged, Tip::Cut { from: 320.0 }] {
            let lay = MaterialMap::new(plugged_bars(tip), forged(&spec)).unwrap();
            for stage in Stage::ALL {
                let loft = Blade::new(&spec).unwrap().loft(stage);
                let mesh = Mesh::of(loft.shell(), 0.01).unwrap();
                let zones = lay.zones(&mesh, 0.005).unwrap_or_else(|f| panic!("{name} {tip:?} {stage}: {f}"));
                let sum: f64 = zones.iter().map(|z| z.mesh.volume()).sum();
                assert!((sum / mesh.volume() - 1.0).abs() < 1e-9, "{name} {tip:?} {stage} {sum}");
                assert!(zones.iter().all(|z| z.plug.is_none() || z.part == Part::Blade), "{name}");
                let bodies =
                    lay.bodies(&loft, 1e-3).unwrap_or_else(|f| panic!("{name} {tip:?} {stage}: {f}"));
                let mut places: Vec<_> = zones.iter().map(|z| (z.part, z.bar)).collect();
                places.dedup();
                assert_eq!(bodies.iter().map(|b| (b.part, b.bar)).collect::<Vec<_>>(), places, "{name}");
                if stage != Stage::Forged || tip != Tip::Forged {
                    continue;
                }
                let held = |which: &dyn Fn(&crate::Zone) -> bool| {
                    zones.iter().filter(|z| which(z)).map(|z| z.mesh.volume()).sum::<f64>()
                };
                let end = lay.along(lay.sections().range().1);
                for (bar, made) in lay.billet().bars().iter().enumerate() {
                    let mut rods = 0.0;
                    for (i, plug) in made.plugs.iter().enumerate() {
                        let found = held(&|z| z.bar == bar && z.plug == Some(i));
                        let rod = PI * plug.radius() * plug.radius() * 11.0;
                        rods += rod;
                        // The mesh stands up to its tolerance off both sides of a blade that is a few mm thick.
                        assert!((found / rod - 1.0).abs() < 8e-3, "{name} {bar} {i}: {found} for {rod}");
                    }
                    let own = held(&|z| z.bar == bar && z.plug.is_none() && z.part == Part::Blade);
                    let wanted = made.height.at(0.0) * 11.0 * end - rods;
                    assert!((own / wanted - 1.0).abs() < 0.02, "{name} {bar}: {own} for {wanted}");
                }
            }
        }
    }
}

/// A flat bar of 32 × 8 mm from a stack 12 mm wide is half as long again: a round of radius r becomes an oval of the half axes
/// 1.5 r and r. The picture shows it so large on both sides, and so long and high.
#[test]
fn a_round_rod_shows_as_an_oval_drawn_out_with_the_bar() {
    const DOTS: f64 = 12.0;
    let plain =
        |height| Bar { layers: LayerSet::plain(0), ..bar(height, Program::default(), Squaring::Forged) };
    for diameter in [3.0, 7.0] {
        let plugged = Bar { plugs: vec![Plug::new(50.0, 9.0, diameter, 1)], ..plain(20.0) };
        let lay =
            MaterialMap::new(billet(vec![plain(12.0), plugged], 12.0, Tip::Forged), forged(&flat_bar()))
                .unwrap();
        let (r, stretch) = (0.5 * diameter, lay.stretch(60.0).unwrap());
        assert!((stretch - 1.5).abs() < 0.01, "{stretch}");
        let finished = Sections::of(&Blade::new(&flat_bar()).unwrap().loft(Stage::Finished));
        let low = lay.plane(60.0).unwrap().range().0;
        for sections in [lay.sections(), &finished] {
            for view in [View::Right, View::Left] {
                let fineness = Fineness { dots: DOTS, samples: 4, bleed: false };
                let picture = Picture::new(&lay, sections, view, Colouring::Steels, fineness).unwrap();
                let light = |c: u8| linear(f64::from(c) / 255.0);
                let [dark, bright] = [0, 1].map(|steel| light(steel_colour(steel).srgb[1]));
                let share = |k: usize| (light(picture.rgb[3 * k + 1]) - dark) / (bright - dark);
                // White lies around the blade only.
                let near = |k: usize| {
                    let x = (k % picture.width) as f64 / DOTS + picture.left;
                    let y = picture.top - (k / picture.width) as f64 / DOTS;
                    let x = if view == View::Left { -x } else { x };
                    (x - lay.station(50.0)).abs() < 2.0 * diameter && (y - low - 9.0).abs() < diameter
                };
                let area = (0..picture.width * picture.height).filter(|k| near(*k)).map(share).sum::<f64>()
                    / (DOTS * DOTS);
                let wanted = PI * r * r * stretch;
                assert!((area / wanted - 1.0).abs() < 5e-3, "{diameter} {view:?}: {area} for {wanted}");
            }
        }
        let [spot] = lay.spots(&finished)[..] else { panic!() };
        let [long, high] = [spot.stations, spot.heights].map(|[from, to]| to - from);
        assert!((long - stretch * diameter).abs() < 0.02 && (high - diameter).abs() < 0.02, "{spot:?}");
        assert!(spot.at_edge.is_none() && (spot.at - lay.station(50.0)).abs() < 1e-12);
    }
}

/// The sweep of a cut point runs through the bars: the edge that runs through a plug there is told with its stations, and what
/// lies under the edge is not on the blade.
#[test]
fn a_plug_at_the_edge_is_found() {
    let (name, spec) = specs().into_iter().find(|(name, _)| *name == "dropped point, round").unwrap();
    let finished = Sections::of(&Blade::new(&spec).unwrap().loft(Stage::Finished));
    let with = |plugs| {
        let plain = Bar { layers: LayerSet::plain(0), ..bar(37.0, Program::default(), Squaring::Forged) };
        let tip = Tip::Cut { from: 380.0 };
        MaterialMap::new(billet(vec![Bar { plugs, ..plain }], 11.0, tip), forged(&spec)).unwrap()
    };
    let along = |x: f64| with(Vec::new()).along(x);
    let lay = with(vec![Plug::new(along(415.0), 4.5, 5.0, 1), Plug::new(along(200.0), 9.0, 5.0, 1)]);
    let spot = lay.spot((0, 0), &finished).unwrap();
    let [from, to] = spot.at_edge.unwrap_or_else(|| panic!("{name} {spot:?}"));
    assert!(spot.stations[0] <= from && from < to && to <= spot.stations[1], "{spot:?}");
    let x = 0.5 * (from + to);
    let place = lay.billet().layer(lay.plane(x).unwrap().stack_point(finished.at(x).unwrap().range().0, 0.0));
    assert_eq!(place.plug, Some(0));
    assert!(lay.spot((0, 1), &finished).is_some_and(|spot| spot.at_edge.is_none()));
    assert_eq!(lay.spots(&finished).iter().map(|spot| spot.plug).collect::<Vec<_>>(), [0, 1]);
    let under = with(vec![Plug::new(along(425.0), 1.6, 3.0, 1)]);
    assert!(under.spots(&finished).is_empty() && under.spot((0, 1), &finished).is_none());
}

#[test]
fn what_can_not_be_driven_in_is_no_billet() {
    let good = plugged_bars(Tip::Forged);
    let with = |change: &dyn Fn(&mut Vec<Bar>)| faults_with(&good, change);
    assert!(with(&|_| {}).is_empty());
    for plug in [
        Plug::new(f64::NAN, 3.0, 2.0, 0),
        Plug::new(60.0, f64::INFINITY, 2.0, 0),
        Plug::new(60.0, 3.0, f64::NAN, 0),
        Plug::new(60.0, 3.0, 0.0, 0),
        Plug::new(60.0, 3.0, -2.0, 0),
        Plug::new(60.0, 3.0, 1e300, 0),
        Plug::new(60.0, 0.9, 2.0, 0),
        Plug::new(60.0, 6.5, 2.0, 0),
        Plug::new(0.5, 3.0, 2.0, 0),
        Plug::new(-60.0, 3.0, 2.0, 0),
        Plug::new(60.0, 3.0, 2.0, 9),
    ] {
        assert_eq!(with(&|bars| bars[0].plugs = vec![plug.clone()]), [BilletFault::Plugs(0)], "{plug:?}");
    }
    let meeting = vec![Plug::new(60.0, 3.0, 2.0, 0), Plug::new(61.5, 3.5, 2.0, 1)];
    assert_eq!(with(&|bars| bars[0].plugs = meeting.clone()), [BilletFault::Plugs(0)]);
    assert_eq!(with(&|bars| bars[1].twist = even(Hand::Right, 0.04)), [BilletFault::Plugs(1)]);
    let sloped = with(&|bars| bars[2].slope = Some(0.3));
    assert!(sloped.contains(&BilletFault::Plugs(2)), "{sloped:?}");
    let (cells, skin) = parted([12.0, 11.0], &[1.0], Skins { edge: 2.0, back: 0.0, sides: 2.0 }).unwrap();
    let wrapped = with(&|bars| {
        let skin = Bar {
            share: Share { of: Some(3), cells: skin.clone() },
            layers: LayerSet::plain(0),
            plugs: Vec::new(),
            ..bars[3].clone()
        };
        bars[3].share = Share { of: None, cells: cells.clone() };
        bars.push(skin);
    });
    assert_eq!(wrapped, [BilletFault::Plugs(3)]);
    let lay = MaterialMap::new(good.clone(), forged(&flat_bar())).unwrap();
    let teeth = lay.teeth(1, Serration { period: 14.0, depth: 2.0 }).unwrap();
    assert_eq!(
        with(&|bars| bars[1].teeth = Some(teeth.clone())),
        [BilletFault::Plugs(0), BilletFault::Plugs(1)]
    );
}

/// In a bar that is forged to a taper rods stand square to its faces' middle: places count from the lower face wherever it lies.
#[test]
fn plugs_stand_in_tapered_bars() {
    let tapered = |from, to| Height::through(&[(0.0, from), (120.0, to)]);
    let made = |height, plugs| Bar { height, plugs, ..bar(1.0, Program::default(), Squaring::Forged) };
    let bars = vec![
        made(tapered(18.0, 9.0), vec![Plug::new(40.0, 5.0, 6.0, 1), Plug::new(100.0, 5.0, 4.0, 2)]),
        made(tapered(8.0, 20.0), Vec::new()),
    ];
    let lay = MaterialMap::new(billet(bars.clone(), 11.0, Tip::Forged), forged(&flat_bar())).unwrap();
    let mesh = Mesh::of(Blade::new(&flat_bar()).unwrap().loft(Stage::Forged).shell(), 0.01).unwrap();
    let zones = lay.zones(&mesh, 0.005).unwrap();
    for (i, plug) in bars[0].plugs.iter().enumerate() {
        let found: f64 = zones.iter().filter(|z| z.plug == Some(i)).map(|z| z.mesh.volume()).sum();
        let rod = PI * plug.radius() * plug.radius() * 11.0;
        assert!((found / rod - 1.0).abs() < 4e-3, "{i}: {found} for {rod}");
    }
    let seams: Seams = lay.seams(Part::Blade, 0.005);
    assert_eq!(seams.heights.len(), 1);
    let shallow = made(tapered(8.0, 3.0), vec![Plug::new(100.0, 3.0, 4.0, 1)]);
    assert_eq!(faults_with(lay.billet(), &|bars| bars[0] = shallow.clone()), [BilletFault::Plugs(0)]);
    let straight = Turn { length: None, twist: None };
    assert!(!Program::new(0.3, &[straight]).turns_between([0.0, 9.0]));
}
