//! Which kinds of file the use of a thing needs; the others are made when they are asked for.

use tooling::Stuff;

use crate::ask::kinds::Kind;

/// A cutter's program reads DXF, with its layers and in mm.
pub(crate) const CUT: &[Kind] = &[Kind::Dxf];
/// A template is printed; its lines go into CAD.
pub(crate) const PAPER: &[Kind] = &[Kind::Pdf, Kind::Dxf];

/// A printer's program reads 3MF, which says that it is in mm; who makes a part of steel needs the exact solid.
pub(crate) fn of(stuff: Stuff) -> &'static [Kind] {
    match stuff {
        Stuff::Plastic => &[Kind::ThreeMf],
        Stuff::Steel => &[Kind::Step],
    }
}
