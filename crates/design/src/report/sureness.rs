//! How sure the pattern is: what small slips at forge and grinder do to it, in words and figures.

use std::fmt::Write;

use blade::{Sections, Stage};
use laminate::{Drift, MaterialMap, Slip};
use serde::Serialize;

use crate::unit::figures::{minus, trimmed};
use crate::{Design, Figures};

/// What a hand and a hammer easily go wrong by (common practice, no source): a share of the draw at the point, turns of a
/// bar, and mm of a bar and of grinding.
const SLIPS: (f64, f64, [f64; 2]) = (0.02, 0.5, [0.3, 0.3]);
/// Stations that are looked at, evenly from the shoulder to one breadth before the point.
const STATIONS: usize = 5;

/// How sure the pattern of a billet is on the right side of the finished blade.
#[derive(Clone, Debug, Serialize)]
pub struct Sureness {
    /// How far things may drift for what is granted, mm.
    pub drift_mm: f64,
    /// Every slip, and what comes of it.
    pub slips: Vec<SlipSummary>,
    #[serde(skip)]
    name: String,
    #[serde(skip)]
    figures: Figures,
}

/// A slip and what comes of it.
#[derive(Clone, Debug, Serialize)]
pub struct SlipSummary {
    /// It, in words.
    pub what: String,
    /// The slip itself.
    #[serde(skip)]
    pub slip: Slip,
    /// What it drives at stations.
    pub stations: Vec<DriftSummary>,
    /// The furthest of seams, stripes and chevrons, mm.
    pub furthest_mm: [f64; 3],
    /// The most of it that keeps seams and stripes within the drift: a share, turns or mm; none where nothing small matters.
    pub keeps_pattern: Option<f64>,
    /// The most of it that keeps chevrons within the drift.
    pub keeps_chevrons: Option<f64>,
}

/// How far things go at a station, mm.
#[derive(Clone, Debug, Serialize)]
pub struct DriftSummary {
    /// Distance from the shoulder.
    pub at_mm: f64,
    /// The seam under each bar but the last, upwards.
    pub seams_mm: Vec<f64>,
    /// The stripes of each bar along the blade, either way; none where it is not twisted.
    pub stripes_mm: Vec<Option<f64>>,
    /// The chevrons of each bar and the next one, apart; none where they are not twisted against each other.
    pub chevrons_mm: Vec<Option<f64>>,
}

impl From<Drift> for DriftSummary {
    fn from(d: Drift) -> DriftSummary {
        DriftSummary { at_mm: d.at, seams_mm: d.seams, stripes_mm: d.stripes, chevrons_mm: d.chevrons }
    }
}

impl Sureness {
    /// Of a design with a billet, for things that may drift by so much (mm, positive); `None` for a blade of one steel.
    pub fn of(design: &Design, drift: f64) -> Option<Sureness> {
        let (lay, figures) = (design.lay()?, design.figures());
        let finished = Sections::of(&design.blade().loft(Stage::Finished));
        let end = design.blade().fan_start();
        let stations = std::array::from_fn(|i| end * i as f64 / (STATIONS - 1) as f64);
        let (draw, turns, sizes) = SLIPS;
        let blade = (lay, &finished);
        let slips = Slip::all(lay, draw, turns, sizes);
        let slips = slips.into_iter().map(|slip| SlipSummary::of(slip, blade, &stations, drift, figures));
        Some(Sureness { drift_mm: drift, slips: slips.collect(), name: design.name().to_owned(), figures })
    }

    /// Of every kind of slip the one that drives the pattern furthest, in the order of [`Slip::all`].
    pub fn worst(&self) -> Vec<&SlipSummary> {
        let kinds =
            self.slips.chunk_by(|a, b| std::mem::discriminant(&a.slip) == std::mem::discriminant(&b.slip));
        let far = |slip: &SlipSummary| slip.furthest_mm.iter().copied().fold(0.0, f64::max);
        // Of those alike the first.
        kinds.filter_map(|kind| kind.iter().rev().max_by(|a, b| far(a).total_cmp(&far(b)))).collect()
    }

    /// As text for a terminal, in the design file's units.
    pub fn text(&self) -> String {
        let mut out = String::new();
        // Writing to a String can't fail.
        let _ = self.write(&mut out);
        out
    }

