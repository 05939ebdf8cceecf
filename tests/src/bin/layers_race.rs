//! Our side of the race against NumPy: times the picture of a side and prints what the other side needs for the same.
//!
//! Usage: `layers_race DESIGN`. Prints JSON: the sections in every column of samples, the recipe, our seconds, and our
//! picture with one line a pixel, as the share of the bright steel in each.

use std::error::Error;
use std::hint::black_box;
use std::io::{self, Write};
use std::path::PathBuf;
use std::time::Instant;

use blade::{CrossSection, Part, Sections, Stage};
use laminate::{
    Bar, Billet, Colouring, Direction, Fineness, Hand, Height, LayerSet, MaterialMap, Picture, Program,
    Recipe, Share, Squaring, Tip, Turn, View, linear, steel_colour,
};
use serde_json::{Value, json};
use steel::nominal;

/// Pixels a mm; our lines in a column of pixels, each exact over every pixel, and the samples along each side of a pixel that
/// the other side takes for a picture that is no closer to the truth.
const DOTS: f64 = 4.0;
const LINES: u32 = 4;
const SAMPLES: u32 = 4;
/// An odd number, so that the median is one of the runs.
const RUNS: usize = 5;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<PathBuf> = std::env::args_os().skip(1).map(PathBuf::from).collect();
    let [design] = arguments.as_slice() else { return Err("usage: layers_race DESIGN".into()) };
    let design = design::read(&std::fs::read(design)?).map_err(|problems| format!("{problems:?}"))?;
    let forged = Sections::of(&design.blade().loft(Stage::Forged));
    let stage = Sections::of(&design.blade().loft(Stage::Finished));
    let lay = MaterialMap::new(billet().map_err(|faults| format!("{faults:?}"))?, forged)?;
    let picture = |samples| {
        let fineness = Fineness { dots: DOTS, samples, bleed: false };
        Picture::new(&lay, &stage, View::Right, Colouring::Steels, fineness).ok_or("too large a picture")
    };
    let mut seconds = Vec::new();
    for _ in 0..RUNS {
        let start = Instant::now();
        black_box(picture(LINES)?);
        seconds.push(start.elapsed().as_secs_f64());
    }
    seconds.sort_by(f64::total_cmp);
    let plain = picture(1)?;
    let report = json!({
        "seconds": seconds[RUNS / 2],
        "dots": DOTS,
        "samples": SAMPLES,
        "width": plain.width,
        "height": plain.height,
        "left": plain.left,
        "top": plain.top,
        "bright": plain.rgb.chunks(3).map(bright).collect::<Vec<_>>(),
        "fine": columns(&lay, &stage, &plain, SAMPLES),
        "coarse": columns(&lay, &stage, &plain, 1),
        "recipe": recipe(&lay),
    });
    writeln!(io::stdout().lock(), "{report}")?;
    Ok(())
}

/// The bright steel's share of a pixel; none where there is paper in it.
fn bright(pixel: &[u8]) -> Option<f64> {
    let light = |green: u8| linear(f64::from(green) / 255.0);
    let [dark, bright] = [0, 1].map(|i| light(steel_colour(i).srgb[1]));
    let share = (light(*pixel.get(1)?) - dark) / (bright - dark);
    (share < 1.0 + 1e-9).then_some(share)
}

/// What there is at every column of samples: both sections, and how far each bar is turned, from the edge up.
fn columns(lay: &MaterialMap, stage: &Sections, picture: &Picture, samples: u32) -> Vec<Value> {
    let count = picture.width * samples as usize;
    let step = 1.0 / (DOTS * f64::from(samples));
    let at = |i: usize| {
        let x = picture.left + (i as f64 + 0.5) * step;
        let (forged, section) = lay.sections().at(x).zip(stage.at(x))?;
        let along = lay.along(x);
        let angles: Vec<f64> = lay
            .billet()
            .stacked_bars(Part::at(x))
            .iter()
            .map(|&bar| lay.billet().bars()[bar].twist.angle(along))
            .collect();
        Some(
            json!({ "forged": arrays(&forged), "stage": arrays(&section), "angles": angles, "tang": x < 0.0 }),
        )
    };
    (0..count).map(|i| at(i).unwrap_or(Value::Null)).collect()
}

fn arrays(section: &CrossSection) -> Value {
    let y = section.heights();
    let (left, right): (Vec<f64>, Vec<f64>) = y.iter().map(|&y| section.flanks(y)).unzip();
    json!({ "y": y, "left": left, "right": right })
}

fn recipe(lay: &MaterialMap) -> Value {
    let stack =
        |part| lay.billet().stacked(part, 0.0).into_iter().map(|(_, faces)| faces).collect::<Vec<_>>();
    json!({ "blade": stack(Part::Blade), "tang": stack(Part::Tang), "layers": LAYERS })
}

/// Layers in every bar of the race.
const LAYERS: usize = 9;

/// Four bars of alternating layers, twisted in turns against each other.
fn billet() -> Result<Billet, Vec<laminate::BilletFault>> {
    let layers: Vec<_> = (0..LAYERS).map(|i| (i % 2, 1.0)).collect();
    let bar = |i: usize| {
        let hand = if i.is_multiple_of(2) { Hand::Right } else { Hand::Left };
        Bar {
            name: format!("bar {i}"),
            height: Height::even(8.0 + i as f64),
            layers: LayerSet::stacked(&layers, 1).unwrap_or_else(|| LayerSet::plain(0)),
            direction: Direction::Upright,
            slope: None,
            twist: Program::new(0.0, &[Turn { length: None, twist: Some((hand, 0.03)) }]),
            squaring: Squaring::Forged,
            tang: true,
            teeth: None,
            share: Share::default(),
            plugs: Vec::new(),
        }
    };
    let steels = ["C75S", "75Ni8"].into_iter().filter_map(nominal).collect();
    Billet::new(Recipe { width: 11.0, bars: (0..4).map(bar).collect(), steels, tip: Tip::Forged })
}
