//! Everything the markup is told.

use design::Figures;
use design::{Design, Paper, Summary};
use forge::Plan;
use serde::Serialize;

use crate::fault::SheetFault;
use crate::plan_page::heats::{Heat, Step, heat, steps};
use crate::plan_page::log::{Weighing, weighings};
use crate::plan_page::pictures::{Pictures, pictures};
use crate::plan_page::stack::{Stack, stack};
use crate::plan_page::stations::{StageTable, stations, tables};
use crate::plan_page::steps::{Cuts, Way, cuts, ways};
use crate::plan_page::tip::{Tip, tip};
use crate::plan_page::title::{Title, title};
use crate::plan_page::twists::{Twist, twists};
use crate::typesetting::files::Files;
use crate::typesetting::words::breakable;

/// Room left of the text for holes to file the sheet by, and right of it, mm (common practice, no source).
pub(crate) const BORDERS: [f64; 2] = [18.0, 12.0];

/// What the markup reads as `data.json`.
#[derive(Serialize)]
pub(crate) struct Content {
    name: String,
    unit: &'static str,
    /// Width and height, mm.
    paper: [f64; 2],
    borders: [f64; 2],
    title: Title,
    pictures: Pictures,
    stations: Vec<StageTable>,
    log: Vec<Weighing>,
    /// What to look out for, in words.
    findings: Vec<String>,
    /// The heat treatment, step by step.
    treatment: Vec<Step>,
    forging: Option<Forging>,
}

/// What only a design with a billet has.
#[derive(Serialize)]
struct Forging {
    stack: Option<Stack>,
    cuts: Cuts,
    ways: Vec<Way>,
    twists: Vec<Twist>,
    tip: Tip,
    heat: Heat,
}

impl Content {
    /// The content for a design; pictures go into `files`.
    pub(crate) fn of(
        design: &Design,
        plan: Option<&Plan>,
        summary: &Summary,
        paper: Paper,
        files: &mut Files,
    ) -> Result<Content, SheetFault> {
        let (figures, stations) = (Figures { unit: design.unit() }, stations(design));
        let width = paper.size()[0] - BORDERS[0] - BORDERS[1];
        let found = summary.bars.iter().flat_map(|bars| &bars.findings);
        Ok(Content {
            name: breakable(design.name()),
            unit: design.unit().name(),
            paper: paper.size(),
            borders: BORDERS,
            title: title(design, plan, summary),
            pictures: pictures(design, width, &stations, files)?,
            stations: tables(design, &stations),
            log: weighings(design, plan, summary),
            findings: found.chain(&summary.warnings).map(|words| breakable(words)).collect(),
            treatment: steps(plan),
            forging: plan.map(|plan| Forging::of(design, plan, figures)),
        })
    }
}

impl Forging {
    fn of(design: &Design, plan: &Plan, figures: Figures) -> Forging {
        let shop = design.forging();
        Forging {
            stack: stack(design, plan, figures),
            cuts: cuts(plan, figures),
            ways: ways(plan, shop.crop, shop.stack_heats, figures),
            twists: twists(plan, figures),
            tip: tip(plan, figures),
            heat: heat(plan, figures),
        }
    }
}
