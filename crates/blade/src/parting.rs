//! A mesh parted into closed meshes: in a plane square to the blade, or along sheets that stand square on its side.
//!
//! Blades reach from one z to another at every place of their side: a sheet through all z cuts them in walls that are
//! simple regions of the (x, z) plane. Neighbours share the triangles of the wall between them, so nothing is lost,
//! doubled or left open.

use std::collections::BTreeMap;

use glam::{DVec2, DVec3};

use crate::mesh::{Mesh, MeshFault};
use crate::region;

/// Vertices nearer to a cut than this (mm) count as lying on it, and vertices nearer to each other are made one, so that
/// none fall together in single-precision files, which tell 3e-5 mm apart at half a metre. A fifth of the finest mesh
/// tolerance at hand.
const ON: f64 = 2e-4;
/// Vertices nearer to a station than this share of the way to the next one need no cut there: the sheet bends so little
/// within it.
const NEAR: f64 = 0.01;

impl Mesh {
    /// What lies behind and ahead of the plane at station `x` (mm), both closed by the same cap; `None` for what is
    /// empty. Faces that lie in the plane go with the body behind them.
    ///
    /// # Errors
    /// A [`MeshFault`] when the cut is no simple region or leaves a part without thickness.
    pub fn split_across(&self, x: f64) -> Result<[Option<Mesh>; 2], MeshFault> {
        let mut soup = Soup::of(self);
        soup.cut(&|p| snapped(p.x - x, ON), Some(x));
        soup.weld();
        let ahead = soup.sides(&|p| snapped(p.x - x, ON), DVec3::X);
        let cap = soup.wall(&ahead, |p| DVec2::new(p.z, p.y))?;
        let part =
            |wanted: bool| soup.part(&ahead.iter().map(|a| *a == wanted).collect::<Vec<_>>(), &cap, wanted);
        Ok([part(false)?, part(true)?])
    }

    /// The parts between sheets that stand square to the side, from the edge up: one more than sheets, `None` for what
    /// is empty. Each sheet is given by its heights (mm) at the `stations` (mm, increasing, at least two), straight
    /// between them and level beyond them; sheets do not cross.
    ///
    /// # Errors
    /// A [`MeshFault`] when a cut is no simple region or leaves a part without thickness.
    pub fn split_along(
        &self,
        stations: &[f64],
        heights: &[Vec<f64>],
    ) -> Result<Vec<Option<Mesh>>, MeshFault> {
        let mut soup = Soup::of(self);
        for (i, &x) in stations.iter().enumerate() {
            let ways = [i.checked_sub(1), Some(i + 1)].into_iter().flatten().filter_map(|j| stations.get(j));
            let near = NEAR * ways.map(|n| (n - x).abs()).fold(f64::INFINITY, f64::min);
            soup.cut(&|p| snapped(p.x - x, near.max(ON)), Some(x));
        }
        let sheets: Vec<Sheet<'_>> = heights.iter().map(|heights| Sheet { stations, heights }).collect();
        for sheet in &sheets {
            soup.cut(&|p| sheet.over(p), None);
        }
        soup.weld();
        let mut below = vec![true; soup.triangles.len()];
        let mut parts = Vec::new();
        let mut floor = Vec::new();
        for sheet in &sheets {
            let above = soup.sides(&|p| sheet.over(p), DVec3::Y);
            let wall = soup.wall(&above, |p| DVec2::new(p.x, p.z))?;
            let here: Vec<bool> = below.iter().zip(&above).map(|(b, a)| *b && !*a).collect();
            parts.push(soup.between(&here, &floor, &wall)?);
            (below, floor) = (below.iter().zip(&above).map(|(b, a)| *b && *a).collect(), wall);
        }
        parts.push(soup.between(&below, &floor, &[])?);
        Ok(parts)
    }
}

/// A sheet through all z over a line of the side.
struct Sheet<'a> {
    stations: &'a [f64],
    heights: &'a [f64],
}

