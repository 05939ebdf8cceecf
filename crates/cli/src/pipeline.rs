//! The build itself: which files a design becomes, from which stage, as bytes. It touches no disk.

use std::panic::resume_unwind;
use std::thread;

use blade::{Loft, Mesh, Stage};
use clap::ValueEnum;
use design::Design;
use export::{Entry, Facts, Manifest, Measure, StepBody};

use crate::progress::Progress;
use crate::stop::Stop;
use crate::swap::MANIFEST;

/// The only part so far, as manifests and solids name it.
const PART: &str = "blade";

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
        self.stage().name()
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

    fn exported(self) -> export::Kind {
        match self {
            Kind::Step => export::Kind::Step,
            Kind::Stl => export::Kind::Stl,
            Kind::ThreeMf => export::Kind::ThreeMf,
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
}

fn some_or_all<T: Copy + Ord + ValueEnum>(asked: &[T]) -> Vec<T> {
    let mut wanted = if asked.is_empty() { T::value_variants().to_vec() } else { asked.to_vec() };
    wanted.sort_unstable();
    wanted.dedup();
    wanted
}

/// A finished file.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Made {
    /// Its name in the output folder.
    pub(crate) name: String,
    /// What it holds.
    pub(crate) bytes: Vec<u8>,
}

/// Makes every file of the order, in a fixed order, the manifest last. Stages are made side by side.
pub(crate) fn make(design: &Design, order: &Order, progress: &Progress) -> Result<Vec<Made>, Stop> {
    let stages =
        side_by_side(&order.stages, |stage| Part::new(design, stage)?.files(&order.kinds, progress))?;
    let (mut made, entries): (Vec<Made>, Vec<Entry>) = stages.into_iter().flatten().unzip();
    let bytes = Manifest { entries }.to_bytes().map_err(|why| unmade(MANIFEST, why))?;
    made.push(Made { name: MANIFEST.to_owned(), bytes });
    Ok(made)
}

/// Runs `work` for every stage on a thread of its own; the results keep the stages' order.
fn side_by_side<T, F>(stages: &[StageName], work: F) -> Result<Vec<T>, Stop>
where
    T: Send,
    F: Fn(StageName) -> Result<T, Stop> + Sync,
{
    let work = &work;
    thread::scope(|scope| {
        let running: Vec<_> = stages.iter().map(|&stage| scope.spawn(move || work(stage))).collect();
        let ended =
            running.into_iter().map(|stage| stage.join().unwrap_or_else(|panic| resume_unwind(panic)));
        ended.collect()
    })
}

fn unmade(file: &str, why: impl ToString) -> Stop {
    Stop::Shape { file: file.to_owned(), why: why.to_string() }
}

/// One stage's blade, about to become files.
struct Part<'a> {
    design: &'a Design,
    stage: StageName,
    loft: Loft,
    mesh: Mesh,
}

impl Part<'_> {
    fn new(design: &Design, stage: StageName) -> Result<Part<'_>, Stop> {
        let loft = design.blade().loft(stage.stage());
        let mesh = Mesh::of(loft.shell(), design.shop().tolerance)
            .map_err(|why| unmade(&format!("the mesh of the {} blade", stage.text()), why))?;
        Ok(Part { design, stage, loft, mesh })
    }

    fn files(&self, kinds: &[Kind], progress: &Progress) -> Result<Vec<(Made, Entry)>, Stop> {
        let file = |kind: &Kind| {
            let made = self.file(*kind);
            progress.step();
            made
        };
        kinds.iter().map(file).collect()
    }

    /// A file and its entry in the manifest.
    fn file(&self, kind: Kind) -> Result<(Made, Entry), Stop> {
        let name = format!("{}-{}.{}", self.design.slug(), self.stage.text(), kind.extension());
        let bytes = match kind {
            Kind::Step => self.step(&name)?,
            Kind::Stl => export::stl(&self.mesh, &self.title()).map_err(|why| unmade(&name, why))?,
            Kind::ThreeMf => export::three_mf(&self.mesh, &self.title()).map_err(|why| unmade(&name, why))?,
        };
        let entry = Entry::new(&self.facts(&name, kind), &bytes).map_err(|why| unmade(&name, why))?;
        Ok((Made { name, bytes }, entry))
    }

    fn step(&self, name: &str) -> Result<Vec<u8>, Stop> {
        let solid = solid::solid(self.loft.shell()).map_err(|why| unmade(name, why))?;
        let title = self.title();
        export::step(&title, &[StepBody { name: PART, solid: &solid }]).map_err(|why| unmade(name, why))
    }

    /// A solid has the blade's own box and volume, a mesh its own.
    fn facts<'a>(&self, name: &'a str, kind: Kind) -> Facts<'a> {
        let (bounds, volume) = match kind {
            Kind::Step => (self.loft.bounds(), self.loft.moments().volume),
            Kind::Stl | Kind::ThreeMf => (self.mesh.bounds(), self.mesh.volume()),
        };
        let stage = self.stage.text();
        let measure = Some(Measure { bounds, volume });
        Facts { name, kind: kind.exported(), part: PART, stage, note: None, measure, pages: None }
    }

    /// What other programs show.
    fn title(&self) -> String {
        format!("{} ({})", self.design.name(), self.stage.text())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_order_names_all_or_each_once_in_order() {
        let all = Order::new(&[], &[]);
        assert_eq!(all.files(), 9);
        let some = Order::new(&[StageName::Finished, StageName::Forged, StageName::Finished], &[Kind::Stl]);
        assert_eq!(some.stages, [StageName::Forged, StageName::Finished]);
        assert_eq!(some.kinds, [Kind::Stl]);
    }
}
