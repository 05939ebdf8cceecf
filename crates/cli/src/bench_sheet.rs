//! The bench sheet as a file.

use design::{Design, Summary};
use export::{Entry, Facts};

use crate::kinds::{Kind, Sort};
use crate::order::Order;
use crate::pipeline::{Made, unmade};
use crate::stop::Stop;

/// The file and its entry in the manifest, on the paper ordered or the shop's.
pub(crate) fn file(design: &Design, order: &Order) -> Result<(Made, Entry), Stop> {
    let name = format!("{}/{}.{}", Sort::Sheet.folder(), design.slug(), Kind::Pdf.extension());
    let paper = order.paper.unwrap_or(design.shop().paper);
    let plan = forge::Plan::of(design);
    let sheet = sheet::sheet(design, plan.as_ref(), &Summary::of(design), paper);
    let sheet = sheet.map_err(|why| unmade(&name, why))?;
    let facts = Facts {
        name: &name,
        kind: Kind::Pdf.exported(),
        part: "sheet",
        stage: None,
        note: Some("What to cut, forge, grind and measure, with room to write: for forge and grinder."),
        measure: None,
        pages: Some(sheet.pages),
        placed: None,
    };
    let entry = Entry::new(&facts, &sheet.bytes).map_err(|why| unmade(&name, why))?;
    Ok((Made { name, bytes: sheet.bytes }, entry))
}
