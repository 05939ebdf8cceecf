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
use crate::draw::spread::Spread;
use crate::model::pieces::{Coat, Piece, Pixels};
use crate::model::shown::Coated;

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
            coat(&mut node, &piece.coat, self.picture.as_ref());
            self.nodes.push(node);
        }
        self.given = Some(spread);
    }

    /// Turns the lamp with the eye.
    pub(crate) fn light(&mut self, camera: &Camera) {
        self.lamp.set_rotation(camera.pose().rotation);
    }
}

/// Puts a colour or the picture on a piece.
fn coat(node: &mut SceneNode3d, coat: &Coat, picture: Option<&Arc<Texture>>) {
    match (coat, picture) {
        (Coat::Picture(_), Some(picture)) => {
            node.set_texture(Arc::clone(picture));
        }
        (Coat::Plain(srgb), _) => {
            let [r, g, b] = srgb.map(|c| linear(c) as f32);
            node.set_color(Color::new(r, g, b, 1.0));
        }
        (Coat::Picture(_), None) => {}
    }
}

/// A piece as the card's own mesh, spread out.
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

/// A picture as the card's own texture.
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
