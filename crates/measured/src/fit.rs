//! The blade on the bench rebuilt from its readings: which are set aside, and what surface fits the others.

use design::Design;
use serde::Serialize;

use crate::field::{Field, Known, Place, Trust};
use crate::figures::Figures;
use crate::hang::Hang;
use crate::planned::{Planned, height};
use crate::reading::{Reading, Session, What};
use crate::slip;
use crate::surface::Surface;

/// What two readings of one place with a caliper differ by, as a standard deviation, mm: the step of a vernier (common
/// practice, no source).
const CALIPER: f64 = 0.02;
/// The same with a rule or caliper over the breadth, mm (common practice, no source).
const BREADTH: f64 = 0.05;
/// How far a caliper's jaws are from the station and from the height asked for, mm: half a pencil line's breadth (common
/// practice, no source).
const PLACING: f64 = 0.2;
/// Share of the tang's volume that is not known: it is not measured, and is forged and filed to fit (common practice, no
/// source).
const TANG: f64 = 0.05;
/// What kitchen scales are off by, g (common practice, no source).
const SCALES: f64 = 1.0;
/// Level and tilt of the surplus before anything was read, mm: what grinding takes off in all.
const LEVEL: f64 = 2.0;
const TILT: f64 = 1.0;
/// Waves about them, mm: from a straightened blade's to a rough one's; the readings' own scatter chooses between.
const WAVES: std::ops::RangeInclusive<f64> = 0.1..=1.0;
/// Lean of the middle to one side, mm: a hand's unevenness between the sides (common practice, no source).
const LEAN: f64 = 0.3;
/// Over which waves along the blade forget their height, mm: hammer blows and belts leave none shorter than a hand's
/// breadth that a caliper every 50 mm could follow.
const REACH: f64 = 100.0;
/// Over which waves across the blade do, in halves of the breadth: two or three readings tell a straight or once bent
/// flank.
const ACROSS: f64 = 1.4;
/// A reading further from what its neighbours say than so many standard deviations is set aside, if it is off by this
/// much at least, mm, thickness or breadth: one in a million by chance.
const FAR: f64 = 5.0;
const LEAST: f64 = 0.3;
/// Fewer readings than this can't outvote one of them.
const VOTES: usize = 4;
/// Largest share of readings that is set aside: beyond that it is not the readings that are wrong.
const MOST_ASIDE: f64 = 0.25;

/// A reading that is not believed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Aside {
    /// Its line in the file.
    pub line: usize,
    /// What it tells.
    pub what: What,
    /// Where, mm; absent where there is no station.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub station_mm: Option<f64>,
    /// Its value, mm or g.
    pub value: f64,
    /// What the others say it should be, mm or g.
    pub expected: f64,
    /// In words, with the slip of the pen that would explain it.
    pub words: String,
}

/// A blade rebuilt.
#[derive(Clone, Debug)]
pub(crate) struct Fitted {
    pub(crate) surface: Surface,
    /// Without the weighing, where there is one that is believed.
    pub(crate) unweighed: Option<Surface>,
    pub(crate) asides: Vec<Aside>,
    /// Whether anything tells of thickness.
    pub(crate) thickness_read: bool,
    pub(crate) breadth_read: bool,
}

/// A reading with its place in the field.
struct Seen<'a> {
    reading: &'a Reading,
    known: Known,
    planned: f64,
}

impl Fitted {
    /// The blade of a session rebuilt on its nearest stage, `planned` (one of `stages`, in the order of the work). `None`
    /// where no smooth surface fits.
    pub(crate) fn of(
        design: &Design,
        stages: &[Planned; 3],
        planned: &Planned,
        session: &Session,
    ) -> Option<Fitted> {
        let mut jury = Jury { figures: Figures::of(design), stages, asides: Vec::new() };
        let seen = session.readings.iter().filter(|r| r.what == What::Breadth).filter_map(|r| {
            let expected = planned.reading(r, 0.0)?;
            let noise = noise(planned, r, 0.0)?;
            let known = Known { places: vec![place(planned, r, 0.0)?], value: r.value - expected, noise };
            Some(Seen { reading: r, known, planned: expected })
        });
        let (breadth, breadth_read) = jury.settle(seen.collect(), planned.length)?;
        let broader = |x: f64| breadth.sum(&[middle(planned, x)]);
        let seen = session.readings.iter().filter(|r| r.what.is_thickness()).filter_map(|r| {
            let expected = planned.reading(r, broader(r.station))?;
            let noise = noise(planned, r, broader(r.station))?;
            let place = place(planned, r, broader(r.station))?;
            Some(Seen {
                reading: r,
                known: Known { places: vec![place], value: r.value - expected, noise },
                planned: expected,
            })
        });
        let (thickness, thickness_read) = jury.settle(seen.collect(), planned.length)?;
        let surface = Surface::new(planned, &thickness, &breadth);
        let weighed = jury.weighed(design, session, &surface, &thickness)?;
        let asides = jury.asides;
        Some(match weighed {
            Some(field) => Fitted {
                unweighed: Some(surface),
                surface: Surface::new(planned, &field, &breadth),
                asides,
                thickness_read,
                breadth_read,
            },
            None => Fitted { surface, unweighed: None, asides, thickness_read, breadth_read },
        })
    }
}