    /// Every slip with its drifts, then what keeps within the drift.
    fn write(&self, out: &mut String) -> std::fmt::Result {
        let unit = self.figures.spoken();
        writeln!(out, "{}: how sure the pattern is, on the right side of the finished blade", self.name)?;
        let [striped, opposed] = [self.is_striped(), self.has_chevrons()];
        let along = match (striped, opposed) {
            (true, true) => ", stripes and chevrons along the blade",
            (true, false) => ", stripes along the blade",
            (false, _) => "",
        };
        writeln!(
            out,
            "how far small slips move it, in {unit}: seams up (− down){along}; where several move, the one that moves most\n"
        )?;
        let Some(first) = self.slips.first() else { return Ok(()) };
        // In one form, so that a row of them can be read.
        let at = first.stations.iter().map(|s| s.at_mm);
        let whole: Option<Vec<String>> = at.clone().map(|mm| self.figures.fraction(mm)).collect();
        let decimal = Figures { fractions: false, ..self.figures };
        row(out, "station", whole.unwrap_or_else(|| at.map(|mm| decimal.station(mm)).collect()))?;
        for slip in &self.slips {
            writeln!(out, "{}", slip.what)?;
            let figure =
                |mm: Option<f64>| mm.map_or("–".to_owned(), |mm| minus(&self.figures.thickness(mm)));
            let furthest = |list: Vec<f64>| list.into_iter().max_by(|a, b| a.abs().total_cmp(&b.abs()));
            let line = |of: &dyn Fn(&DriftSummary) -> Vec<f64>| {
                slip.stations.iter().map(|s| figure(furthest(of(s)))).collect::<Vec<_>>()
            };
            row(out, "  seams", line(&|s| s.seams_mm.clone()))?;
            if striped {
                row(out, "  stripes", line(&|s| s.stripes_mm.iter().flatten().copied().collect()))?;
            }
            if opposed {
                row(out, "  chevrons", line(&|s| s.chevrons_mm.iter().flatten().copied().collect()))?;
            }
        }
        if self.slips.iter().any(|slip| self.leaves_a_dash(slip)) {
            writeln!(out, "–: there are none at that station")?;
        }
        self.granted(out)?;
        writeln!(out, "\nThese figures are calculated; a scrap piece tells how near your hand comes to them.")
    }

    /// The most of every slip that keeps within the drift.
    fn granted(&self, out: &mut String) -> std::fmt::Result {
        let most = self.figures.size(self.drift_mm);
        writeln!(out, "\nhow large a slip may be before the pattern moves {most}")?;
        let seams = if self.is_striped() { "seams and stripes" } else { "seams" };
        let last = |words: &str| if self.has_chevrons() { format!(" {words:>12}") } else { String::new() };
        writeln!(out, "  {:34} {seams:>18}{}", "", last("chevrons"))?;
        self.slips.iter().try_for_each(|slip| {
            let told = |size: Option<f64>| {
                size.map_or("no limit".to_owned(), |s| size_words(slip.slip, s, self.figures))
            };
            let [pattern, chevrons] = [slip.keeps_pattern, slip.keeps_chevrons].map(told);
            writeln!(out, "  {:34} {pattern:>18}{}", slip.kind(self.figures), last(&chevrons))
        })
    }

    /// Whether a line of a slip has a station without what it tells of.
    fn leaves_a_dash(&self, slip: &SlipSummary) -> bool {
        let [striped, opposed] = [self.is_striped(), self.has_chevrons()];
        slip.stations.iter().any(|s| {
            s.seams_mm.is_empty()
                || striped && s.stripes_mm.iter().flatten().next().is_none()
                || opposed && s.chevrons_mm.iter().flatten().next().is_none()
        })
    }

    /// Whether a bar is twisted, so that it shows stripes.
    fn is_striped(&self) -> bool {
        self.slips.iter().any(SlipSummary::is_striped)
    }

    /// Whether two bars that lie on each other are twisted against each other.
    fn has_chevrons(&self) -> bool {
        self.slips.iter().any(SlipSummary::has_chevrons)
    }
}

/// A line of a table.
fn row(out: &mut String, head: &str, cells: impl IntoIterator<Item = String>) -> std::fmt::Result {
    let cells: Vec<String> = cells.into_iter().map(|cell| format!("{cell:>9}")).collect();
    writeln!(out, "  {head:14}{}", cells.join(" "))
}

impl SlipSummary {
    /// What a slip does to the pattern of a blade (its map and its stage) at stations, and how much of it keeps within `most`.
    fn of(
        slip: Slip,
        blade: (&MaterialMap, &Sections),
        stations: &[f64; STATIONS],
        most: f64,
        figures: Figures,
    ) -> SlipSummary {
        let drifts = slip.drift(blade.0, blade.1, stations);
        let bars: Vec<&str> = blade.0.billet().bars().iter().map(|b| b.name.as_str()).collect();
        SlipSummary {
            what: words(slip, &bars, figures),
            slip,
            furthest_mm: Drift::furthest(&drifts),
            stations: drifts.into_iter().map(Into::into).collect(),
            keeps_pattern: slip.granted(blade, stations, most, |far| far[0].max(far[1])),
            keeps_chevrons: slip.granted(blade, stations, most, |far| far[2]),
        }
    }

