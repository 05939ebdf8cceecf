//! What can hurt at the forge, the bath and the grinder.

use crate::typesetting::strip::{Strip, heading, list, part};
use crate::typesetting::text::{BODY, Text};

/// The cautions, on one page; for a blade that is `welded`, or of one piece.
pub(crate) fn cautions(welded: bool, width: f64) -> Vec<Strip> {
    let mut strips = heading("Cautions", width);
    strips.extend(list(design::cautions(welded).map(Text::marked), BODY, width));
    part(true, strips)
}
