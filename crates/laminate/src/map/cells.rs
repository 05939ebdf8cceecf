//! Bars that share a place in the stack, each of their cells as a body of its own: meshes parted through their
//! thickness.

use std::cell::RefCell;
use std::collections::BTreeMap;

use blade::Part;
use brep::{Leaf, Mesh, MeshFault};
use glam::DVec2;

use crate::map::material::{MaterialMap, Plane};
use crate::map::zone::Zone;

/// Stations at which a body is parted through its thickness are no further from each other than this, mm: between
/// them sections change evenly.
const ALONG: f64 = 2.0;

impl MaterialMap {
    /// The cells of the bar at a place among the stack's of a part, from the edge up and from right to left: that
    /// bar's `mesh` parted along the borders of its rows, and these through their thickness.
    pub(crate) fn cells(
        &self,
        (part, k): (Part, usize),
        mesh: &Mesh,
        tolerance: f64,
    ) -> Result<Vec<Zone>, MeshFault> {
        let rows = self.billet().stack(part).cells(k);
        let borders = self.cell_seams(part, k, tolerance);
        let parts = mesh.split_along(&borders.stations, &borders.heights)?;
        let mut found = Vec::new();
        for (i, (row, mesh)) in rows.iter().zip(parts).enumerate() {
            let Some(mesh) = mesh else { continue };
            let inner: Vec<f64> = row.cells.iter().skip(1).map(|(_, cell)| cell.through[0]).collect();
            let parts = self.side_by_side((part, k, i), &mesh, (&inner, tolerance))?;
            let cells = row.cells.iter().zip(parts);
            let zones =
                cells.filter_map(|((bar, _), mesh)| Some(Zone { bar: *bar, plug: None, part, mesh: mesh? }));
            found.extend(zones.collect::<Vec<_>>().into_iter().rev());
        }
        Ok(found)
    }

    /// A row's mesh parted at these shares of the width from left to right.
    fn side_by_side(
        &self,
        (part, k, row): (Part, usize, usize),
        mesh: &Mesh,
        (shares, tolerance): (&[f64], f64),
    ) -> Result<Vec<Option<Mesh>>, MeshFault> {
        if shares.is_empty() {
            return Ok(vec![Some(mesh.clone())]);
        }
        let planes = Planes { lay: self, part, known: RefCell::default() };
        let stations = self.stations(mesh);
        let marks: Vec<DVec2> = stations.iter().flat_map(|&x| planes.marks(x, k, row)).collect();
        let tried = |off: f64| {
            let planes = &planes;
            let sheets: Vec<_> =
                shares.iter().map(|&share| move |at: DVec2| planes.z(at, share) + off * tolerance).collect();
            let leaves: Vec<Leaf<'_>> = sheets.iter().map(|z| Leaf { z, marks: &marks }).collect();
            mesh.split_through(&stations, &leaves)
        };
        let (first, others) = (tried(OFF[0]), &OFF[1..]);
        first.or_else(|fault| others.iter().find_map(|&off| tried(off).ok()).ok_or(fault))
    }

    /// Where a mesh is cut before it is parted, mm: close to each other towards its ends, where thickness may change
    /// as a root does.
    fn stations(&self, mesh: &Mesh) -> Vec<f64> {
        let (low, high) = mesh.bounds();
        let (from, to) = (low.x, high.x);
        let count = ((to - from) / ALONG).ceil().max(1.0);
        let mut stations: Vec<f64> =
            (1..count as usize).map(|i| from + (to - from) * i as f64 / count).collect();
        let near = [0.5, 0.25, 0.1, 0.05].map(|share| share * ALONG);
        stations.extend(near.into_iter().flat_map(|step| [from + step, to - step]));
        stations.extend(self.sections().corners());
        stations.retain(|x| *x > from + NEAR_STATION && *x < to - NEAR_STATION);
        stations.sort_by(f64::total_cmp);
        stations.dedup_by(|a, b| *a - *b < NEAR_STATION);
        stations
    }
}

/// Where a sheet runs along a corner of the blade its wall may cross itself: it is tried this far off then, in shares
/// of the tolerance.
const OFF: [f64; 9] = [0.0, 0.2, -0.2, 0.4, -0.4, 0.6, -0.6, 0.8, -0.8];
/// Stations nearer to each other than this, mm, are one: ten times what [`brep::Mesh::split_through`] takes for one.
const NEAR_STATION: f64 = 0.02;
/// Ends of a part are read a nanometre inside it.
const INSIDE: f64 = 1e-6;
/// Marks of a sheet nearer to each other than this along y, mm, tell nothing new.
const APART: f64 = 0.1;

/// The planes of a part that a sheet was read in.
struct Planes<'a> {
    lay: &'a MaterialMap,
    part: Part,
    known: RefCell<BTreeMap<u64, Option<Plane<'a>>>>,
}

