//! A target of the pattern: what it is about, how near a blade comes to it, and that in words.

use laminate::{Billet, Pattern, Run};
use serde::Serialize;

use crate::tables::weight::wanted::{Compared, Wanted};
use crate::unit::figures::Figures;

/// Shares are taken of these at least: of breadths in mm, of shares, of layers, of turns.
const LEAST: (f64, f64, f64, f64) = (1.0, 0.05, 1.0, 1.0);

/// Something of the pattern that a target is given for. Bars are counted from the back, 0 first; stations in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PatternAim {
    /// Breadth of the edge bar where it is narrowest, up to one breadth before the point, mm.
    EdgeBar,
    /// Breadth of a bar on the side, mm; or as a share of the side's.
    Breadth {
        /// The bar.
        bar: usize,
        /// The station.
        at: f64,
        /// Whether it is a share.
        share: bool,
    },
    /// How deep the surface cuts into a bar: 0 at its skin, 1 in its middle.
    Reveal {
        /// The bar.
        bar: usize,
        /// The station.
        at: f64,
        /// The side.
        right: bool,
    },
    /// Layers of a bar on a line square to the blade.
    Layers {
        /// The bar.
        bar: usize,
        /// The station.
        at: f64,
        /// The side.
        right: bool,
    },
    /// How far the seam under a bar leaves its run, mm.
    Seam {
        /// The bar over it.
        under: usize,
        /// The run.
        run: Run,
        /// The stations between which it counts.
        between: [f64; 2],
    },
    /// How far the layers of a bar and the next one are apart at their seam, in turns.
    Chevrons {
        /// The bar nearer to the back.
        upper: usize,
        /// The station.
        at: f64,
    },
}

/// A target of the pattern as it is asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct PatternAsked {
    /// What is meant.
    pub aim: PatternAim,
    /// What it should be, in mm, parts of 1, layers or turns.
    pub wanted: Wanted,
}

/// A target of the pattern and how near the blade comes.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(into = "PatternJson")]
pub struct PatternTarget {
    /// What is meant.
    pub aim: PatternAim,
    /// What it should be, in mm, parts of 1, layers or turns.
    pub wanted: Wanted,
    /// What it is; `None` where the bar does not show, or bars are not twisted against each other.
    pub found: Option<f64>,
    /// The names of its bars.
    pub bars: Vec<String>,
    /// Where the edge bar is narrowest; how far chevrons are apart along the blade, mm.
    pub place: Option<f64>,
}

/// A [`PatternTarget`] as JSON.
#[derive(Serialize)]
struct PatternJson {
    aim: &'static str,
    bars: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_mm: Option<f64>,
    unit: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    wanted: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_least: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_most: Option<f64>,
    found: Option<f64>,
    reached: bool,
}

impl From<PatternTarget> for PatternJson {
    /// A value wanted exactly or about, and the limits of all but the former.
    fn from(t: PatternTarget) -> PatternJson {
        let [wanted, at_least, at_most] = t.wanted.parts(t.aim.least());
        let (aim, unit, reached) = (t.aim.key(), t.aim.unit(), t.is_reached());
        let at_mm = t.aim.station();
        PatternJson { aim, bars: t.bars, at_mm, unit, wanted, at_least, at_most, found: t.found, reached }
    }
}

impl PatternAim {
    /// Its key in the file.
    pub fn key(self) -> &'static str {
        match self {
            PatternAim::EdgeBar => "edge_bar",
            PatternAim::Breadth { .. } => "breadth",
            PatternAim::Reveal { .. } => "reveal",
            PatternAim::Layers { .. } => "layers",
            PatternAim::Seam { .. } => "seam",
            PatternAim::Chevrons { .. } => "chevrons",
        }
    }

    /// The bars it is about, counted from the back; the edge bar is the last of so many.
    fn bars(self, count: usize) -> Vec<usize> {
        match self {
            PatternAim::EdgeBar => vec![count - 1],
            PatternAim::Breadth { bar, .. }
            | PatternAim::Reveal { bar, .. }
            | PatternAim::Layers { bar, .. } => {
                vec![bar]
            }
            PatternAim::Seam { under: upper, .. } | PatternAim::Chevrons { upper, .. } => {
                vec![upper, upper + 1]
            }
        }
    }

    fn station(self) -> Option<f64> {
        match self {
            PatternAim::EdgeBar | PatternAim::Seam { .. } => None,
            PatternAim::Breadth { at, .. }
            | PatternAim::Reveal { at, .. }
            | PatternAim::Layers { at, .. }
            | PatternAim::Chevrons { at, .. } => Some(at),
        }
    }

    fn unit(self) -> &'static str {
        match self {
            PatternAim::Breadth { share: true, .. } | PatternAim::Reveal { .. } => "share",
            PatternAim::EdgeBar | PatternAim::Breadth { .. } | PatternAim::Seam { .. } => "mm",
            PatternAim::Layers { .. } => "layers",
            PatternAim::Chevrons { .. } => "turns",
        }
    }

    /// The least whole of which a share is taken.
    fn least(self) -> f64 {
        match self.unit() {
            "mm" => LEAST.0,
            "share" => LEAST.1,
            "layers" => LEAST.2,
            _ => LEAST.3,
        }
    }

    /// What a pattern comes to, and the place that is told with it.
    fn found(self, pattern: &Pattern<'_>) -> (Option<f64>, Option<f64>) {
        match self {
            PatternAim::EdgeBar => pattern.edge_bar().map_or((None, None), |(at, b)| (Some(b), Some(at))),
            PatternAim::Breadth { bar, at, share } => {
                let part = |[own, all]: [f64; 2]| if share { own / all } else { own };
                (pattern.breadth(bar, at).map(part), None)
            }
            PatternAim::Reveal { bar, at, right } => (pattern.reveal(bar, at, right), None),
            PatternAim::Layers { bar, at, right } => (pattern.layers(bar, at, right).map(|n| n as f64), None),
            PatternAim::Seam { under, run, between } => (pattern.bend(under, run, between), None),
            PatternAim::Chevrons { upper, at } => {
                let meeting = pattern.meeting(upper, at);
                (meeting.map(|m| m.turns), meeting.map(|m| m.apart))
            }
        }
    }
}

