//! Gauges of sheet steel as files: the sheets they are cut from, and each by itself.

use design::{Design, Figures, Problem};
use export::{Entry, Facts};
use glam::DVec2;
use tooling::{CutGauge, CutWork, CuttingFault, Drawing, cut_gauges, nested};

use crate::ask::kinds::{Kind, Sort};
use crate::ask::order::Order;
use crate::make::made::{Made, plain_facts, unmade};
use crate::make::needed;
use crate::terminal::error::CliError;

/// Why gauges can't be cut: the design's problems, or an argument's.
pub(crate) enum Uncut {
    Problems(Vec<Problem>),
    Stopped(CliError),
}

/// The gauges of the wanted stages, and how they lie on sheets; `None` where none are wanted.
pub(crate) fn cut_work(design: &Design, order: &Order) -> Result<Option<CutWork>, Uncut> {
    if !order.wants(Sort::Metal) || order.kinds_of(Kind::guides_a_cutter, needed::CUT).is_empty() {
        return Ok(None);
    }
    let cutting = order.cut.cutting(design.figures()).map_err(Uncut::Stopped)?;
    let uncut = |fault| uncut(fault, design.figures());
    let mut gauges = cut_gauges(design, &cutting).map_err(uncut)?;
    gauges.retain(|gauge| order.stage_wanted(Some(gauge.stage)));
    let sheets = nested(&gauges, &cutting, design.figures()).map_err(uncut)?;
    Ok((!gauges.is_empty()).then_some(CutWork { gauges, sheets, cutting }))
}

/// What is said of gauges that can't be cut, in the design's unit.
fn uncut(fault: CuttingFault, figures: Figures) -> Uncut {
    let sheet = |[x, y]: [f64; 2]| format!("{} × {}", figures.length(x), figures.told(y));
    let stop = match fault {
        CuttingFault::Design(problems) => return Uncut::Problems(problems),
        CuttingFault::Kerf { gauge, kerf } => CliError::WideKerf { gauge, kerf: figures.size(kerf) },
        CuttingFault::Sheet { gauge, least, sheet: there } => {
            CliError::SmallSheet { gauge, least: sheet(least), sheet: sheet(there) }
        }
        CuttingFault::Hot(why) => unmade("the gauges for hot steel", why),
    };
    Uncut::Stopped(stop)
}

/// A gauge by itself.
pub(crate) fn gauge_file(design: &Design, gauge: &CutGauge, kind: Kind) -> Result<(Made, Entry), CliError> {
    let title = format!("{}: {}", design.name(), gauge.title);
    let stem = format!("{}/{}-{}", Sort::Metal.folder(), design.slug(), gauge.name);
    let drawn = Drawn { stem, title, drawing: gauge.drawing(), size: None };
    let part = format!("metal-{}", gauge.name);
    drawn.file(kind, &part, Some(gauge.stage.name()), &gauge.note)
}

/// A sheet by its number.
pub(crate) fn sheet_file(
    design: &Design,
    work: &CutWork,
    number: usize,
    kind: Kind,
) -> Result<(Made, Entry), CliError> {
    let (sheet, count) = (&work.sheets[number], work.sheets.len());
    let which = if count == 1 { String::new() } else { format!("-{}-of-{count}", number + 1) };
    let title = format!("{}: gauges of sheet steel{}", design.name(), which.replace('-', " "));
    let stem = format!("{}/{}-sheet{which}", Sort::Metal.folder(), design.slug());
    let names: Vec<&str> = sheet.placed.iter().map(|(i, _)| work.gauges[*i].name.as_str()).collect();
    let figures = design.figures();
    let note = format!(
        "A sheet of {}, {} thick: {}.",
        sheet.told(figures),
        figures.size(work.cutting.thickness),
        names.join(", ")
    );
    let drawn = Drawn { stem, title, drawing: sheet.drawing(&work.gauges), size: Some(sheet.size) };
    drawn.file(kind, "metal-sheet", None, &note)
}

/// A drawing about to become a file, on a sheet of a size or as large as it is.
struct Drawn {
    stem: String,
    title: String,
    drawing: Drawing,
    size: Option<DVec2>,
}

impl Drawn {
    /// A file of a gauge or sheet, and its entry in the manifest.
    fn file(
        &self,
        kind: Kind,
        part: &str,
        stage: Option<&str>,
        note: &str,
    ) -> Result<(Made, Entry), CliError> {
        let name = format!("{}.{}", self.stem, kind.extension());
        let bytes = match (kind, self.size) {
            (Kind::Dxf, _) => export::dxf(&self.drawing),
            (_, Some(size)) => export::svg_sheet(&self.drawing, size, &self.title),
            (_, None) => export::svg(&self.drawing, &self.title),
        };
        let bytes = bytes.map_err(|why| unmade(&name, why))?;
        let facts = Facts { stage, note: Some(note), ..plain_facts(&name, kind.exported(), part) };
        Made::listed(&facts, bytes)
    }
}
