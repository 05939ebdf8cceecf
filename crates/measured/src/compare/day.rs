//! One session compared with the design: what a program reads, and what the words are made of.

use blade::Stage;
use design::Design;
use serde::Serialize;

use crate::compare::bars::BarsNow;
use crate::compare::hilt::Hilt;
use crate::compare::lever::Levered;
use crate::compare::standing::{By, Standing};
use crate::compare::take_off::{Short, TakeOff};
use crate::compare::warp::{Asked, Warp};
use crate::file::date::Date;
use crate::file::reading::{Quantity, Reading, Session, Side};
use crate::surplus::advice::{Advice, NOTICEABLE};
use crate::surplus::doubt::Doubt;
use crate::surplus::fit::Fitted;
use crate::surplus::mass_balance::{MassBalance, MassBand, tang_volume};
use crate::surplus::next_reading::NextReading;
use crate::surplus::planned::Planned;
use crate::surplus::repeats::{Repeat, merged};
use crate::surplus::weighing::seen_area;

/// A reading beside what is planned. Lengths in mm, angles in rad, masses in g.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Compared {
    /// Its line in the file.
    pub line: usize,
    /// What it tells.
    pub what: Quantity,
    /// mm from the shoulder; absent where there is no station.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub station_mm: Option<f64>,
    /// mm above the edge; absent where there is no height.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub height_mm: Option<f64>,
    /// What was read.
    pub measured: f64,
    /// What the next stage shall be there; absent where nothing is planned.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub planned: Option<f64>,
}

/// The way to a stage.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StageGoal {
    /// The stage.
    pub stage: &'static str,
    /// The stage as planned.
    pub planned: MassBalance,
    /// The stage as it can still be made: what is gone stays gone.
    pub reached: MassBalance,
    /// Left to take off until then, g.
    pub take_off_g: f64,
    /// How much of that is counted as tang, which is not measured, g.
    pub tang_g: f64,
    /// Sizes that can't be reached any more, with the largest that is still possible: what another design of the same
    /// blade would have to keep to.
    pub short: Vec<Short>,
}

/// The weighing.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Weighed {
    /// What the scales said, g.
    pub weight_g: f64,
    /// What the readings of breadth and thickness alone say, g.
    pub unweighed_g: f64,
    /// That is known to ± this, at 95 %, g.
    pub unweighed_band_g: f64,
    /// By how much the weighing moves the thickness, root of the mean square over the blade, mm.
    pub moved_mm: f64,
    /// By how much thicker, on average, the blade is if the scales are right and their readings too as far as they can, mm.
    pub thicker_mm: f64,
    /// And by how much heavier its tang, which is not measured, g.
    pub tang_g: f64,
    /// By how much thicker everywhere, tang and all, the readings should have been to say the same as the scales, mm.
    pub even_mm: f64,
    /// Whether both can be right; where not, everything else is by the readings, and where the scales say less, its bands
    /// reach down by [`Weighed::even_mm`].
    pub agree: bool,
}

/// One session.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Day {
    /// The day.
    pub date: String,
    /// The stage that the blade is compared with: the nearest, or the one that the file names.
    pub stage: &'static str,
    /// What tells that.
    pub stage_by: By,
    /// The stage it is nearest to by its weight; absent where it was not weighed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stage_by_weight: Option<&'static str>,
    /// The stage it goes to next.
    pub next: &'static str,
    /// Readings beside the next stage's sizes.
    pub readings: Vec<Compared>,
    /// Readings that are asked for again: slips of writing explain them better than the steel does.
    pub set_aside: Vec<Doubt>,
    /// Places that were read more than once.
    pub repeats: Vec<Repeat>,
    /// Where reading next helps most, the best first.
    pub read_next: Vec<NextReading>,
    /// The blade on the bench.
    pub bench: MassBalance,
    /// How far that may be off, at 95 %.
    pub bench_band: MassBand,
    /// The weighing, where there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub weighed: Option<Weighed>,
    /// Mass and balance by weights clamped on or by scales under supports, where there are any.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub levered: Option<Levered>,
    /// That blade finished, with what is mounted on it, and what brings it to the design's targets.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hilt: Option<Hilt>,
    /// What to take off on the way to the next stage.
    pub take_off: Vec<TakeOff>,
    /// What is left a side until the finished stage, on average over the same places, mm.
    pub left_mm: f64,
    /// The way to the next stage, and to the finished one if that is another.
    pub ways: Vec<StageGoal>,
    /// Bow and twist.
    pub warp: Warp,
    /// The bars on the surface now.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bars: Option<BarsNow>,
    /// What else the smith should know, in words.
    pub notes: Vec<String>,
}

