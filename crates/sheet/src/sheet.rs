//! The sheet from a design and what was computed of it, and how pages are set.

use design::{Design, Paper, Summary};
use forge::Plan;
use serde::Serialize;
use typst::foundations::Bytes;

use crate::fault::SheetFault;
use crate::plan_page::content::Content;
use crate::typesetting::files::Files;
use crate::typesetting::press;

/// A bench sheet, or a bench page.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The PDF.
    pub bytes: Vec<u8>,
    /// How many pages it has.
    pub pages: usize,
}

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
    let mut files = Files::new();
    let content = Content::of(design, plan, summary, paper, &mut files)?;
    set("sheet.typ", &content, files)
}

/// Pages set from the markup `main`, which reads this content, with pictures beside it.
pub(crate) fn set(main: &str, content: &impl Serialize, pictures: Files) -> Result<Sheet, SheetFault> {
    let data = serde_json::to_vec(content).map_err(|why| SheetFault::Figures { reason: why.to_string() })?;
    let mut files = pictures;
    files.insert("data.json".to_owned(), Bytes::new(data));
    let (bytes, pages) = press::pdf(main, files)?;
    Ok(Sheet { bytes, pages })
}
