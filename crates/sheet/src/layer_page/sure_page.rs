//! The page that shows how sure a pattern is: the right side as planned, and below it after each slip.

use blade::{Sections, Stage};
use design::{Design, SlipSummary, Sureness};
use laminate::{MaterialMap, Slipped, View};

use crate::fault::SheetFault;
use crate::layer_page::foot::LayerColours;
use crate::layer_page::page::{LayerSheet, Page, Row};
use crate::layer_page::view::Side;

/// The right side of the finished blade of a design with a billet, as planned and after the worst slip of every kind, on the
/// shop's paper lying on its side.
///
/// # Errors
/// [`SheetFault::Picture`] when a side can't be drawn.
pub fn sure_sheet(
    design: &Design,
    lay: &MaterialMap,
    sure: &Sureness,
    colours: &LayerColours<'_>,
) -> Result<LayerSheet, SheetFault> {
    let stage = Sections::of(&design.blade().loft(Stage::Finished));
    let planned = ("As planned".to_owned(), Slipped { lay: lay.clone(), stage: stage.clone() });
    let slipped = |slip: &&SlipSummary| Some((title(design, slip), slip.slip.on(lay, &stage)?));
    let blades: Vec<(String, Slipped)> =
        std::iter::once(planned).chain(sure.worst().iter().filter_map(slipped)).collect();
    let sides: Vec<Side> =
        blades.iter().map(|(_, blade)| Side::new(View::Right, &blade.stage, design.fittings())).collect();
    let subtitle =
        format!("How sure the pattern is: the right side of the finished blade, {}.", colours.words());
    let notes = format!("{} {}", colours.note(), NOTE);
    let page = Page::new(design, (lay.billet(), colours), [&subtitle, &notes], &sides);
    let rows: Vec<Row<'_>> = blades
        .iter()
        .zip(&sides)
        .map(|((title, blade), side)| {
            let picture = page.picture((&blade.lay, &blade.stage), View::Right, colours)?;
            Ok(Row { title: title.clone(), side, picture })
        })
        .collect::<Result<_, SheetFault>>()?;
    Ok(page.filled(&format!("{}: how sure", design.name()), design.name(), &sides, rows))
}

/// What to know of the page.
const NOTE: &str = "Of every kind of slip the one is shown that drives the pattern furthest; figures are the furthest of seams \
                    up or down, and of stripes and chevrons along the blade.";

/// A slip and how far it drives what.
fn title(design: &Design, slip: &SlipSummary) -> String {
    let told = |mm: f64| design.figures().gap(mm);
    let [seams, stripes, chevrons] = slip.furthest_mm.map(told);
    let mut words = format!("{}: seams {seams}", slip.what);
    if slip.is_striped() {
        words += &format!(", stripes {stripes}");
    }
    if slip.has_chevrons() {
        words += &format!(", chevrons {chevrons}");
    }
    words
}
