//! The command line: what may be asked for, in clap's terms.

use std::net::IpAddr;
use std::path::PathBuf;

use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, Parser, Subcommand, ValueEnum};
use clap_complete::Shell;

use crate::ask::heat::AskedHeat;
use crate::ask::kinds::{ColoursName, Kind, PaperName, SideName, Sort, StageName, UnitName};
use crate::ask::order::Kinds;

/// From one design file to an exact blade: CAD solid, printable meshes, weight and balance, full-size templates,
/// gauges and jig parts.
#[derive(Debug, Parser)]
#[command(name = "seaxwright", version, after_help = EXIT_CODES)]
pub(crate) struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// What scripts need to know, at the foot of the help and of the manual page.
const EXIT_CODES: &str =
    "Exit codes: 0 done, 1 problems in the design or in what was measured, 2 could not read or write.";

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Write a commented starter design, or a file to write measured values into
    New(New),
    /// List every mistake in a design; or, where there is none, its sizes, weight and balance
    Check(Check),
    /// Make everything: solids and meshes, templates, the bench sheet, plates, gauges, jig parts, bars, layers, and pages that
    /// show all of it
    Build(Build),
    /// Make the full-size template on paper, and the profile plate (--only pdf for the paper alone)
    Template(Template),
    /// Make the bench sheet: what to cut, forge, grind and measure, with room to write, on paper
    Sheet(Sheet),
    /// Make the gauges for the grinder
    Gauge(Parts),
    /// Draw the gauges for cutting out of sheet steel, in DXF (or SVG); those for the forge are scaled for hot steel
    Metal(Metal),
    /// Make jig parts, stop blocks and the fit coupon
    Jig(Parts),
    /// Make the bars of the billet as bodies, and pictures of the layers as they will be etched; or say what lies at a point
    Layers(Layers),
    /// Show how sure the pattern of the layers is: how far small slips at forge and grinder move it, and how large they may be
    Sure(Sure),
    /// Print what to cut and how to forge it: stock, twist schedule, heats, bath; for designs that name their steel
    Plan(Check),
    /// Compare a blade on the bench, measured in a CSV file, with its design: what to take off, weight, guard and pommel, warp
    Compare(Compare),
    /// Serve the build's page to the phone at the anvil: steps to tick, timers, a pad for what you measure, and what to take off
    /// at once
    Bench(AtBench),
    /// Find the smallest change to the design that meets its targets
    Fit(Fit),
    /// Show the blade in a window: turn it over, cut it, grind it, draw its bars apart
    View(Drawn<look::View>),
    /// Draw what the window would show into a PNG, without a window
    Picture(Drawn<look::Picture>),
    /// Print the JSON Schema of the design file
    Schema,
    /// Print a shell's completion script
    Completions {
        /// The shell to complete for
        shell: Shell,
    },
    /// Print the manual page
    Man,
    /// Print the licences of everything that this program and its window are built of
    Licences,
}

/// What the window program draws, and whether it may be built for it.
#[derive(Debug, Args)]
pub(crate) struct Drawn<T: Args> {
    #[command(flatten)]
    pub(crate) what: T,
    /// If the window program is not there, build it first from the sources of this one: some minutes, once
    #[arg(long)]
    pub(crate) build: bool,
}

/// `new`.
#[derive(Args, Debug)]
pub(crate) struct New {
    /// The blade's name
    #[arg(required_unless_present = "measured")]
    pub(crate) name: Option<String>,
    /// Write a CSV file for this design, to fill in at the grinder with what you measure on the blade
    #[arg(long, value_name = "DESIGN", conflicts_with = "name")]
    pub(crate) measured: Option<PathBuf>,
    /// The unit of the starter file's lengths
    #[arg(long, value_name = "UNIT", default_value = "mm", conflicts_with = "measured")]
    pub(crate) unit: UnitName,
    /// Write semicolons and decimal commas, for spreadsheets that want them
    #[arg(long, requires = "measured")]
    pub(crate) semicolons: bool,
    /// The file to write; it must not exist yet [default: the name with .toml, or -measured.csv]
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
}