impl Day {
    /// Grams to take off for the next stage though its table tells nothing to take off: scales, tang or readings are
    /// wrong, and nothing should be ground by either. `None` where they go together.
    pub fn unexplained_g(&self) -> Option<f64> {
        let is_off = |advice: Advice| matches!(advice, Advice::Off(_));
        let way = self.ways.iter().find(|way| way.stage == self.next)?;
        let heavy = way.take_off_g > self.bench_band.steel_g.max(1.0);
        (heavy && !self.advises(is_off)).then_some(way.take_off_g)
    }

    /// Whether places are too little known for the next stage's table to say what is to come off.
    pub fn is_open(&self) -> bool {
        self.advises(|advice| advice == Advice::Read)
    }

    /// Whether the table of the next stage gives such an advice anywhere.
    fn advises(&self, such: impl Fn(Advice) -> bool) -> bool {
        let any = |row: &TakeOff| {
            such(row.breadth) || row.spots.iter().any(|spot| such(spot.right) || such(spot.left))
        };
        self.take_off.iter().any(any)
    }
}

/// A place of one side where steel is gone under the next stage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gone {
    /// mm from the shoulder.
    pub station_mm: f64,
    /// Above the edge as it is now, mm.
    pub height_mm: f64,
    /// The side.
    pub side: Side,
    /// How much is gone, mm.
    pub gone_mm: f64,
}

/// What a session is compared by.
pub(crate) struct Measure<'a> {
    pub(crate) design: &'a Design,
    pub(crate) stages: &'a [Planned; 3],
    pub(crate) session: &'a Session,
    pub(crate) standing: Standing,
    pub(crate) fitted: &'a Fitted,
}

