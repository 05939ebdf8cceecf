//! The arguments themselves, and how a request is written as arguments again.

use std::ffi::OsString;
use std::path::PathBuf;
use std::str::FromStr;

use clap::{Args, ValueEnum};

use crate::choice::{Colour, From, Mark, StageName};

/// What is shown.
#[derive(Args, Clone, Debug, PartialEq)]
pub struct Look {
    /// The stage to show
    #[arg(long, value_name = "STAGE", default_value = "finished")]
    pub stage: StageName,
    /// Show the blade with this much ground off instead of a stage: 0 is the forged skin, 100 the finished surface
    #[arg(long, value_name = "PERCENT", value_parser = percent)]
    pub ground: Option<f64>,
    /// A measured file, as `compare` reads it: colours then show what is left to take off for the next stage
    #[arg(long, value_name = "FILE")]
    pub measured: Option<PathBuf>,
    /// What the colours show [default: take-off with a measured file, else bars where the design has a billet, else steel]
    #[arg(long, value_name = "WHAT")]
    pub colour: Option<Colour>,
    /// The side to look from
    #[arg(long = "view", value_name = "SIDE", default_value = "turned")]
    pub from: From,
    /// The station whose section is drawn, in the design file's unit [default: a third of the blade]
    #[arg(long, value_name = "STATION", allow_negative_numbers = true, value_parser = finite)]
    pub station: Option<f64>,
    /// How far apart the bars are drawn: 0 is welded, 100 all the way
    #[arg(long, value_name = "PERCENT", default_value_t = 0.0, value_parser = percent)]
    pub apart: f64,
    /// How many times thicker than it is the blade is drawn, 1 to 10
    #[arg(long, value_name = "TIMES", default_value_t = 1.0, value_parser = times)]
    pub thicker: f64,
    /// Mark these places; may be repeated or separated by commas
    #[arg(long, value_name = "PLACE", value_delimiter = ',')]
    pub mark: Vec<Mark>,
    /// Light drawing on dark ground
    #[arg(long)]
    pub dark: bool,
}

/// `view`.
#[derive(Args, Clone, Debug, PartialEq)]
pub struct View {
    /// The design file; it is read again whenever it is saved. Without one, start a new blade or open one of this folder
    pub design: Option<PathBuf>,
    #[command(flatten)]
    #[allow(missing_docs, reason = "clap would show the text in place of the options' own")]
    pub look: Look,
    /// Size of the window in pixels
    #[arg(long, value_name = "WIDTHxHEIGHT", default_value = "1280x800")]
    pub size: Size,
    /// Append what the window shows and how long its frames take to this file, a JSON object a line
    #[arg(long, value_name = "FILE", hide = true)]
    pub trace: Option<PathBuf>,
}

/// `picture`.
#[derive(Args, Clone, Debug, PartialEq)]
pub struct Picture {
    /// The design file
    pub design: PathBuf,
    #[command(flatten)]
    #[allow(missing_docs, reason = "clap would show the text in place of the options' own")]
    pub look: Look,
    /// Size of the picture in pixels
    #[arg(long, value_name = "WIDTHxHEIGHT", default_value = "1600x900")]
    pub size: Size,
    /// Leave out section, figures and legend
    #[arg(long)]
    pub bare: bool,
    /// The file to write; an earlier PNG is replaced [default: the design's short name with the view's, .png]
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
}

/// Width and height in pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Size {
    /// Pixels in a row.
    pub width: u32,
    /// Rows.
    pub height: u32,
}

/// Sizes accepted, in pixels along a side: from what shows anything to the largest that every graphics card draws.
const SIDES: std::ops::RangeInclusive<u32> = 64..=8192;

impl FromStr for Size {
    type Err = String;

    fn from_str(text: &str) -> Result<Size, String> {
        let side = |t: &str| t.parse().ok().filter(|n| SIDES.contains(n));
        text.split_once('x').and_then(|(w, h)| Some(Size { width: side(w)?, height: side(h)? })).ok_or_else(
            || format!("give two counts of pixels from {} to {} as in 1600x900", SIDES.start(), SIDES.end()),
        )
    }
}

impl std::fmt::Display for Size {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}x{}", self.width, self.height)
    }
}

impl Look {
    /// The command-line arguments that ask for it.
    fn arguments(&self) -> Vec<OsString> {
        let mut arguments = Arguments::default();
        arguments.option("--stage", &name(self.stage));
        arguments.optional("--ground", self.ground);
        arguments.path("--measured", self.measured.as_ref());
        arguments.optional("--colour", self.colour.map(name));
        arguments.option("--view", &name(self.from));
        arguments.optional("--station", self.station);
        arguments.option("--apart", &self.apart.to_string());
        arguments.option("--thicker", &self.thicker.to_string());
        for &mark in &self.mark {
            arguments.option("--mark", &name(mark));
        }
        arguments.flag("--dark", self.dark);
        arguments.0
    }
}

