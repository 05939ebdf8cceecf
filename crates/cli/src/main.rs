//! The `seaxwright` command: arguments, progress, diagnostics, exit codes, and the only writer of files.

mod ask;
mod command;
mod make;
mod terminal;

use std::process::ExitCode;

use clap::Parser;

use ask::arguments::{Arguments, Command};
use ask::cut_choice::CutChoice;
use ask::kinds::Sort;
use ask::order::{Kinds, Order};
use command::{bench, build, check, compare, fit, layers, new, plan, reference, sure, viewer};
use terminal::diagnostics;
use terminal::error::CliError;
use terminal::output;
use terminal::usage;

fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(fault) => return usage::answer(&fault),
    };
    match run(arguments) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            output::complain(&diagnostics::error_text(&error, output::ink()));
            error.code()
        }
    }
}

/// Runs the command that was asked for.
fn run(arguments: Arguments) -> Result<(), CliError> {
    match arguments.command {
        Command::New(new) => new::run(&new),
        Command::Check(check) => check::run(&check),
        Command::Build(b) => {
            build::run(&b.output, "", &Order::new(&b.make, &b.choice.stage, b.choice.kinds()))
        }
        Command::Template(t) => {
            let order = Order::new(&[Sort::Template, Sort::Plate], &t.choice.stage, t.choice.kinds());
            build::run(
                &t.output,
                "-template",
                &Order { paper: t.paper.map(|p| p.paper()), hot: t.hot, ..order },
            )
        }
        Command::Sheet(s) => {
            let order = Order::new(&[Sort::Sheet], &[], Kinds::only(&[]));
            build::run(&s.output, "-sheet", &Order { paper: s.paper.map(|p| p.paper()), ..order })
        }
        Command::Gauge(g) => {
            build::run(&g.output, "-gauge", &Order::new(&[Sort::Gauge], &[], Kinds::only(&g.only)))
        }
        Command::Metal(m) => {
            let order = Order::new(&[Sort::Metal], &[], Kinds::only(&m.only));
            build::run(&m.output, "-metal", &Order { cut: CutChoice::of(&m), ..order })
        }
        Command::Jig(j) => {
            build::run(&j.output, "-jig", &Order::new(&[Sort::Jig], &[], Kinds::only(&j.only)))
        }
        Command::Layers(l) => layers::run(&l),
        Command::Sure(s) => sure::run(&s),
        Command::Plan(p) => plan::run(&p),
        Command::Compare(c) => compare::run(&c),
        Command::Bench(b) => bench::run(&b),
        Command::Fit(f) => fit::run(&f),
        Command::View(v) => viewer::run("view", v.what.arguments(), v.build),
        Command::Picture(p) => viewer::run("picture", p.what.arguments(), p.build),
        Command::Schema => reference::schema(),
        Command::Completions { shell } => reference::completions(shell),
        Command::Man => reference::man(),
        Command::Licences => reference::licences(),
    }
}