/// Judges readings and keeps those that it sets aside.
struct Jury<'a> {
    figures: Figures,
    stages: &'a [Planned; 3],
    asides: Vec<Aside>,
}

impl Jury<'_> {
    /// The field through those readings that are believed, and whether there are any.
    fn settle(&mut self, mut seen: Vec<Seen<'_>>, length: f64) -> Option<(Field, bool)> {
        let (absurd, rest): (Vec<_>, Vec<_>) = seen.into_iter().partition(|s| self.absurd(s));
        seen = rest;
        let mut spare = (MOST_ASIDE * seen.len() as f64) as usize;
        loop {
            let known: Vec<Known> = seen.iter().map(|s| s.known.clone()).collect();
            let field = Field::fit(trust(&known, length), known)?;
            let worst = field.left_out().iter().zip(&seen).enumerate().map(|(i, (out, s))| {
                let off = (s.known.value - out.expected).abs();
                (i, off / out.spread, off, out.expected)
            });
            let worst = worst.max_by(|a, b| a.1.total_cmp(&b.1));
            match worst.filter(|w| w.1 > FAR && w.2 > LEAST && seen.len() > VOTES && spare > 0) {
                Some((i, _, _, expected)) => {
                    spare -= 1;
                    let out = seen.remove(i);
                    self.set_aside(out.reading, out.planned + expected, "its neighbours say");
                }
                None => {
                    let whose = if seen.is_empty() { "the design says" } else { "its neighbours say" };
                    for out in &absurd {
                        self.set_aside(out.reading, out.planned + field.sum(&out.known.places), whose);
                    }
                    return Some((field, !seen.is_empty()));
                }
            }
        }
    }

    /// Whether a reading is beyond everything between the forged and the finished blade.
    fn absurd(&self, seen: &Seen<'_>) -> bool {
        let [forged, _, finished] = self.stages;
        let plan = |p: &Planned| p.reading(seen.reading, 0.0).unwrap_or(seen.planned);
        !slip::plausible(seen.reading.value, plan(finished), plan(forged))
    }

    fn set_aside(&mut self, reading: &Reading, expected: f64, whose: &str) {
        let told = |v: f64| self.figures.value(reading.what, v);
        let hint =
            slip::of(reading.value, expected, told).map_or_else(String::new, |slip| format!("; {slip}"));
        let place = if reading.what.has_station() {
            format!(" at station {}", self.figures.told(reading.station))
        } else {
            String::new()
        };
        let words = format!(
            "line {}: {}{place} reads {}, {whose} about {}{hint}",
            reading.line,
            reading.what.name(),
            told(reading.value),
            told(expected)
        );
        let station_mm = reading.what.has_station().then_some(reading.station);
        let (line, what, value) = (reading.line, reading.what, reading.value);
        self.asides.push(Aside { line, what, station_mm, value, expected, words });
    }

    /// The thickness with the weighing among its readings; `Some(None)` without a weighing that is believed.
    fn weighed(
        &mut self,
        design: &Design,
        session: &Session,
        surface: &Surface,
        thickness: &Field,
    ) -> Option<Option<Field>> {
        let Some(reading) = session.readings.iter().find(|r| r.what == What::Weight) else {
            return Some(None);
        };
        let planned = surface.planned();
        let now = Hang::rebuilt(design, surface).steel_g;
        let places = spread(planned);
        let value = (reading.value - now) / design.density() + thickness.sum(&places);
        let tang = planned.moments.volume
            - planned.slices.iter().map(|(_, s)| s.area() * planned.step()).sum::<f64>();
        let noise = (TANG * tang.max(0.0)).hypot(SCALES / design.density());
        let known: Vec<Known> =
            thickness.known().iter().cloned().chain([Known { places, value, noise }]).collect();
        let field = Field::fit(thickness.trust(), known)?;
        let spread = field.left_out().last()?.spread * design.density();
        if (reading.value - now).abs() > FAR * spread {
            let fittings: f64 = design.fittings().iter().map(|f| f.mass).sum();
            let fitted = fittings > 0.0 && (reading.value - now - fittings).abs() < FAR * spread;
            let whose =
                if fitted { "with its fittings on? The bare steel should weigh" } else { "the readings say" };
            self.set_aside(reading, now, whose);
            return Some(None);
        }
        Some(Some(field))
    }
}

