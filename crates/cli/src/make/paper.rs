//! The full-size template and the tip's cut line as files: pages to print, and the whole sheet as drawing and picture.

use design::Design;
use export::{Entry, Facts, Page, View};
use tooling::{Template, Tile};

use crate::ask::kinds::{Kind, Sort, StageName};
use crate::ask::order::Order;
use crate::make::made::{Made, plain_facts, unmade};
use crate::terminal::error::CliError;

/// Fineness of the picture, dots a mm: thin lines and small figures stay legible on a screen.
const DOTS: f64 = 6.0;

/// One stage's template, or the tip's cut line, about to become files.
pub(crate) struct Paper {
    stem: String,
    title: String,
    part: &'static str,
    stage: StageName,
    paper: design::Paper,
    template: Template,
}

impl Paper {
    pub(crate) fn new(design: &Design, stage: StageName, order: &Order) -> Result<Paper, CliError> {
        let stem = format!("{}/{}-{}", Sort::Template.folder(), design.slug(), stage.text());
        let hot = order.hot.map(|hot| hot.celsius(design.figures().temperature));
        let hot = hot.transpose().map_err(CliError::Hot)?;
        let template = tooling::template(design, stage.stage(), hot).map_err(|why| unmade(&stem, why))?;
        let title = format!("{} ({})", design.name(), stage.text());
        let paper = order.paper.unwrap_or(design.shop().paper);
        Ok(Paper { stem, title, part: "template", stage, paper, template })
    }

    /// The tip's cut line; `None` where the point is not forged up from a straight piece.
    pub(crate) fn preform(design: &Design, order: &Order) -> Option<Paper> {
        let template = tooling::preform(design)?;
        let stem = format!("{}/{}-tip-preform", Sort::Template.folder(), design.slug());
        let paper = order.paper.unwrap_or(design.shop().paper);
        let title = template.name.clone();
        Some(Paper { stem, title, part: "tip-preform", stage: StageName::Forged, paper, template })
    }

    /// A file and its entry in the manifest.
    pub(crate) fn file(&self, kind: Kind) -> Result<(Made, Entry), CliError> {
        let name = format!("{}.{}", self.stem, kind.extension());
        let drawing = &self.template.drawing;
        let (bytes, pages) = match kind {
            Kind::Svg => (export::svg(drawing, &self.title), None),
            Kind::Dxf => (export::dxf(drawing), None),
            Kind::Png => (export::png(drawing, DOTS), None),
            _ => {
                let tiles = tooling::tiles(&self.template, self.paper);
                (export::pdf(&self.title, &self.pages(&tiles)), Some(tiles.len()))
            }
        };
        let bytes = bytes.map_err(|why| unmade(&name, why))?;
        let facts = Facts {
            stage: Some(self.stage.text()),
            note: Some("Print at 100 %, without fitting to the page, and measure the check bars first."),
            pages,
            ..plain_facts(&name, kind.exported(), self.part)
        };
        Made::listed(&facts, bytes)
    }

    fn pages<'a>(&'a self, tiles: &'a [Tile]) -> Vec<Page<'a>> {
        let page = |tile: &'a Tile| Page {
            size: tile.size,
            sheet: &tile.sheet,
            views: vec![View { drawing: &self.template.drawing, shift: tile.shift, window: tile.window }],
        };
        tiles.iter().map(page).collect()
    }
}
