//! What is said of the place on a tip preform where the edge's curve begins.

use crate::unit::figures::Figures;

/// How the bend between these lengths along the edge (mm) is made, and what breadths (mm) will do at the one where they
/// may differ most: `[at, least, most]`.
pub fn edge_curve(between: [f64; 2], widest: [f64; 3], figures: Figures) -> String {
    let unit = figures.unit.name();
    let [from, to] = between.map(|mm| figures.dimension(mm));
    let [at, least, most] = widest.map(|mm| figures.dimension(mm));
    format!(
        "Between {from} and {to} {unit} along the edge side the finished edge turns into its curve. Don't cut that bend, forge it: \
         cut the back there in one smooth line, for a step or a notch would close as a cold shut. At {at} {unit} any breadth from \
         {least} to {most} {unit} will do."
    )
}
