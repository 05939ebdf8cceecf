//! The drawing kit as window and pictures set it up alike: light, ground, and what was drawn.

use kiss3d::color::Color;
use kiss3d::context::Context;
use kiss3d::post_processing::Tonemap;
use kiss3d::window::{CanvasSetup, NumSamples, Window};

use crate::desk::style::Ink;
use crate::draw::scene::AMBIENT;
use crate::file::guard::guarded;
use crate::file::save::Image;
use crate::screen::early::Early;
use crate::screen::stillness::Stillness;

/// How window and pictures are drawn: edges smoothed by four samples a pixel.
pub(crate) fn setup() -> CanvasSetup {
    CanvasSetup { samples: NumSamples::Four, ..CanvasSetup::default() }
}

/// Lets a window have one sample a pixel where the processor draws in a graphics card's stead: its frames take half as long
/// then, and a hand feels that sooner than an eye sees rough edges.
pub(crate) fn lighten(window: &mut Window) {
    if Context::get().adapter.get_info().device_type == wgpu::DeviceType::Cpu {
        window.set_samples(NumSamples::One);
    }
}

/// Runs what may panic without its panic being printed.
pub(crate) fn quietly<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    let hook = std::panic::take_hook();
    std::panic::set_hook(Box::new(|_| {}));
    let done = guarded(work);
    std::panic::set_hook(hook);
    done
}

/// Light and film as the palette wants them: its colours, and nothing done to them.
pub(crate) fn ready(window: &mut Window) {
    window.set_tonemap(Tonemap::None);
    window.set_shadows_enabled(false);
    window.set_ambient(AMBIENT);
}

/// Lets the controls of a window hear early what it is sent, and be looked at whether they move.
pub(crate) fn listen(window: &Window) {
    window.egui_context().add_plugin(Early::default());
    window.egui_context().add_plugin(Stillness::default());
}

/// Whether mouse, keys or the system have sent anything since this was last asked; the controls hear of it in the next frame.
pub(crate) fn stirred(window: &Window) -> bool {
    window.egui_context().with_plugin(|early: &mut Early| early.hear(window)).unwrap_or_default()
}

/// Whether the last frame was another one than that before, or another one is wanted at once.
pub(crate) fn is_moving(window: &Window) -> bool {
    window.egui_context().with_plugin(|still: &mut Stillness| still.is_moving()).unwrap_or_default()
}

/// Whether the time has come at which the controls want another frame.
pub(crate) fn is_due(window: &Window) -> bool {
    window.egui_context().with_plugin(|still: &mut Stillness| still.is_due()).unwrap_or_default()
}

/// The colour behind the blade.
pub(crate) fn behind(window: &mut Window, ink: &Ink) {
    let [r, g, b, _] = ink.ground.to_array();
    let linear = |c: u8| laminate::linear(f64::from(c) / 255.0) as f32;
    window.set_background_color(Color::new(linear(r), linear(g), linear(b), 1.0));
}

/// What was last drawn.
pub(crate) fn snap(window: &Window) -> Image {
    let image = window.snap_image();
    Image { width: image.width(), height: image.height(), rgb: image.into_raw() }
}
