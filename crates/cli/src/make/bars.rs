//! The bars of the stack as bodies of their own, at one stage.

use blade::Part;
use brep::Mesh;
use design::Design;
use export::{Entry, Facts, Measure, Object, Paint, StepBody};
use laminate::{Body, MaterialMap, Zone, bar_colour};
use solid::Solid;

use crate::ask::kinds::{Kind, Sort, StageName};
use crate::make::made::{Made, plain_facts, unmade};
use crate::terminal::error::CliError;

/// How far borders between bars may stand off their true line, in shares of the mesh's tolerance.
const BORDERS: f64 = 0.5;

/// How far the borders of exact bodies may stand off their true line, mm: a tenth of what a grinder holds.
const SHEETS: f64 = 1e-3;

/// The bars about to become files.
pub(crate) struct Bars {
    stem: String,
    title: String,
    stage: StageName,
    names: Vec<String>,
    zones: Vec<Zone>,
    /// The exact bodies, where they are asked for, each with its name.
    bodies: Vec<(String, Body)>,
    /// Whether bars share a place in the stack.
    shared: bool,
    /// Whether any has plugs.
    plugged: bool,
}

impl Bars {
    /// With exact bodies if they are asked for.
    pub(crate) fn new(
        design: &Design,
        lay: &MaterialMap,
        stage: StageName,
        exact: bool,
    ) -> Result<Bars, CliError> {
        let stem = format!("{}/{}-{}", Sort::Bars.folder(), design.slug(), stage.text());
        let loft = design.blade().loft(stage.stage());
        let tolerance = design.shop().tolerance;
        let mesh = Mesh::of(loft.shell(), tolerance).map_err(|why| unmade(&stem, why))?;
        let zones = lay.zones(&mesh, BORDERS * tolerance).map_err(|why| unmade(&stem, why))?;
        let in_part = |name: String, part: Part| match part {
            Part::Blade => name,
            Part::Tang => format!("{name} (tang)"),
        };
        let billet = lay.billet();
        let bar = |bar: usize| billet.bars()[bar].name.clone();
        let names = zones.iter().enumerate().map(|(i, zone)| {
            let same =
                |other: &&Zone| (other.bar, other.part, other.plug) == (zone.bar, zone.part, zone.plug);
            let pieces = zones.iter().filter(same).count();
            let before = zones[..i].iter().filter(same).count();
            let made = &billet.bars()[zone.bar];
            let plug = zone.plug.map_or_else(String::new, |plug| format!(", plug {}", plug + 1));
            // A wrap is in a piece for each face; where one is ground away the others are counted on. Around plugs a bar is in pieces.
            let name = match made.share.cells.len() > 1 || (pieces > 1 && !made.plugs.is_empty()) {
                false => bar(zone.bar) + &plug,
                true => format!("{}{plug}, piece {}", bar(zone.bar), before + 1),
            };
            in_part(name, zone.part)
        });
        let names = names.collect();
        let whole =
            |place: usize| billet.sharing(place).into_iter().map(bar).collect::<Vec<_>>().join(" with ");
        let bodies =
            if exact { lay.bodies(&loft, SHEETS).map_err(|why| unmade(&stem, why))? } else { Vec::new() };
        Ok(Bars {
            names,
            bodies: bodies.into_iter().map(|b| (in_part(whole(b.bar), b.part), b)).collect(),
            shared: billet.places() < billet.bars().len(),
            plugged: billet.is_plugged(),
            title: format!("{}, bars ({})", design.name(), stage.text()),
            stem,
            stage,
            zones,
        })
    }

    /// A file and its entry in the manifest.
    pub(crate) fn file(&self, kind: Kind) -> Result<(Made, Entry), CliError> {
        let name = format!("{}.{}", self.stem, kind.extension());
        let bytes = match kind {
            Kind::Step => Ok(self.step(&name)?),
            Kind::Glb => export::glb_set(&self.title, &self.objects()),
            _ => export::three_mf_set(&self.title, &self.objects()),
        };
        let bytes = bytes.map_err(|why| unmade(&name, why))?;
        let plugs = match (self.plugged, kind) {
            (false, _) => "",
            (true, Kind::Step) => " Plugs stay in the body of their bar here, and are apart in 3MF and GLB.",
            (true, _) => " Plugs are bodies of their own, and a bar is in pieces around them.",
        };
        let note = self.note(kind).to_owned() + plugs;
        let facts = Facts {
            stage: Some(self.stage.text()),
            note: Some(&note),
            measure: Some(self.measure()),
            ..plain_facts(&name, kind.exported(), "bars")
        };
        Made::listed(&facts, bytes)
    }

    /// What a file holds, but for plugs.
    fn note(&self, kind: Kind) -> &'static str {
        match (self.shared, kind) {
            (false, _) => "Every bar of the stack as a body of its own, in the blade and in the tang.",
            (true, Kind::Step) => {
                "Every place of the stack as a body of its own, in the blade and in the tang: a wrap and bars side by side stay in \
                     one body here, and are apart in 3MF and GLB."
            }
            (true, _) => {
                "Every bar of the stack as a body of its own, in the blade and in the tang; a wrap in a piece for each face."
            }
        }
    }

    /// The exact bodies as solids in the bars' colours.
    fn step(&self, name: &str) -> Result<Vec<u8>, CliError> {
        let solids = |body: &Body| {
            let each =
                body.pieces.iter().map(|p| solid::solid(p.boundary()).map_err(|why| unmade(name, why)));
            each.collect::<Result<Vec<_>, CliError>>()
        };
        let all = self.bodies.iter().map(|(_, b)| solids(b)).collect::<Result<Vec<_>, CliError>>()?;
        let listed: Vec<Vec<&Solid>> = all.iter().map(|one| one.iter().collect()).collect();
        let each = self.bodies.iter().zip(&listed);
        let bodies: Vec<_> = each
            .map(|((name, body), solids)| {
                let colour = bar_colour(body.bar);
                let paint = Some(Paint { name: colour.name, srgb: colour.unit() });
                StepBody { name, solids, paint }
            })
            .collect();
        export::step(&self.title, &bodies).map_err(|why| unmade(name, why))
    }

    fn objects(&self) -> Vec<Object<'_>> {
        let each = self.zones.iter().zip(&self.names);
        each.map(|(zone, name)| {
            let colour = zone.colour();
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
