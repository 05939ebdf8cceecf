//! Serrated welds that the finished blade should show, as teeth of the bars.

use crate::billet::height::Height;
use crate::billet::pitch::Pitch;
use crate::billet::recipe::{Billet, BilletFault};
use crate::billet::teeth::{Serration, Teeth};
use crate::billet::twist::{Asked, Hand, Place, Winding};
use crate::map::material::MaterialMap;

/// Stations at which the depth of teeth in the stack is read, mm apart: a section hardly changes between.
const STEP: f64 = 4.0;

impl MaterialMap {
    /// The teeth of the weld over a bar (counted from the back, not the first) that show as asked for: laid by stations up to one
    /// breadth before the point, from there on as they are on the bar. `None` where there is no such weld on the blade.
    pub fn teeth(&self, bar: usize, asked: Serration) -> Option<Teeth> {
        let bars = self.billet().places();
        let seam = bars.checked_sub(bar + 1).filter(|_| bar > 0)?;
        let whole = Asked {
            place: Place::Length(None),
            winding: Winding::Pitch(Hand::Right, Pitch::even(asked.period)),
        };
        let last = self.sections().fan_start().max(STEP);
        let count = (last / STEP).ceil();
        // A micrometre ahead of the shoulder plane, where stations may belong to the tang.
        let stations = (0..=count as usize).map(|i| (last * i as f64 / count).max(1e-3));
        let places: Option<Vec<(f64, f64)>> =
            stations.map(|x| Some((self.along(x), self.depth(seam, x, asked.depth)?))).collect();
        let deep = Height::through(&places?);
        Some(Teeth { asked, turns: self.program(0.0, &[whole]), deep })
    }

    /// Depth in the stack (mm) of teeth so deep on the blade at station `x`.
    fn depth(&self, seam: usize, x: f64, deep: f64) -> Option<f64> {
        let plane = self.plane(x)?;
        let y = plane.seams().nth(seam)?;
        Some(plane.up(y + 0.5 * deep) - plane.up(y - 0.5 * deep))
    }

    /// The same with teeth over the bars, one entry for each from the back to the edge.
    ///
    /// # Errors
    /// Every [`BilletFault`] of such a billet: teeth that leave nothing of a bar.
    pub fn with_teeth(&self, teeth: Vec<Option<Teeth>>) -> Result<MaterialMap, Vec<BilletFault>> {
        let mut recipe = self.billet().recipe().clone();
        recipe.bars.iter_mut().zip(teeth).for_each(|(bar, teeth)| bar.teeth = teeth);
        Billet::new(recipe).map(|billet| self.with_billet(billet))
    }
}

#[cfg(test)]
mod tests {
    use blade::Part;
    use glam::DVec3;
    use proptest::prelude::*;

    use super::*;
    use crate::billet::bar::Squaring;
    use crate::billet::recipe::Tip;
    use crate::billet::twist::Program;
    use crate::fixtures::{
        bar, billet, determinant, flat_bar, forged, four_bars, point, specs, zones_hold_what_bars_hold,
    };

    const TEETH: Serration = Serration { period: 12.0, depth: 3.0 };

    /// Four bars with two serrated welds, one of them under a tapered bar.
    fn serrated(spec: &blade::Spec, tip: Tip) -> MaterialMap {
        let lay = MaterialMap::new(four_bars(tip), forged(spec)).unwrap();
        let lay = lay.with_ends(&[None, Some([9.0, 10.0]), None, None]).unwrap();
        let teeth = [None, None, Some(Serration { period: 20.0, depth: 1.5 }), Some(TEETH)];
        let teeth = teeth.iter().enumerate().map(|(i, asked)| asked.and_then(|asked| lay.teeth(i, asked)));
        lay.with_teeth(teeth.collect()).unwrap()
    }

    fn lays() -> Vec<(String, MaterialMap)> {
        let tips = [Tip::Forged, Tip::Cut { from: 330.0 }];
        let each = specs().into_iter().flat_map(|(name, spec)| tips.map(|tip| (name, spec.clone(), tip)));
        each.map(|(name, spec, tip)| (format!("{name} {tip:?}"), serrated(&spec, tip))).collect()
    }

    /// On a flat bar of 32 × 8 mm from a stack of 36 × 11: the seam at 18 mm of the stack waves by sin(2πx/12) around 16 mm on
    /// the blade, 3 mm deep; in the stack by 36/32 of it.
    #[test]
    fn on_a_flat_bar_the_weld_is_the_wave_asked_for() {
        let bars = vec![bar(18.0, Program::default(), Squaring::Forged); 2];
        let plain = MaterialMap::new(billet(bars, 11.0, Tip::Forged), forged(&flat_bar())).unwrap();
        let teeth = plain.teeth(1, TEETH).unwrap();
        assert!((teeth.depth(20.0) - 3.0 * 36.0 / 32.0).abs() < 1e-3 && teeth.asked() == TEETH);
        let lay = plain.with_teeth(vec![None, Some(teeth)]).unwrap();
        let (low, _) = lay.plane(50.0).unwrap().range();
        for i in 0..140 {
            let x = 1.0 + f64::from(i);
            let seam = lay.plane(x).unwrap().seams().next().unwrap();
            let wanted = low + 16.0 + 1.5 * (std::f64::consts::TAU * x / 12.0).sin();
            assert!((seam - wanted).abs() < 2e-3, "{x} {seam} {wanted}");
        }
        // At a tooth's tip a bar shows its outermost layer, at the foot of a gap what lies deeper.
        let up = |x: f64, off: f64| {
            let plane = lay.plane(x).unwrap();
            let seam = plane.seams().next().unwrap();
            lay.billet().bar_point(plane.stack_point(seam + off, 0.0))
        };
        // Where teeth are as deep in the stack as anywhere: elsewhere their tips lie a little deeper.
        let most = lay.billet().bars()[1].teeth.as_ref().unwrap().most();
        let (deep, high) = (3.0 * 36.0 / 32.0, 18.0 + most);
        let (bar, tip) = up(12.0 + 3.0, -1e-6);
        assert!(bar == 1 && (tip.up - (0.5 - (most - 0.5 * deep) / high)).abs() < 1e-3, "{tip:?}");
        let (bar, foot) = up(12.0 + 9.0, -1e-6);
        assert!(bar == 1 && (foot.up - (0.5 - (most + 0.5 * deep) / high)).abs() < 1e-3, "{foot:?}");
        assert!(most >= 0.5 * deep - 1e-3 && (lay.billet().made_height(1).at(0.0) - high).abs() < 1e-9);
        let quarters = lay.billet().bars()[1].teeth.as_ref().unwrap().quarters(lay.along(140.0));
        assert!((lay.station(quarters[3]) - 12.0).abs() < 1e-4 && quarters.len() == 46, "{}", quarters.len());
    }

