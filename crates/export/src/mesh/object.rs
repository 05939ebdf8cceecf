//! A mesh with a name and a colour.

use brep::Mesh;

use crate::paint::Paint;

/// A named mesh, mm.
#[derive(Clone, Copy, Debug)]
pub struct Object<'a> {
    /// The object's name, as other programs list it.
    pub name: &'a str,
    /// Its boundary, mm: one closed shell or several.
    pub mesh: &'a Mesh,
    /// Its colour; without one it is left to the format.
    pub paint: Option<Paint<'a>>,
}
