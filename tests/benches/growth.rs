//! How time and triangles grow: with the blade's length, the tolerance, the bars and the layers.
//!
//! Prints a table with the exponent of each, and draws it: `cargo bench -p tests --bench growth -- growth.svg`.

#![allow(missing_docs, clippy::unwrap_used, reason = "a benchmark of designs known to be sound")]
#![allow(clippy::print_stdout, reason = "a benchmark tells its figures")]

use std::fmt::Write;
use std::time::Instant;

use blade::{Sections, Stage};
use brep::Mesh;
use design::Design;
use laminate::{Colouring, Fineness, Picture, View};

/// Runs of each size: the middle one of an odd number is told.
const RUNS: usize = 5;
/// mm a mesh may stand off.
const TOLERANCE: f64 = 0.02;
/// One side of a picture, dots a mm and samples: a tenth of a millimetre, as pictures are asked for.
const FINENESS: Fineness = Fineness { dots: 10.0, samples: 4, bleed: false };

/// One thing that grows.
struct Sweep {
    /// What grows, and what it is counted in.
    what: &'static str,
    /// What is timed.
    task: &'static str,
    /// Sizes, seconds (median of the runs), and triangles or pixels.
    rows: Vec<(f64, f64, usize)>,
    /// The exponent that theory has for the time: linear, or a chord's height over a curve's.
    theory: f64,
}

