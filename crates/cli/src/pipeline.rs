//! The build itself: which files a design becomes, from which stage, as bytes. It touches no disk.

use std::thread;

use blade::{Loft, Mesh, Stage};
use clap::ValueEnum;
use design::Design;
use export::StepBody;

use crate::progress::Progress;
use crate::stop::Stop;
use crate::swap::MANIFEST;

/// A stage, as it is asked for and as it stands in file names.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub(crate) enum StageName {
    /// After the hammer and hot straightening
    Forged,
    /// Ground, before hardening
    Ground,
    /// Finished
    Finished,
}

impl StageName {
    fn stage(self) -> Stage {
        match self {
            StageName::Forged => Stage::Forged,
            StageName::Ground => Stage::Ground,
            StageName::Finished => Stage::Finished,
        }
    }

    fn text(self) -> &'static str {
        match self {
            StageName::Forged => "forged",
            StageName::Ground => "ground",
            StageName::Finished => "finished",
        }
    }
}

/// A kind of file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub(crate) enum Kind {
    /// Exact solid for CAD (STEP AP242)
    Step,
    /// Triangle mesh (binary STL)
    Stl,
    /// Triangle mesh for printing (3MF)
    #[value(name = "3mf")]
    ThreeMf,
}

impl Kind {
    fn extension(self) -> &'static str {
        match self {
            Kind::Step => "step",
            Kind::Stl => "stl",
            Kind::ThreeMf => "3mf",
        }
    }
}

/// What is asked for: stages and kinds, sorted, none twice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Order {
    stages: Vec<StageName>,
    kinds: Vec<Kind>,
}

impl Order {
    /// The stages and kinds asked for; all of them where none is named.
    pub(crate) fn new(stages: &[StageName], kinds: &[Kind]) -> Order {
        Order { stages: some_or_all(stages), kinds: some_or_all(kinds) }
    }

    /// How many files that makes, without the manifest.
    pub(crate) fn files(&self) -> usize {
        self.stages.len() * self.kinds.len()
    }

    fn meshes(&self) -> bool {
        self.kinds.iter().any(|kind| *kind != Kind::Step)
    }
}

fn some_or_all<T: Copy + Ord + ValueEnum>(asked: &[T]) -> Vec<T> {
    let mut wanted = if asked.is_empty() { T::value_variants().to_vec() } else { asked.to_vec() };
    wanted.sort_unstable();
    wanted.dedup();
    wanted
}

/// A finished file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Made {
    /// Its name in the output folder.
    pub(crate) name: String,
    /// What it holds.
    pub(crate) bytes: Vec<u8>,
}

/// Makes every file of the order, in a fixed order, the manifest last. Stages are made side by side.
pub(crate) fn make(design: &Design, order: &Order, progress: &Progress) -> Result<Vec<Made>, Stop> {
    let mut made = side_by_side(&order.stages, |stage| make_stage(design, *stage, order, progress))?;
    made.push(manifest(design, &made)?);
    Ok(made)
}

/// Runs `make` for every stage on a thread of its own and keeps the stages' order.
fn side_by_side<F>(stages: &[StageName], make: F) -> Result<Vec<Made>, Stop>
where
    F: Fn(&StageName) -> Result<Vec<Made>, Stop> + Sync,
{
    let make = &make;
    thread::scope(|scope| {
        let running: Vec<_> = stages.iter().map(|stage| scope.spawn(move || make(stage))).collect();
        let mut all = Vec::new();
        for stage in running {
            all.extend(stage.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))?);
        }
        Ok(all)
    })
}

fn make_stage(
    design: &Design,
    stage: StageName,
    order: &Order,
    progress: &Progress,
) -> Result<Vec<Made>, Stop> {
    let loft = design.blade().loft(stage.stage());
    let part = Part { design, stage, loft: &loft };
    let mesh = if order.meshes() { Some(part.mesh()?) } else { None };
    let mut made = Vec::new();
    for kind in &order.kinds {
        made.push(part.file(*kind, mesh.as_ref())?);
        progress.step();
    }
    Ok(made)
}

/// One stage's blade, about to become files.
struct Part<'a> {
    design: &'a Design,
    stage: StageName,
    loft: &'a Loft,
}

impl Part<'_> {
    fn mesh(&self) -> Result<Mesh, Stop> {
        Mesh::of(self.loft.shell(), self.design.shop().tolerance)
            .map_err(|why| Stop::Shape { file: self.file_name("stl"), why: why.to_string() })
    }

    fn file(&self, kind: Kind, mesh: Option<&Mesh>) -> Result<Made, Stop> {
        let name = self.file_name(kind.extension());
        let bytes = match (kind, mesh) {
            (Kind::Stl, Some(mesh)) => export::stl(mesh, &self.title()).map_err(|why| why.to_string()),
            (Kind::ThreeMf, Some(mesh)) => {
                export::three_mf(mesh, &self.title()).map_err(|why| why.to_string())
            }
            _ => self.step(),
        };
        match bytes {
            Ok(bytes) => Ok(Made { name, bytes }),
            Err(why) => Err(Stop::Shape { file: name, why }),
        }
    }

    fn step(&self) -> Result<Vec<u8>, String> {
        let solid = solid::solid(self.loft.shell()).map_err(|why| why.to_string())?;
        let name = self.title();
        let body = StepBody { name: &name, solid: &solid };
        export::step(&self.title(), &[body]).map_err(|why| why.to_string())
    }

    fn file_name(&self, extension: &str) -> String {
        format!("{}-{}.{extension}", self.design.slug(), self.stage.text())
    }

    fn title(&self) -> String {
        format!("{} ({})", self.design.name(), self.stage.text())
    }
}

fn manifest(_d: &Design, _m: &[Made]) -> Result<Made, Stop> {
    Ok(Made { name: MANIFEST.into(), bytes: b"{}".to_vec() })
}