impl Sheet<'_> {
    /// Height of a point above the sheet, mm; 0 for a point on it. Straight along x between two stations.
    fn over(&self, p: DVec3) -> f64 {
        let i = self.stations.partition_point(|&s| s <= p.x).clamp(1, self.stations.len() - 1);
        let (x, y) = (&self.stations[i - 1..=i], &self.heights[i - 1..=i]);
        let (run, rise) = (x[1] - x[0], y[1] - y[0]);
        let height = y[0] + rise * ((p.x - x[0]) / run).clamp(0.0, 1.0);
        snapped(p.y - height, ON * run.hypot(rise) / run)
    }
}

/// The distance from a cut, 0 where it is less than `least`.
fn snapped(distance: f64, least: f64) -> f64 {
    if distance.abs() < least { 0.0 } else { distance }
}

/// Triangles on their way to becoming parts.
struct Soup {
    vertices: Vec<DVec3>,
    triangles: Vec<[u32; 3]>,
}

impl Soup {
    fn of(mesh: &Mesh) -> Self {
        Soup { vertices: mesh.vertices().to_vec(), triangles: mesh.triangles().to_vec() }
    }

    /// Cuts every triangle that lies on both sides. New vertices get the station `x` exactly, where one is given.
    fn cut(&mut self, over: &dyn Fn(DVec3) -> f64, x: Option<f64>) {
        let d: Vec<f64> = self.vertices.iter().map(|&p| over(p)).collect();
        let mut made = BTreeMap::new();
        let mut kept = Vec::with_capacity(self.triangles.len());
        for t in std::mem::take(&mut self.triangles) {
            let at = t.map(|i| d[i as usize]);
            let crossed = at.iter().any(|d| *d > 0.0) && at.iter().any(|d| *d < 0.0);
            if !crossed {
                kept.push(t);
                continue;
            }
            // Turned so that the first corner is alone on its side, or the second lies on the cut.
            let lone = (0..3).find(|&k| at[(k + 1) % 3] * at[(k + 2) % 3] > 0.0);
            let on = (0..3).find(|&k| at[k].abs() <= 0.0);
            let first = on.map(|k| (k + 2) % 3).or(lone).unwrap_or(0);
            let [a, b, c] = std::array::from_fn(|k| t[(first + k) % 3]);
            let mut crossing = |p: u32, q: u32| self.crossing(&mut made, &d, p, q, x);
            if on.is_some() {
                let m = crossing(a, c);
                kept.extend([[a, b, m], [m, b, c]]);
            } else {
                let (m, n) = (crossing(a, b), crossing(a, c));
                kept.push([a, m, n]);
                kept.extend(self.quad(m, b, c, n));
            }
        }
        self.triangles = kept;
    }

    /// The two triangles of a quadrilateral, along its shorter diagonal.
    fn quad(&self, a: u32, b: u32, c: u32, d: u32) -> [[u32; 3]; 2] {
        let way = |p: u32, q: u32| self.vertices[p as usize].distance_squared(self.vertices[q as usize]);
        if way(a, c) <= way(b, d) { [[a, b, c], [a, c, d]] } else { [[a, b, d], [b, c, d]] }
    }

    /// The vertex where an edge crosses the cut: the same one for both of its triangles.
    fn crossing(
        &mut self,
        made: &mut BTreeMap<(u32, u32), u32>,
        d: &[f64],
        p: u32,
        q: u32,
        x: Option<f64>,
    ) -> u32 {
        let (p, q) = (p.min(q), p.max(q));
        *made.entry((p, q)).or_insert_with(|| {
            let (a, b) = (d[p as usize], d[q as usize]);
            let mut point = self.vertices[p as usize].lerp(self.vertices[q as usize], a / (a - b));
            point.x = x.unwrap_or(point.x);
            self.vertices.push(point);
            (self.vertices.len() - 1) as u32
        })
    }