    /// Whether there are stripes that it could drive.
    pub fn is_striped(&self) -> bool {
        self.stations.iter().any(|s| s.stripes_mm.iter().any(Option::is_some))
    }

    /// Whether there are chevrons that it could drive.
    pub fn has_chevrons(&self) -> bool {
        self.stations.iter().any(|s| s.chevrons_mm.iter().any(Option::is_some))
    }

    /// What it is without its size.
    fn kind(&self, figures: Figures) -> String {
        let size = size_words(self.slip, self.slip.size(), figures);
        self.what.replacen(&format!("{size} "), "", 1).replacen("of twist", "twist", 1)
    }
}

/// A slip in words: "2 % more draw at the point".
fn words(slip: Slip, bars: &[&str], figures: Figures) -> String {
    let size = size_words(slip, slip.size(), figures);
    let bar = |i: usize| bars.get(i).copied().unwrap_or_default();
    match slip {
        Slip::Draw(_) => format!("{size} more draw at the point"),
        Slip::Turns(i, _) => format!("{size} of twist missing in {}", bar(i)),
        Slip::Thicker(i, _) => format!("{size} too tall: {}", bar(i)),
        Slip::Ground(_) => format!("{size} more ground off the right side"),
    }
}

/// A size of a slip in words.
fn size_words(slip: Slip, size: f64, figures: Figures) -> String {
    match slip {
        Slip::Draw(_) => format!("{} %", trimmed(&format!("{:.1}", 100.0 * size))),
        // Of less than a tenth of a turn a smith sees degrees.
        Slip::Turns(..) if size < 0.1 => format!("{}°", trimmed(&format!("{:.1}", 360.0 * size))),
        Slip::Turns(..) => format!("{} turns", trimmed(&format!("{size:.2}"))),
        Slip::Thicker(..) | Slip::Ground(_) => figures.gap(size),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DESIGN: &str = "name = \"Eel seax\"\n[outline]\nlength = 300\nbreadth = 34\n[[taper]]\nat = 0\nback = 6\n\
        [billet]\nwidth = 12\n[[layers]]\nname = \"fine\"\nsteels = [\"C75S\", \"75Ni8\"]\ncount = 7\n\
        [[bar]]\nname = \"Upper\"\nheight = 18\nlayers = \"fine\"\ntwist = [{ hand = \"right\", turns = 1 }]\n\
        [[bar]]\nname = \"Lower\"\nheight = 18\nlayers = \"fine\"\ntwist = [{ hand = \"left\", turns = 1 }]\n";

    #[test]
    fn slips_are_told_with_their_drifts_and_what_keeps_within() {
        let design = crate::read(DESIGN.as_bytes()).unwrap();
        let sure = Sureness::of(&design, 2.0).unwrap();
        let text = sure.text();
        for says in [
            "2 % more draw at the point",
            "0.5 turns of twist missing in Lower",
            "0.30 mm too tall: Upper",
            "0.30 mm more ground off the right side",
            "the pattern moves 2 mm",
            "seams up (− down), stripes and chevrons along the blade",
            "seams and stripes     chevrons",
            "no limit",
            "scrap piece",
        ] {
            assert!(text.contains(says), "{says} in\n{text}");
        }
        assert_eq!((sure.slips.len(), sure.worst().len()), (6, 4));
        // Chevrons are no subject where there are none.
        let alike = Sureness::of(&crate::read(DESIGN.replace("left", "right").as_bytes()).unwrap(), 2.0)
            .unwrap()
            .text();
        assert!(alike.contains("stripes along the blade;") && !alike.contains("chevrons"), "{alike}");
        let turns = &sure.slips[1];
        assert!(turns.keeps_chevrons.is_some_and(|t| t > 0.01 && t < 0.5), "{turns:?}");
        assert!(sure.slips[0].keeps_chevrons.is_none() && sure.slips[0].keeps_pattern.is_some());
        let json = serde_json::to_value(&sure).unwrap();
        assert!(json["slips"][1]["stations"][4]["chevrons_mm"][0].as_f64().unwrap() > 1.0, "{json}");
        let inches = crate::read(
            DESIGN
                .replacen("\n", "\nunit = \"in\"\n", 1)
                .replace("= 300", "= 12")
                .replace("= 34", "= 1.3")
                .replace("back = 6", "back = 0.24")
                .replace("width = 12", "width = 0.5")
                .replace("= 18", "= 0.7")
                .as_bytes(),
        );
        let text = Sureness::of(&inches.unwrap(), 1.5875).unwrap().text();
        assert!(text.contains("0.012 in too tall: Upper") && text.contains("moves 0.0625 in"), "{text}");
    }
}