impl PatternAsked {
    /// Against what shows on a blade.
    pub fn against(&self, pattern: &Pattern<'_>, billet: &Billet) -> PatternTarget {
        let (found, place) = self.aim.found(pattern);
        let names = self.aim.bars(billet.bars().len()).into_iter().filter_map(|i| billet.bars().get(i));
        let bars = names.map(|bar| bar.name.clone()).collect();
        PatternTarget { aim: self.aim, wanted: self.wanted, found, bars, place }
    }
}

impl Compared for PatternTarget {
    fn wanted(&self) -> Wanted {
        self.wanted
    }

    fn found(&self) -> Option<f64> {
        self.found
    }

    fn least(&self) -> f64 {
        self.aim.least()
    }
}

impl PatternTarget {
    /// What it is about, in words: "Upper twist, breadth at station 120 mm".
    pub fn about(&self, figures: Figures) -> String {
        let (first, at) = (self.bars.first().map_or("", String::as_str), |mm: f64| figures.told(mm));
        match self.aim {
            PatternAim::EdgeBar => match self.place {
                Some(place) => format!("edge bar ({first}), narrowest at station {}", at(place)),
                None => format!("edge bar ({first})"),
            },
            PatternAim::Breadth { at: x, .. } => format!("{first}, breadth at station {}", at(x)),
            PatternAim::Reveal { at: x, right, .. } => {
                format!("{first}, reveal at station {}, {} side", at(x), side(right))
            }
            PatternAim::Layers { at: x, right, .. } => {
                format!("{first}, layers at station {}, {} side", at(x), side(right))
            }
            PatternAim::Seam { run, between: [from, to], .. } => {
                format!("seam under {first}, {} from station {} to {}", words(run), at(from), at(to))
            }
            PatternAim::Chevrons { at: x, .. } => {
                format!("chevrons of {}, at station {}", self.bars.join(" and "), at(x))
            }
        }
    }

    /// What is wanted, and what is found, in words.
    pub fn words(&self, figures: Figures) -> [String; 2] {
        let told = |value: f64| match self.aim.unit() {
            "mm" => figures.gap(value),
            "share" => format!("{:.1} %", 100.0 * value),
            "layers" => format!("{value:.0}"),
            _ => format!("{value:.3} turns"),
        };
        let found = match (self.aim, self.place) {
            (PatternAim::Chevrons { .. }, Some(apart)) => format!("{} apart", figures.gap(apart.abs())),
            (PatternAim::Chevrons { .. }, None) => "not twisted against each other there".to_owned(),
            _ => self.found.map_or("not to be seen there".to_owned(), told),
        };
        let wanted = match self.aim {
            PatternAim::Chevrons { .. } => "to meet".to_owned(),
            _ => self.wanted.text(told),
        };
        [wanted, found]
    }

    /// A line that tells of it, with these figures.
    pub fn text(&self, figures: Figures) -> String {
        let [wanted, found] = self.words(figures);
        let off = match self.off() {
            _ if self.is_reached() => ": met".to_owned(),
            Some(_) if !matches!(self.aim, PatternAim::Chevrons { .. }) => ": not met".to_owned(),
            _ => String::new(),
        };
        let about = self.about(figures);
        match self.aim {
            PatternAim::Seam { .. } => format!("{about}: wanders {found}, wanted {wanted}{off}"),
            _ => format!("{about}: wanted {wanted}, now {found}{off}"),
        }
    }
}

fn side(right: bool) -> &'static str {
    if right { "right" } else { "left" }
}

/// A run in a sentence.
fn words(run: Run) -> &'static str {
    match run {
        Run::Straight => "straight",
        Run::AlongBack => "along the back",
        Run::AlongEdge => "along the edge",
    }
}
