//! The map of what to take off in shades and hatching, as wide as the page: each side from its own side.

use design::Figures;
use export::{ExportFault, Raster};
use glam::DVec2;
use measured::{Bench, Shade};

use crate::fault::SheetFault;
use crate::typesetting::face::Run;
use crate::typesetting::paragraph::Align;
use crate::typesetting::picture::{DOTS, Size, dots};
use crate::typesetting::shape::{MM, RULE, Shape};
use crate::typesetting::strip::{Strip, paragraph, part};
use crate::typesetting::table::{Cell, Table, Track};
use crate::typesetting::text::{Mark, NOTE, Text, space};

/// Between the two sides, mm.
const GAP: f64 = 6.0;
/// Least between the figures of two stations, mm.
const ROOM: f64 = 12.0;
/// A tick's ends, its figure's base line and the ruler's height under a side, mm.
const TICK: [f64; 2] = [0.6, 2.0];
/// See [`TICK`].
const FIGURE: f64 = 4.8;
/// See [`TICK`].
const RULER: f64 = 5.4;
/// Height of a legend's field, and how far it hangs under the line, mm.
const FIELD: [f64; 2] = [3.4, 0.5];

/// Both sides beside each other, or the one that stands for both as wide as the column of `width` (points); stations along
/// them, and a legend.
///
/// # Errors
/// [`SheetFault::Picture`] when one can't be drawn.
pub(crate) fn shades(bench: &Bench, figures: Figures, width: f64) -> Result<Vec<Strip>, SheetFault> {
    let length = bench.history().length_mm;
    let count = bench.sides_shown() as f64;
    let each = (width - (count - 1.0) * GAP * MM) / count;
    let shades = bench.shades(DOTS * (each / MM) / length);
    let mut table =
        Table::plain(vec![(Track::Share(1.0), Align::Left); shades.sides.len()], DVec2::new(GAP, 1.5));
    let title = |side: &Shade| Text::note(format!("To take off, {}: the darker, the more.", side.title));
    table.row(shades.sides.iter().map(title).map(Cell::from));
    let pictures: Result<Vec<Mark>, ExportFault> =
        shades.sides.iter().map(|side| with_stations(side, length, figures, each)).collect();
    table.row(pictures?.into_iter().map(Text::mark).map(Cell::from));
    let mut strips = table.strips(width);
    let fields: Result<Vec<Text>, ExportFault> = shades.legend.iter().map(field).collect();
    strips.extend(paragraph(&Text::all(fields?), width));
    Ok(part(true, strips))
}

/// A side `width` (points) wide with its stations under it.
fn with_stations(side: &Shade, length: f64, figures: Figures, width: f64) -> Result<Mark, ExportFault> {
    let mut mark = dots(&raster(side)?, Size::Width(width), None)?;
    mark.shapes.extend(ruler(length, side.mirrored, figures, width));
    mark.drop = RULER * MM;
    Ok(mark)
}

/// Stations under a side `width` (points) long for `length` mm of blade.
fn ruler(length: f64, mirrored: bool, figures: Figures, width: f64) -> Vec<Shape> {
    // Every second tick of the paper has a figure, or every fourth and so on where they would crowd.
    let steps = std::iter::successors(Some(2.0 * figures.pitch()), |step| Some(2.0 * step));
    let step = steps.take(8).find(|step| step / length * width >= ROOM * MM).unwrap_or(length);
    let stations = (0..).map(|i| f64::from(i) * step).take_while(|x| *x <= length);
    let tick = |station: f64| {
        let share = if mirrored { 1.0 - station / length } else { station / length };
        let at = DVec2::new(share * width, 0.0);
        let run = Run::new(&figures.station(station), NOTE);
        // Figures at the ends stay within the column.
        let left = (at.x - 0.5 * run.width()).clamp(0.0, (width - run.width()).max(0.0));
        let down = |mm: f64| at + DVec2::Y * mm * MM;
        [
            Shape::Line { from: down(TICK[0]), to: down(TICK[1]), pen: RULE },
            Shape::Words { at: DVec2::new(left, FIGURE * MM), run },
        ]
    };
    stations.flat_map(tick).collect()
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
    Ok(named.boxed(3.0 * MM))
}
