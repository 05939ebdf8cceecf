//! The build itself: which files a design becomes, as bytes. It touches no disk.

use std::panic::resume_unwind;
use std::sync::OnceLock;
use std::thread;

use design::{BarsSummary, Design};
use export::{Entry, Manifest};
use forge::Etching;
use laminate::{Colouring, MaterialMap};
use tooling::{CutGauge, CutWork, Held, Motion, Part, Stuff, bench_note};

use crate::ask::kinds::{ColoursName, Kind, Sort, StageName};
use crate::ask::order::Order;
use crate::make::bars::Bars;
use crate::make::bench_sheet;
use crate::make::body::Body;
use crate::make::layers::Layers;
use crate::make::made::{MANIFEST, Made, plain_facts, unmade};
use crate::make::metal::{self, Uncut};
use crate::make::needed;
use crate::make::pages;
use crate::make::paper::Paper;
use crate::make::parts::{gathered, parts_of};
use crate::make::side_by_side::side_by_side;
use crate::make::told::Told;
use crate::terminal::error::CliError;
use crate::terminal::progress::Progress;

/// The blade itself, as manifests and solids name it.
const BLADE: &str = "blade";
/// What the smith reads first.
const NOTE: &str = "bench-note.txt";

/// What a design becomes before it becomes files: everything that can still turn out to be a problem of the design.
pub(crate) struct Plan<'a> {
    pub(crate) design: &'a Design,
    order: &'a Order,
    pub(crate) parts: Vec<(Sort, Part, Option<Motion>)>,
    /// What is cut of sheet steel, where something is.
    pub(crate) cut: Option<CutWork>,
    /// The billet on the blade, where the design has one and something of it is wanted.
    pub(crate) lay: Option<&'a MaterialMap>,
    /// How its layers etch, where they are drawn.
    pub(crate) etching: Option<Etching>,
    /// What sheet and pages tell, once one of them has asked.
    told: OnceLock<Told>,
    /// What the page writes into, where it is served.
    pub(crate) bench: Option<String>,
}