impl<'a> Planes<'a> {
    fn with<T>(&self, x: f64, read: impl Fn(&Plane<'a>) -> T) -> Option<T> {
        let (from, to) = self.lay.sections().range();
        let x = match self.part {
            Part::Blade => x.clamp(0.0, to - INSIDE),
            Part::Tang => x.clamp(from + INSIDE, -INSIDE),
        };
        let mut known = self.known.borrow_mut();
        known.entry(x.to_bits()).or_insert_with(|| self.lay.plane(x)).as_ref().map(read)
    }

    /// z at a share of the forged thickness from left to right over a place of the side, mm.
    fn z(&self, at: DVec2, share: f64) -> f64 {
        let read = |plane: &Plane<'_>| {
            let (left, right) = plane.flanks(at.y);
            left + share * (right - left)
        };
        self.with(at.x, read).unwrap_or(0.0)
    }

    /// Places at a station between which the forged flanks of a row run straight, within the row.
    fn marks(&self, x: f64, k: usize, row: usize) -> Vec<DVec2> {
        let heights = self.with(x, |plane| {
            let borders = plane.cell_borders(k);
            let (low, high) = (borders[row], borders[row + 1]);
            let inner = plane.heights().iter().copied().filter(|y| *y > low + APART && *y < high - APART);
            let mut all: Vec<f64> = inner.chain([0.5 * (low + high)]).collect();
            all.sort_by(f64::total_cmp);
            all.dedup_by(|a, b| *a - *b < APART);
            all
        });
        heights.into_iter().flatten().map(|y| DVec2::new(x, y)).collect()
    }
}

#[cfg(test)]
mod tests {
    use blade::{Blade, Stage};
    use brep::Mesh;
    use glam::DVec3;
    use proptest::prelude::*;

    use super::*;
    use crate::billet::bar::{Bar, Squaring};
    use crate::billet::height::Height;
    use crate::billet::recipe::{BilletFault, Tip};
    use crate::billet::share::{Cell, Share};
    use crate::billet::twist::Program;
    use crate::fixtures::{
        bar, billet, determinant, faults_with, flat_bar, forged, parted_bars, point, specs,
    };

    fn lays() -> Vec<(String, MaterialMap)> {
        let tips = [Tip::Forged, Tip::Cut { from: 330.0 }];
        let each = specs().into_iter().flat_map(|(name, spec)| tips.map(|tip| (name, spec.clone(), tip)));
        each.map(|(name, spec, tip)| {
            (format!("{name} {tip:?}"), MaterialMap::new(parted_bars(tip), forged(&spec)).unwrap())
        })
        .collect()
    }