/// What a measured file may hold, after the help of `compare`.
const ROWS: &str = "The column `what` of the measured file takes: breadth, back, edge, thickness, right, left; gap right back, gap \
                    left back, gap right edge, gap left edge, gap back, gap edge, twist; weight, balance; clamped weight (a \
                    stand-in weight at its station) and below it balance with weights; support (what the scales under it \
                    read); hardness (HRC, or as 220 HV), tempered (the hottest temper). Stations count from the shoulder; on \
                    the tang, for weights and supports, they are below 0";

/// `compare`.
#[derive(Args, Debug)]
#[command(after_help = ROWS)]
pub(crate) struct Compare {
    /// The design file
    pub(crate) design: PathBuf,
    /// The measured file, CSV; `new --measured DESIGN` writes one to fill in
    pub(crate) measured: PathBuf,
    /// Print JSON, for good files and for those with problems
    #[arg(long)]
    pub(crate) json: bool,
    /// Also write pictures and words into this folder; one that an earlier run wrote is replaced: keep nothing of your own in it
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// How far past straight you bend a blade, as a multiple of its bow, from 0 to 10, for the shims [default: just straight]
    #[arg(long, value_name = "TIMES", value_parser = times)]
    pub(crate) past: Option<f64>,
}

/// What `bench` does and leaves alone, after its help.
const SERVES: &str = "Without --lan only this machine can open the page, at 127.0.0.1. The bench writes the measured file and \
                      a log of steps beside it (the same name, ending in .log), nothing else; other programs may write the \
                      measured file at the same time. The design is read once: after you change it, stop with Ctrl+C and \
                      start again";

/// `bench`.
#[derive(Args, Debug)]
#[command(after_help = SERVES)]
pub(crate) struct AtBench {
    /// The design file
    pub(crate) design: PathBuf,
    /// The measured file, CSV; made if it is missing [default: the design's short name with -measured.csv]
    #[arg(long, value_name = "FILE")]
    pub(crate) measured: Option<PathBuf>,
    /// Let phones of your network in, each with a code that is shown here and works once; nothing is encrypted on the way. ADDRESS
    /// picks one of this machine's addresses [default: the one it reaches the network by]
    #[arg(long, value_name = "ADDRESS", num_args = 0..=1, require_equals = true)]
    pub(crate) lan: Option<Option<IpAddr>>,
    /// The port; 0 takes any that is free
    #[arg(long, value_name = "PORT", default_value_t = PORT)]
    pub(crate) port: u16,
}

/// The port unless another is asked for: none that the lists of well-known services give away, and above those that only the
/// machine's keeper may open.
const PORT: u16 = 8470;

/// `check` and `plan`.
#[derive(Args, Debug)]
pub(crate) struct Check {
    /// The design file
    pub(crate) design: PathBuf,
    /// Print JSON, for a good design and for one with problems
    #[arg(long)]
    pub(crate) json: bool,
}

/// `fit`.
#[derive(Args, Debug)]
pub(crate) struct Fit {
    /// The design file, with its targets
    pub(crate) design: PathBuf,
    /// The new design file to write; it must not exist yet [default: none, only print the change]
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    /// Print JSON
    #[arg(long)]
    pub(crate) json: bool,
}

/// Where from and where to.
#[derive(Args, Debug)]
pub(crate) struct Output {
    /// The design file
    pub(crate) design: PathBuf,
    /// The folder to write; one that an earlier run wrote is replaced: keep nothing of your own in it
    /// [default: in build/, under the design's short name]
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
}

/// Which stages and kinds.
#[derive(Args, Debug)]
pub(crate) struct Choice {
    /// Only these stages; may be repeated or separated by commas [default: all]
    #[arg(long, value_name = "STAGE", value_delimiter = ',')]
    pub(crate) stage: Vec<StageName>,
    /// Only these kinds of file; may be repeated or separated by commas [default: all]
    #[arg(long, value_name = "KIND", value_delimiter = ',')]
    pub(crate) only: Vec<Kind>,
}

