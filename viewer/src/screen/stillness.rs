//! Whether a frame came out like the one before: then the window may rest.

use std::time::{Duration, Instant};

use kiss3d::egui::epaint::ClippedShape;
use kiss3d::egui::{self, Context, FullOutput, ViewportId};

/// What the controls drew last.
#[derive(Default)]
pub(crate) struct Stillness {
    shapes: Vec<ClippedShape>,
    /// Whether the last frame was another one than that before.
    has_changed: bool,
    /// When the controls want to be drawn once more, if ever: what is said of one that the mouse rests on comes after a while.
    again: Option<Instant>,
}

impl Stillness {
    /// Whether the controls came out otherwise than before, or want another frame now.
    pub(crate) fn is_moving(&self) -> bool {
        self.has_changed || self.is_due()
    }

    /// Whether the time has come at which they wanted another frame.
    pub(crate) fn is_due(&self) -> bool {
        self.again.is_some_and(|again| again <= Instant::now())
    }
}

impl egui::Plugin for Stillness {
    fn debug_name(&self) -> &'static str {
        "stillness"
    }

    fn output_hook(&mut self, _: &Context, output: &mut FullOutput) {
        self.has_changed = self.shapes != output.shapes || !output.textures_delta.is_empty();
        if self.has_changed {
            self.shapes.clone_from(&output.shapes);
        }
        let wait =
            output.viewport_output.get(&ViewportId::ROOT).map_or(Duration::MAX, |view| view.repaint_delay);
        self.again = Instant::now().checked_add(wait);
    }
}
