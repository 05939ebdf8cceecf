//! The bars of the stack as bodies of their own, at one stage.

use blade::Mesh;
use design::Design;
use export::{Entry, Facts, Measure, Object, Paint};
use laminate::{Lay, Zone, bar_colour};

use crate::kinds::{Kind, Sort, StageName};
use crate::pipeline::{Made, unmade};
use crate::stop::Stop;

/// How far borders between bars may stand off their true line, in shares of the mesh's tolerance.
const BORDERS: f64 = 0.5;

/// The bars about to become files.
pub(crate) struct Bars {
    stem: String,
    title: String,
    stage: StageName,
    names: Vec<String>,
    zones: Vec<Zone>,
}

impl Bars {
    pub(crate) fn new(design: &Design, lay: &Lay, stage: StageName) -> Result<Bars, Stop> {
        let stem = format!("{}/{}-{}", Sort::Bars.folder(), design.slug(), stage.text());
        let loft = design.blade().loft(stage.stage());
        let tolerance = design.shop().tolerance;
        let mesh = Mesh::of(loft.shell(), tolerance).map_err(|why| unmade(&stem, why))?;
        let zones = lay.zones(&mesh, BORDERS * tolerance).map_err(|why| unmade(&stem, why))?;
        let name = |zone: &Zone| {
            let bar = &lay.billet().bars()[zone.bar].name;
            if zone.tang { format!("{bar} (tang)") } else { bar.clone() }
        };
        Ok(Bars {
            names: zones.iter().map(name).collect(),
            title: format!("{}, bars ({})", design.name(), stage.text()),
            stem,
            stage,
            zones,
        })
    }

    /// A file and its entry in the manifest.
    pub(crate) fn file(&self, kind: Kind) -> Result<(Made, Entry), Stop> {
        let name = format!("{}.{}", self.stem, kind.extension());
        let bytes = match kind {
            Kind::Glb => export::glb_set(&self.title, &self.objects()),
            _ => export::three_mf_set(&self.title, &self.objects()),
        };
        let bytes = bytes.map_err(|why| unmade(&name, why))?;
        let facts = Facts {
            name: &name,
            kind: kind.exported(),
            part: "bars",
            stage: Some(self.stage.text()),
            note: Some("Every bar of the stack as a body of its own, in the blade and in the tang."),
            measure: Some(self.measure()),
            pages: None,
            placed: None,
        };
        let entry = Entry::new(&facts, &bytes).map_err(|why| unmade(&name, why))?;
        Ok((Made { name, bytes }, entry))
    }

    fn objects(&self) -> Vec<Object<'_>> {
        let each = self.zones.iter().zip(&self.names);
        each.map(|(zone, name)| {
            let colour = bar_colour(zone.bar);
            let paint = Paint { name: colour.name, srgb: colour.unit() };
            Object { name, mesh: &zone.mesh, paint: Some(paint) }
        })
        .collect()
    }

    fn measure(&self) -> Measure {
        let all = self.zones.iter().map(|z| z.mesh.bounds());
        let bounds = all.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))).unwrap_or_default();
        Measure { bounds, volume: self.zones.iter().map(|z| z.mesh.volume()).sum() }
    }
}