impl Plan<'_> {
    /// Everything ordered.
    ///
    /// # Errors
    /// The problems of all parts that can't be made of this design; or what is wrong with an argument.
    pub(crate) fn new<'a>(design: &'a Design, order: &'a Order) -> Result<Plan<'a>, Uncut> {
        let bodies = !order.kinds_that(Kind::holds_a_part).is_empty();
        let sorts: Vec<Sort> = order.sorts.iter().copied().filter(|s| bodies && s.has_parts()).collect();
        let (mut parts, mut problems) = (Vec::new(), Vec::new());
        // Every sort is tried, so that one run tells all problems; sheet steel meanwhile.
        let (all, worked) = thread::scope(|scope| {
            let worked = scope.spawn(|| metal::cut_work(design, order));
            let all = side_by_side(&sorts, |sort| parts_of(design, *sort));
            (all, worked.join().unwrap_or_else(|panic| resume_unwind(panic)))
        });
        for (sort, made) in sorts.iter().zip(all) {
            match made {
                Ok(made) => parts.extend(made.into_iter().map(|(part, motion)| (*sort, part, motion))),
                Err(found) => problems.extend(found),
            }
        }
        parts.retain(|(_, part, _)| order.stage_wanted(part.stage));
        let mut cut = None;
        match worked {
            Ok(work) => cut = work,
            Err(Uncut::Problems(found)) => problems.extend(found),
            Err(stopped) => return Err(stopped),
        }
        let pages = order.wants(Sort::Page) && order.takes(Kind::Html);
        let laid = order.wants(Sort::Bars) || order.wants(Sort::Layers) || pages;
        let lay = if laid { design.lay() } else { None };
        if problems.is_empty() {
            let etching = Etching::of(design).filter(|_| order.wants(Sort::Layers) || pages);
            Ok(Plan { design, order, parts, cut, lay, etching, told: OnceLock::new(), bench: None })
        } else {
            Err(Uncut::Problems(gathered(problems)))
        }
    }

    /// Every file, in a fixed order, the manifest last. Several are made at a time, and each is shown to `done` at once.
    pub(crate) fn make(&self, done: impl Fn(&Made) + Sync) -> Result<Vec<Made>, CliError> {
        let jobs = self.jobs();
        if jobs.is_empty() && !self.wants_pages() {
            return Err(CliError::Nothing);
        }
        let progress = Progress::begin(jobs.len());
        let files = side_by_side(&jobs, |job| {
            let made = self.run(job);
            made.iter().flatten().for_each(|(file, _)| done(file));
            progress.step();
            made
        });
        let files = files.into_iter().collect::<Result<Vec<_>, CliError>>()?;
        let (mut made, mut entries): (Vec<Made>, Vec<Entry>) = files.into_iter().flatten().unzip();
        let worked = made.len();
        let more_than_pages = !self.order.kinds_that(|kind| kind != Kind::Html).is_empty();
        let template = self.order.wants(Sort::Template) && more_than_pages;
        if !self.parts.is_empty() || self.cut.is_some() || template {
            let (note, entry) = self.note()?;
            made.push(note);
            entries.push(entry);
        }
        if self.wants_pages() {
            let pages = pages::pages(self, &made)?;
            let (pages, listed): (Vec<Made>, Vec<Entry>) = pages.into_iter().unzip();
            made.extend(pages);
            entries.extend(listed);
        }
        let findings = BarsSummary::from_design(self.design, &[]).map_or_else(Vec::new, |bars| bars.findings);
        let bytes = Manifest { entries, findings }.to_bytes().map_err(|why| unmade(MANIFEST, why))?;
        made.push(Made { name: MANIFEST.to_owned(), bytes: bytes.into() });
        made[worked..].iter().for_each(done);
        Ok(made)
    }

    /// Whether the pages are wanted.
    fn wants_pages(&self) -> bool {
        self.order.wants(Sort::Page) && self.order.takes(Kind::Html)
    }

    /// What sheet and pages tell.
    pub(crate) fn told(&self) -> &Told {
        self.told.get_or_init(|| Told::of(self.design))
    }

    /// Everything ordered, in pieces that threads take on.
    fn jobs(&self) -> Vec<Job<'_>> {
        let order = self.order;
        let stages = || order.stages.iter().copied();
        let mut jobs = Vec::new();
        if order.wants(Sort::Blade) && !order.kinds_that(Kind::holds_a_body).is_empty() {
            jobs.extend(stages().map(Job::Blade));
        }
        if let Some(lay) = self.lay {
            jobs.extend(self.laid(lay));
        }
        if order.wants(Sort::Template) && !order.kinds_of(Kind::holds_a_drawing, needed::PAPER).is_empty() {
            jobs.extend(stages().map(Job::Paper));
            if order.stages.contains(&StageName::Forged) {
                jobs.push(Job::Preform);
            }
        }
        if order.wants(Sort::Sheet) && order.takes(Kind::Pdf) {
            jobs.push(Job::Sheet);
        }
        jobs.extend(self.parts.iter().map(|(sort, part, motion)| Job::Part(*sort, part, *motion)));
        if let Some(work) = &self.cut {
            for kind in order.kinds_of(Kind::guides_a_cutter, needed::CUT) {
                jobs.extend((0..work.sheets.len()).map(|number| Job::CutSheet(work, number, kind)));
                jobs.extend(work.gauges.iter().map(|gauge| Job::CutGauge(gauge, kind)));
            }
        }
        jobs
    }

    /// What the colours of the layers tell.
    pub(crate) fn colouring(&self) -> Colouring<'_> {
        match (self.order.colours, &self.etching) {
            (ColoursName::Etched, Some(etching)) => Colouring::Etched(&etching.brightness),
            (ColoursName::Bars, _) => Colouring::Bars,
            _ => Colouring::Steels,
        }
    }

    /// What is made of the billet.
    fn laid<'a>(&self, lay: &'a MaterialMap) -> Vec<Job<'a>> {
        let order = self.order;
        let mut jobs = Vec::new();
        for &stage in &order.stages {
            if order.wants(Sort::Bars) && !order.kinds_that(bars_kind).is_empty() {
                jobs.push(Job::Bars(lay, stage));
            }
            if order.wants(Sort::Layers) && order.takes(Kind::Glb) {
                jobs.push(Job::Textured(lay, stage));
            }
            if order.wants(Sort::Layers) && order.takes(Kind::Png) {
                jobs.push(Job::Sides(lay, stage));
            }
        }
        jobs
    }

    /// The files of one piece of the work.
    fn run(&self, job: &Job<'_>) -> Result<Vec<(Made, Entry)>, CliError> {
        match job {
            Job::Blade(stage) => self.blade(*stage),
            Job::Paper(stage) => self.drawn(Some(Paper::new(self.design, *stage, self.order)?)),
            Job::Preform => self.drawn(Paper::preform(self.design, self.order)),
            Job::Sheet => bench_sheet::file(self.design, self.told(), self.order).map(|f| vec![f]),
            Job::Part(sort, part, motion) => self.part(*sort, part, *motion),
            Job::CutGauge(gauge, kind) => metal::gauge_file(self.design, gauge, *kind).map(|f| vec![f]),
            Job::CutSheet(work, number, kind) => {
                metal::sheet_file(self.design, work, *number, *kind).map(|f| vec![f])
            }
            Job::Bars(lay, stage) => {
                let kinds = self.order.kinds_that(bars_kind);
                let bars = Bars::new(self.design, lay, *stage, kinds.contains(&Kind::Step))?;
                kinds.into_iter().map(|kind| bars.file(kind)).collect()
            }
            Job::Sides(lay, stage) => {
                Layers::new(self.design, lay, *stage, self.colouring()).sides(self.order.dots)
            }
            Job::Textured(lay, stage) => {
                Layers::new(self.design, lay, *stage, self.colouring()).textured().map(|f| vec![f])
            }
        }
    }

    /// A drawing's files, where there is one.
    fn drawn(&self, paper: Option<Paper>) -> Result<Vec<(Made, Entry)>, CliError> {
        let kinds = self.order.kinds_of(Kind::holds_a_drawing, needed::PAPER);
        paper.iter().flat_map(|paper| kinds.iter().map(|&kind| paper.file(kind))).collect()
    }

    /// The blade at a stage as solid and mesh.
    fn blade(&self, stage: StageName) -> Result<Vec<(Made, Entry)>, CliError> {
        self.blade_as(stage, &self.order.kinds_that(Kind::holds_a_body))
    }

    /// The blade at a stage as files of these kinds.
    pub(crate) fn blade_as(&self, stage: StageName, kinds: &[Kind]) -> Result<Vec<(Made, Entry)>, CliError> {
        let loft = self.design.blade().loft(stage.stage());
        let body = Body {
            stem: format!("{}/{}-{}", Sort::Blade.folder(), self.design.slug(), stage.text()),
            title: format!("{} ({})", self.design.name(), stage.text()),
            part: BLADE,
            stage: Some(stage.text()),
            note: None,
            placed: None,
            shell: loft.shell(),
            tolerance: self.design.shop().tolerance,
        };
        body.files(kinds)
    }

    /// A tool's files.
    fn part(&self, sort: Sort, part: &Part, motion: Option<Motion>) -> Result<Vec<(Made, Entry)>, CliError> {
        let body = Body {
            stem: format!("{}/{}-{}", sort.folder(), self.design.slug(), part.name),
            title: format!("{}: {}", self.design.name(), part.title),
            part: &part.name,
            stage: part.stage.map(|s| s.name()),
            note: Some(&part.note),
            placed: motion.map(|m| (m.turn, m.shift)),
            shell: &part.shell,
            tolerance: self.design.shop().tolerance,
        };
        body.files(&self.order.kinds_of(Kind::holds_a_part, needed::of(part.stuff)))
    }

    /// Which kinds of file the build has of its parts and drawings.
    pub(crate) fn held(&self) -> Held {
        let of = |wanted: fn(Kind) -> bool, needed: &[Kind]| {
            self.order.kinds_of(wanted, needed).into_iter().map(Kind::extension).collect()
        };
        Held {
            printed: of(Kind::holds_a_part, needed::of(Stuff::Plastic)),
            steel: of(Kind::holds_a_part, needed::of(Stuff::Steel)),
            cut: of(Kind::guides_a_cutter, needed::CUT),
        }
    }

    /// The bench note.
    fn note(&self) -> Result<(Made, Entry), CliError> {
        let parts: Vec<(&str, &Part)> =
            self.parts.iter().map(|(sort, part, _)| (sort.folder(), part)).collect();
        let page = self.wants_pages().then_some(pages::INDEX);
        let bytes = bench_note(self.design, &parts, self.cut.as_ref(), &self.held(), page).into_bytes();
        Made::listed(&plain_facts(NOTE, export::Kind::Text, "note"), bytes)
    }
}

/// A piece of the work that a thread takes on as a whole.
enum Job<'a> {
    Blade(StageName),
    Paper(StageName),
    Preform,
    Sheet,
    Part(Sort, &'a Part, Option<Motion>),
    CutGauge(&'a CutGauge, Kind),
    CutSheet(&'a CutWork, usize, Kind),
    Bars(&'a MaterialMap, StageName),
    Sides(&'a MaterialMap, StageName),
    Textured(&'a MaterialMap, StageName),
}

/// The kinds of file that hold several bodies in their colours.
fn bars_kind(kind: Kind) -> bool {
    matches!(kind, Kind::Step | Kind::ThreeMf | Kind::Glb)
}
