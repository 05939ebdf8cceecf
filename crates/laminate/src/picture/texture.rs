//! The four views in one picture, and where each point of the surface finds itself in it.

use blade::Sections;
use brep::Mesh;
use glam::DVec3;

use crate::map::material::MaterialMap;
use crate::picture::frame::{Colouring, Fineness, View};
use crate::picture::raster::Picture;

/// Columns of a texture at most: what every graphics card of the last ten years takes.
const MOST_COLUMNS: f64 = 4096.0;
/// Pixels per mm at most: finer than a screen shows a blade as a whole.
const MOST_DOTS: f64 = 4.0;
/// Samples per pixel along each side: cards smooth between pixels themselves.
const SAMPLES: u32 = 1;

/// One picture of all four views, one below the other, to lay around a blade.
#[derive(Clone, Debug, PartialEq)]
pub struct Wrap {
    /// Pixels in a row.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Red, green and blue, row by row from the top, sRGB.
    pub rgb: Vec<u8>,
    dots: f64,
    /// Of each view in the order of [`View::ALL`]: where it begins, mm in its two directions, and the rows above it.
    begins: [(f64, f64, usize); 4],
}

impl Wrap {
    /// Of the stage with the sections given, at most `dots` pixels per mm. `None` where it would be too large.
    pub fn new(lay: &MaterialMap, stage: &Sections, colouring: Colouring<'_>, dots: f64) -> Option<Wrap> {
        let (from, to) = stage.range();
        // A few columns are kept for the border.
        let dots = ((MOST_COLUMNS - 8.0) / (to - from)).min(dots);
        let fineness = Fineness { dots, samples: SAMPLES, bleed: true };
        let pictures = Picture::several(lay, stage, &View::ALL, colouring, fineness)?;
        let mut above = 0;
        let mut begins = [(0.0, 0.0, 0); 4];
        for (begin, picture) in begins.iter_mut().zip(&pictures) {
            *begin = (picture.left, picture.top, above);
            above += picture.height;
        }
        Some(Wrap {
            width: pictures[0].width,
            height: above,
            rgb: pictures.iter().flat_map(|p| &p.rgb).copied().collect(),
            dots,
            begins,
        })
    }

    /// Where a point (mm) of the surface, seen in a view, lies in the picture: from its left and from its top, 0 to 1
    /// for points of the stage it was made of.
    pub fn place(&self, view: View, p: DVec3) -> [f64; 2] {
        let (first, second) = match view {
            View::Right => (p.x, p.y),
            View::Left => (-p.x, p.y),
            View::Back => (p.x, -p.z),
            View::Edge => (p.x, p.z),
        };
        let (left, top, above) = self.begins[view as usize];
        let column = (first - left) * self.dots;
        let row = (top - second) * self.dots + above as f64;
        [column / self.width as f64, row / self.height as f64]
    }
}

impl View {
    /// The view from which a face with this normal (of any length) is seen least slanted. Faces square to x are seen
    /// from the right.
    pub fn facing(normal: DVec3) -> View {
        let across = normal.z.abs() >= normal.y.abs();
        match (across, normal.z < 0.0, normal.y > 0.0) {
            _ if normal.x.abs() > normal.y.abs().max(normal.z.abs()) => View::Right,
            (true, false, _) => View::Right,
            (true, true, _) => View::Left,
            (false, _, true) => View::Back,
            (false, _, false) => View::Edge,
        }
    }
}

/// A mesh with its layers on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Texture {
    /// Vertices, mm; one for every place of the picture that shows it.
    pub positions: Vec<DVec3>,
    /// Their places in the picture, from its left and from its top, 0 to 1.
    pub places: Vec<[f64; 2]>,
    /// Triangles, counter-clockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
    /// The picture.
    pub wrap: Wrap,
}

