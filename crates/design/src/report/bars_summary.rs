//! What `check` tells of the billet: how broad each bar comes out along the blade, and what to look out for.

use std::fmt::Write;

use blade::{Sections, Stage};
use laminate::{Bar, BarsAt, Billet, Finding, MaterialMap, Spot, Survey, Teeth};
use serde::Serialize;

use crate::unit::quantity::Unit;
use crate::{Design, Figures};

/// The billet on the finished blade. Lengths in mm, bars from the back to the edge.
#[derive(Clone, Debug, Serialize)]
pub struct BarsSummary {
    /// The bars' names.
    pub names: Vec<String>,
    /// Each bar's breadth and pitch at stations.
    pub stations: Vec<BarsAtSummary>,
    /// The same at the stations of the tables in words.
    #[serde(skip)]
    told: Vec<BarsAtSummary>,
    /// What serrated welds do to these breadths, in words.
    #[serde(skip)]
    teeth: Vec<String>,
    /// Where bars of slices have their scarf welds, in words.
    #[serde(skip)]
    scarfs: Vec<String>,
    /// The plugs as they show on the sides.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub plugs: Vec<PlugSummary>,
    /// The same in words.
    #[serde(skip)]
    spots: Vec<String>,
    /// What the smith can act on, in words and in the file's unit.
    pub findings: Vec<String>,
}

/// The bars at one station of the finished blade, mm.
#[derive(Clone, Debug, Serialize)]
pub struct BarsAtSummary {
    /// Distance from the shoulder.
    pub at_mm: f64,
    /// Breadth of each bar on the side; 0 where it has ended.
    pub breadths_mm: Vec<f64>,
    /// Length of the blade that a full turn of each bar takes; none where it is straight.
    pub pitches_mm: Vec<Option<f64>>,
}

/// A plug as it shows on both sides of the finished blade, mm.
#[derive(Clone, Debug, Serialize)]
pub struct PlugSummary {
    /// Its bar.
    pub bar: String,
    /// Its steel.
    pub steel: String,
    /// The station of its middle.
    pub at_mm: f64,
    /// Between which stations it shows.
    pub stations_mm: [f64; 2],
    /// Between which heights over the edge it shows there.
    pub heights_mm: [f64; 2],
}

impl BarsSummary {
    /// Of a design with a billet, at the stations given (mm); `None` for a blade of one steel.
    pub fn from_design(design: &Design, stations: &[f64]) -> Option<BarsSummary> {
        BarsSummary::with_told(design, stations, &[])
    }

    /// The same with a table in words at the stations `told` (mm).
    pub(crate) fn with_told(design: &Design, stations: &[f64], told: &[f64]) -> Option<BarsSummary> {
        let (lay, limits) = (design.lay()?, design.limits()?);
        let finished = Sections::of(&design.blade().loft(Stage::Finished));
        let survey = Survey::new(lay, &finished, stations, limits);
        let names: Vec<String> = lay.billet().bars().iter().map(|b| b.name.clone()).collect();
        let words = Told { figures: design.figures() };
        let here = |b: BarsAt| BarsAtSummary { at_mm: b.at, breadths_mm: b.widths, pitches_mm: b.pitches };
        let told = told.iter().filter_map(|x| BarsAt::new(lay, &finished, *x)).map(here).collect();
        let shown = lay.spots(&finished);
        Some(BarsSummary {
            stations: survey.bars.into_iter().map(here).collect(),
            told,
            teeth: teeth(lay.billet(), design.figures()),
            scarfs: scarfs(lay, design.figures()),
            plugs: shown.iter().map(|spot| plug(spot, lay.billet())).collect(),
            spots: spots(&shown, lay.billet(), design.figures()),
            findings: survey.findings.iter().map(|f| sentence(f, &names, &words)).collect(),
            names,
        })
    }

    /// Writes a table of the bars, of one bar none, and the findings under it.
    pub(crate) fn write(&self, out: &mut String, figures: Figures) -> std::fmt::Result {
        if self.names.len() > 1 {
            self.table(out, figures)?;
        }
        self.scarfs.iter().chain(&self.spots).try_for_each(|words| writeln!(out, "\n{words}"))?;
        self.findings.iter().try_for_each(|finding| writeln!(out, "\nBars: {finding}"))
    }

