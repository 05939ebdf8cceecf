//! What of the bars shows on a side, in single figures: what a smith may ask for, and a fit may aim at.

use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::f64::consts::TAU;

use blade::{CrossSection, Sections};

use crate::billet::recipe::StackPoint;
use crate::map::material::{MaterialMap, Plane};
use crate::survey::shown;

/// Stations at which the edge bar is looked at, mm apart: first all along, as sections change little within; then around the
/// least of them.
const STRIDES: [f64; 3] = [8.0, 2.0, 0.5];
/// Places of a seam at which its run is looked at: a bend over the length of a blade spans many of them.
const PLACES: usize = 48;
/// Places in each layer of a bar where a line up the side is read; and at least and at most so many in all.
const PER_LAYER: usize = 8;
const PLACES_UP: [usize; 2] = [400, 8000];

/// How a seam should run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Run {
    /// As a straight line.
    Straight,
    /// Everywhere as far from the back.
    AlongBack,
    /// Everywhere as far from the edge.
    AlongEdge,
}

/// How the layers of two twisted neighbours meet at their seam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Meeting {
    /// How far they are apart, in turns, −1/4 to 1/4: layer sets look alike again after half a turn.
    pub turns: f64,
    /// The same along the blade, mm.
    pub apart: f64,
}

/// A blade cut at stations, forged and at a stage; cuts are kept, as billets that are tried on it are read at the same.
#[derive(Clone, Debug)]
pub struct Cuts<'a> {
    forged: &'a Sections,
    stage: &'a Sections,
    kept: RefCell<BTreeMap<u64, Option<[CrossSection; 2]>>>,
}

impl<'a> Cuts<'a> {
    /// Of the forged stage and another one.
    pub fn new(forged: &'a Sections, stage: &'a Sections) -> Cuts<'a> {
        Cuts { forged, stage, kept: RefCell::default() }
    }

    /// Both sections at station `x`, the forged one first.
    fn at(&self, x: f64) -> Option<[CrossSection; 2]> {
        let made = || Some([self.forged.at(x)?, self.stage.at(x)?]);
        self.kept.borrow_mut().entry(x.to_bits()).or_insert_with(made).clone()
    }
}

/// The bars as they show on the sides of a stage.
#[derive(Clone, Copy, Debug)]
pub struct Pattern<'a> {
    lay: &'a MaterialMap,
    cuts: &'a Cuts<'a>,
}