impl Texture {
    /// The layers on `mesh`, which is that of the stage with the sections given. `None` where a picture of it would be
    /// too large.
    pub fn new(
        lay: &MaterialMap,
        stage: &Sections,
        mesh: &Mesh,
        colouring: Colouring<'_>,
    ) -> Option<Texture> {
        let wrap = Wrap::new(lay, stage, colouring, MOST_DOTS)?;
        let (positions, places, triangles) = (Vec::new(), Vec::new(), Vec::new());
        let mut texture = Texture { positions, places, triangles, wrap };
        for view in View::ALL {
            texture.add(mesh, view);
        }
        Some(texture)
    }

    /// Adds the triangles that are seen best from a view.
    fn add(&mut self, mesh: &Mesh, view: View) {
        let mut known = vec![None; mesh.vertices().len()];
        for (triangle, [a, b, c]) in mesh.triangles().iter().zip(mesh.corners()) {
            if View::facing((b - a).cross(c - a)) != view {
                continue;
            }
            let corner = triangle.map(|i| {
                *known[i as usize].get_or_insert_with(|| {
                    let p = mesh.vertices()[i as usize];
                    self.positions.push(p);
                    self.places.push(self.wrap.place(view, p));
                    (self.positions.len() - 1) as u32
                })
            });
            self.triangles.push(corner);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::billet::recipe::Tip;
    use crate::fixtures::{forged, four_bars, specs};
    use crate::picture::palette::steel_colour;
    use blade::{Blade, Stage};

    #[test]
    fn every_triangle_finds_its_layer() {
        for (name, spec) in specs() {
            let lay = MaterialMap::new(four_bars(Tip::Forged), forged(&spec)).unwrap();
            let loft = Blade::new(&spec).unwrap().loft(Stage::Finished);
            let mesh = Mesh::of(loft.shell(), 0.02).unwrap();
            let texture = Texture::new(&lay, &Sections::of(&loft), &mesh, Colouring::Steels).unwrap();
            assert_eq!(texture.triangles.len(), mesh.triangles().len(), "{name}");
            assert!(texture.places.iter().flatten().all(|c| (0.0..=1.0).contains(c)), "{name}");
            assert!(
                texture.wrap.width <= 4096
                    && texture.wrap.rgb.len() == 3 * texture.wrap.width * texture.wrap.height
            );
            // Where a large triangle's middle lies well inside one steel, the picture shows most of that steel.
            let nearest = |dot: &[u8]| {
                let off = |s: &usize| {
                    steel_colour(*s)
                        .srgb
                        .iter()
                        .zip(dot)
                        .map(|(a, b)| i32::from(a.abs_diff(*b)).pow(2))
                        .sum::<i32>()
                };
                (0..3).min_by_key(off)
            };
            let (mut looked, mut wrong) = (0, 0);
            for t in &texture.triangles {
                let corners = t.map(|i| texture.positions[i as usize]);
                let middle = (corners[0] + corners[1] + corners[2]) / 3.0;
                let normal = (corners[1] - corners[0]).cross(corners[2] - corners[0]);
                if normal.length() < 2.0 || normal.normalize().z.abs() < 0.9 {
                    continue;
                }
                let inward = middle - normal.normalize() * 0.03;
                let steel = |d: DVec3| lay.stack_point(inward + d).map(|p| lay.billet().layer(p).steel);
                let ways = [DVec3::ZERO, DVec3::X, -DVec3::X, DVec3::Y, -DVec3::Y];
                let around = [0.3, 0.6, 1.0].map(|mm| ways.map(|way| steel(way * mm))).concat();
                let Some(first) = around[0].filter(|_| around.iter().all(|a| *a == around[0])) else {
                    continue;
                };
                let place = |k: usize| t.iter().map(|&i| texture.places[i as usize][k]).sum::<f64>() / 3.0;
                let column = (place(0) * texture.wrap.width as f64) as usize;
                let row = (place(1) * texture.wrap.height as f64) as usize;
                let at = 3 * (row * texture.wrap.width + column);
                looked += 1;
                wrong += usize::from(nearest(&texture.wrap.rgb[at..at + 3]) != Some(first));
            }
            assert!(looked > 20 && wrong * 50 <= looked, "{name}: {wrong} of {looked}");
        }
    }
}
