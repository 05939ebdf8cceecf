//! `layers`: the bars and the layers that show, as files; or one sheet of them for a customer; or what lies at one point.

use std::path::Path;

use design::{Design, Figures};
use forge::{Etching, Sawn};
use laminate::{Direction, FlankPoint, OffBlade};
use serde::Serialize;

use crate::ask::arguments::Layers;
use crate::ask::kinds::{ColoursName, SideName, Sort, StageName};
use crate::ask::order::{Kinds, Order};
use crate::command::build;
use crate::command::check::read_file;
use crate::terminal::error::CliError;
use crate::terminal::output;

/// Makes the files, or the sheet, or tells of the point that is asked for.
pub(crate) fn run(asked: &Layers) -> Result<(), CliError> {
    match (&asked.at, &asked.sheet) {
        (Some(at), _) => tell(asked, at),
        (None, Some(file)) => sheet(asked, file),
        (None, None) => {
            let kinds = Kinds::only(&asked.choice.only);
            let order = Order::new(&[Sort::Bars, Sort::Layers], &asked.choice.stage, kinds);
            let colours = asked.colours.unwrap_or_default();
            build::run(&asked.output, "-layers", &Order { dots: asked.dots, colours, ..order })
        }
    }
}

/// The one stage that is asked for; the finished one unless told otherwise.
fn stage(asked: &Layers) -> Result<StageName, CliError> {
    match asked.choice.stage[..] {
        [] => Ok(StageName::Finished),
        [stage] => Ok(stage),
        _ => Err(CliError::OneStage),
    }
}

/// Writes the sheet for a customer and says where.
fn sheet(asked: &Layers, file: &Path) -> Result<(), CliError> {
    let ending = ending(file)?;
    let stage = stage(asked)?.stage();
    let design = read_file(&asked.output.design, false)?;
    let lay = design.lay().ok_or_else(|| CliError::NoLayers(asked.output.design.clone()))?;
    let etching = Etching::of(&design);
    let colours = colours(asked.colours, etching.as_ref());
    let unmade = |why: sheet::SheetFault| crate::make::made::unmade(&file.display().to_string(), why);
    write(&sheet::layer_sheet(&design, lay, stage, &colours).map_err(unmade)?, file, ending)?;
    output::say(format!("wrote {}\n", file.display()).as_bytes())
}

/// Whether a sheet is to be a PDF, or a PNG, by its file's name.
pub(crate) fn ending(file: &Path) -> Result<&'static str, CliError> {
    let ending = file.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
    let known = ["pdf", "png"].into_iter().find(|known| *known == ending);
    known.ok_or_else(|| CliError::SheetEnding(file.to_owned()))
}

/// The colours of a sheet; where nothing is known of the etch those of the steels.
pub(crate) fn colours(asked: Option<ColoursName>, etching: Option<&Etching>) -> sheet::LayerColours<'_> {
    match (asked.unwrap_or_default(), etching) {
        (ColoursName::Etched, Some(etching)) => sheet::LayerColours::Etched(etching),
        (ColoursName::Bars, _) => sheet::LayerColours::Bars,
        _ => sheet::LayerColours::Steels,
    }
}

/// Writes a sheet over what is there.
pub(crate) fn write(made: &sheet::LayerSheet, file: &Path, ending: &str) -> Result<(), CliError> {
    let unmade = |why: sheet::SheetFault| crate::make::made::unmade(&file.display().to_string(), why);
    let (bytes, start) = if ending == "pdf" { (made.pdf(), PDF) } else { (made.png(), PNG) };
    Ok(files::write_over(file, &bytes.map_err(unmade)?, start)?)
}

/// How files of these formats begin (PDF 32000-1, 7.5.2; ISO/IEC 15948, 5.2).
const PDF: &[u8] = b"%PDF-";
const PNG: &[u8] = &[0x89, b'P', b'N', b'G'];

/// Tells what lies at a point.
fn tell(asked: &Layers, at: &str) -> Result<(), CliError> {
    let (stage, design) = (stage(asked)?, read_file(&asked.output.design, asked.json)?);
    let lay = design.lay().ok_or_else(|| CliError::NoLayers(asked.output.design.clone()))?;
    let [station, height] = place(at, &design)?;
    let sections = blade::Sections::of(&design.blade().loft(stage.stage()));
    let side = asked.side.unwrap_or(SideName::Right);
    let point = FlankPoint::new(lay, &sections, station, height, side == SideName::Right)
        .map_err(|off| refused(at, &off, &design))?;
    let told = Told::new(&design, [station, height], side, stage, &point);
    match asked.json {
        true => output::say_json(&told),
        false => output::say(told.text(design.figures()).as_bytes()),
    }
}

/// Station and height, mm.
fn place(given: &str, design: &Design) -> Result<[f64; 2], CliError> {
    let unit = design.figures().unit;
    let wrong = |why: &str| CliError::Place { given: given.to_owned(), why: why.to_owned() };
    let parts: Vec<&str> = given.split(',').map(str::trim).collect();
    let [station, height] = parts[..] else {
        return Err(wrong("is not two lengths, the station and the height, with one comma between them"));
    };
    let mm = |text: &str| {
        design::length(text, unit).map_err(|fault| wrong(&format!("can't be read: `{text}` {}", fault.why)))
    };
    Ok([mm(station)?, mm(height)?])
}

/// What is said of a point off the blade.
fn refused(given: &str, off: &OffBlade, design: &Design) -> CliError {
    let figures = design.figures();
    let why = match *off {
        OffBlade::Station { from, to, .. } => format!(
            "is off the blade: give a station from {} (the tang's end) to {} (the point)",
            design::minus(&figures.told(from)),
            figures.told(to)
        ),
        OffBlade::Height { at, breadth, .. } => format!(
            "is off the blade: at station {} give a height from 0 (the edge) to {}",
            figures.told(at),
            figures.told(breadth)
        ),
    };
    CliError::Place { given: given.to_owned(), why }
}