impl Measure<'_> {
    /// The whole comparison; `past` is how many times its bow the smith bends a blade past straight.
    pub(crate) fn day(&self, past: Option<f64>) -> Day {
        let Standing { nearest, next, .. } = self.standing;
        let (surface, finished) = (&self.fitted.surface, &self.stages[2]);
        let stations = stations(self.design, self.session);
        let heights: Vec<Vec<f64>> = stations.iter().map(|x| heights(self.session, *x)).collect();
        let table = |target: &Planned| -> Vec<TakeOff> {
            let places = stations.iter().zip(&heights);
            places.filter_map(|(&x, heights)| TakeOff::at(surface, target, x, heights)).collect()
        };
        let (take_off, last) = (table(&self.stages[next as usize]), table(finished));
        let mut ways = vec![self.way(&self.stages[next as usize], &take_off)];
        if next != Stage::Finished {
            ways.push(self.way(finished, &last));
        }
        let levered =
            Levered::new(self.design, &self.session.readings, &self.fitted.bench, &self.fitted.mass_band);
        let hilt = levered.as_ref().and_then(|l| self.hilt(l, &ways));
        Day {
            date: self.session.date.to_string(),
            stage: nearest.name(),
            stage_by: self.standing.by,
            stage_by_weight: self.stage_by_weight(),
            next: next.name(),
            readings: self.readings(&self.stages[next as usize]),
            set_aside: self.fitted.doubts.clone(),
            repeats: Repeat::all(&self.session.readings),
            read_next: self.fitted.next.clone(),
            bench: self.fitted.bench,
            bench_band: self.fitted.mass_band,
            weighed: self.weighed(),
            levered,
            hilt,
            bars: BarsNow::new(self.design, surface, finished, &last),
            warp: Warp::new(self.design, surface, self.session, Asked { stage: nearest, past }),
            notes: self.notes(),
            left_mm: mean(&last),
            take_off,
            ways,
        }
    }

    /// The blade that was weighed by statics, finished and mounted.
    fn hilt(&self, levered: &Levered, ways: &[StageGoal]) -> Option<Hilt> {
        let finished = ways.last()?;
        Hilt::new(self.design, levered.known.as_ref()?, &self.fitted.bench, &finished.reached)
    }

    /// What is left to do for a stage, and what it then comes to.
    fn way(&self, target: &Planned, table: &[TakeOff]) -> StageGoal {
        let surface = &self.fitted.surface;
        let reached = MassBalance::reached(self.design, surface, target);
        StageGoal {
            stage: target.loft.stage().name(),
            planned: MassBalance::planned(self.design, target),
            take_off_g: self.fitted.bench.steel_g - reached.steel_g,
            tang_g: self.design.density() * (tang_volume(surface) - target.tang_volume()).max(0.0),
            reached,
            short: table.iter().flat_map(TakeOff::short).collect(),
        }
    }

    /// The stage whose plan is nearest to the weight.
    fn stage_by_weight(&self) -> Option<&'static str> {
        let weight = self.fitted.scales.as_ref()?.weight;
        let off = |p: &&Planned| (MassBalance::planned(self.design, p).steel_g - weight).abs();
        let nearest = self.stages.iter().min_by(|a, b| off(a).total_cmp(&off(b)))?;
        Some(nearest.loft.stage().name())
    }

    /// Every reading beside what the plan has there.
    fn readings(&self, target: &Planned) -> Vec<Compared> {
        let surface = &self.fitted.surface;
        let hang = MassBalance::planned(self.design, target);
        let each = self.session.readings.iter().map(|r| Compared {
            line: r.line,
            what: r.what,
            station_mm: r.what.has_station().then_some(r.station),
            height_mm: r.what.has_height().then_some(r.height),
            measured: r.value,
            planned: match r.what {
                Quantity::Weight => Some(hang.steel_g),
                Quantity::Balance => Some(hang.steel_balance_mm),
                Quantity::Breadth => target.reading(r, 0.0),
                // The plan's edge lies where the blade's does less what the blade is broader than this plan.
                _ => {
                    let bottom = |p: &Planned| p.at(r.station).map(|s| s.range().0);
                    let shift = bottom(target).zip(bottom(surface.planned())).map_or(0.0, |(t, p)| t - p);
                    target.reading(r, surface.broader(r.station).over + shift)
                }
            },
        });
        each.collect()
    }

    /// Where the breadth to take off lies, on a blade whose outline was forged larger.
    fn outside(&self) -> Option<String> {
        let x = 0.5 * self.design.blade().length();
        let ((low, high), (edge, back)) =
            (self.fitted.surface.planned().at(x)?.range(), self.stages[2].at(x)?.range());
        let [at_edge, at_back] = [edge - low, high - back];
        (at_edge.max(at_back) > NOTICEABLE).then(|| {
            let figures = self.design.figures();
            let [at_edge, at_back] = [at_edge, at_back].map(|mm| figures.gap(mm.max(0.0)));
            format!(
                "the outline was forged larger: by the plan {at_edge} at the edge and {at_back} at the back of the breadth \
                 to take off"
            )
        })
    }

    /// What the scales say beside the readings, and what of the difference is counted as thickness and as tang.
    fn weighed(&self) -> Option<Weighed> {
        let scales = self.fitted.scales.as_ref()?;
        let (density, planned) = (self.design.density(), self.fitted.surface.planned());
        let [now, read] =
            [&scales.weighed, &scales.unweighed].map(|s| MassBalance::rebuilt(self.design, s).steel_g);
        let tang_g = density * (tang_volume(&scales.weighed) - tang_volume(&scales.unweighed));
        Some(Weighed {
            weight_g: scales.weight,
            unweighed_g: read,
            unweighed_band_g: scales.unweighed_band,
            moved_mm: scales.weighed.apart(&scales.unweighed),
            thicker_mm: (now - read - tang_g) / density / planned.side_area(),
            tang_g,
            even_mm: (scales.weight - read) / density / seen_area(planned),
            agree: scales.agree,
        })
    }

    /// What was assumed where readings are missing, and what does not agree.
    fn notes(&self) -> Vec<String> {
        let mut notes = self.fitted.local.clone();
        if self.standing.by == By::Nothing {
            notes.push("no thickness, no weight and no stage given: taken as just forged".to_owned());
        }
        if !self.fitted.thickness_read {
            notes.push(
                "no thickness given: taken as planned, shifted to match the weight if there is one"
                    .to_owned(),
            );
        }
        if !self.fitted.breadth_read {
            notes.push("no breadth given: taken as planned".to_owned());
        }
        notes.extend(self.outside());
        let all = merged(&self.session.readings);
        let off = all.iter().find(|r| r.what == Quantity::Balance);
        let off = off.map(|r| r.value - self.fitted.bench.steel_balance_mm);
        let most = BALANCE + self.fitted.mass_band.steel_balance_mm;
        if let Some(off) = off.filter(|off| off.abs() > most) {
            let figures = self.design.figures();
            let side = if off > 0.0 { "towards the point" } else { "towards the tang" };
            notes.push(format!(
                "the blade balances {} further {side} than the other readings say: the tang or the point is not as planned",
                figures.told(off.abs())
            ));
        }
        notes
    }
}

