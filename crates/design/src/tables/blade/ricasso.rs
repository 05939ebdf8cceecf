//! The `[ricasso]` table: an unbevelled stretch next to the shoulder.

use blade::Ricasso;

use crate::file::checker::Checker;
use crate::file::draft::{Field, Length, table};

/// Length over which the bevel plunges unless given, mm: a common belt's slack.
const PLUNGE: f64 = 10.0;
/// Lengths accepted, mm: under half a millimetre it can be neither ground nor seen.
const LENGTHS: std::ops::RangeInclusive<f64> = 0.5..=3000.0;

table! {
    /// An unbevelled stretch next to the shoulder.
    RicassoDraft {
        /// Its length. Default: half the breadth.
        length: Length,
        /// Length over which the bevel then plunges to its full depth. Default 10 mm.
        plunge: Length,
    }
}

/// Checks the table on a blade of this breadth at the shoulder, mm.
pub(crate) fn check(draft: Option<&Field<RicassoDraft>>, breadth: f64, c: &mut Checker) -> Option<Ricasso> {
    let draft = &draft?.value;
    Some(Ricasso {
        length: c.length_or(draft.length.as_ref(), LENGTHS, 0.5 * breadth),
        plunge: c.length_or(draft.plunge.as_ref(), LENGTHS, PLUNGE),
    })
}
