//! The `seaxwright` command: arguments, progress, diagnostics, exit codes, and the only writer of files.

mod arguments;
mod bars;
mod bench_sheet;
mod body;
mod build;
mod check;
mod compare;
mod diagnostics;
mod fit;
mod kinds;
mod layers;
mod made;
mod nearest;
mod new;
mod order;
mod paper;
mod pipeline;
mod plan;
mod progress;
mod reference;
mod side_by_side;
mod source;
mod stop;
mod swap;
mod terminal;
mod viewer;

use std::process::ExitCode;

use clap::Parser;

use arguments::{Arguments, Command};
use kinds::Sort;
use order::Order;
use stop::Stop;

fn main() -> ExitCode {
    match run(Arguments::parse()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(stop) => {
            terminal::complain(&stop.text(terminal::ink()));
            stop.code()
        }
    }
}

fn run(arguments: Arguments) -> Result<(), Stop> {
    match arguments.command {
        Command::New(new) => new::run(&new),
        Command::Check(check) => check::run(&check),
        Command::Build(b) => build::run(&b.output, "", &Order::new(&b.make, &b.choice.stage, &b.choice.only)),
        Command::Template(t) => {
            let order = Order::new(&[Sort::Template, Sort::Plate], &t.choice.stage, &t.choice.only);
            build::run(
                &t.output,
                "-template",
                &Order { paper: t.paper.map(|p| p.paper()), hot: t.hot, ..order },
            )
        }
        Command::Sheet(s) => {
            let order = Order::new(&[Sort::Sheet], &[], &[]);
            build::run(&s.output, "-sheet", &Order { paper: s.paper.map(|p| p.paper()), ..order })
        }
        Command::Gauge(g) => build::run(&g.output, "-gauge", &Order::new(&[Sort::Gauge], &[], &g.only)),
        Command::Jig(j) => build::run(&j.output, "-jig", &Order::new(&[Sort::Jig], &[], &j.only)),
        Command::Layers(l) => {
            let order = Order::new(&[Sort::Bars, Sort::Layers], &l.choice.stage, &l.choice.only);
            build::run(&l.output, "-layers", &Order { dots: l.dots, ..order })
        }
        Command::Plan(p) => plan::run(&p),
        Command::Compare(c) => compare::run(&c),
        Command::Fit(f) => fit::run(&f),
        Command::View(v) => viewer::run("view", v.words()),
        Command::Picture(p) => viewer::run("picture", p.words()),
        Command::Schema => reference::schema(),
        Command::Completions { shell } => reference::completions(shell),
        Command::Man => reference::man(),
    }
}
