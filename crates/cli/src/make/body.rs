//! One body as files: the blade at a stage, or a part.

use brep::{Mesh, Shell};
use export::{Entry, Facts, Measure, Object, StepBody};
use glam::DVec2;

use crate::ask::kinds::Kind;
use crate::make::made::{Made, plain_facts, unmade};
use crate::terminal::error::CliError;

/// A body about to become files.
pub(crate) struct Body<'a> {
    /// The files' names without their endings.
    pub(crate) stem: String,
    /// What other programs show.
    pub(crate) title: String,
    /// The part's name in the manifest and in solids.
    pub(crate) part: &'a str,
    /// The stage that it shows.
    pub(crate) stage: Option<&'static str>,
    /// What it is for.
    pub(crate) note: Option<&'a str>,
    /// The turn (rad) and shift (mm) that laid it on the bed.
    pub(crate) placed: Option<(f64, DVec2)>,
    /// Its boundary, mm.
    pub(crate) shell: &'a Shell,
    /// Most that a mesh may stand off it, mm.
    pub(crate) tolerance: f64,
}

impl Body<'_> {
    /// The files of these kinds, with their entries in the manifest.
    pub(crate) fn files(&self, kinds: &[Kind]) -> Result<Vec<(Made, Entry)>, CliError> {
        let meshed = kinds.iter().any(|k| *k != Kind::Step);
        let mesh = meshed.then(|| Mesh::of(self.shell, self.tolerance)).transpose();
        let mesh = mesh.map_err(|why| unmade(&format!("the mesh of {}", self.stem), why))?;
        kinds.iter().map(|&kind| self.file(kind, mesh.as_ref())).collect()
    }

    /// A solid has the shell's own box and volume, a mesh its own.
    fn file(&self, kind: Kind, mesh: Option<&Mesh>) -> Result<(Made, Entry), CliError> {
        let name = format!("{}.{}", self.stem, kind.extension());
        let (bytes, bounds, volume) = match (kind, mesh) {
            (Kind::Stl, Some(mesh)) => (export::stl(mesh, &self.title), mesh.bounds(), mesh.volume()),
            (Kind::ThreeMf, Some(mesh)) => {
                (export::three_mf(mesh, &self.title), mesh.bounds(), mesh.volume())
            }
            (Kind::Glb, Some(mesh)) => {
                let object = Object { name: self.part, mesh, paint: None };
                (export::glb_set(&self.title, &[object]), mesh.bounds(), mesh.volume())
            }
            _ => (Ok(self.step(&name)?), self.shell.bounds(), self.shell.volume()),
        };
        let bytes = bytes.map_err(|why| unmade(&name, why))?;
        let facts = Facts {
            stage: self.stage,
            note: self.note,
            measure: Some(Measure { bounds, volume }),
            placed: self.placed,
            ..plain_facts(&name, kind.exported(), self.part)
        };
        Made::listed(&facts, bytes)
    }

    fn step(&self, name: &str) -> Result<Vec<u8>, CliError> {
        let solid = solid::solid(self.shell).map_err(|why| unmade(name, why))?;
        export::step(&self.title, &[StepBody { name: self.part, solids: &[&solid], paint: None }])
            .map_err(|why| unmade(name, why))
    }
}
