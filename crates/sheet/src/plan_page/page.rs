//! The sheet from a design and what was computed of it.

use design::{Design, Paper, Summary};
use forge::Plan;

use crate::fault::SheetFault;
use crate::plan_page::{
    cautions, clock, heat_record, heats, log, pictures, stack, stations, steps, tip, title, twists,
};
use crate::sheet::{Look, Sheet};
use crate::typesetting::strip::{Strip, list, part, subheading};
use crate::typesetting::text::{BODY, Text};

/// The bench sheet of a design on paper standing upright: with `plan`, its forging plan, where it has a billet, and its
/// `summary`. Figures are in the design's unit, masses in g.
///
/// # Errors
/// [`SheetFault`] when a picture or the pages can't be made.
pub fn sheet(
    design: &Design,
    plan: Option<&Plan>,
    summary: &Summary,
    paper: Paper,
) -> Result<Sheet, SheetFault> {
    let look = Look { name: design.name(), kind: "Bench sheet", figures: design.figures(), paper };
    let (width, figures, at) = (look.width(), design.figures(), stations::stations(design));
    let mut flow = look.flow();
    flow.add(look.title());
    flow.add(title::title(design, plan, summary, &look));
    flow.add(pictures::side(design, plan.is_some(), &at, width)?);
    if let Some(lay) = design.lay() {
        flow.add(pictures::layers(design, lay, width)?);
    }
    flow.add(pictures::sections(design, width)?);
    flow.add(watch(summary, width));
    flow.add(cautions::cautions(width));
    if let Some(plan) = plan {
        flow.add(stack::stack(design, plan, &look));
        flow.add(steps::cut_list(plan, figures, width));
        flow.add(steps::schedule(plan, design.forging(), figures, width));
        flow.add(twists::twists(plan, &look));
        flow.add(tip::tip(plan, &look));
        flow.add(clock::clock(plan, &look));
        flow.add(heats::heats(plan, &look));
    }
    flow.add(heat_record::record(plan, look.figures, width));
    flow.add(stations::tables(design, &at, width));
    flow.add(log::log(design, plan, summary, width));
    flow.add(log::empty_rows(width, flow.left()));
    look.set(flow)
}

/// What to look out for.
fn watch(summary: &Summary, width: f64) -> Vec<Strip> {
    let found = summary.bars.iter().flat_map(|bars| &bars.findings);
    let items: Vec<Text> = found.chain(&summary.warnings).map(|words| Text::from(words.as_str())).collect();
    if items.is_empty() {
        return Vec::new();
    }
    let mut strips = subheading("What to look out for", width);
    strips.extend(list(items, BODY, width));
    part(true, strips)
}