/// Which stages and kinds of things that come in fewer kinds than there are, unless more are asked for.
#[derive(Args, Debug)]
pub(crate) struct MoreChoice {
    /// Only these stages; may be repeated or separated by commas [default: all]
    #[arg(long, value_name = "STAGE", value_delimiter = ',')]
    pub(crate) stage: Vec<StageName>,
    /// Only these kinds of file; may be repeated or separated by commas [default: what each thing needs: blade, bars and layers
    /// in every kind, printed parts as 3mf, parts of steel as step, drawings for a cutter as dxf, templates as pdf and dxf]
    #[arg(long, value_name = "KIND", value_delimiter = ',')]
    pub(crate) only: Vec<Kind>,
    /// These kinds as well, of everything that has them: stl where a printer won't open 3mf, svg where a cutter takes no dxf,
    /// step to change a printed part in CAD; may be repeated or separated by commas
    #[arg(long, value_name = "KIND", value_delimiter = ',', conflicts_with = "only", value_parser = kinds_that(Kind::is_left_out))]
    pub(crate) also: Vec<Kind>,
}

impl MoreChoice {
    /// The kinds asked for.
    pub(crate) fn kinds(&self) -> Kinds {
        Kinds::asked(&self.only, &self.also)
    }
}

/// `build`.
#[derive(Args, Debug)]
pub(crate) struct Build {
    #[command(flatten)]
    pub(crate) output: Output,
    /// Only these sorts of things; may be repeated or separated by commas [default: all]
    #[arg(long, value_name = "SORT", value_delimiter = ',')]
    pub(crate) make: Vec<Sort>,
    #[command(flatten)]
    pub(crate) choice: MoreChoice,
}

/// `template`.
#[derive(Args, Debug)]
pub(crate) struct Template {
    #[command(flatten)]
    pub(crate) output: Output,
    #[command(flatten)]
    pub(crate) choice: MoreChoice,
    /// Paper to print on [default: the shop's]
    #[arg(long, value_name = "PAPER")]
    pub(crate) paper: Option<PaperName>,
    /// Draw the paper to the size of steel at this temperature, up to 1200 °C or 2192 °F: cut a template of bare sheet steel,
    /// never zinc-plated, from it (keep paper off hot steel). A bare number is on the design's scale, or give 700C or 1300F
    #[arg(long, value_name = "DEGREES", value_parser = AskedHeat::from_words)]
    pub(crate) hot: Option<AskedHeat>,
}

/// `sheet`.
#[derive(Args, Debug)]
pub(crate) struct Sheet {
    #[command(flatten)]
    pub(crate) output: Output,
    /// Paper to print on [default: the shop's]
    #[arg(long, value_name = "PAPER")]
    pub(crate) paper: Option<PaperName>,
}

/// `metal`. Lengths are text until the design's unit is known.
#[derive(Args, Debug)]
pub(crate) struct Metal {
    #[command(flatten)]
    pub(crate) output: Output,
    /// Width of the cut, such as 0.2 or "0.008 in", from 0 to 2.5 mm: every cut is offset by half of it, so that the part comes out
    /// to size [default: 0, the cutter's own program does it]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) kerf: Option<String>,
    /// The sheet, width by height, such as 1000x500 or "48x24 in" [default: the smallest standard sheet that holds them all]
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    pub(crate) sheet: Option<String>,
    /// Thickness of the sheet, from 0.5 to 12 mm: no hole is narrower than the sheet is thick [default: 2 mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) thickness: Option<String>,
    /// Scale the profile and the tip for steel at this temperature, such as 700C or 1300F; a bare number is on the design's scale;
    /// 20C is cold [default: 900C]
    #[arg(long, value_name = "DEGREES", value_parser = AskedHeat::from_words)]
    pub(crate) hot: Option<AskedHeat>,
    /// Only these kinds of file; may be repeated or separated by commas: svg where a cutter takes no dxf [default: dxf]
    #[arg(long, value_name = "KIND", value_delimiter = ',', value_parser = kinds_that(Kind::guides_a_cutter))]
    pub(crate) only: Vec<Kind>,
}

