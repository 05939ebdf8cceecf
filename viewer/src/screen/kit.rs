//! The drawing kit as window and pictures set it up alike: light, ground, and what was drawn.

use kiss3d::color::Color;
use kiss3d::post_processing::Tonemap;
use kiss3d::window::{CanvasSetup, NumSamples, Window};

use crate::desk::style::Ink;
use crate::draw::scene::AMBIENT;
use crate::file::guard::guarded;
use crate::file::save::Image;

/// How pictures are drawn: edges smoothed by four samples a pixel.
pub(crate) fn setup() -> CanvasSetup {
    CanvasSetup { samples: NumSamples::Four, ..CanvasSetup::default() }
}

/// How a window is drawn: like pictures by a graphics card; where the processor draws in its stead, with one sample, for
/// its frames take half as long then, and a hand feels that sooner than an eye sees rough edges.
pub(crate) async fn window_setup() -> CanvasSetup {
    let samples = if has_card().await { NumSamples::Four } else { NumSamples::One };
    CanvasSetup { samples, ..CanvasSetup::default() }
}

/// Whether there is a graphics card, and no software that stands for one.
async fn has_card() -> bool {
    let instance = wgpu::Instance::new(wgpu::InstanceDescriptor::new_without_display_handle());
    let adapter = instance.request_adapter(&wgpu::RequestAdapterOptions::default()).await;
    adapter.is_ok_and(|adapter| adapter.get_info().device_type != wgpu::DeviceType::Cpu)
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