/// What is to take off a side, on average over a table, mm.
fn mean(table: &[TakeOff]) -> f64 {
    let all: Vec<f64> = table.iter().flat_map(|t| &t.spots).map(|s| 0.5 * (s.right_mm + s.left_mm)).collect();
    all.iter().sum::<f64>() / all.len().max(1) as f64
}

/// A balance point further from what the readings say is told, mm: a finger's edge finds it no better (common
/// practice, no source).
const BALANCE: f64 = 3.0;
/// Stations nearer than this are one, mm.
const SAME: f64 = 1.0;
/// Stations of the table where none was read: so many, even.
const EVEN: usize = 10;

/// The stations at which breadth or thickness was read, or even ones where there are none, mm.
fn stations(design: &Design, session: &Session) -> Vec<f64> {
    let told = |w: Quantity| w == Quantity::Breadth || w.is_thickness();
    let mut read: Vec<f64> = session.readings.iter().filter(|r| told(r.what)).map(|r| r.station).collect();
    read.sort_by(f64::total_cmp);
    read.dedup_by(|later, kept| *later - *kept < SAME);
    let length = design.blade().length();
    if read.is_empty() { (0..EVEN).map(|i| length * i as f64 / EVEN as f64).collect() } else { read }
}

/// Heights above the edge at which thickness was read at station `x`, mm.
fn heights(session: &Session, x: f64) -> Vec<f64> {
    let here = |r: &&Reading| r.what == Quantity::Thickness && (r.station - x).abs() < SAME;
    session.readings.iter().filter(here).map(|r| r.height).collect()
}

impl Day {
    /// The day, to sort by.
    pub fn day(&self) -> Option<Date> {
        Date::parse(&self.date)
    }

    /// Where steel is gone from one side, while both together still have enough.
    pub fn gone(&self) -> Vec<Gone> {
        let spots = self.take_off.iter().flat_map(|t| t.spots.iter().map(move |s| (t.station_mm, s)));
        let spots = spots.filter(|(_, s)| s.planned_mm - s.now_mm <= NOTICEABLE);
        let sides = spots.flat_map(|(station_mm, spot)| {
            [(Side::Right, spot.right), (Side::Left, spot.left)].map(|(side, advice)| match advice {
                Advice::Gone(gone_mm) => Some(Gone { station_mm, height_mm: spot.height_mm, side, gone_mm }),
                _ => None,
            })
        });
        sides.flatten().collect()
    }
}