/// What lies at a point of the surface, for other programs.
#[derive(Serialize)]
struct Told {
    station_mm: f64,
    height_mm: f64,
    side: &'static str,
    stage: &'static str,
    bar: String,
    /// Counted from the back, from 1.
    bar_from_back: usize,
    bars: usize,
    /// Counted from the left face, the edge-ward one or a corner as the bar was before the twist, from 1; in a bar of slices
    /// in its own slice.
    layer: usize,
    layers: usize,
    layers_counted_from: &'static str,
    /// How they lie where they do so at an angle.
    #[serde(skip_serializing_if = "Option::is_none")]
    layers_lie: Option<String>,
    /// How far through the layer, 0 to 1; through a plug from its left end.
    into_layer: f64,
    /// Diameter of the plug that shows here; none in the bar's own steel.
    #[serde(skip_serializing_if = "Option::is_none")]
    plug_mm: Option<f64>,
    steel: String,
    /// Under the bar's face on this side, in the bar as it was stacked.
    depth_mm: f64,
    /// Over its face towards the edge.
    up_mm: f64,
    /// Along the bar as it was stacked, from the shoulder.
    along_mm: f64,
    /// Right-hand positive, with how the bar was laid.
    turned_deg: f64,
    twisted: bool,
    ground_off_mm: f64,
}

impl Told {
    /// What lies at a station and height of a side of a stage.
    fn new(
        design: &Design,
        [station_mm, height_mm]: [f64; 2],
        side: SideName,
        stage: StageName,
        point: &FlankPoint,
    ) -> Told {
        let bars = design.billet().map_or(&[][..], |billet| billet.bars());
        let steels = design.billet().map_or(&[][..], |billet| billet.steels());
        let made = &bars[point.place.bar];
        let plug = point.place.plug.map(|plug| &made.plugs[plug]);
        Told {
            station_mm,
            height_mm,
            side: side.text(),
            stage: stage.text(),
            bar: made.name.clone(),
            bar_from_back: design.billet().map_or(0, |billet| billet.place_of(point.place.bar)) + 1,
            bars: design.billet().map_or(0, |billet| billet.places()),
            layer: point.place.layer + 1,
            layers: if plug.is_some() { 1 } else { made.layers.layers().len() },
            layers_counted_from: match made.direction {
                Direction::Flat => "left",
                Direction::Upright => "edge",
                Direction::Leaning(angle) if angle > 0.0 => "left, back",
                Direction::Leaning(_) => "left, edge",
            },
            layers_lie: Sawn::told(made.direction, made.slope).filter(|_| plug.is_none()),
            into_layer: point.into_layer,
            plug_mm: plug.map(|plug| plug.diameter),
            steel: steels[point.place.steel].name.clone(),
            depth_mm: point.depth,
            up_mm: point.up,
            along_mm: point.along,
            turned_deg: point.turn.to_degrees(),
            twisted: made.twist.is_twisted(),
            ground_off_mm: point.ground,
        }
    }

    /// In words.
    fn text(&self, figures: Figures) -> String {
        let told = |mm: f64| design::minus(&figures.told(mm));
        let thick = |mm: f64| format!("{} {}", figures.thickness(mm), figures.unit.name());
        let from = match self.layers_counted_from {
            "left" => "the left face",
            "left, back" => "the corner on the left at the back",
            "left, edge" => "the corner on the left at the edge",
            _ => "the edge up",
        };
        let layer = match (self.layers, self.twisted) {
            _ if self.plug_mm.is_some() => {
                let diameter = self.plug_mm.map_or_else(String::new, &thick);
                format!("none: a plug of the bar, {diameter} across as it was driven in")
            }
            (1, _) => "one steel throughout".to_owned(),
            (n, twisted) => format!(
                "{} of {n}{}, counted from {from}{}; {:.0} % of the way through it",
                self.layer,
                self.layers_lie.as_ref().map_or(String::new(), |lie| format!(", {lie}")),
                if twisted { " as they lay before the twist" } else { "" },
                100.0 * self.into_layer
            ),
        };
        format!(
            "Station {}, {} up from the {}, {} side, {}\n  bar     {} ({} of {}, counted from the back)\n  layer   {layer}\n  \
             steel   {}\n  depth   {} under the bar's {} face, {} over its face towards the edge\n  turned  {}\n  along   {} \
             of the bar from the shoulder\n  ground  {} taken off here since forging\nDepths and lengths are those of the bar as it was \
             stacked.\n",
            told(self.station_mm),
            told(self.height_mm),
            if self.station_mm < 0.0 { "tang's lower border" } else { "edge" },
            self.side,
            self.stage,
            self.bar,
            self.bar_from_back,
            self.bars,
            self.steel,
            thick(self.depth_mm),
            self.side,
            thick(self.up_mm),
            self.turn(),
            told(self.along_mm),
            thick(self.ground_off_mm),
        )
    }

    /// How far the bar is turned there.
    fn turn(&self) -> String {
        let hand = if self.turned_deg < 0.0 { "left" } else { "right" };
        let degrees = self.turned_deg.abs();
        match (self.twisted, degrees < 0.05) {
            (false, true) => "not at all: a straight bar".to_owned(),
            (false, false) => format!("laid at {degrees:.0}° and not twisted"),
            (true, true) => "not yet: the bar is straight here".to_owned(),
            (true, false) => {
                format!("{degrees:.0}° to the {hand}, {:.2} turns from the shoulder", degrees / 360.0)
            }
        }
    }
}
