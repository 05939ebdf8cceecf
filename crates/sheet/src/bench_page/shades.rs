//! The map of what to take off in shades of grey and hatching, small enough for the page: each side from its own side.

use export::{ExportFault, Raster};
use glam::DVec2;
use measured::{Bench, Shade};

use crate::fault::SheetFault;
use crate::typesetting::paragraph::Align;
use crate::typesetting::picture::{DOTS, Size, dots};
use crate::typesetting::shape::{MM, RULE};
use crate::typesetting::strip::{Strip, paragraph, part};
use crate::typesetting::table::{Cell, Table, Track};
use crate::typesetting::text::{Mark, Text, space};

/// Between the two sides, mm.
const GAP: f64 = 6.0;
/// Height of a legend's field, and how far it hangs under the line, mm.
const FIELD: [f64; 2] = [3.4, 0.5];

/// The two sides beside each other, with a legend, in a column `width` (points) wide.
///
/// # Errors
/// [`SheetFault::Picture`] when one can't be drawn.
pub(crate) fn shades(bench: &Bench, width: f64) -> Result<Vec<Strip>, SheetFault> {
    let half = 0.5 * (width - GAP * MM);
    let shades = bench.shades(DOTS * (half / MM) / bench.history().length_mm);
    let columns = vec![(Track::Share(1.0), Align::Left); 2];
    let mut table = Table::plain(columns, DVec2::new(GAP, 1.5));
    let titles =
        shades.sides.iter().map(|s| Text::note(format!("To take off, {}: the darker, the more.", s.title)));
    table.row(titles.map(Cell::from));
    let pictures: Result<Vec<Mark>, _> =
        shades.sides.iter().map(|s| dots(&raster(s)?, Size::Width(half), None)).collect();
    table.row(pictures?.into_iter().map(Text::mark).map(Cell::from));
    let mut strips = table.strips(width);
    let fields: Result<Vec<Text>, ExportFault> = shades.legend.iter().map(field).collect();
    strips.extend(paragraph(&Text::all(fields?), width));
    Ok(part(true, strips))
}

fn raster(shade: &Shade) -> Result<Raster<'_>, ExportFault> {
    Raster::new(shade.dots.width, shade.dots.height, &shade.dots.rgb)
}

/// A field of the legend with its words.
fn field(shade: &Shade) -> Result<Text, ExportFault> {
    let [high, drop] = FIELD.map(|mm| mm * MM);
    let mut mark = dots(&raster(shade)?, Size::Height(high), Some(RULE))?;
    mark.shapes = mark.shapes.into_iter().map(|shape| shape.moved(DVec2::new(0.0, drop))).collect();
    (mark.rise, mark.drop) = (high - drop, drop);
    let named = Text::mark(mark).then(space(1.2 * MM)).then(Text::note(shade.title.as_str()));
    Ok(named.boxed(5.0 * MM))
}
