//! A finished part: one body to print or to make of steel, as it lies on the bed.

use blade::Stage;
use brep::Shell;

/// A part in print orientation: on z = 0, its least x and y at 0.
#[derive(Clone, Debug)]
pub struct Part {
    /// The stem of its files' names: lower-case ASCII letters, digits and dashes.
    pub name: String,
    /// What it is, in a few words.
    pub title: String,
    /// What it is for and what to mind, in one or two sentences.
    pub note: String,
    /// The stage that it belongs to, if it belongs to one.
    pub stage: Option<Stage>,
    /// What it may be made of.
    pub stuff: Stuff,
    /// Its boundary, mm.
    pub shell: Shell,
}

/// What a part may be made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stuff {
    /// Printed plastic will do: the part never meets hot steel.
    Plastic,
    /// Steel: heat or hammer would spoil plastic. A print serves as a pattern only.
    Steel,
}