    #[test]
    fn there_are_no_teeth_at_the_back_none_in_the_tang_and_none_through_a_bar() {
        let lay = MaterialMap::new(four_bars(Tip::Forged), forged(&specs()[0].1)).unwrap();
        assert!(lay.teeth(0, TEETH).is_none() && lay.teeth(4, TEETH).is_none());
        let toothed = serrated(&specs()[0].1, Tip::Forged);
        let seams = |lay: &MaterialMap| lay.plane(-20.0).unwrap().seams().collect::<Vec<_>>();
        assert_eq!(seams(&lay), seams(&toothed));
        let through = lay.teeth(3, Serration { period: 12.0, depth: 19.0 });
        let faults = lay.with_teeth(vec![None, None, None, through]).unwrap_err();
        assert!(faults.contains(&BilletFault::Teeth(2)), "{faults:?}");
        let own = lay.teeth(3, TEETH);
        assert!(lay.with_teeth(vec![own.clone(), None, None, None]).is_err());
        let none = Teeth { deep: Height::even(f64::NAN), ..own.unwrap() };
        assert!(lay.with_teeth(vec![None, None, None, Some(none)]).is_err());
    }

    /// The place in the square before the twist, mm.
    fn square(lay: &MaterialMap, p: DVec3) -> Option<(usize, DVec3)> {
        let stack = lay.stack_point(p)?;
        let (bar, welded) = lay.billet().bar_point(stack);
        let made = &lay.billet().bars()[bar];
        let before = made.before_twist(welded, made.twist.angle(stack.along));
        let high = if stack.part == Part::Tang { made.height.clone() } else { lay.billet().made_height(bar) };
        Some((bar, DVec3::new(stack.along, high.at(stack.along) * before.up, 11.0 * before.through)))
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 16, ..ProptestConfig::default() })]

        #[test]
        fn there_and_back_with_every_volume(shares in proptest::collection::vec([0.001..0.9, 0.02..0.98, 0.05..0.95f64], 60)) {
            thread_local!(static LAYS: Vec<(String, MaterialMap)> = lays());
            LAYS.with(|lays| {
                let (mut seen, mut kept) = (0, 0);
                for (name, lay) in lays {
                    for p in shares.iter().filter_map(|&s| point(lay, s)) {
                        let stack = lay.stack_point(p).unwrap();
                        let (bar, welded) = lay.billet().bar_point(stack);
                        prop_assert!(welded.up.abs() <= 0.5 + 1e-9, "{name} {p} {welded:?}");
                        let back = lay.billet().stack_point(bar, welded, stack.along, stack.part).unwrap();
                        prop_assert!(lay.blade_point(back).unwrap().distance(p) < 1e-9, "{name} {p}");
                        let Some((bar, d)) = determinant(p, |p| square(lay, p)) else { continue };
                        seen += 1;
                        kept += usize::from((d / if bar == 2 { 0.5 } else { 1.0 } - 1.0).abs() < 1e-6);
                    }
                }
                prop_assert!(seen > 200 && 50 * (seen - kept) <= seen, "{seen} {kept}");
                Ok(())
            })?;
        }
    }

    /// Over whole teeth a bar gives as much as it takes: its zone holds what it would without them, but for a tooth's part.
    #[test]
    fn zones_and_bodies_are_the_blade_and_hold_what_the_bars_hold() {
        for (name, spec) in specs() {
            for tip in [Tip::Forged, Tip::Cut { from: 320.0 }] {
                zones_hold_what_bars_hold(name, &spec, tip, &serrated(&spec, tip), 1e-2);
            }
        }
    }

    #[test]
    fn seams_keep_to_the_wave() {
        for (name, lay) in lays() {
            let seams = lay.seams(Part::Blade, 0.01);
            let fan = lay.sections().fan_start();
            assert!(seams.stations.len() < 2500, "{name} {}", seams.stations.len());
            for i in (0..seams.stations.len() - 1).filter(|&i| seams.stations[i + 1] < fan) {
                let (a, b) = (seams.stations[i], seams.stations[i + 1]);
                for share in [0.1, 0.4, 0.6, 0.9] {
                    for (k, y) in lay.plane(a + (b - a) * share).unwrap().seams().enumerate() {
                        let (p, q) = (seams.heights[k][i], seams.heights[k][i + 1]);
                        assert!((p + (q - p) * share - y).abs() < 0.03, "{name} {a} {k}");
                    }
                }
            }
        }
    }
}
