//! Pages: paper of a given size with drawings seen through windows.

use drawing::Drawing;
use glam::DVec2;

/// A sheet of paper. Its origin is the lower left corner.
#[derive(Clone, Debug)]
pub struct Page<'a> {
    /// Width and height, mm.
    pub size: DVec2,
    /// What belongs to the page itself, in page coordinates, over everything else.
    pub sheet: &'a Drawing,
    /// What is shown on it, later views over earlier ones.
    pub views: Vec<View<'a>>,
}

/// A drawing at full size, seen through a window in a page.
#[derive(Clone, Copy, Debug)]
pub struct View<'a> {
    /// What is shown.
    pub drawing: &'a Drawing,
    /// Added to the drawing's coordinates to give the page's, mm.
    pub shift: DVec2,
    /// Lower left and upper right corner of the window in page coordinates, mm. What lies outside is not seen.
    pub window: [DVec2; 2],
}