impl<'a> Pattern<'a> {
    /// Of a billet on the blade of these cuts.
    pub fn new(lay: &'a MaterialMap, cuts: &'a Cuts<'a>) -> Pattern<'a> {
        Pattern { lay, cuts }
    }

    fn cut(&self, x: f64) -> Option<(Plane<'a>, CrossSection)> {
        let [forged, stage] = self.cuts.at(x)?;
        Some((self.lay.plane_of(x, Cow::Owned(forged))?, stage))
    }

    /// Breadth that a bar takes of the side at station `x`, mm, and all of the side's; `None` off the blade.
    pub fn breadth(&self, bar: usize, x: f64) -> Option<[f64; 2]> {
        let (plane, section) = self.cut(x)?;
        let (low, high) = section.range();
        let (_, [from, to]) = shown(&plane, &section).into_iter().find(|(b, _)| *b == bar)?;
        Some([to - from, high - low])
    }

    /// Where the edge bar is narrowest on the side, from the shoulder to the last breadth before the point: the station and
    /// its breadth there, mm. `None` for a blade without stations.
    pub fn edge_bar(&self) -> Option<(f64, f64)> {
        let last = self.lay.billet().places().checked_sub(1)?;
        let end = self.cuts.stage.fan_start().min(self.lay.sections().fan_start());
        let at = |x: f64| Some((x, self.breadth(last, x)?[0]));
        let least = |from: f64, to: f64, step: f64| {
            let count = ((to - from) / step).ceil().max(1.0);
            let all = (0..=count as usize).filter_map(|i| at(from + (to - from) * i as f64 / count));
            all.min_by(|a, b| a.1.total_cmp(&b.1))
        };
        let [all, near, nearest] = STRIDES;
        let (x, _) = least(0.0, end, all)?;
        let (x, _) = least((x - all).max(0.0), (x + all).min(end), near)?;
        least((x - near).max(0.0), (x + near).min(end), nearest)
    }

    /// How deep the surface cuts into a bar in the middle of its breadth at station `x`, on the right or left side: 0 at the
    /// forged skin, 1 in the middle of the bar, over 1 beyond it. `None` where the bar does not show.
    pub fn reveal(&self, bar: usize, x: f64, right: bool) -> Option<f64> {
        let (plane, section) = self.cut(x)?;
        let (_, [from, to]) = shown(&plane, &section).into_iter().find(|(b, f)| *b == bar && f[1] > f[0])?;
        let y = 0.5 * (from + to);
        let ((skin_left, skin_right), (left, flank)) = (plane.flanks(y), section.flanks(y));
        let half = 0.5 * (skin_right - skin_left);
        let depth = if right { skin_right - flank } else { left - skin_left };
        (half > 0.0).then(|| depth / half)
    }

    /// Layers of a bar that a line square to the blade crosses on the right or left side at station `x`. `None` where the bar
    /// does not show.
    pub fn layers(&self, bar: usize, x: f64, right: bool) -> Option<usize> {
        let (plane, section) = self.cut(x)?;
        let (_, [from, to]) = shown(&plane, &section).into_iter().find(|(b, f)| *b == bar && f[1] > f[0])?;
        let made = &self.lay.billet().bars()[bar];
        let angle =
            if made.twist.is_twisted() { made.twist.angle(plane.along()) } else { made.twist.angle(0.0) };
        let count = (PER_LAYER * made.layers.layers().len()).clamp(PLACES_UP[0], PLACES_UP[1]);
        let along = if made.slope.is_some() { plane.along() } else { 0.0 };
        let layer = |i: usize| {
            let y = from + (to - from) * (i as f64 + 0.5) / count as f64;
            let (left, flank) = section.flanks(y);
            let (up, through) = plane.across(y, if right { flank } else { left });
            let p = StackPoint { part: plane.part(), along: 0.0, up, through };
            let (_, welded) = self.lay.billet().bar_point(p);
            self.lay.billet().counted(bar, made.before_twist(welded, angle), along)
        };
        let row: Vec<i64> = (0..count).map(layer).collect();
        Some(1 + row.windows(2).map(|pair| pair[0].abs_diff(pair[1]) as usize).sum::<usize>())
    }

    /// How the layers of a bar and the next one towards the edge meet at their seam at station `x`. `None` off the blade and
    /// where they are not twisted against each other.
    pub fn meeting(&self, upper: usize, x: f64) -> Option<Meeting> {
        let (plane, _) = self.cut(x)?;
        let bars = self.lay.billet().bars();
        let (upper, lower) = (&bars.get(upper)?.twist, &bars.get(upper + 1)?.twist);
        if !(upper.is_twisted() && lower.is_twisted()) {
            return None;
        }
        let s = plane.along();
        let rates = [upper.rate(s), lower.rate(s)];
        if rates[0] * rates[1] >= 0.0 {
            return None;
        }
        // Mirrored at the seam, their angles add up to none.
        let sum = (upper.angle(s) + lower.angle(s)) / TAU;
        let turns = sum - (2.0 * sum).round() / 2.0;
        let turn = 2.0 * TAU / (rates[0].abs() + rates[1].abs()) * plane.stretch();
        Some(Meeting { turns, apart: turns * turn })
    }

    /// How far the seam under a bar leaves its run between two stations, mm: from the straight line through its ends at most,
    /// or by how much its distance from back or edge changes. `None` where there is no such seam.
    pub fn bend(&self, bar: usize, run: Run, [from, to]: [f64; 2]) -> Option<f64> {
        let place = |i: usize| {
            let x = from + (to - from) * i as f64 / PLACES as f64;
            let (plane, section) = self.cut(x)?;
            let (low, high) = section.range();
            let (_, [seam, _]) = shown(&plane, &section).into_iter().find(|(b, _)| *b == bar)?;
            Some(match run {
                Run::Straight => seam,
                Run::AlongBack => high - seam,
                Run::AlongEdge => seam - low,
            })
        };
        let places: Vec<f64> = (0..=PLACES).map(place).collect::<Option<_>>()?;
        let (first, last) = (places[0], places[PLACES]);
        let chord = |i: usize| first + (last - first) * i as f64 / PLACES as f64;
        let off = places.iter().enumerate().map(|(i, y)| (y - chord(i)).abs());
        let [low, high] = [f64::min, f64::max].map(|f| places.iter().copied().fold(first, f));
        Some(if run == Run::Straight { off.fold(0.0, f64::max) } else { high - low })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::billet::bar::{Bar, Direction, Squaring};
    use crate::billet::layers::LayerSet;
    use crate::billet::recipe::Tip;
    use crate::billet::twist::{Hand, Program, Turn};
    use crate::fixtures::{bar, billet, even, flat_bar, forged, four_bars, spec};
    use crate::survey::BarsAt;
    use blade::{Blade, Stage};

    fn finished(spec: &blade::Spec) -> Sections {
        Sections::of(&Blade::new(spec).unwrap().loft(Stage::Finished))
    }

    #[test]
    fn breadths_are_those_of_the_survey_and_the_edge_bar_is_narrowest_where_it_is_told() {
        let (lay, stage) =
            (MaterialMap::new(four_bars(Tip::Forged), forged(&spec())).unwrap(), finished(&spec()));
        let cuts = Cuts::new(lay.sections(), &stage);
        let pattern = Pattern::new(&lay, &cuts);
        for x in [0.0, 120.0, 333.0] {
            let bars = BarsAt::new(&lay, &stage, x).unwrap();
            for (bar, width) in bars.widths.iter().enumerate() {
                assert_eq!(pattern.breadth(bar, x).unwrap()[0].to_bits(), width.to_bits(), "{x} {bar}");
            }
        }
        let (at, least) = pattern.edge_bar().unwrap();
        let end = stage.fan_start();
        let all = (0..=1000).map(|i| pattern.breadth(3, end * f64::from(i) / 1000.0).unwrap()[0]);
        let found = all.fold(f64::INFINITY, f64::min);
        assert!((least - found).abs() < 5e-3 && (0.0..=end).contains(&at), "{at} {least} {found}");
        assert!(pattern.breadth(0, -500.0).is_none() && pattern.breadth(9, 100.0).is_none());
    }

    /// On a flat bar of even thickness the surface cuts in by allowances over half the forged thickness: 8 mm forged, 6.1 mm
    /// finished.
    #[test]
    fn reveal_is_the_share_of_half_the_forged_thickness_that_is_gone() {
        let bars = vec![bar(18.0, Program::default(), Squaring::Forged); 2];
        let lay = MaterialMap::new(billet(bars, 11.0, Tip::Forged), forged(&flat_bar())).unwrap();
        let stage = finished(&flat_bar());
        for right in [true, false] {
            let found =
                Pattern::new(&lay, &Cuts::new(lay.sections(), &stage)).reveal(0, 70.0, right).unwrap();
            assert!((found - 0.95 / 4.0).abs() < 1e-3, "{found}");
        }
        let skin =
            Pattern::new(&lay, &Cuts::new(lay.sections(), lay.sections())).reveal(1, 70.0, true).unwrap();
        assert!(skin.abs() < 1e-9, "{skin}");
    }

    /// Upright layers of a straight bar are all crossed; of flat ones the flank of a flat bar shows one.
    #[test]
    fn layers_on_the_side_are_counted_along_a_line_across_the_blade() {
        let plain = |direction| Bar { direction, ..bar(18.0, Program::default(), Squaring::Forged) };
        let bars = vec![plain(Direction::Upright), plain(Direction::Flat)];
        let lay = MaterialMap::new(billet(bars, 11.0, Tip::Forged), forged(&flat_bar())).unwrap();
        let stage = finished(&flat_bar());
        let cuts = Cuts::new(lay.sections(), &stage);
        let pattern = Pattern::new(&lay, &cuts);
        let all = lay.billet().bars()[0].layers.layers().len();
        assert_eq!(pattern.layers(0, 70.0, true), Some(all));
        assert_eq!(pattern.layers(1, 70.0, false), Some(1));
        let one = Bar { layers: LayerSet::plain(0), ..plain(Direction::Upright) };
        let lay = MaterialMap::new(billet(vec![one], 11.0, Tip::Forged), forged(&flat_bar())).unwrap();
        assert_eq!(Pattern::new(&lay, &Cuts::new(lay.sections(), &stage)).layers(0, 70.0, true), Some(1));
    }

    #[test]
    fn neighbours_turned_against_each_other_meet_by_their_phases() {
        let turned =
            |phase: f64, hand| Program::new(phase, &[Turn { length: None, twist: Some((hand, 0.04)) }]);
        let lay = |upper, lower| {
            let bars = vec![bar(18.0, upper, Squaring::Forged), bar(18.0, lower, Squaring::Forged)];
            MaterialMap::new(billet(bars, 11.0, Tip::Forged), forged(&spec())).unwrap()
        };
        let stage = finished(&spec());
        let apart = lay(turned(0.3, Hand::Right), turned(0.1, Hand::Left));
        let meeting = Pattern::new(&apart, &Cuts::new(apart.sections(), &stage)).meeting(0, 150.0).unwrap();
        assert!((meeting.turns - 0.4 / TAU).abs() < 1e-9, "{meeting:?}");
        let pitch = 25.0 * apart.stretch(150.0).unwrap();
        assert!((meeting.apart - 0.4 / TAU * pitch).abs() < 1e-6, "{meeting:?} {pitch}");
        // Half a turn more looks alike.
        let half = lay(turned(0.3 + 0.5 * TAU, Hand::Right), turned(0.1, Hand::Left));
        let same = Pattern::new(&half, &Cuts::new(half.sections(), &stage)).meeting(0, 150.0).unwrap();
        assert!((same.turns - meeting.turns).abs() < 1e-9);
        for (a, b) in [(Hand::Right, Hand::Right), (Hand::Left, Hand::Left)] {
            let alike = lay(turned(0.0, a), turned(0.0, b));
            let cuts = Cuts::new(alike.sections(), &stage);
            assert!(Pattern::new(&alike, &cuts).meeting(0, 150.0).is_none());
        }
        let one = lay(even(Hand::Left, 0.1), Program::default());
        assert!(Pattern::new(&one, &Cuts::new(one.sections(), &stage)).meeting(0, 9.0).is_none());
    }

    /// On a flat bar every seam runs straight and along both borders; where the blade narrows it can't keep all three.
    #[test]
    fn a_seam_bends_where_the_blade_does() {
        let bars = vec![bar(18.0, Program::default(), Squaring::Forged); 2];
        let lay = MaterialMap::new(billet(bars, 11.0, Tip::Forged), forged(&flat_bar())).unwrap();
        let stage = finished(&flat_bar());
        for run in [Run::Straight, Run::AlongBack, Run::AlongEdge] {
            let bend =
                Pattern::new(&lay, &Cuts::new(lay.sections(), &stage)).bend(0, run, [5.0, 140.0]).unwrap();
            assert!(bend < 1e-3, "{run:?} {bend}");
        }
        let (lay, stage) =
            (MaterialMap::new(four_bars(Tip::Forged), forged(&spec())).unwrap(), finished(&spec()));
        let cuts = Cuts::new(lay.sections(), &stage);
        let pattern = Pattern::new(&lay, &cuts);
        assert!(pattern.bend(1, Run::AlongEdge, [10.0, 390.0]).unwrap() > 1.0);
        assert!(pattern.bend(9, Run::Straight, [10.0, 390.0]).is_none());
    }
}
