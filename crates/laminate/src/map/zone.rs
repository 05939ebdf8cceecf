//! Every bar as a body of its own.

use blade::{Loft, Part};
use brep::{Mesh, MeshFault, SplitFault, SplitSheet, TrimmedShell};

use crate::map::material::MaterialMap;
use crate::picture::palette::{Colour, bar_colour, plug_colour};

/// A bar's steel in the blade, or in the tang; of a skin on several faces its steel on one of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Zone {
    /// Index of the bar.
    pub bar: usize,
    /// The plug of the bar that it is, by its place in the bar's list; none for the bar's own steel. A bar with plugs is in
    /// pieces around them.
    pub plug: Option<usize>,
    /// The part of the blade that it lies in.
    pub part: Part,
    /// Its boundary, mm; of several closed surfaces where a cut tip leaves the bar in pieces.
    pub mesh: Mesh,
}

impl Zone {
    /// Its colour: that of its bar, or of plugs.
    pub fn colour(&self) -> Colour {
        if self.plug.is_some() { plug_colour() } else { bar_colour(self.bar) }
    }
}

impl MaterialMap {
    /// The bars of the blade, then those of the tang, each from the back to the edge: `mesh`, that of any stage, parted
    /// along the borders, which are true to `tolerance` (mm, positive). Together they are the mesh. Bars that ended or
    /// were ground away are left out. Bars that share a place follow each other, and each of their cells is a zone; so do a bar's
    /// pieces around its plugs and then these.
    ///
    /// # Errors
    /// A [`MeshFault`] when a border leaves a part without thickness.
    pub fn zones(&self, mesh: &Mesh, tolerance: f64) -> Result<Vec<Zone>, MeshFault> {
        let [behind, ahead] = mesh.split_across(0.0)?;
        let of = |part, mesh: Option<Mesh>| {
            mesh.map_or(Ok(Vec::new()), |mesh| self.zones_of(part, &mesh, tolerance))
        };
        // A thread of its own, as both may wait for what is summed up along the blade.
        let (blade, tang) = std::thread::scope(|scope| {
            let tang = scope.spawn(|| of(Part::Tang, behind));
            (of(Part::Blade, ahead), tang.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
        });
        let mut zones = blade?;
        zones.extend(tang?);
        Ok(zones)
    }

    /// Those of the blade or of the tang, whose mesh it is.
    fn zones_of(&self, part: Part, mesh: &Mesh, tolerance: f64) -> Result<Vec<Zone>, MeshFault> {
        let seams = self.seams(part, tolerance);
        let parts = mesh.split_along(&seams.stations, &seams.heights)?;
        let stacked = self.billet().stacked_bars(part).iter().copied();
        let mut found = Vec::new();
        for (k, (bar, mesh)) in stacked.zip(parts).enumerate() {
            let Some(mesh) = mesh else { continue };
            if !self.billet().stack(part).cells(k).is_empty() {
                found.extend(self.cells((part, k), &mesh, tolerance)?);
            } else if part == Part::Blade && !self.billet().bars()[bar].plugs.is_empty() {
                found.extend(self.plugged(bar, mesh, tolerance)?.into_iter().rev());
            } else {
                found.push(Zone { bar, plug: None, part, mesh });
            }
        }
        found.reverse();
        Ok(found)
    }
}

/// A bar's exact boundary in the blade, or in the tang.
#[derive(Clone, Debug)]
pub struct Body {
    /// Index of the bar, counted from the back; bars that share a place in the stack are one body, that of the bar
    /// whose place it is. Plugs are in the body of their bar.
    pub bar: usize,
    /// The part of the blade that it lies in.
    pub part: Part,
    /// Its closed boundaries: several where a cut tip leaves the bar in pieces.
    pub pieces: Vec<TrimmedShell>,
}

impl MaterialMap {
    /// As [`MaterialMap::zones`], of the exact boundaries of a loft at any stage.
    ///
    /// # Errors
    /// A [`SplitFault`] when a border grazes an edge of the blade instead of crossing it.
    pub fn bodies(&self, loft: &Loft, tolerance: f64) -> Result<Vec<Body>, SplitFault> {
        let mut bodies = Vec::new();
        for (part, shell) in Part::ALL.into_iter().zip(loft.bodies()) {
            let mut rest = vec![TrimmedShell::whole(shell)];
            let mut parts = Vec::new();
            for sheet in self.sheets(part, tolerance) {
                let [below, above] = cleft(&rest, &sheet)?;
                parts.push(below);
                rest = above;
            }
            parts.push(rest);
            let stacked = self.billet().stacked_bars(part).iter().copied();
            let found = stacked.zip(parts).filter(|(_, pieces)| !pieces.is_empty());
            let found = found.map(|(bar, pieces)| Body { bar, part, pieces });
            bodies.extend(found.collect::<Vec<_>>().into_iter().rev());
        }
        Ok(bodies)
    }
}

/// All pieces of a body cleft by one sheet.
fn cleft(pieces: &[TrimmedShell], sheet: &SplitSheet) -> Result<[Vec<TrimmedShell>; 2], SplitFault> {
    let mut both = [Vec::new(), Vec::new()];
    for piece in pieces {
        let [below, above] = piece.split(sheet)?;
        both[0].extend(below);
        both[1].extend(above);
    }
    Ok(both)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::billet::recipe::Tip;
    use crate::fixtures::{forged, four_bars, specs};
    use blade::{Blade, Stage};

    #[test]
    fn exact_bodies_are_as_many_as_the_zones() {
        for (name, spec) in specs() {
            for tip in [Tip::Forged, Tip::Cut { from: 320.0 }] {
                let lay = MaterialMap::new(four_bars(tip), forged(&spec)).unwrap();
                for stage in Stage::ALL {
                    let loft = Blade::new(&spec).unwrap().loft(stage);
                    let bodies =
                        lay.bodies(&loft, 1e-3).unwrap_or_else(|f| panic!("{name} {tip:?} {stage}: {f}"));
                    let order: Vec<_> = bodies.iter().map(|b| (b.part, b.bar)).collect();
                    let all = [0, 1, 2, 3]
                        .map(|b| (Part::Blade, b))
                        .into_iter()
                        .chain([0, 1, 2].map(|b| (Part::Tang, b)));
                    assert_eq!(order, all.collect::<Vec<_>>(), "{name} {tip:?} {stage}");
                }
            }
        }
    }

    #[test]
    fn zones_are_the_blade() {
        for (name, spec) in specs() {
            for tip in [Tip::Forged, Tip::Cut { from: 320.0 }] {
                let lay = MaterialMap::new(four_bars(tip), forged(&spec)).unwrap();
                for stage in Stage::ALL {
                    let mesh = Mesh::of(Blade::new(&spec).unwrap().loft(stage).shell(), 0.02).unwrap();
                    let zones =
                        lay.zones(&mesh, 0.01).unwrap_or_else(|f| panic!("{name} {tip:?} {stage}: {f}"));
                    let order: Vec<_> = zones.iter().map(|z| (z.part, z.bar)).collect();
                    let all = [0, 1, 2, 3]
                        .map(|b| (Part::Blade, b))
                        .into_iter()
                        .chain([0, 1, 2].map(|b| (Part::Tang, b)));
                    assert_eq!(order, all.collect::<Vec<_>>(), "{name} {tip:?} {stage}");
                    let sum: f64 = zones.iter().map(|z| z.mesh.volume()).sum();
                    assert!((sum / mesh.volume() - 1.0).abs() < 1e-9, "{name} {tip:?} {stage}");
                    if stage == Stage::Forged && tip == Tip::Forged {
                        for zone in zones.iter().filter(|z| z.part == Part::Blade) {
                            let share = lay.billet().bars()[zone.bar].height.at(0.0) / 37.0;
                            let volume = lay.volume(Part::Blade) * share;
                            let off = zone.mesh.volume() / volume - 1.0;
                            assert!(off.abs() < 0.02, "{name} {} {off}", zone.bar);
                        }
                    }
                }
            }
        }
    }
}
