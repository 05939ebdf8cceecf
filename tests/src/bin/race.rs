//! Our side of the race against OpenCASCADE: times each step and prints the blade for the other side to build.
//!
//! Usage: `race DESIGN STEP_FILE`. Writes the STEP file and prints JSON: medians in seconds, the triangle
//! count, the volume, and the finished shell as its edges, rails and holes.

use std::collections::BTreeSet;
use std::error::Error;
use std::hint::black_box;
use std::io::{self, Write};
use std::path::PathBuf;
use std::time::Instant;

use blade::{Blade, Stage};
use brep::{Curve, Edge, Face, Mesh, Moments, Shell, Spline3, Surface};
use export::StepBody;
use glam::DVec3;
use serde_json::{Value, json};

/// Largest distance between mesh and blade, mm: the one that the race is run at.
const TOLERANCE: f64 = 0.01;

/// An odd number, so that the median is one of the runs.
const RUNS: usize = 21;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<PathBuf> = std::env::args_os().skip(1).map(PathBuf::from).collect();
    let [design, step] = arguments.as_slice() else { return Err("usage: race DESIGN STEP_FILE".into()) };
    let design = design::read(&std::fs::read(design)?).map_err(|problems| format!("{problems:?}"))?;
    let mut laps = Vec::new();
    for _ in 0..RUNS {
        laps.push(lap(&design)?.times);
    }
    let last = lap(&design)?;
    std::fs::write(step, &last.step)?;
    let report = json!({
        "tolerance_mm": TOLERANCE,
        "seconds": seconds(&laps),
        "triangles": last.triangles,
        "volume_mm3": last.moments.volume,
        "edges": last.shell.edges.iter().map(|one| edge(&last.shell, one)).collect::<Vec<_>>(),
        "faces": last.shell.faces.iter().filter_map(|one| face(&last.shell, one)).collect::<Vec<_>>(),
        "holes": last.shell.faces.iter().filter_map(hole).collect::<Vec<_>>(),
    });
    writeln!(io::stdout().lock(), "{report}")?;
    Ok(())
}

/// The steps that are timed.
const STEPS: [&str; 5] = ["loft", "mass", "mesh", "stl", "step"];

struct Lap {
    times: [f64; STEPS.len()],
    triangles: usize,
    moments: Moments,
    step: Vec<u8>,
    shell: Shell,
}

fn lap(design: &design::Design) -> Result<Lap, Box<dyn Error>> {
    // A blade keeps its lofts: every lap makes the blade anew, from what it is asked to be.
    let mut clock = Clock::start();
    let loft =
        black_box(Blade::new(design.blade().spec()).map_err(|p| format!("{p:?}"))?.loft(Stage::Finished));
    let loft_time = clock.split();
    let moments = black_box(Moments::of(loft.shell()));
    let mass_time = clock.split();
    let mesh = Mesh::of(loft.shell(), TOLERANCE)?;
    let mesh_time = clock.split();
    black_box(export::stl(&mesh, design.name())?);
    let stl_time = clock.split();
    let solid = solid::solid(loft.shell())?;
    let step = export::step(design.name(), &[StepBody { name: "blade", solids: &[&solid], paint: None }])?;
    let step_time = clock.split();
    Ok(Lap {
        times: [loft_time, mass_time, mesh_time, stl_time, step_time],
        triangles: mesh.triangles().len(),
        moments,
        step,
        shell: loft.shell().clone(),
    })
}

struct Clock(Instant);

impl Clock {
    fn start() -> Clock {
        Clock(Instant::now())
    }

    /// Seconds since the last split.
    fn split(&mut self) -> f64 {
        let now = Instant::now();
        let passed = now.duration_since(self.0).as_secs_f64();
        self.0 = now;
        passed
    }
}

/// The median of each step and of the whole.
fn seconds(laps: &[[f64; STEPS.len()]]) -> Value {
    let mut all = serde_json::Map::new();
    for (i, step) in STEPS.iter().enumerate() {
        all.insert((*step).to_owned(), median(laps.iter().map(|lap| lap[i])).into());
    }
    all.insert("total".to_owned(), median(laps.iter().map(|lap| lap.iter().sum())).into());
    Value::Object(all)
}

fn median(values: impl Iterator<Item = f64>) -> f64 {
    let mut sorted: Vec<f64> = values.collect();
    sorted.sort_by(f64::total_cmp);
    sorted[sorted.len() / 2]
}

fn edge(shell: &Shell, edge: &Edge) -> Value {
    let [start, end] = [edge.start, edge.end].map(|end| shell.vertices[end].to_array());
    match &edge.curve {
        Curve::Spline(spline) => rail(spline),
        Curve::Line => json!({ "knots": [], "points": [start, end] }),
        // A rational quadratic.
        Curve::Arc { middle, weight } => {
            json!({ "knots": [], "points": [start, middle.to_array(), end], "weight": weight })
        }
    }
}

fn rail(spline: &Spline3) -> Value {
    let points: Vec<[f64; 3]> = spline.points().iter().map(DVec3::to_array).collect();
    json!({ "knots": spline.knots(), "points": points })
}

/// A face as the other side builds it, without the rims of holes, which it cuts; `None` for a hole's wall.
fn face(shell: &Shell, face: &Face) -> Option<Value> {
    match &face.surface {
        Surface::Ruled { low, high } => Some(json!({ "low": rail(low), "high": rail(high) })),
        Surface::Round { low, middle, high } => {
            let points: Vec<[f64; 3]> =
                middle.points().iter().map(|m| (m.truncate() / m.w).to_array()).collect();
            let weights: Vec<f64> = middle.points().iter().map(|m| m.w).collect();
            Some(json!({ "low": rail(low), "middle": points, "weights": weights, "high": rail(high) }))
        }
        Surface::Plane { .. } => {
            let rims = rims(shell);
            let loops = face.loops.iter().filter(|uses| !uses.iter().any(|used| rims.contains(&used.edge)));
            let edges: Vec<Vec<usize>> =
                loops.map(|uses| uses.iter().map(|used| used.edge).collect()).collect();
            Some(json!({ "loops": edges }))
        }
        Surface::Cylinder { .. } => None,
    }
}

/// The edges around the walls of holes.
fn rims(shell: &Shell) -> BTreeSet<usize> {
    let walls = shell.faces.iter().filter(|face| matches!(face.surface, Surface::Cylinder { .. }));
    walls.flat_map(|face| face.loops.iter().flatten().map(|used| used.edge)).collect()
}

fn hole(face: &Face) -> Option<Value> {
    match &face.surface {
        Surface::Cylinder { centre, radius, low, high, .. } => {
            Some(json!({ "centre": centre.to_array(), "radius": radius, "low": low, "high": high }))
        }
        Surface::Ruled { .. } | Surface::Round { .. } | Surface::Plane { .. } => None,
    }
}
