//! The layers as a texture on the blade's mesh: one picture of four views, and where each triangle finds itself in it.

use blade::{Mesh, Sections};
use glam::DVec3;

use crate::lay::Lay;
use crate::picture::{Colouring, Fineness, Picture, View};

/// Columns of a texture at most: what every graphics card of the last ten years takes.
const MOST_COLUMNS: f64 = 4096.0;
/// Pixels per mm at most: finer than a screen shows a blade as a whole.
const MOST_DOTS: f64 = 4.0;
/// Samples per pixel along each side: cards smooth between pixels themselves.
const SAMPLES: u32 = 1;

/// A mesh with a picture on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Texture {
    /// Vertices, mm; one for every place of the picture that shows it.
    pub positions: Vec<DVec3>,
    /// Their places in the picture, from its left and from its top, 0 to 1.
    pub places: Vec<[f64; 2]>,
    /// Triangles, counter-clockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
    /// Pixels in a row.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Red, green and blue, row by row from the top, sRGB.
    pub rgb: Vec<u8>,
}

impl Texture {
    /// The layers on `mesh`, which is that of the stage with the sections given. `None` where a picture of it would be
    /// too large.
    pub fn new(lay: &Lay, stage: &Sections, mesh: &Mesh) -> Option<Texture> {
        let (from, to) = stage.range();
        // A few columns are kept for the border.
        let dots = ((MOST_COLUMNS - 8.0) / (to - from)).min(MOST_DOTS);
        let fineness = Fineness { dots, samples: SAMPLES, bleed: true };
        let pictures = Picture::several(lay, stage, &View::ALL, Colouring::Steels, fineness)?;
        let views: Vec<(View, Picture)> = View::ALL.into_iter().zip(pictures).collect();
        let (width, height) = (views[0].1.width, views.iter().map(|v| v.1.height).sum());
        let mut texture = Texture {
            positions: Vec::new(),
            places: Vec::new(),
            triangles: Vec::new(),
            width,
            height,
            rgb: Vec::with_capacity(3 * width * height),
        };
        let mut above = 0;
        for (view, picture) in &views {
            texture.add(mesh, *view, &Sheet { picture, above, dots, size: [width as f64, height as f64] });
            texture.rgb.extend_from_slice(&picture.rgb);
            above += picture.height;
        }
        Some(texture)
    }

    /// Adds the triangles that are seen best from a view.
    fn add(&mut self, mesh: &Mesh, view: View, sheet: &Sheet<'_>) {
        let mut known = vec![None; mesh.vertices().len()];
        for (triangle, [a, b, c]) in mesh.triangles().iter().zip(mesh.corners()) {
            if best((b - a).cross(c - a)) != view {
                continue;
            }
            let corner = triangle.map(|i| {
                *known[i as usize].get_or_insert_with(|| {
                    let p = mesh.vertices()[i as usize];
                    self.positions.push(p);
                    self.places.push(sheet.place(view, p));
                    (self.positions.len() - 1) as u32
                })
            });
            self.triangles.push(corner);
        }
    }
}

/// One view in the whole picture.
struct Sheet<'a> {
    picture: &'a Picture,
    /// Rows above it.
    above: usize,
    dots: f64,
    /// Columns and rows of the whole.
    size: [f64; 2],
}

impl Sheet<'_> {
    fn place(&self, view: View, p: DVec3) -> [f64; 2] {
        let (first, second) = match view {
            View::Right => (p.x, p.y),
            View::Left => (-p.x, p.y),
            View::Back => (p.x, -p.z),
            View::Edge => (p.x, p.z),
        };
        let column = (first - self.picture.left) * self.dots;
        let row = (self.picture.top - second) * self.dots + self.above as f64;
        [column / self.size[0], row / self.size[1]]
    }
}

/// The view from which a face with this normal is seen least slanted. Faces square to x are seen from the right.
fn best(normal: DVec3) -> View {
    let across = normal.z.abs() >= normal.y.abs();
    match (across, normal.z < 0.0, normal.y > 0.0) {
        _ if normal.x.abs() > normal.y.abs().max(normal.z.abs()) => View::Right,
        (true, false, _) => View::Right,
        (true, true, _) => View::Left,
        (false, _, true) => View::Back,
        (false, _, false) => View::Edge,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::billet::Tip;
    use crate::palette::steel_colour;
    use crate::sample::{forged, four_bars, specs};
    use blade::{Blade, Stage};

    #[test]
    fn every_triangle_finds_its_layer() {
        for (name, spec) in specs() {
            let lay = Lay::new(four_bars(Tip::Forged), forged(&spec)).unwrap();
            let loft = Blade::new(&spec).unwrap().loft(Stage::Finished);
            let mesh = Mesh::of(loft.shell(), 0.02).unwrap();
            let texture = Texture::new(&lay, &Sections::of(&loft), &mesh).unwrap();
            assert_eq!(texture.triangles.len(), mesh.triangles().len(), "{name}");
            assert!(texture.places.iter().flatten().all(|c| (0.0..=1.0).contains(c)), "{name}");
            assert!(texture.width <= 4096 && texture.rgb.len() == 3 * texture.width * texture.height);
            // Where a large triangle's middle lies well inside one steel, the picture shows that steel.
            let (mut looked, mut wrong) = (0, 0);
            for t in &texture.triangles {
                let corners = t.map(|i| texture.positions[i as usize]);
                let middle = (corners[0] + corners[1] + corners[2]) / 3.0;
                let normal = (corners[1] - corners[0]).cross(corners[2] - corners[0]);
                if normal.length() < 2.0 || normal.normalize().z.abs() < 0.9 {
                    continue;
                }
                let inward = middle - normal.normalize() * 0.03;
                let steel = |d: DVec3| lay.stack_point(inward + d).map(|p| lay.billet().layer(p).2);
                let around = [DVec3::ZERO, DVec3::X, -DVec3::X, DVec3::Y, -DVec3::Y].map(|d| steel(d * 1.0));
                let Some(first) = around[0].filter(|_| around.iter().all(|a| *a == around[0])) else {
                    continue;
                };
                let place = |k: usize| t.iter().map(|&i| texture.places[i as usize][k]).sum::<f64>() / 3.0;
                let column = (place(0) * texture.width as f64) as usize;
                let row = (place(1) * texture.height as f64) as usize;
                let at = 3 * (row * texture.width + column);
                looked += 1;
                wrong += usize::from(texture.rgb[at..at + 3] != steel_colour(first).srgb);
            }
            assert!(looked > 20 && wrong * 50 <= looked, "{name}: {wrong} of {looked}");
        }
    }
}
