//! `bench`: the build's page served, alive for the phone at the anvil.

use std::collections::BTreeMap;
use std::io::IsTerminal;
use std::path::PathBuf;
use std::sync::Arc;

use bench::{Compare, Compared, Picture, Reach, Served, Shelf};
use design::{Design, Problem};
use measured::{Bench, Stages};

use crate::ask::arguments::AtBench;
use crate::ask::order::{Kinds, Order};
use crate::command::compare;
use crate::command::nearest::Nearest;
use crate::make::metal::Uncut;
use crate::make::pipeline::Plan;
use crate::terminal::error::CliError;
use crate::terminal::lines::Lines;
use crate::terminal::output;
use crate::terminal::source::Source;

/// Serves a design's bench until Ctrl+C.
pub(crate) fn run(asked: &AtBench) -> Result<(), CliError> {
    let source = Source::read(&asked.design)?;
    let design = source.design().map_err(|problems| CliError::problems(&source, problems))?;
    let order = Order::new(&[], &[], Kinds::only(&[]));
    let mut plan = Plan::new(&design, &order).map_err(|why| match why {
        Uncut::Problems(problems) => CliError::problems(&source, problems),
        Uncut::Stopped(error) => error,
    })?;
    let usual = || PathBuf::from(format!("{}-measured.csv", design.slug()));
    let measured = asked.measured.clone().unwrap_or_else(usual);
    plan.bench = Some(measured.display().to_string());
    let shelf = Arc::new(Shelf::default());
    let served = Served {
        design: Arc::new(design.clone()),
        measured,
        reach: asked.lan.map_or(Reach::Here, Reach::Network),
        port: asked.port,
        shelf: shelf.clone(),
        compare: Arc::new(Comparer {
            stages: Stages::of(&design),
            source: source.clone(),
            design: design.clone(),
        }),
        terminal: std::io::stdout().is_terminal(),
        // Where nobody reads what is said, the bench goes on.
        say: Arc::new(|text| drop(output::say(text.as_bytes()))),
    };
    std::thread::scope(|scope| {
        // Readings are taken while the page is still being made.
        scope.spawn(|| shelf.fill(files(&plan)));
        Ok(bench::serve(&served)?)
    })
}

/// The build's files by their names, the page among them; or why there are none.
fn files(plan: &Plan<'_>) -> Result<BTreeMap<String, Vec<u8>>, String> {
    let made = plan.make(|_| ()).map_err(|why| why.to_string())?;
    Ok(made.into_iter().map(|file| (file.name, file.bytes.to_vec())).collect())
}

/// Compares as the command does.
struct Comparer {
    source: Source,
    design: Design,
    stages: Stages,
}

impl Compare for Comparer {
    fn compare(&self, measured: &[u8]) -> Compared {
        let bench = measured::read(measured, &self.design)
            .and_then(|sessions| Bench::on(&self.design, &self.stages, &sessions, None));
        match bench {
            Ok(None) => Compared::Nothing,
            Ok(Some(bench)) => {
                self.told(bench).unwrap_or_else(|why| Compared::Problems(vec![why.to_string()]))
            }
            Err(problems) => Compared::Problems(words(measured, &problems)),
        }
    }
}

impl Comparer {
    /// The comparison's words, and its map for when it is asked for.
    fn told(&self, bench: Bench) -> Result<Compared, CliError> {
        let nearest = Nearest::of(&self.source, &self.design, &bench)?;
        let text = compare::text(&bench, nearest.as_ref(), &self.design);
        let map = Picture::new(move || compare::map(&bench).map_err(|why| why.to_string()));
        Ok(Compared::Told { text, map })
    }
}

/// A line for each problem of the measured file.
fn words(measured: &[u8], problems: &[Problem]) -> Vec<String> {
    let lines = Lines::of(measured);
    let told = |problem: &Problem| {
        let (line, _) = lines.position(lines.within(&problem.span).start);
        format!("Line {line}: {}; {}.", problem.message, problem.help)
    };
    problems.iter().map(told).collect()
}
