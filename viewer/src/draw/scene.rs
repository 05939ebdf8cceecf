//! What the graphics card is given: the pieces of the blade, their picture, and lamps that go with the eye.

use std::cell::RefCell;
use std::rc::Rc;
use std::sync::Arc;

use glam::DVec3;
use kiss3d::color::Color;
use kiss3d::glamx::{Vec2, Vec3};
use kiss3d::light::Light;
use kiss3d::resource::{GpuMesh3d, Texture};
use kiss3d::scene::SceneNode3d;
use laminate::linear;

use crate::draw::camera::{Camera, kit};
use crate::model::pieces::{Coat, Piece, Pixels};
use crate::model::shown::Coated;

/// How far neighbouring bars are drawn apart at most, as a share of the blade's breadth: their faces come into sight.
const GAP: f64 = 0.6;
/// Brightness that comes from everywhere, and from the lamp over the smith's shoulder: a face turned to the eye shows
/// its own colour, one turned away from it half of that.
pub(crate) const AMBIENT: f32 = 0.5;
const LAMP: f32 = 0.5 * std::f32::consts::PI;
/// Where the lamp's light goes, seen from the eye: forwards, and a little down and to the right.
const LAMP_WAY: Vec3 = Vec3::new(0.28, -0.36, -0.89);

/// The scene.
pub(crate) struct Scene {
    pub(crate) root: SceneNode3d,
    lamp: SceneNode3d,
    nodes: Vec<SceneNode3d>,
    coated: Option<Coated>,
    picture: Option<Arc<Texture>>,
    /// How thick and how far apart the pieces were last given.
    given: Option<Spread>,
}

/// How pieces are spread out to be looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Spread {
    /// How many times thicker.
    pub(crate) thicker: f64,
    /// How far apart neighbouring bars stand, mm.
    pub(crate) gap: f64,
    /// How many bars there are.
    pub(crate) bars: usize,
}

impl Spread {
    /// Of a blade of this breadth, bars drawn apart by a share from 0 to 1.
    pub(crate) fn new(thicker: f64, apart: f64, breadth: f64, bars: usize) -> Spread {
        Spread { thicker, gap: apart * GAP * breadth, bars }
    }

    /// How far a bar stands above its place, mm: the first is at the back.
    pub(crate) fn lift(&self, bar: Option<usize>) -> f64 {
        bar.map_or(0.0, |bar| self.gap * (0.5 * (self.bars.saturating_sub(1)) as f64 - bar as f64))
    }

    /// Where a point of a bar is drawn.
    pub(crate) fn point(&self, bar: Option<usize>, p: DVec3) -> DVec3 {
        DVec3::new(p.x, p.y + self.lift(bar), p.z * self.thicker)
    }

    /// The box that holds all bars.
    pub(crate) fn bounds(&self, (low, high): (DVec3, DVec3)) -> (DVec3, DVec3) {
        let (first, last) = (Some(0), self.bars.checked_sub(1));
        (self.point(last, low), self.point(first.filter(|_| self.bars > 0), high))
    }
}

impl Scene {
    pub(crate) fn new() -> Scene {
        let mut root = SceneNode3d::empty();
        let lamp =
            root.add_light(Light::directional(LAMP_WAY).with_intensity(LAMP).with_casts_shadows(false));
        Scene { root, lamp, nodes: Vec::new(), coated: None, picture: None, given: None }
    }

    /// Puts other pieces in the place of those shown.
    pub(crate) fn put(&mut self, coated: Coated) {
        self.picture = coated.picture.as_ref().map(texture);
        self.coated = Some(coated);
        self.given = None;
    }

    /// Spreads the pieces out, if they are not already.
    pub(crate) fn spread(&mut self, spread: Spread) {
        if self.given == Some(spread) {
            return;
        }
        for mut node in self.nodes.drain(..) {
            node.detach();
        }
        let pieces = self.coated.iter().flat_map(|c| &c.pieces);
        for piece in pieces.filter(|p| !p.surface.points.is_empty()) {
            let mut node = self.root.add_mesh(mesh(piece, &spread), Vec3::ONE);
            node.set_roughness(1.0).set_metallic(0.0).set_reflectance(0.0);
            match (&piece.coat, &self.picture) {
                (Coat::Picture(_), Some(picture)) => node.set_texture(Arc::clone(picture)),
                (Coat::Plain(srgb), _) => {
                    let [r, g, b] = srgb.map(|c| linear(c) as f32);
                    node.set_color(Color::new(r, g, b, 1.0))
                }
                (Coat::Picture(_), None) => node.clone(),
            };
            self.nodes.push(node);
        }
        self.given = Some(spread);
    }

    /// Turns the lamp with the eye.
    pub(crate) fn light(&mut self, camera: &Camera) {
        self.lamp.set_rotation(camera.pose().rotation);
    }
}

fn mesh(piece: &Piece, spread: &Spread) -> Rc<RefCell<GpuMesh3d>> {
    let surface = &piece.surface;
    let points = surface.points.iter().map(|p| kit(spread.point(piece.bar, *p))).collect();
    // What is drawn thicker turns its faces with it.
    let turned = |n: &DVec3| kit(DVec3::new(n.x, n.y, n.z / spread.thicker).normalize_or_zero());
    let normals = surface.normals.iter().map(turned).collect();
    let faces = (0..surface.views.len() as u32).map(|i| [3 * i, 3 * i + 1, 3 * i + 2]).collect();
    let places = match &piece.coat {
        Coat::Picture(places) => Some(places.iter().map(|p| Vec2::new(p[0] as f32, p[1] as f32)).collect()),
        Coat::Plain(_) => None,
    };
    Rc::new(RefCell::new(GpuMesh3d::new(points, faces, Some(normals), places, false)))
}

fn texture(pixels: &Pixels) -> Arc<Texture> {
    let rgba: Vec<u8> = pixels.rgb.chunks_exact(3).flat_map(|p| [p[0], p[1], p[2], u8::MAX]).collect();
    Texture::new(
        pixels.width as u32,
        pixels.height as u32,
        &rgba,
        wgpu::TextureFormat::Rgba8UnormSrgb,
        wgpu::AddressMode::ClampToEdge,
        wgpu::FilterMode::Linear,
        // Smaller copies would be made by the processor while the window waits; the picture is made for the screen.
        false,
        1,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_are_spread_evenly_around_the_blade() {
        let spread = Spread::new(2.0, 1.0, 40.0, 4);
        let lifts: Vec<f64> = (0..4).map(|i| spread.lift(Some(i))).collect();
        assert!((lifts.iter().sum::<f64>()).abs() < 1e-9 && (lifts[0] - lifts[1] - 24.0).abs() < 1e-9);
        let (low, high) = spread.bounds((DVec3::new(0.0, -20.0, -2.0), DVec3::new(300.0, 20.0, 2.0)));
        assert!((low - DVec3::new(0.0, -56.0, -4.0)).length() < 1e-9, "{low}");
        assert!((high - DVec3::new(300.0, 56.0, 4.0)).length() < 1e-9, "{high}");
        let whole = Spread::new(1.0, 0.0, 40.0, 0);
        assert_eq!(whole.bounds((DVec3::NEG_ONE, DVec3::ONE)), (DVec3::NEG_ONE, DVec3::ONE));
    }
}