/// `layers`.
#[derive(Args, Debug)]
pub(crate) struct Layers {
    #[command(flatten)]
    pub(crate) output: Output,
    #[command(flatten)]
    pub(crate) choice: Choice,
    /// Dots per mm of the pictures, from 1 to 40 [default: 4]
    #[arg(long, value_name = "DOTS", value_parser = dots)]
    pub(crate) dots: Option<f64>,
    /// What the colours of the layers show [default: etched]
    #[arg(long, value_name = "COLOURS")]
    pub(crate) colours: Option<ColoursName>,
    /// Write one page for a customer instead: all four sides of one stage with scale bar, legend and fittings, as PDF or PNG
    /// by the file's ending; an earlier one is replaced
    #[arg(long = "page", value_name = "FILE", conflicts_with_all = ["out", "only", "dots"])]
    pub(crate) sheet: Option<PathBuf>,
    /// Say what lies at a point you see on the steel instead: bar, layer, steel, depth and turn. The station counts from the
    /// shoulder, the height from the edge up at that station, in the design's unit: 120,14.5 or "4 3/4,9/16"
    #[arg(long, value_name = "STATION,HEIGHT", allow_hyphen_values = true, conflicts_with_all = ["out", "only", "dots", "sheet", "colours"])]
    pub(crate) at: Option<String>,
    /// The side the point is on [default: right]
    #[arg(long, value_name = "SIDE", requires = "at")]
    pub(crate) side: Option<SideName>,
    /// Print what lies at the point as JSON
    #[arg(long, requires = "at")]
    pub(crate) json: bool,
}

/// `sure`.
#[derive(Args, Debug)]
pub(crate) struct Sure {
    /// The design file
    pub(crate) design: PathBuf,
    /// How far seams, stripes and chevrons may drift, such as 2 or "1/16 in", from 0.1 to 50 mm: prints how large a slip may be
    /// for that [default: 2 mm]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) drift: Option<String>,
    /// Also write one page with pictures: the right side as planned and after each slip, as PDF or PNG by the file's ending; an
    /// earlier one is replaced
    #[arg(long = "page", value_name = "FILE")]
    pub(crate) sheet: Option<PathBuf>,
    /// What the colours of the layers show on the page [default: etched]
    #[arg(long, value_name = "COLOURS", requires = "sheet")]
    pub(crate) colours: Option<ColoursName>,
    /// Print JSON
    #[arg(long)]
    pub(crate) json: bool,
}

/// `gauge` and `jig`.
#[derive(Args, Debug)]
pub(crate) struct Parts {
    #[command(flatten)]
    pub(crate) output: Output,
    /// Only these kinds of file; may be repeated or separated by commas: stl where a printer won't open 3mf, step to change a
    /// part in CAD [default: 3mf of printed parts, step of those of steel]
    #[arg(long, value_name = "KIND", value_delimiter = ',', value_parser = kinds_that(Kind::holds_a_part))]
    pub(crate) only: Vec<Kind>,
}

/// The kinds of file of which this is true.
fn kinds_that(wanted: fn(Kind) -> bool) -> impl TypedValueParser<Value = Kind> {
    let all = Kind::value_variants().iter().filter(move |kind| wanted(**kind));
    PossibleValuesParser::new(all.filter_map(Kind::to_possible_value))
        .try_map(|word| Kind::from_str(&word, false))
}

/// A fineness of pictures.
fn dots(text: &str) -> Result<f64, String> {
    let value = text.parse().ok().filter(|dots| (1.0..=40.0).contains(dots));
    value.ok_or_else(|| "give dots per mm, from 1 to 40".to_owned())
}

/// How many times a bow is overdone.
fn times(text: &str) -> Result<f64, String> {
    let value = text.parse().ok().filter(|times| (0.0..=10.0).contains(times));
    value.ok_or_else(|| "give a number from 0 to 10".to_owned())
}
