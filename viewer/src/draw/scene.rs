//! What the graphics card is given: the pieces of the blade, their picture, and lamps that go with the eye.

use std::cell::RefCell;
use std::rc::Rc;
use std::sync::Arc;

use glam::DVec3;
use kiss3d::color::Color;
use kiss3d::context::Context;
use kiss3d::glamx::{Vec2, Vec3};
use kiss3d::light::Light;
use kiss3d::resource::{GpuMesh3d, Texture};
use kiss3d::scene::SceneNode3d;
use laminate::linear;

use crate::draw::camera::{Camera, kit};
use crate::draw::spread::Spread;
use crate::model::picture::{Level, Picture};
use crate::model::pieces::{Coat, Piece};
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
    /// The picture that is on the card, and as it was given.
    texture: Option<(Arc<Picture>, Arc<Texture>)>,
    /// How thick and how far apart the pieces were last given.
    given: Option<Spread>,
}

impl Scene {
    pub(crate) fn new() -> Scene {
        let mut root = SceneNode3d::empty();
        let lamp =
            root.add_light(Light::directional(LAMP_WAY).with_intensity(LAMP).with_casts_shadows(false));
        Scene { root, lamp, nodes: Vec::new(), coated: None, texture: None, given: None }
    }

    /// Puts other pieces in the place of those shown.
    pub(crate) fn put(&mut self, coated: Coated) {
        self.texture = coated.picture.clone().map(|picture| match self.texture.take() {
            Some((known, texture)) if Arc::ptr_eq(&known, &picture) => (known, texture),
            _ => (Arc::clone(&picture), texture(&picture)),
        });
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
            coat(&mut node, &piece.coat, self.texture.as_ref().map(|(_, texture)| texture));
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
fn coat(node: &mut SceneNode3d, coat: &Coat, texture: Option<&Arc<Texture>>) {
    match (coat, texture) {
        (Coat::Picture(_), Some(texture)) => {
            node.set_texture(Arc::clone(texture));
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

/// A picture as the card's own texture, which takes the smaller copies the further off the blade is seen. The kit's own way
/// would make those copies while the window waits.
fn texture(picture: &Picture) -> Arc<Texture> {
    let card = Context::get();
    let texture = card.create_texture(&wgpu::TextureDescriptor {
        label: Some("picture"),
        size: extent(&picture.whole),
        mip_level_count: picture.levels().count() as u32,
        sample_count: 1,
        dimension: wgpu::TextureDimension::D2,
        format: wgpu::TextureFormat::Rgba8UnormSrgb,
        usage: wgpu::TextureUsages::TEXTURE_BINDING | wgpu::TextureUsages::COPY_DST,
        view_formats: &[],
    });
    for (k, level) in picture.levels().enumerate() {
        let place = wgpu::TexelCopyTextureInfo {
            texture: &texture,
            mip_level: k as u32,
            origin: wgpu::Origin3d::ZERO,
            aspect: wgpu::TextureAspect::All,
        };
        let layout = wgpu::TexelCopyBufferLayout {
            offset: 0,
            bytes_per_row: Some(4 * level.width as u32),
            rows_per_image: Some(level.height as u32),
        };
        card.write_texture(place, &level.rgba, layout, extent(level));
    }
    let view = texture.create_view(&wgpu::TextureViewDescriptor::default());
    let sampler = card.create_sampler(&wgpu::SamplerDescriptor {
        label: Some("picture"),
        mag_filter: wgpu::FilterMode::Linear,
        min_filter: wgpu::FilterMode::Linear,
        mipmap_filter: wgpu::MipmapFilterMode::Linear,
        ..Default::default()
    });
    Arc::new(Texture {
        texture,
        view,
        sampler,
        size: (picture.whole.width as u32, picture.whole.height as u32),
    })
}

/// How large a picture is, as the card counts.
fn extent(level: &Level) -> wgpu::Extent3d {
    wgpu::Extent3d { width: level.width as u32, height: level.height as u32, depth_or_array_layers: 1 }
}