impl Sweep {
    /// Times `task` at every size.
    fn of(
        [what, task]: [&'static str; 2],
        theory: f64,
        sizes: &[f64],
        mut run: impl FnMut(f64) -> Box<dyn FnMut() -> usize>,
    ) -> Sweep {
        let timed = |size: &f64| {
            let mut once = run(*size);
            let mut count = once();
            let mut times: Vec<f64> = (0..RUNS)
                .map(|_| {
                    let begun = Instant::now();
                    count = once();
                    begun.elapsed().as_secs_f64()
                })
                .collect();
            times.sort_by(f64::total_cmp);
            (*size, times[RUNS / 2], count)
        };
        Sweep { what, task, rows: sizes.iter().map(timed).collect(), theory }
    }

    /// The slope of the logarithms of time over size, by least squares.
    fn exponent(&self) -> f64 {
        let points: Vec<[f64; 2]> = self.rows.iter().map(|r| [r.0.ln(), r.1.ln()]).collect();
        let middle = |i: usize| points.iter().map(|p| p[i]).sum::<f64>() / points.len() as f64;
        let (x, y) = (middle(0), middle(1));
        let (over, under) = points.iter().fold((0.0, 0.0), |(over, under), p| {
            (over + (p[0] - x) * (p[1] - y), under + (p[0] - x).powi(2))
        });
        over / under
    }

    fn print(&self) {
        println!("{}, {}: exponent {:.2}, theory {:.1}", self.task, self.what, self.exponent(), self.theory);
        for (size, seconds, count) in &self.rows {
            println!("  {size:>8}  {:>9.2} ms  {count:>9}", 1e3 * seconds);
        }
    }
}

/// A blade of this length (mm) with these bars and layers.
fn design(length: f64, bars: usize, layers: usize) -> Design {
    let mut text = format!(
        "name = 'Growth'\n[outline]\nlength = {length}\nbreadth = 28\n[section]\nbevel = 'convex'\nradius = 400\n\
         [[taper]]\nat = 0\nback = 5\n[[taper]]\nat = {length}\nback = 3\n[billet]\nwidth = 12\n\
         [[layers]]\nname = 'Layers'\nsteels = ['C75S', '75Ni8']\ncount = {layers}\n"
    );
    for i in 0..bars {
        let height = 40.0 / bars as f64;
        let _ = write!(text, "[[bar]]\nname = 'Bar {i}'\nheight = {height}\nlayers = 'Layers'\n");
    }
    design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"))
}

fn sweeps() -> Vec<Sweep> {
    vec![
        Sweep::of(
            ["length, mm", "loft and mesh"],
            1.0,
            &[75.0, 150.0, 300.0, 600.0, 1200.0, 2900.0],
            |length| {
                Box::new(move || {
                    // A blade keeps its lofts: each run has a new one.
                    let loft = design(length, 1, 3).blade().loft(Stage::Finished);
                    Mesh::of(loft.shell(), TOLERANCE).unwrap().triangles().len()
                })
            },
        ),
        Sweep::of(
            ["tolerance, mm", "mesh"],
            -1.0,
            &[0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001],
            |tolerance| {
                let loft = design(450.0, 1, 3).blade().loft(Stage::Finished);
                Box::new(move || Mesh::of(loft.shell(), tolerance).unwrap().triangles().len())
            },
        ),
        Sweep::of(["bars", "zones of the bars"], 1.0, &[1.0, 2.0, 3.0, 5.0, 7.0, 9.0], |bars| {
            let design = design(450.0, bars as usize, 3);
            let mesh = Mesh::of(design.blade().loft(Stage::Finished).shell(), TOLERANCE).unwrap();
            Box::new(move || {
                let zones = design.lay().unwrap().zones(&mesh, TOLERANCE).unwrap();
                zones.iter().map(|zone| zone.mesh.triangles().len()).sum()
            })
        }),
        Sweep::of(["layers", "picture of a side"], 1.0, &[3.0, 10.0, 30.0, 100.0, 300.0, 500.0], |layers| {
            let design = design(450.0, 1, layers as usize);
            let sections = Sections::of(&design.blade().loft(Stage::Finished));
            Box::new(move || {
                let lay = design.lay().unwrap();
                let picture = Picture::new(lay, &sections, View::Right, Colouring::Steels, FINENESS).unwrap();
                picture.rgb.len()
            })
        }),
    ]
}

/// The sweeps as lines over logarithms of size and time, a panel each.
fn plot(sweeps: &[Sweep]) -> String {
    const PANEL: f64 = 260.0;
    const INSET: f64 = 40.0;
    let wide = PANEL * sweeps.len() as f64;
    let mut svg = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='{wide}' height='{PANEL}' font-family='sans-serif' font-size='10'>\n\
         <rect width='{wide}' height='{PANEL}' fill='white'/>\n"
    );
    for (i, sweep) in sweeps.iter().enumerate() {
        let span = |pick: fn(&(f64, f64, usize)) -> f64| {
            let all = sweep.rows.iter().map(pick);
            (all.clone().fold(f64::INFINITY, f64::min).ln(), all.fold(0.0, f64::max).ln())
        };
        let ((x0, x1), (y0, y1)) = (span(|r| r.0), span(|r| r.1));
        // One scale on both axes, so that slopes are exponents.
        let scale = (PANEL - 2.0 * INSET) / (x1 - x0).max(y1 - y0);
        let at = |r: &(f64, f64, usize)| {
            let x = PANEL * i as f64 + INSET + (r.0.ln() - x0) * scale;
            (x, PANEL - INSET - (r.1.ln() - y0) * scale)
        };
        let points: Vec<String> =
            sweep.rows.iter().map(|r| format!("{:.1},{:.1}", at(r).0, at(r).1)).collect();
        let _ = writeln!(svg, "<polyline points='{}' fill='none' stroke='black'/>", points.join(" "));
        for (k, row) in sweep.rows.iter().enumerate() {
            let (x, y) = at(row);
            // Above and below in turn, so that neighbours don't run together.
            let words = if k % 2 == 0 { y - 6.0 } else { y + 14.0 };
            let _ = writeln!(svg, "<circle cx='{x:.1}' cy='{y:.1}' r='2.5'/>");
            let _ = writeln!(
                svg,
                "<text x='{x:.1}' y='{words:.1}' text-anchor='middle'>{}: {:.1} ms</text>",
                row.0,
                1e3 * row.1
            );
        }
        let _ = writeln!(
            svg,
            "<text x='{:.1}' y='{:.1}'>{}, {}: exponent {:.2}</text>",
            PANEL * i as f64 + INSET,
            PANEL - 12.0,
            sweep.task,
            sweep.what,
            sweep.exponent()
        );
    }
    svg + "</svg>\n"
}

fn main() {
    let sweeps = sweeps();
    sweeps.iter().for_each(Sweep::print);
    // Cargo hands `--bench` on as well.
    let path = std::env::args().skip(1).find(|word| !word.starts_with('-'));
    if let Some(path) = path {
        std::fs::write(&path, plot(&sweeps)).unwrap_or_else(|why| panic!("{path}: {why}"));
    }
}
