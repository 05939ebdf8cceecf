//! The bench sheet as a file.

use design::Design;
use export::{Entry, Facts};

use crate::ask::kinds::{Kind, Sort};
use crate::ask::order::Order;
use crate::make::made::{Made, plain_facts, unmade};
use crate::make::told::Told;
use crate::terminal::error::CliError;

/// The file and its entry in the manifest, on the paper ordered or the shop's.
pub(crate) fn file(design: &Design, told: &Told, order: &Order) -> Result<(Made, Entry), CliError> {
    let name = format!("{}/{}.{}", Sort::Sheet.folder(), design.slug(), Kind::Pdf.extension());
    let paper = order.paper.unwrap_or(design.shop().paper);
    let sheet = sheet::sheet(design, told.plan.as_ref(), &told.summary, paper);
    let sheet = sheet.map_err(|why| unmade(&name, why))?;
    let facts = Facts {
        note: Some("What to cut, forge, grind and measure, with room to write: for forge and grinder."),
        pages: Some(sheet.pages),
        ..plain_facts(&name, Kind::Pdf.exported(), "sheet")
    };
    Made::listed(&facts, sheet.bytes)
}