/// How much the surplus is trusted to vary, from the scatter of the readings about their median: half of it lies within
/// 0.6745 standard deviations, whatever one or two of them say.
fn trust(known: &[Known], length: f64) -> Trust {
    let middle = median(known.iter().map(|k| k.value));
    let scatter = median(known.iter().map(|k| (k.value - middle).abs())) / 0.6745;
    Trust {
        level: LEVEL,
        tilt: TILT,
        wave: scatter.clamp(*WAVES.start(), *WAVES.end()),
        lean: LEAN,
        reach: [2.0 * REACH / length, ACROSS],
    }
}

/// The median; 0 of nothing.
pub(crate) fn median(values: impl Iterator<Item = f64>) -> f64 {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    match values.len() {
        0 => 0.0,
        n if n % 2 == 1 => values[n / 2],
        n => 0.5 * (values[n / 2 - 1] + values[n / 2]),
    }
}

/// The place in the field of a station on the middle of the breadth.
fn middle(planned: &Planned, x: f64) -> Place {
    Place { along: 2.0 * x / planned.length - 1.0, up: 0.0, whole: 1.0, lean: 0.0 }
}

/// The place in the field of a reading, with the weights by which it tells of thickness and lean.
fn place(planned: &Planned, reading: &Reading, broader: f64) -> Option<Place> {
    let middle = middle(planned, reading.station);
    let (whole, lean) = match reading.what {
        What::Flank(side) => (0.5, side.sign()),
        _ => (1.0, 0.0),
    };
    let up = match reading.what {
        What::Back => 1.0,
        What::Edge => -1.0,
        What::Breadth => 0.0,
        _ => {
            let section = planned.sections.at(reading.station)?;
            let (low, high) = section.range();
            let y = height(&section, broader, reading.height);
            (2.0 * (y - low) / (high - low) - 1.0).clamp(-1.0, 1.0)
        }
    };
    Some(Place { up, whole, lean, ..middle })
}

/// Standard deviation of a reading, mm: its tool's own, and what is read beside the place asked for.
fn noise(planned: &Planned, reading: &Reading, broader: f64) -> Option<f64> {
    let own = if reading.what == What::Breadth { BREADTH } else { CALIPER };
    let value = |along: f64, up: f64| {
        let (station, height) = (reading.station + along, reading.height + up);
        let value = planned.reading(&Reading { station, height, ..reading.clone() }, broader);
        value.or_else(|| planned.reading(reading, broader))
    };
    let along = 0.5 * (value(PLACING, 0.0)? - value(-PLACING, 0.0)?);
    let up = 0.5 * (value(0.0, PLACING)? - value(0.0, -PLACING)?);
    Some(own.hypot(along).hypot(up))
}

/// Blade and tang as a sum over the field, mm² each: thickness over it all is volume.
fn spread(planned: &Planned) -> Vec<Place> {
    // A fifth of the slices, and five heights: the field bends over a third of the blade or more.
    const HEIGHTS: [f64; 5] = [-0.8, -0.4, 0.0, 0.4, 0.8];
    let each = planned.slices.iter().skip(2).step_by(5);
    let parts = each.flat_map(|(x, section)| {
        let (low, high) = section.range();
        let whole = 5.0 * planned.step() * (high - low) / HEIGHTS.len() as f64;
        HEIGHTS.map(|up| Place { up, whole, ..middle(planned, *x) })
    });
    let tang = HEIGHTS.map(|up| Place {
        up,
        whole: planned.tang_side[0] / HEIGHTS.len() as f64,
        ..middle(planned, 0.0)
    });
    parts.chain(tang).collect()
}
