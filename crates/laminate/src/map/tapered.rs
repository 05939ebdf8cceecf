//! Bars that are forged to a taper, laid on the blade.

use blade::Part;

use crate::billet::height::Height;
use crate::billet::recipe::Billet;
use crate::map::material::MaterialMap;

/// A bend nearer to the point than this, mm, shows nowhere.
const AT_POINT: f64 = 0.5;

impl MaterialMap {
    /// The same with other heights of those bars that run straight from one height at the shoulder to another at the point
    /// (mm, positive), one entry for each bar from the back to the edge; `None` where that is no billet.
    pub fn with_ends(&self, ends: &[Option<[f64; 2]>]) -> Option<MaterialMap> {
        let heights = |height: &dyn Fn([f64; 2]) -> Height| {
            let mut recipe = self.billet().recipe().clone();
            let bars = recipe.bars.iter_mut().zip(ends);
            bars.for_each(|(bar, ends)| bar.height = ends.map_or_else(|| bar.height.clone(), height));
            Billet::new(recipe).ok()
        };
        // Bars of their mean heights hold as much, so the stack is as long.
        let mean = heights(&|[shoulder, point]| Height::even(0.5 * (shoulder + point)))?;
        let length = mean.along(Part::Blade, self.laid_volume(self.sections().range().1));
        let laid = heights(&|[shoulder, point]| Height::through(&[(0.0, shoulder), (length, point)]))?;
        Some(self.with_billet(laid))
    }

    /// Stations of the blade at which a bar's height in the stack changes its course, mm.
    pub(crate) fn bends(&self) -> Vec<f64> {
        let end = self.sections().range().1;
        let stations = self.billet().stack(Part::Blade).bends().map(|along| self.station(along));
        // Places from the point on come to lie in it, and nothing bends there.
        stations.filter(|x| *x < end - AT_POINT).collect()
    }
}

#[cfg(test)]
mod tests {
    use glam::DVec3;
    use proptest::prelude::*;

    use super::*;
    use crate::billet::bar::{Bar, SquarePoint, Squaring};
    use crate::billet::pitch::Pitch;
    use crate::billet::recipe::Tip;
    use crate::billet::twist::{Asked, Hand, Place, Program, Winding};
    use crate::fixtures::{
        bar, billet, determinant, flat_bar, forged, four_bars, point, specs, zones_hold_what_bars_hold,
    };

    /// Four bars, three of them tapered: from shoulder to point, or at places along the bar.
    fn tapered(spec: &blade::Spec, tip: Tip) -> MaterialMap {
        let mut recipe = four_bars(tip).recipe().clone();
        recipe.bars[2].height = Height::through(&[(30.0, 9.0), (90.0, 11.0), (160.0, 6.5)]);
        let lay = MaterialMap::new(Billet::new(recipe).unwrap(), forged(spec)).unwrap();
        lay.with_ends(&[Some([5.0, 9.0]), None, None, Some([15.0, 8.0])]).unwrap()
    }

    fn lays() -> Vec<(String, MaterialMap)> {
        let tips = [Tip::Forged, Tip::Cut { from: 330.0 }];
        let each = specs().into_iter().flat_map(|(name, spec)| tips.map(|tip| (name, spec.clone(), tip)));
        each.map(|(name, spec, tip)| (format!("{name} {tip:?}"), tapered(&spec, tip))).collect()
    }