    /// The place in the bar's own section before the twist, mm.
    fn square(lay: &MaterialMap, p: DVec3) -> Option<(usize, DVec3)> {
        let stack = lay.stack_point(p)?;
        let (bar, welded) = lay.billet().bar_point(stack);
        let made = &lay.billet().bars()[bar];
        let before = made.before_twist(welded, made.twist.angle(stack.along));
        let [high, wide] = made.share.cell().size();
        let size = DVec3::new(1.0, high * made.height.at(0.0), wide * 11.0);
        Some((bar, DVec3::new(stack.along, before.up, before.through) * size))
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 16, ..ProptestConfig::default() })]

        /// Bar 3 was ground: what is left of it is half of what was twisted.
        #[test]
        fn there_and_back_with_every_volume(shares in proptest::collection::vec([0.001..0.9, 0.02..0.98, 0.02..0.98f64], 60)) {
            thread_local!(static LAYS: Vec<(String, MaterialMap)> = lays());
            LAYS.with(|lays| {
                let (mut seen, mut kept) = (0, 0);
                let mut bars = [0; 6];
                for (name, lay) in lays {
                    for p in shares.iter().filter_map(|&s| point(lay, s)) {
                        let stack = lay.stack_point(p).unwrap();
                        let (bar, welded) = lay.billet().bar_point(stack);
                        prop_assert!(welded.up.abs() <= 0.5 + 1e-9 && welded.through.abs() <= 0.5 + 1e-9, "{name} {p} {welded:?}");
                        let back = lay.billet().stack_point(bar, welded, stack.along, stack.part).unwrap();
                        prop_assert!(lay.blade_point(back).unwrap().distance(p) < 1e-9, "{name} {p}");
                        let Some((bar, d)) = determinant(p, |p| square(lay, p)) else { continue };
                        seen += 1;
                        bars[bar] += 1;
                        kept += usize::from((d / if bar == 3 { 0.5 } else { 1.0 } - 1.0).abs() < 1e-6);
                    }
                }
                // Where a twisted bar had its corners the map is not smooth.
                prop_assert!(seen > 200 && 50 * (seen - kept) <= seen && bars.iter().all(|n| *n > 0), "{seen} {kept} {bars:?}");
                Ok(())
            })?;
        }
    }

    /// Zones of a forged tip hold what their bars hold in the stack; each place's zones are its body.
    #[test]
    fn zones_are_the_blade_and_hold_what_the_bars_hold() {
        for (name, spec) in specs() {
            for tip in [Tip::Forged, Tip::Cut { from: 320.0 }] {
                let lay = MaterialMap::new(parted_bars(tip), forged(&spec)).unwrap();
                for stage in Stage::ALL {
                    let loft = Blade::new(&spec).unwrap().loft(stage);
                    let mesh = Mesh::of(loft.shell(), 0.01).unwrap();
                    let zones =
                        lay.zones(&mesh, 0.005).unwrap_or_else(|f| panic!("{name} {tip:?} {stage}: {f}"));
                    let sum: f64 = zones.iter().map(|z| z.mesh.volume()).sum();
                    assert!((sum / mesh.volume() - 1.0).abs() < 1e-9, "{name} {tip:?} {stage} {sum}");
                    let bodies =
                        lay.bodies(&loft, 1e-3).unwrap_or_else(|f| panic!("{name} {tip:?} {stage}: {f}"));
                    let places: Vec<_> = bodies.iter().map(|b| (b.part, b.bar)).collect();
                    let mut found: Vec<_> =
                        zones.iter().map(|z| (z.part, lay.billet().place_of(z.bar))).collect();
                    found.dedup();
                    assert_eq!(found, places, "{name} {tip:?} {stage}");
                    if stage == Stage::Forged && tip == Tip::Forged {
                        hold(name, &lay, &zones);
                    }
                }
            }
        }
    }

    fn hold(name: &str, lay: &MaterialMap, zones: &[Zone]) {
        let end = lay.along(lay.sections().range().1);
        for (i, made) in lay.billet().bars().iter().enumerate() {
            let held = made.share.area() * made.height.at(0.0) * 11.0 * end;
            let own = zones.iter().filter(|z| z.bar == i && z.part == Part::Blade);
            let found = own.map(|z| z.mesh.volume()).sum::<f64>() / held - 1.0;
            assert!(found.abs() < 5e-3, "{name} {i} {found}");
        }
    }

    /// A flat bar of 32 × 8 mm from bars 8 mm wide: a skin of 2 mm stays 2 mm, and its inner face is flat.
    #[test]
    fn on_a_flat_bar_a_skin_is_as_thick_as_in_the_stack() {
        let cell = |from, to| Cell { up: [0.0, 1.0], through: [from, to] };
        let share = |of, cells| Share { of, cells };
        let core = Bar {
            share: share(None, vec![cell(0.25, 1.0)]),
            ..bar(32.0, Program::default(), Squaring::Forged)
        };
        let skin = Bar { share: share(Some(0), vec![cell(0.0, 0.25)]), ..core.clone() };
        let lay = MaterialMap::new(billet(vec![core, skin], 8.0, Tip::Forged), forged(&flat_bar())).unwrap();
        let plane = lay.plane(70.0).unwrap();
        let (left, right) = plane.flanks(16.0);
        let bar_at = |z: f64| lay.billet().bar_point(plane.stack_point(16.0, z)).0;
        let border = left + 0.25 * (right - left);
        assert!((border + 2.0).abs() < 1e-3, "{border}");
        assert_eq!([bar_at(border - 1e-3), bar_at(border + 1e-3)], [1, 0]);
        assert!(
            (lay.billet().made_width(1) - 2.0).abs() < 1e-12
                && (lay.billet().made_width(0) - 6.0).abs() < 1e-12
        );
    }

    #[test]
    fn shares_that_do_not_fill_their_place_are_no_billet() {
        let good = parted_bars(Tip::Forged);
        let with = |change: &dyn Fn(&mut Vec<Bar>)| faults_with(&good, change);
        assert!(with(&|_| {}).is_empty());
        assert!(with(&|bars| drop(bars.pop())).contains(&BilletFault::Parts(2)));
        assert!(with(&|bars| bars[3].share.of = Some(9)).contains(&BilletFault::Parts(3)));
        assert!(with(&|bars| bars[3].height = Height::even(17.0)).contains(&BilletFault::Parts(3)));
        assert!(with(&|bars| bars[5].layers = bars[2].layers.clone()).contains(&BilletFault::Parts(5)));
        assert!(with(&|bars| bars[3].share.cells[0].through[1] = f64::NAN).contains(&BilletFault::Parts(1)));
        assert!(with(&|bars| bars[3].tang = false).contains(&BilletFault::Parts(3)));
        assert!(with(&|bars| bars[0].share.cells.clear()).contains(&BilletFault::Parts(0)));
        let tapered = Height::through(&[(0.0, 18.0), (90.0, 12.0)]);
        let all = with(&|bars| [1, 3, 4].into_iter().for_each(|i| bars[i].height = tapered.clone()));
        assert!(all.contains(&BilletFault::Parts(1)), "{all:?}");
    }
}