    /// Each bar's breadth at the stations told.
    fn table(&self, out: &mut String, figures: Figures) -> std::fmt::Result {
        let length = |mm: f64| figures.length(mm);
        let twisted = self.told.iter().any(|s| s.pitches_mm.iter().any(Option::is_some));
        let turn = if twisted { " (length of a full turn)" } else { "" };
        let unit = figures.spoken();
        writeln!(out, "\nbars of the finished blade, breadth on the side in {unit}{turn}")?;
        let cell = |breadth: f64, pitch: Option<f64>| match pitch {
            _ if breadth <= 0.0 => "–".to_owned(),
            Some(pitch) => format!("{} ({})", length(breadth), length(pitch)),
            None => length(breadth),
        };
        let rows: Vec<Vec<String>> = self
            .told
            .iter()
            .map(|s| {
                let cells = s.breadths_mm.iter().zip(&s.pitches_mm).map(|(b, p)| cell(*b, *p));
                std::iter::once(figures.station(s.at_mm)).chain(cells).collect()
            })
            .collect();
        let head = std::iter::once("station".to_owned()).chain(self.names.iter().cloned()).collect();
        let table: Vec<Vec<String>> = std::iter::once(head).chain(rows).collect();
        let width = |k: usize| table.iter().map(|r| r[k].chars().count()).max().unwrap_or(0);
        for row in &table {
            let cells = row.iter().enumerate().map(|(k, text)| format!("{text:>w$}", w = width(k).max(9)));
            writeln!(out, "  {}", cells.collect::<Vec<_>>().join(" "))?;
        }
        self.teeth.iter().try_for_each(|words| writeln!(out, "  {words}"))
    }
}

/// What serrated welds do to breadths that are told at stations, a sentence each; none without teeth.
pub fn teeth(billet: &Billet, figures: Figures) -> Vec<String> {
    let pairs = billet.bars().windows(2);
    let toothed = pairs.filter_map(|pair| Some((&pair[0].name, &pair[1].name, pair[1].teeth.as_ref()?)));
    let words = |(upper, lower, teeth): (&String, &String, &Teeth)| {
        format!(
            "{upper} and {lower} meet in teeth {} deep: at a station they are as broad as the tooth there lets them be",
            told_length(figures, teeth.asked().depth)
        )
    };
    toothed.map(words).collect()
}

/// How far apart bars of slices have their scarf welds on the blade, a sentence each; none without slices.
fn scarfs(lay: &MaterialMap, figures: Figures) -> Vec<String> {
    let bars = lay.billet().bars().iter().enumerate();
    let sloped = bars.filter_map(|(i, bar)| Some((&bar.name, lay.billet().standing(i).slice()?)));
    let last = lay.sections().fan_start();
    let each = |(name, slice): (&String, f64)| {
        let told = |x: f64| lay.stretch(x).map(|stretch| told_length(figures, slice * stretch));
        let (shoulder, point) = told(0.0).zip(told(last))?;
        Some(format!(
            "{name} is welded up from slices: on the blade their scarf welds are {shoulder} apart at the shoulder and {point} at station {}",
            figures.told(last)
        ))
    };
    sloped.filter_map(each).collect()
}

fn plug(spot: &Spot, billet: &Billet) -> PlugSummary {
    let bar = &billet.bars()[spot.bar];
    PlugSummary {
        bar: bar.name.clone(),
        steel: billet.steels()[bar.plugs[spot.plug].steel()].name.clone(),
        at_mm: spot.at,
        stations_mm: spot.stations,
        heights_mm: spot.heights,
    }
}

/// What plugs show as on the finished sides, a sentence for each bar; none without plugs.
fn spots(spots: &[Spot], billet: &Billet, figures: Figures) -> Vec<String> {
    let one = |spot: &Spot| {
        let [long, high] = [spot.stations, spot.heights].map(|[from, to]| figures.length(to - from));
        let middle = told_length(figures, 0.5 * (spot.heights[0] + spot.heights[1]));
        format!(
            "{long} long × {high} high, centred at station {}, {middle} above the edge",
            figures.told(spot.at)
        )
    };
    let of_bar = |own: &[Spot]| {
        let bar = &billet.bars()[own[0].bar];
        let each: Vec<String> = own.iter().map(one).collect();
        let [shows, rims] = match own.len() {
            1 => ["it shows as an oval", "Its rim blurs"],
            _ => ["they show as ovals", "Their rims blur"],
        };
        format!(
            "{} has {}; on both sides {shows}: {}. {rims} a little, because carbon spreads across the weld",
            bar.name,
            plug_words(bar, billet).unwrap_or_default(),
            each.join("; ")
        )
    };
    spots.chunk_by(|a, b| a.bar == b.bar).map(of_bar).collect()
}