    /// Makes vertices one that an edge shorter than [`ON`] joins. A vertex on a cut only meets others on it.
    fn weld(&mut self) {
        let mut one: Vec<u32> = (0..self.vertices.len() as u32).collect();
        for [a, b, c] in self.triangles.clone() {
            for (p, q) in [(a, b), (b, c), (c, a)] {
                let (p, q) = (root(&one, p), root(&one, q));
                if self.vertices[p as usize].distance(self.vertices[q as usize]) < 0.9 * ON {
                    one[p.max(q) as usize] = p.min(q);
                }
            }
        }
        let moved = self.triangles.iter().map(|t| t.map(|i| root(&one, i)));
        let mut kept: Vec<[u32; 3]> = moved.filter(|[a, b, c]| a != b && b != c && c != a).collect();
        fold(&mut kept);
        self.triangles = kept;
    }

    /// Which triangles lie on the far side of a cut that looks along `axis`. One in the cut itself lies on the side of
    /// the body that it bounds.
    fn sides(&self, over: &dyn Fn(DVec3) -> f64, axis: DVec3) -> Vec<bool> {
        let d: Vec<f64> = self.vertices.iter().map(|&p| over(p)).collect();
        let far = |t: &[u32; 3]| {
            let sum: f64 = t.iter().map(|&i| d[i as usize]).sum();
            let [a, b, c] = t.map(|i| self.vertices[i as usize]);
            if sum.abs() > 0.0 { sum > 0.0 } else { (b - a).cross(c - a).dot(axis) < 0.0 }
        };
        self.triangles.iter().map(far).collect()
    }

    /// The triangles that close what lies on the far side of a cut, counter-clockwise in the plane of `flat`.
    fn wall(&self, far: &[bool], flat: impl Fn(DVec3) -> DVec2) -> Result<Vec<[u32; 3]>, MeshFault> {
        let border = open_edges(self.triangles.iter().zip(far).filter(|(_, f)| **f).map(|(t, _)| *t));
        let place = |id: u32| flat(self.vertices[id as usize]);
        region::triangles(&border, place).ok_or_else(|| MeshFault::Border("the wall of a part".to_owned()))
    }

    /// The triangles chosen, with a wall below and one above.
    fn between(
        &self,
        here: &[bool],
        floor: &[[u32; 3]],
        ceiling: &[[u32; 3]],
    ) -> Result<Option<Mesh>, MeshFault> {
        let own = self.triangles.iter().zip(here).filter(|(_, h)| **h).map(|(t, _)| *t);
        let turned = ceiling.iter().map(|&[a, b, c]| [a, c, b]);
        let mut all: Vec<[u32; 3]> = own.chain(floor.iter().copied()).chain(turned).collect();
        // Where two sheets have come together their walls cover each other.
        fold(&mut all);
        compact(&self.vertices, all)
    }

    /// The triangles chosen with a cap, which stands as it is on the far side.
    fn part(&self, here: &[bool], cap: &[[u32; 3]], far: bool) -> Result<Option<Mesh>, MeshFault> {
        if far { self.between(here, cap, &[]) } else { self.between(here, &[], cap) }
    }
}

/// The vertex that a vertex was made one with.
fn root(one: &[u32], mut i: u32) -> u32 {
    while one[i as usize] != i {
        i = one[i as usize];
    }
    i
}

/// Takes away pairs of triangles that cover each other.
fn fold(triangles: &mut Vec<[u32; 3]>) {
    let sorted = |t: &[u32; 3]| {
        let mut s = *t;
        s.sort_unstable();
        s
    };
    let mut seen: BTreeMap<[u32; 3], usize> = BTreeMap::new();
    triangles.iter().for_each(|t| *seen.entry(sorted(t)).or_default() += 1);
    triangles.retain(|t| seen[&sorted(t)] == 1);
}

