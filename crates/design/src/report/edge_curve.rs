//! What is said of the place on a tip preform where the edge's curve begins.

use crate::unit::figures::Figures;

/// How the bend between these lengths along the edge (mm) is made, and what breadths (mm) will do at the one where they
/// may differ most: `[at, least, most]`.
pub fn edge_curve(between: [f64; 2], widest: [f64; 3], figures: Figures) -> String {
    let unit = figures.unit.name();
    let [from, to] = between.map(|mm| figures.side(mm));
    let [at, least, most] = widest.map(|mm| figures.side(mm));
    format!(
        "From {from} to {to} {unit} along the edge side the finished edge turns into its curve: leave that bend to the hammer, and \
         cut the back past it in one smooth line; a step or a notch would close as a cold shut. At {at} {unit} any breadth from \
         {least} to {most} {unit} will do."
    )
}