/// How many plugs a bar has, and of which steels; `None` where it has none.
pub fn plug_words(bar: &Bar, billet: &Billet) -> Option<String> {
    let mut names: Vec<&str> = Vec::new();
    for plug in &bar.plugs {
        let name = billet.steels()[plug.steel()].name.as_str();
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let counted =
        if bar.plugs.len() == 1 { "1 plug".to_owned() } else { format!("{} plugs", bar.plugs.len()) };
    (!names.is_empty()).then(|| format!("{counted} of {}", names.join(" and ")))
}

/// A length to a tenth of a millimetre or a thousandth of an inch, with its unit.
fn told_length(figures: Figures, mm: f64) -> String {
    format!("{} {}", figures.length(mm), figures.unit.name())
}

/// Lengths (mm) as text in the file's unit.
struct Told {
    figures: Figures,
}

impl Told {
    /// A station, as it is told everywhere else.
    fn station(&self, mm: f64) -> String {
        self.figures.told(mm)
    }

    /// To a tenth of a millimetre or a thousandth of an inch: what a rule or a caliper shows.
    fn length(&self, mm: f64) -> String {
        told_length(self.figures, mm)
    }

    /// To a thousandth of a millimetre or a ten-thousandth of an inch: layers are told from [`Limits::visible`] down.
    ///
    /// [`Limits::visible`]: laminate::Limits::visible
    fn layer(&self, mm: f64) -> String {
        let unit = self.figures.unit;
        let places = if unit == Unit::Inch { 4 } else { 3 };
        format!("{:.places$} {}", mm / unit.millimetres(), unit.name())
    }
}

/// A finding in words.
fn sentence(finding: &Finding, names: &[String], told: &Told) -> String {
    let name = |bar: usize| names.get(bar).map_or("", String::as_str);
    match *finding {
        Finding::NearEdge { bar, at, distance } => format!(
            "the seam under {} comes within {} of the edge at station {}; make the bar {} taller, or take less off the edge",
            name(bar),
            told.length(distance),
            told.station(at),
            name(bar + 1)
        ),
        Finding::Ends { bar, at, through_edge: true } => format!(
            "{} ends at station {}; from there to the point the cutting edge is {}: its hardness there is not the figure given \
             for {}",
            name(bar),
            told.station(at),
            bar.checked_sub(1).map_or("", &name),
            name(bar)
        ),
        Finding::Ends { bar, at, through_edge: false } => format!(
            "{} ends at station {}; from there to the point the back is {}",
            name(bar),
            told.station(at),
            name(bar + 1)
        ),
        Finding::Drift { bar, from, turns } => format!(
            "the layers of {} and {} no longer meet at their seam from station {} on: up to {turns:.2} turns apart; \
             twist both by the same turns and start them alike",
            name(bar),
            name(bar + 1),
            told.station(from)
        ),
        Finding::GroundThrough { bar, between: [from, to], at, breadth, shows } => format!(
            "{} is ground through on the side from station {} to {}: {} shows there, at station {} over {} of its breadth; leave \
             less to grind off, or make the wrap thicker",
            name(bar),
            told.station(from),
            told.station(to),
            name(shows),
            told.station(at),
            told.length(breadth)
        ),
        Finding::Thin { bar, at, thickness } => format!(
            "layers of {} come out {} thick at station {}: too thin to see; stack fewer of them",
            name(bar),
            told.layer(thickness),
            told.station(at)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read;

    const NAMES: [&str; 2] = ["Back", "Edge"];

    fn said(finding: &Finding, unit: Unit) -> String {
        sentence(finding, &NAMES.map(str::to_owned), &Told { figures: Figures::of(unit) })
    }

    #[test]
    fn findings_name_bars_and_lengths_in_the_files_unit() {
        let near = Finding::NearEdge { bar: 0, at: 312.0, distance: 2.1 };
        let start =
            "the seam under Back comes within 2.1 mm of the edge at station 312 mm; make the bar Edge taller";
        assert!(said(&near, Unit::Millimetre).starts_with(start));
        assert!(said(&near, Unit::Inch).contains("within 0.083 in of the edge at station 12.283 in"));
        let ends = |through_edge| Finding::Ends { bar: 1, at: 402.0, through_edge };
        let gone = said(&ends(true), Unit::Millimetre);
        let soft = "Edge ends at station 402 mm; from there to the point the cutting edge is Back: its hardness there is not";
        assert!(gone.starts_with(soft), "{gone}");
        let back = said(&Finding::Ends { bar: 0, at: 402.0, through_edge: false }, Unit::Millimetre);
        assert_eq!(back, "Back ends at station 402 mm; from there to the point the back is Edge");
        let drift = said(&Finding::Drift { bar: 0, from: 120.0, turns: 0.304 }, Unit::Millimetre);
        let apart =
            "Back and Edge no longer meet at their seam from station 120 mm on: up to 0.30 turns apart";
        assert!(drift.contains(apart), "{drift}");
        // 0.0404 mm are 0.00159 in.
        let thin = Finding::Thin { bar: 0, at: 300.0, thickness: 0.0404 };
        assert!(said(&thin, Unit::Millimetre).contains("Back come out 0.040 mm thick at station 300 mm"));
        let inches = said(&thin, Unit::Inch);
        assert!(
            inches.contains("0.0016 in thick at station 11.811 in") && !inches.contains("mm"),
            "{inches}"
        );
    }

    fn blade(recipe: &str) -> Design {
        let text = format!(
            "name = \"Weir\"\n[[taper]]\nat = 0\nback = 6\n[outline]\nlength = 300\nbreadth = 30\n{recipe}"
        );
        read(text.as_bytes()).unwrap_or_else(|problems| panic!("{text}\n{problems:#?}"))
    }

    /// A twisted back over an edge bar of this height, mm.
    fn twisted(edge: f64) -> Design {
        blade(&format!(
            "[billet]\nwidth = 12\n[[layers]]\nname = \"fine\"\nsteels = [\"C75S\", \"75Ni8\"]\ncount = 7\n\
             [[bar]]\nname = \"Twist\"\nheight = 20\nlayers = \"fine\"\n\
             twist = [{{ hand = \"left\", turns = 1 }}]\n\
             [[bar]]\nname = \"Edge\"\nheight = {edge}\nsteel = \"C105U\"\n"
        ))
    }

    const STATIONS: [f64; 3] = [0.0, 100.0, 200.0];

    #[test]
    fn a_blade_of_one_steel_has_no_bars() {
        assert!(BarsSummary::from_design(&blade(""), &STATIONS).is_none());
    }

    #[test]
    fn breadths_fill_the_finished_blade_and_only_twisted_bars_have_a_pitch() {
        let design = twisted(12.0);
        let bars = BarsSummary::from_design(&design, &STATIONS).unwrap();
        assert_eq!((bars.names.join(" ").as_str(), bars.stations.len()), ("Twist Edge", 3));
        let loft = design.blade().loft(Stage::Finished);
        for s in &bars.stations {
            let breadth = loft.station(s.at_mm).unwrap().breadth;
            assert!((s.breadths_mm.iter().sum::<f64>() - breadth).abs() < 1e-4, "{s:?} {breadth}");
            assert!(s.pitches_mm[0].is_some_and(|p| p > 25.0) && s.pitches_mm[1].is_none(), "{s:?}");
        }
        assert_eq!(bars.findings, Vec::<String>::new());
    }

    #[test]
    fn what_the_survey_finds_is_told_in_the_text() {
        let bars = BarsSummary::with_told(&twisted(1.5), &STATIONS, &STATIONS).unwrap();
        assert!(
            bars.findings.iter().any(|f| f.starts_with("the seam under Twist comes within ")),
            "{bars:?}"
        );
        let mut text = String::new();
        bars.write(&mut text, Figures::of(Unit::Millimetre)).unwrap();
        assert!(bars.findings.iter().all(|f| text.contains(&format!("\nBars: {f}\n"))), "{text}");
        assert_eq!(text.lines().filter(|l| l.contains('(')).count(), 1 + STATIONS.len(), "{text}");
    }
}
