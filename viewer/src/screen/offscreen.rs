//! Pictures of a blade without any window.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use design::Design;
use kiss3d::egui::vec2;
use kiss3d::pollster;
use kiss3d::window::OffscreenSurface;

use crate::desk::board::{Desk, Overlay};
use crate::desk::frame;
use crate::draw::camera::Camera;
use crate::draw::scene::Scene;
use crate::fault::Fault;
use crate::file::problems::located;
use crate::file::readings::compared;
use crate::file::save::Image;
use crate::file::source;
use crate::model::grinding::Grinding;
use crate::model::settings::Settings;
use crate::model::shown::{Shown, Wish};
use crate::screen::kit::{behind, quietly, ready, setup, snap};

/// Frames until every word stands in its place: measured, placed, fitted around, drawn.
const FRAMES: usize = 4;

/// Draws the blade and writes the PNG.
///
/// # Errors
/// [`Fault::Read`] and [`Fault::Problems`] of the design, [`Fault::Screen`] where there is nothing to draw with,
/// [`Fault::Write`] and [`Fault::Foreign`] of the picture.
pub fn picture(asked: &look::Picture) -> Result<(), Fault> {
    let design = Arc::new(sound_design(&asked.design)?);
    let settings = Settings::new(&asked.look, Some(&design));
    let grinding = asked.look.measured.as_deref().map(|path| grinding(path, &design)).transpose()?;
    let shown = Shown::new(&design, grinding.as_ref(), Wish::new(&settings, false)).map_err(Fault::Shape)?;
    let path = asked.out.clone().unwrap_or_else(|| usual_path(&design, asked.look.from));
    let drawn = quietly(|| pollster::block_on(draw(asked, settings, shown)));
    let no_card = |_| {
        let why = "there is nothing to draw with here: install a driver for Vulkan, Metal or DirectX 12";
        Fault::Screen(format!("{why}; Mesa's software one will do"))
    };
    drawn.map_err(no_card)?.write(&path)
}

/// The design in a file.
fn sound_design(path: &Path) -> Result<Design, Fault> {
    let bytes = source::read(path).map_err(|why| Fault::Read { path: path.to_owned(), why })?;
    design::read(&bytes)
        .map_err(|problems| Fault::Problems { path: path.to_owned(), problems: located(&bytes, &problems) })
}

/// The picture's path unless another is asked for.
fn usual_path(design: &Design, from: look::From) -> PathBuf {
    let view = clap::ValueEnum::to_possible_value(&from);
    PathBuf::from(format!("{}-{}.png", design.slug(), view.as_ref().map_or("view", |v| v.get_name())))
}

/// The blade that a measured file tells of.
fn grinding(path: &Path, design: &Design) -> Result<Arc<Grinding>, Fault> {
    let bytes = source::read(path).map_err(|why| Fault::Read { path: path.to_owned(), why })?;
    let grinding = compared(&bytes, design).map_err(|problems| Fault::Problems {
        path: path.to_owned(),
        problems: located(&bytes, &problems),
    })?;
    grinding.map(Arc::new).ok_or_else(|| Fault::Empty(path.to_owned()))
}

/// Draws the blade, and its words until they stand.
async fn draw(asked: &look::Picture, settings: Settings, shown: Shown) -> Image {
    let mut surface = OffscreenSurface::with_setup(asked.size.width, asked.size.height, setup()).await;
    ready(surface.window_mut());
    let mut desk = Desk::new(String::new(), settings);
    behind(surface.window_mut(), &desk.ink());
    let (mut scene, mut camera) = (Scene::new(), Camera::new(asked.look.from));
    lay_out(shown, &mut scene, &mut desk);
    scene.spread(desk.spread());
    let overlay = if asked.bare { Overlay::Nothing } else { Overlay::Key };
    for _ in 0..FRAMES {
        surface.window_mut().draw_ui(|ctx| frame::draw(ctx, &mut desk, &mut camera, overlay));
        camera.fit(desk.bounds(), desk.free, vec2(asked.size.width as f32, asked.size.height as f32));
        scene.light(&camera);
        surface.render_3d(&mut scene.root, &mut camera).await;
    }
    snap(surface.window())
}

/// Puts a blade on the card, its layers in their final fineness at once.
fn lay_out(shown: Shown, scene: &mut Scene, desk: &mut Desk) {
    let coated = match shown.layers(true) {
        Some(layers) => shown.wrapped(&layers),
        None => shown.coated(None),
    };
    scene.put(coated);
    desk.shown = Some(Box::new(shown));
}
