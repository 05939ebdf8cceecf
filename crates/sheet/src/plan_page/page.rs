//! The sheet from a design and what was computed of it.

use design::{Design, NO_STEEL, Paper, Summary};
use forge::Plan;

use crate::fault::SheetFault;
use crate::plan_page::{
    cautions, clock, heat_record, heats, log, pictures, stack, stations, steps, tip, title, twists,
};
use crate::sheet::{Look, Sheet};
use crate::typesetting::strip::{Strip, list, part, subheading};
use crate::typesetting::text::{BODY, Text};

/// The bench sheet of a design on paper standing upright: with `plan`, its forging plan, where its steel is told, and
/// its `summary`. Figures are in the design's unit, masses in g.
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
    let seams = design.billet().is_some_and(|billet| billet.bars().len() > 1);
    flow.add(pictures::side(design, seams, &at, width)?);
    if let Some(lay) = design.lay() {
        flow.add(pictures::layers(design, lay, width)?);
    }
    flow.add(pictures::sections(design, width)?);
    flow.add(watch(summary, width));
    flow.add(cautions::cautions(plan.is_none_or(|plan| plan.stock.one_steel().is_none()), width));
    if let Some(plan) = plan {
        flow.add(stack::stack(design, plan, &look));
        flow.add(steps::cut_list(plan, figures, width));
        flow.add(steps::schedule(plan, width));
        flow.add(twists::twists(plan, &look));
        flow.add(tip::tip(plan, &look));
        flow.add(clock::clock(plan, &look));
        flow.add(heats::heats(plan, &look));
    }
    flow.add(heat_record::record(plan, look.figures, width));
    flow.add(stations::form(design, width));
    flow.add(stations::tables(design, &at, width));
    flow.add(log::log(design, plan, summary, width));
    flow.add(log::empty_rows(width, flow.left()));
    look.set(flow)
}

/// What to look out for.
fn watch(summary: &Summary, width: f64) -> Vec<Strip> {
    let found = summary.bars.iter().flat_map(|bars| &bars.findings);
    let missing = format!("No steel is named: for a forging plan with heats and bath, {NO_STEEL}.");
    let missing = summary.is_steel_missing.then_some(&missing);
    let words = found.chain(&summary.warnings).chain(missing);
    let items: Vec<Text> = words.map(|words| Text::from(words.as_str())).collect();
    if items.is_empty() {
        return Vec::new();
    }
    let mut strips = subheading("What to look out for", width);
    strips.extend(list(items, BODY, width));
    part(true, strips)
}
