//! `compare`: the blade on the bench against its design, in words, as JSON, and as pictures in a folder.

use design::Design;
use export::{Entry, ExportFault, Facts, Manifest, Raster};
use laminate::{Colouring, Fineness, Picture, View};
use measured::{Bench, Dots, History};
use serde::Serialize;

use crate::ask::arguments::Compare;
use crate::command::build;
use crate::command::nearest::Nearest;
use crate::make::made::{self, MANIFEST, Made, plain_facts, unmade};
use crate::terminal::diagnostics;
use crate::terminal::error::CliError;
use crate::terminal::output;
use crate::terminal::source::Source;

/// Fineness of the pictures, dots a mm: words of 3 mm stay legible, and 3 m of blade stay within what a picture may have.
const DOTS: f64 = 5.0;

/// Compares and prints; with a folder asked for, writes pictures and words into it.
pub(crate) fn run(asked: &Compare) -> Result<(), CliError> {
    let source = Source::read(&asked.design)?;
    let design = source.unwarned().map_err(|problems| diagnostics::told(&source, problems, asked.json))?;
    let target = asked.out.as_deref().map(made::claim).transpose()?;
    let bench = bench(asked, &design)?;
    let nearest = Nearest::of(&source, &design, &bench)?;
    let made = match target {
        Some(_) => files(&bench, &design, nearest.as_ref())?,
        None => Vec::new(),
    };
    if let Some(target) = target {
        let named: Vec<_> = made.iter().map(|file| (file.name.as_str(), &*file.bytes)).collect();
        target.replace(&named)?;
    }
    if asked.json {
        return output::say_json(&Told { history: bench.history(), nearest });
    }
    let table = asked.out.as_deref().map_or_else(String::new, |folder| build::table(folder, &made));
    let gap = if table.is_empty() { "" } else { "\n" };
    output::say(format!("{}{gap}{table}", text(&bench, nearest.as_ref(), &design)).as_bytes())
}

/// The comparison in words.
pub(crate) fn text(bench: &Bench, nearest: Option<&Nearest>, design: &Design) -> String {
    bench.text() + &nearest.map_or_else(String::new, |nearest| nearest.text(design))
}

/// All that is compared, for other programs.
#[derive(Serialize)]
struct Told<'a> {
    #[serde(flatten)]
    history: &'a History,
    /// What still can be made where steel is gone.
    #[serde(skip_serializing_if = "Option::is_none")]
    nearest: Option<Nearest>,
}

/// The comparison; problems of the measured file as JSON are printed at once.
fn bench(asked: &Compare, design: &Design) -> Result<Bench, CliError> {
    let source = Source::read(&asked.measured)?;
    let bench = measured::read(&source.bytes, design)
        .and_then(|sessions| Bench::from_sessions(design, &sessions, asked.past));
    match bench {
        Ok(Some(bench)) => Ok(bench),
        Ok(None) => Err(CliError::NothingMeasured(asked.measured.clone())),
        Err(problems) => Err(diagnostics::told(&source, problems, asked.json)),
    }
}

/// The folder's files, the manifest last.
fn files(bench: &Bench, design: &Design, nearest: Option<&Nearest>) -> Result<Vec<Made>, CliError> {
    let mut files = vec![
        file(
            "comparison.txt",
            export::Kind::Text,
            "The comparison in words.",
            Ok(text(bench, nearest, design).into_bytes()),
        )?,
        file(
            "take-off.png",
            export::Kind::Png,
            "What to take off each side for the next stage.",
            map(bench),
        )?,
    ];
    if let Some(progress) = bench.progress() {
        let (name, day_by_day) = (&bench.history().name, "What was left to take off from day to day.");
        files.push(file("progress.svg", export::Kind::Svg, day_by_day, export::svg(&progress, name))?);
        files.push(file("progress.png", export::Kind::Png, day_by_day, export::png(&progress, DOTS))?);
    }
    files.extend(layers(bench, design)?);
    if let Some(nearest) = nearest {
        let bytes = Ok(nearest.file().as_bytes().to_vec());
        files.push(file(
            "nearest.toml",
            export::Kind::Text,
            "The nearest design you can still make.",
            bytes,
        )?);
    }
    files.push(page(bench, design)?);
    let (mut made, entries): (Vec<Made>, Vec<Entry>) = files.into_iter().unzip();
    let bytes = Manifest { entries, findings: Vec::new() }.to_bytes().map_err(|why| unmade(MANIFEST, why))?;
    made.push(Made { name: MANIFEST.to_owned(), bytes: bytes.into() });
    Ok(made)
}

/// The map of what to take off, as PNG.
pub(crate) fn map(bench: &Bench) -> Result<Vec<u8>, ExportFault> {
    let map = bench.map(DOTS);
    let pictures: Vec<_> = map.pictures.iter().filter_map(|dots| Some((raster(dots)?, dots.at))).collect();
    export::png_over(&map.drawing, DOTS, &pictures)
}

/// Dots as the writer takes them; pictures of a blade are far from the limit of 2^32 dots a side.
fn raster(dots: &Dots) -> Option<Raster<'_>> {
    let (width, height) = (u32::try_from(dots.width).ok()?, u32::try_from(dots.height).ok()?);
    Some(Raster { width, height, rgb: &dots.rgb })
}

/// The steels as they show now, from the right, where there is a billet.
fn layers(bench: &Bench, design: &Design) -> Result<Option<(Made, Entry)>, CliError> {
    const NAME: &str = "layers-now.png";
    let Some((lay, bars)) = design.lay().zip(bench.last().bars.as_ref()) else { return Ok(None) };
    let sections = blade::Sections::of(&design.blade().loft_ground(bars.ground_share));
    let fineness = Fineness { dots: DOTS, samples: 2, bleed: false };
    let etching = forge::Etching::of(design);
    let colouring = etching.as_ref().map_or(Colouring::Steels, |e| Colouring::Etched(&e.brightness));
    let picture = Picture::new(lay, &sections, View::Right, colouring, fineness)
        .ok_or_else(|| unmade(NAME, "the picture would be too large"))?;
    let dots = Dots { width: picture.width, height: picture.height, rgb: picture.rgb, at: glam::DVec2::ZERO };
    let raster = raster(&dots).ok_or_else(|| unmade(NAME, "the picture would be too large"))?;
    let bytes = export::picture_png(&raster, (1000.0 * DOTS) as u32);
    file(
        NAME,
        export::Kind::Png,
        "The layers as they etch on the right side now: greys show the order only, not how they will look.",
        bytes,
    )
    .map(Some)
}

/// The page to take back to the grinder, on the shop's paper.
fn page(bench: &Bench, design: &Design) -> Result<(Made, Entry), CliError> {
    const NAME: &str = "bench-page.pdf";
    let page = sheet::bench_page(design, bench, design.shop().paper).map_err(|why| unmade(NAME, why))?;
    let facts = Facts {
        note: Some(
            "What to take off, weight and balance, with room for the next readings: to take to the grinder.",
        ),
        pages: Some(page.pages),
        ..plain_facts(NAME, export::Kind::Pdf, "comparison")
    };
    Made::listed(&facts, page.bytes)
}

fn file(
    name: &str,
    kind: export::Kind,
    note: &str,
    bytes: Result<Vec<u8>, ExportFault>,
) -> Result<(Made, Entry), CliError> {
    let bytes = bytes.map_err(|why| unmade(name, why))?;
    let facts = Facts { note: Some(note), ..plain_facts(name, kind, "comparison") };
    Made::listed(&facts, bytes)
}