/// The directed edges that no other triangle runs through the other way, turned about.
fn open_edges(triangles: impl Iterator<Item = [u32; 3]>) -> Vec<[u32; 2]> {
    let mut open: BTreeMap<(u32, u32), i32> = BTreeMap::new();
    for [a, b, c] in triangles {
        for (p, q) in [(a, b), (b, c), (c, a)] {
            *open.entry((p.min(q), p.max(q))).or_default() += if p < q { 1 } else { -1 };
        }
    }
    let turned = |((p, q), n): ((u32, u32), i32)| match n {
        0 => None,
        n if n > 0 => Some([q, p]),
        _ => Some([p, q]),
    };
    open.into_iter().filter_map(turned).collect()
}

/// A mesh of the vertices that triangles use; `None` of none.
fn compact(vertices: &[DVec3], mut triangles: Vec<[u32; 3]>) -> Result<Option<Mesh>, MeshFault> {
    if triangles.is_empty() {
        return Ok(None);
    }
    let mut used: Vec<u32> = triangles.iter().flatten().copied().collect();
    used.sort_unstable();
    used.dedup();
    for i in triangles.iter_mut().flatten() {
        *i = used.partition_point(|u| u < i) as u32;
    }
    Mesh::new(used.iter().map(|&i| vertices[i as usize]).collect(), triangles).map(Some)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cross_section::Sections;
    use crate::sample::variants;
    use crate::{Blade, Stage};

    /// Stations for sheets: graded towards the point, the last half millimetre in one.
    fn stations(end: f64) -> Vec<f64> {
        let graded = (0..60).map(|i| end * (1.0 - (1.0 - f64::from(i) / 60.0).powi(2)));
        graded.filter(|x| *x < end - 0.5).chain([end - 0.5, end]).collect()
    }

    fn volume(parts: &[Option<Mesh>]) -> f64 {
        parts.iter().flatten().map(Mesh::volume).sum()
    }

    /// As writers of single precision ask for it.
    fn survives_single_precision(mesh: &Mesh, name: &str) {
        let single: Vec<_> = mesh.vertices().iter().map(|v| v.as_vec3()).collect();
        let mut bits: Vec<_> = single.iter().map(|v| v.to_array().map(f32::to_bits)).collect();
        bits.sort_unstable();
        assert!(bits.windows(2).all(|w| w[0] != w[1]), "{name}: two vertices are one");
        for t in mesh.triangles() {
            let [a, b, c] = t.map(|i| single[i as usize].as_dvec3());
            let exact = t.map(|i| mesh.vertices()[i as usize]);
            assert!((b - a).cross(c - a).length() > 0.0, "{name}: a triangle is straight {exact:?}");
        }
    }

    #[test]
    fn tang_and_blade_come_apart_in_the_shoulder_plane() {
        for (name, spec) in variants() {
            for stage in Stage::ALL {
                let loft = Blade::new(&spec).unwrap().loft(stage);
                let mesh = Mesh::of(loft.shell(), 0.02).unwrap();
                let [behind, ahead] =
                    mesh.split_across(0.0).unwrap_or_else(|f| panic!("{name} {stage}: {f}"));
                let (behind, ahead) = (behind.unwrap(), ahead.unwrap());
                let sum = behind.volume() + ahead.volume();
                assert!((sum / mesh.volume() - 1.0).abs() < 1e-12, "{name} {stage}");
                assert!(behind.bounds().1.x < ON && ahead.bounds().0.x > -ON, "{name} {stage}");
                survives_single_precision(&behind, name);
                survives_single_precision(&ahead, name);
            }
        }
    }

    #[test]
    fn parts_along_sheets_are_closed_and_leave_nothing_out() {
        for (name, spec) in variants() {
            for stage in Stage::ALL {
                let loft = Blade::new(&spec).unwrap().loft(stage);
                let sections = Sections::of(&loft);
                for tolerance in [0.02, 0.3] {
                    let mesh = Mesh::of(loft.shell(), tolerance).unwrap();
                    let [_, blade] = mesh.split_across(0.0).unwrap();
                    let blade = blade.unwrap();
                    let (_, end) = sections.range();
                    let stations = stations(end);
                    for sheets in [1, 4, 8] {
                        let heights: Vec<Vec<f64>> = (1..=sheets)
                            .map(|k| {
                                let share = f64::from(k) / f64::from(sheets + 1);
                                let at = |x: f64| sections.at(x.clamp(1e-6, end - 1e-6)).unwrap();
                                let height = |x: f64| {
                                    let (low, high) = at(x).range();
                                    // All sheets end in one point where there is no flat to end in.
                                    if high - low < 0.1 {
                                        0.5 * (low + high)
                                    } else {
                                        at(x).height(share * at(x).area())
                                    }
                                };
                                stations.iter().map(|&x| height(x)).collect()
                            })
                            .collect();
                        let parts = blade
                            .split_along(&stations, &heights)
                            .unwrap_or_else(|f| panic!("{name} {stage} {tolerance} {sheets}: {f}"));
                        assert!(parts.iter().all(Option::is_some), "{name} {stage}");
                        assert!((volume(&parts) / blade.volume() - 1.0).abs() < 1e-9, "{name} {stage}");
                        parts.iter().flatten().for_each(|p| survives_single_precision(p, name));
                        on_their_sides(&parts, &stations, &heights, name);
                        for part in parts.iter().flatten() {
                            // Shares of the area, sheets straight between the stations.
                            let share = part.volume() / blade.volume() * f64::from(sheets + 1);
                            assert!(tolerance > 0.1 || (share - 1.0).abs() < 0.08, "{name} {stage} {share}");
                        }
                    }
                }
            }
        }
    }

    fn on_their_sides(parts: &[Option<Mesh>], stations: &[f64], heights: &[Vec<f64>], name: &str) {
        for (k, heights) in heights.iter().enumerate() {
            let sheet = Sheet { stations, heights };
            for (j, part) in parts.iter().enumerate() {
                let over = |p: &DVec3| if j > k { sheet.over(*p) } else { -sheet.over(*p) };
                let worst = part.iter().flat_map(|m| m.vertices()).map(over).fold(0.0, f64::min);
                // Steep ends of sheets at a round point bend most within a share of a slab.
                assert!(worst > -0.02, "{name}: part {j} reaches {worst} over sheet {k}");
            }
        }
    }

    #[test]
    fn level_sheets_leave_through_the_edge_and_empty_parts_are_none() {
        for (name, spec) in variants() {
            let loft = Blade::new(&spec).unwrap().loft(Stage::Finished);
            let mesh = Mesh::of(loft.shell(), 0.02).unwrap();
            let (low, high) = mesh.bounds();
            for count in [1, 3, 7] {
                let heights: Vec<Vec<f64>> = (1..=count)
                    .map(|k| vec![low.y + (high.y - low.y) * f64::from(k) / f64::from(count + 1); 2])
                    .collect();
                let parts = mesh
                    .split_along(&[-50.0, 250.0], &heights)
                    .unwrap_or_else(|f| panic!("{name} {count}: {f}"));
                assert!((volume(&parts) / mesh.volume() - 1.0).abs() < 1e-9, "{name}");
                parts.iter().flatten().for_each(|p| survives_single_precision(p, name));
            }
            let outside =
                mesh.split_along(&[0.0, 1.0], &[vec![low.y - 5.0; 2], vec![high.y + 5.0; 2]]).unwrap();
            assert!(outside[0].is_none() && outside[2].is_none());
            assert!((volume(&outside) / mesh.volume() - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn sheets_through_vertices_are_taken() {
        let loft = Blade::new(&crate::sample::plain()).unwrap().loft(Stage::Ground);
        let mesh = Mesh::of(loft.shell(), 0.05).unwrap();
        let mut levels: Vec<f64> = mesh.vertices().iter().map(|v| v.y).collect();
        levels.sort_by(f64::total_cmp);
        levels.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        for y in levels.iter().step_by(5) {
            let parts = mesh.split_along(&[0.0, 1.0], &[vec![*y; 2]]).unwrap_or_else(|f| panic!("{y}: {f}"));
            assert!((volume(&parts) / mesh.volume() - 1.0).abs() < 1e-9, "{y}");
        }
    }
}
