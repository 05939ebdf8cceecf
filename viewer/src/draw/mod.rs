//! What the graphics card draws: the camera and the scene.

pub(crate) mod camera;
pub(crate) mod scene;
pub(crate) mod spread;