    #[test]
    fn a_bar_runs_from_its_height_at_the_shoulder_to_that_at_the_point() {
        for (name, lay) in lays() {
            let end = lay.along(lay.sections().range().1);
            let heights =
                |along: f64| lay.billet().bars().iter().map(|b| b.height.at(along)).collect::<Vec<_>>();
            let near =
                |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-9, "{name} {found} {wanted}");
            near(heights(0.0)[0], 5.0);
            near(heights(0.5 * end)[0], 7.0);
            near(heights(end)[0], 9.0);
            near(heights(end)[3], 8.0);
            near(heights(-50.0)[3], 15.0);
            let places = lay.billet().bars()[0].height.places();
            near(places[1].0, end);
        }
    }

    /// A flat bar of 32 × 8 mm from bars of 12 and 20 mm at the shoulder, with H = 32 there: at station x it took 256·x mm³ of a
    /// stack 8 mm wide, and the seam lies at 32·u/H.
    #[test]
    fn on_a_flat_bar_seams_run_as_the_bars_taper() {
        let bars = [12.0, 20.0].map(|h| bar(h, Program::default(), Squaring::Forged)).to_vec();
        let even = MaterialMap::new(billet(bars, 8.0, Tip::Forged), forged(&flat_bar())).unwrap();
        let lay = even.with_ends(&[Some([12.0, 24.0]), Some([20.0, 20.0])]).unwrap();
        let (low, high) = lay.plane(70.0).unwrap().range();
        let end = lay.along(240.0);
        for x in [10.0, 70.0, 140.0] {
            // (32 + H)/2 · s = 32·x with H = 32 + 12·s/end.
            let slope = 12.0 / end;
            let s = (-32.0 + (32.0_f64 * 32.0 + 2.0 * slope * (high - low) * x).sqrt()) / slope;
            let stack = 32.0 + slope * s;
            assert!((lay.along(x) - s).abs() < 1e-6, "{x} {} {s}", lay.along(x));
            let seam = lay.plane(x).unwrap().seams().next().unwrap();
            assert!((seam - low - (high - low) * 20.0 / stack).abs() < 1e-6, "{x} {seam}");
            let stretch = stack / (high - low);
            assert!((lay.stretch(x).unwrap() - stretch).abs() < 1e-6);
        }
    }

    #[test]
    fn two_equal_ends_are_the_even_bar_to_the_last_bit() {
        for (name, spec) in specs() {
            let even = MaterialMap::new(four_bars(Tip::Forged), forged(&spec)).unwrap();
            let same =
                even.with_ends(&[Some([7.0, 7.0]), Some([9.0, 9.0]), None, Some([12.0, 12.0])]).unwrap();
            assert_eq!(even.billet(), same.billet(), "{name}");
        }
        let even = MaterialMap::new(four_bars(Tip::Forged), forged(&flat_bar())).unwrap();
        for wrong in [[f64::NAN, 5.0], [5.0, 0.0], [-1.0, 5.0], [5.0, f64::INFINITY]] {
            assert!(even.with_ends(&[Some(wrong), None, None, None]).is_none(), "{wrong:?}");
        }
    }

    /// The place in the square before the twist, mm: along the bar, up and through, and the bar.
    fn square(lay: &MaterialMap, p: DVec3) -> Option<(usize, DVec3)> {
        let stack = lay.stack_point(p)?;
        let (bar, welded) = lay.billet().bar_point(stack);
        let made = &lay.billet().bars()[bar];
        let before = made.before_twist(welded, made.twist.angle(stack.along));
        Some((bar, DVec3::new(stack.along, made.height.at(stack.along) * before.up, 11.0 * before.through)))
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

        #[test]
        fn there_and_back_again(shares in proptest::collection::vec([0.0..1.0, 0.0..1.0, 0.0..1.0f64], 60)) {
            thread_local!(static LAYS: Vec<(String, MaterialMap)> = lays());
            LAYS.with(|lays| {
                for (name, lay) in lays {
                    for p in shares.iter().filter_map(|&s| point(lay, s)) {
                        let stack = lay.stack_point(p).unwrap();
                        prop_assert!(lay.blade_point(stack).unwrap().distance(p) < 1e-9, "{name} {p}");
                        let (bar, welded) = lay.billet().bar_point(stack);
                        let angle = lay.billet().bars()[bar].twist.angle(stack.along);
                        let made = &lay.billet().bars()[bar];
                        let now = made.after_twist(made.before_twist(welded, angle), angle);
                        let back = lay.billet().stack_point(bar, now, stack.along, stack.part).unwrap();
                        prop_assert!(lay.blade_point(back).unwrap().distance(p) < 1e-8, "{name} {p}");
                    }
                }
                Ok(())
            })?;
        }

        /// Off the places where rings, sections or heights bend, the whole way from the blade to the square before the twist
        /// keeps volumes: a ground square has half the area of the one before.
        #[test]
        fn the_whole_way_keeps_volumes(shares in proptest::collection::vec([0.001..0.9, 0.02..0.98, 0.05..0.95f64], 60)) {
            thread_local!(static LAYS: Vec<(String, MaterialMap)> = lays());
            LAYS.with(|lays| {
                let (mut seen, mut kept) = (0, 0);
                for (_, lay) in lays {
                    for p in shares.iter().filter_map(|&s| point(lay, s)) {
                        let Some((bar, d)) = determinant(p, |p| square(lay, p)) else { continue };
                        seen += 1;
                        kept += usize::from((d / if bar == 2 { 0.5 } else { 1.0 } - 1.0).abs() < 1e-6);
                    }
                }
                // Of two hundred points one may fall on a bend.
                prop_assert!(seen > 200 && 50 * (seen - kept) <= seen, "{seen} {kept}");
                Ok(())
            })?;
        }
    }

    /// What a bar holds in the stack is what its zone holds, and the zones are the blade; so are the exact bodies as many.
    #[test]
    fn zones_hold_what_the_bars_hold() {
        for (name, spec) in specs() {
            for tip in [Tip::Forged, Tip::Cut { from: 320.0 }] {
                zones_hold_what_bars_hold(name, &spec, tip, &tapered(&spec, tip), 5e-3);
            }
        }
    }

    #[test]
    fn seams_keep_within_the_tolerance_where_heights_bend() {
        for (name, lay) in lays() {
            let seams = lay.seams(Part::Blade, 0.01);
            let fan = lay.sections().fan_start();
            for i in (0..seams.stations.len() - 1).filter(|&i| seams.stations[i + 1] < fan) {
                let (a, b) = (seams.stations[i], seams.stations[i + 1]);
                for share in [0.1, 0.4, 0.6, 0.9] {
                    for (k, y) in lay.plane(a + (b - a) * share).unwrap().seams().enumerate() {
                        let (p, q) = (seams.heights[k][i], seams.heights[k][i + 1]);
                        assert!((p + (q - p) * share - y).abs() < 0.02, "{name} {a} {k}");
                    }
                }
            }
        }
    }

    /// A pitch asked for is got on a tapered bar, too; and it is hardest where turns times side are greatest.
    #[test]
    fn a_tapered_bar_has_the_pitch_asked_for() {
        for (name, lay) in lays() {
            let asked = [Asked {
                place: Place::Length(None),
                winding: Winding::Pitch(Hand::Left, Pitch::even(45.0)),
            }];
            let program = lay.program(0.0, &asked);
            let fan = lay.sections().fan_start();
            for x in (1..fan as u32).map(f64::from) {
                let turned = program.angle(lay.along(x)) / std::f64::consts::TAU;
                assert!((turned + x / 45.0).abs() < 1e-6, "{name} {x} {turned}");
            }
            let height = &lay.billet().bars()[3].height;
            let strain = |x: f64| program.rate(lay.along(x)).abs() * height.at(lay.along(x)).sqrt();
            let hardest = lay.hardest(&Pitch::even(45.0), [0.0, 430.0], height);
            let most = (1..fan as u32).map(|x| strain(f64::from(x))).fold(0.0, f64::max);
            assert!(
                hardest.rate * height.at(lay.along(hardest.at)).sqrt() > 0.999 * most,
                "{name} {hardest:?}"
            );
        }
    }

    /// The point told of a flank lies as high in its bar as that bar is there.
    #[test]
    fn a_flank_point_counts_in_the_bar_as_high_as_it_is_there() {
        let lay = tapered(&specs()[0].1, Tip::Forged);
        for x in [40.0, 200.0] {
            let plane = lay.plane(x).unwrap();
            let seams: Vec<f64> = plane.seams().collect();
            let y = seams[0] + 1e-3 - plane.range().0;
            let found = crate::FlankPoint::new(&lay, lay.sections(), x, y, true).unwrap();
            assert!(found.place.bar == 2 && found.up < 5e-3, "{found:?}");
            let under = crate::FlankPoint::new(&lay, lay.sections(), x, y - 2e-3, true).unwrap();
            let edge: &Bar = &lay.billet().bars()[3];
            assert!((under.up - edge.height.at(plane.along())).abs() < 5e-3, "{under:?}");
            let corner = SquarePoint { up: 0.5, through: 0.0 };
            let top = lay.billet().stack_point(0, corner, plane.along(), Part::Blade).unwrap();
            assert!((top.up - lay.billet().section(Part::Blade, plane.along()) / 11.0).abs() < 1e-9);
        }
    }
}