impl View {
    /// The command-line arguments that ask for it, after the command's name.
    pub fn arguments(&self) -> Vec<OsString> {
        let mut arguments = Arguments(self.look.arguments());
        arguments.option("--size", &self.size.to_string());
        arguments.path("--trace", self.trace.as_ref());
        if let Some(design) = &self.design {
            arguments.file(design);
        }
        arguments.0
    }
}

impl Picture {
    /// The command-line arguments that ask for it, after the command's name.
    pub fn arguments(&self) -> Vec<OsString> {
        let mut arguments = Arguments(self.look.arguments());
        arguments.option("--size", &self.size.to_string());
        arguments.flag("--bare", self.bare);
        arguments.path("--out", self.out.as_ref());
        arguments.file(&self.design);
        arguments.0
    }
}

/// Arguments being put together.
#[derive(Default)]
struct Arguments(Vec<OsString>);

impl Arguments {
    fn option(&mut self, key: &str, value: &str) {
        // One word, so that a negative number is no option of its own.
        self.0.push(format!("{key}={value}").into());
    }

    fn optional(&mut self, key: &str, value: Option<impl ToString>) {
        if let Some(value) = value {
            self.option(key, &value.to_string());
        }
    }

    fn flag(&mut self, key: &str, set: bool) {
        if set {
            self.0.push(key.into());
        }
    }

    fn path(&mut self, key: &str, path: Option<&PathBuf>) {
        if let Some(path) = path {
            self.0.extend([key.into(), path.into()]);
        }
    }

    /// The design file, after a mark that ends the options: its name may begin with a dash.
    fn file(&mut self, design: &PathBuf) {
        self.0.extend(["--".into(), design.into()]);
    }
}

/// How the command line spells a choice.
fn name(choice: impl ValueEnum) -> String {
    choice.to_possible_value().map_or_else(String::new, |v| v.get_name().to_owned())
}

/// A number from 0 to 100.
fn percent(text: &str) -> Result<f64, String> {
    within(text, 0.0, 100.0)
}

/// A number from 1 to 10.
fn times(text: &str) -> Result<f64, String> {
    within(text, 1.0, 10.0)
}

/// A number between two bounds, which belong to it.
fn within(text: &str, low: f64, high: f64) -> Result<f64, String> {
    let value: Option<f64> = text.parse().ok();
    value.filter(|v| (low..=high).contains(v)).ok_or_else(|| format!("give a number from {low} to {high}"))
}

/// A number that is neither infinite nor NaN.
fn finite(text: &str) -> Result<f64, String> {
    text.parse().ok().filter(|v: &f64| v.is_finite()).ok_or_else(|| "give a number".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::Parser;

    #[derive(Debug, Parser)]
    enum Command {
        View(View),
        Picture(Picture),
    }

    fn read(words: &[OsString], command: &str) -> Result<Command, clap::Error> {
        let start = ["viewer", command].map(OsString::from);
        Command::try_parse_from(start.iter().chain(words))
    }

    fn typed(line: &str) -> Result<Command, clap::Error> {
        Command::try_parse_from(line.split(' '))
    }

    #[test]
    fn arguments_ask_for_the_same_again() {
        for line in [
            "v view a.toml",
            "v view -- --odd.toml",
            "v view a.toml --stage ground --colour layers --view edge --station -12.5 --dark --trace t.json",
            "v view a.toml --measured m.csv --ground 33.3 --apart 50 --thicker 7.5 --mark nodes,balance --mark centre --size 640x480",
        ] {
            let Ok(Command::View(view)) = typed(line) else { panic!("{line}") };
            let Ok(Command::View(again)) = read(&view.arguments(), "view") else { panic!("{line}") };
            assert_eq!(view, again);
        }
        for line in ["v picture a.toml", "v picture a.toml --bare --out b.png --size 64x8192 --colour taper"]
        {
            let Ok(Command::Picture(picture)) = typed(line) else { panic!("{line}") };
            let Ok(Command::Picture(again)) = read(&picture.arguments(), "picture") else { panic!("{line}") };
            assert_eq!(picture, again);
        }
    }

    #[test]
    fn what_can_not_be_shown_is_refused() {
        for line in [
            "v view a.toml --thicker 11",
            "v view a.toml --thicker nan",
            "v view a.toml --ground 101",
            "v view a.toml --apart -1",
            "v view a.toml --station inf",
            "v view a.toml --size 0x0",
            "v view a.toml --size 1600",
            "v picture a.toml --size 99999x900",
            "v picture",
        ] {
            assert!(typed(line).is_err(), "{line}");
        }
        // A window without a design begins one.
        let Ok(Command::View(view)) = typed("v view") else { panic!("view") };
        assert!(view.design.is_none() && !view.arguments().iter().any(|word| word == "--"));
    }
}
