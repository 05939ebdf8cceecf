//! A slab: an outline with holes through it and engravings in its upper face, as a closed shell.

use brep::Shell;

use crate::slab::contour::{Contour, Motion, Region};
use crate::slab::engraving::Engraving;
use crate::slab::sewing::Sewing;
use crate::slab::walls::{flat, walls};

/// A plate of one thickness that lies on z = 0.
#[derive(Clone, Debug, PartialEq)]
pub struct Slab {
    /// Its outline, counter-clockwise.
    pub outline: Contour,
    /// Holes through it, counter-clockwise, disjoint, inside the outline.
    pub holes: Vec<Contour>,
    /// What is engraved in the upper face: disjoint regions inside the outline and clear of the holes.
    pub engraving: Vec<Region>,
    /// Its thickness, mm.
    pub thickness: f64,
    /// Depth of the engraving, mm, less than the thickness.
    pub depth: f64,
}

impl Slab {
    /// Turned and shifted on the bed.
    pub fn moved(&self, motion: &Motion) -> Slab {
        Slab {
            outline: self.outline.moved(motion),
            holes: self.holes.iter().map(|c| c.moved(motion)).collect(),
            engraving: self.engraving.iter().map(|r| r.moved(motion)).collect(),
            ..*self
        }
    }

    /// Its boundary.
    pub fn shell(&self) -> Shell {
        let mut sewing = Sewing::default();
        let (top, floor) = (self.thickness, self.thickness - self.depth);
        flat(&mut sewing, "bottom", false, 0.0, &self.outline, &self.holes);
        let engraving = Engraving::new(&self.engraving);
        let cuts = [self.holes.clone(), engraving.openings()].concat();
        flat(&mut sewing, "top", true, top, &self.outline, &cuts);
        walls(&mut sewing, "side", &self.outline, [0.0, top]);
        for hole in &self.holes {
            walls(&mut sewing, "hole", &hole.reversed(), [0.0, top]);
        }
        engraving.sew(&mut sewing, [floor, top]);
        sewing.shell()
    }
}

#[cfg(test)]
mod tests {
    use glam::DVec2;

    use super::*;
    use brep::{Mesh, Moments};
    use std::f64::consts::PI;

    #[test]
    fn the_dot_inside_a_ring_stands_on_its_island() {
        let disc = |radius| Contour::circle(DVec2::new(10.0, 10.0), radius);
        let region = |radius, islands| Region { outer: disc(radius), islands };
        let slab = Slab {
            outline: Contour::rectangle(DVec2::ZERO, DVec2::splat(20.0)),
            holes: Vec::new(),
            engraving: vec![region(1.0, vec![]), region(6.0, vec![disc(3.0)])],
            thickness: 3.0,
            depth: 0.5,
        };
        let wanted = 1200.0 - 0.5 * PI * (36.0 - 9.0 + 1.0);
        let mesh = Mesh::of(&slab.shell(), 0.005).unwrap();
        assert!((Moments::of(&slab.shell()).volume - wanted).abs() < 1e-8);
        assert!((mesh.volume() - wanted).abs() < 0.005 * mesh.surface());
    }

    #[test]
    fn a_plate_with_hole_and_engraving_has_its_volume() {
        let mut outline = Contour::rectangle(DVec2::ZERO, DVec2::new(40.0, 20.0));
        // A round end, and a round notch.
        outline.corners[1].bulge = 0.9;
        outline.corners[3].bulge = -0.3;
        let ring = Region {
            outer: Contour::circle(DVec2::new(25.0, 10.0), 4.0),
            islands: vec![Contour::circle(DVec2::new(25.0, 10.0), 2.0)],
        };
        let hole = Contour::circle(DVec2::new(12.0, 10.0), 3.0);
        let slab = Slab { outline, holes: vec![hole], engraving: vec![ring], thickness: 3.0, depth: 0.6 };
        let wanted = slab.outline.area() * 3.0 - 9.0 * PI * 3.0 - 12.0 * PI * 0.6;
        for motion in [Motion::default(), Motion { turn: 1.1, shift: DVec2::new(5.0, -3.0) }] {
            let shell = slab.moved(&motion).shell();
            assert!((Moments::of(&shell).volume - wanted).abs() < 1e-8 * wanted);
            let mesh = Mesh::of(&shell, 0.005).unwrap();
            assert!((mesh.volume() - wanted).abs() < 0.005 * mesh.surface());
            let (low, high) = shell.bounds();
            let [flat_low, flat_high] = slab.outline.moved(&motion).bounds();
            assert!((low - flat_low.extend(0.0)).length() < 1e-9, "{low} {flat_low}");
            assert!((high - flat_high.extend(3.0)).length() < 1e-9);
        }
    }
}
