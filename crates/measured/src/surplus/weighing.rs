//! The scales beside the readings: the best instrument in the shop is met within what the readings leave open.

use design::{Design, Figures};

use crate::file::reading::Reading;
use crate::surplus::doubt::{Doubt, doubt};
use crate::surplus::mass_balance::MassBalance;
use crate::surplus::places;
use crate::surplus::planned::Planned;
use crate::surplus::posterior::{Observation, Posterior};
use crate::surplus::slip;
use crate::surplus::surface::{Fields, SURE, Surface};

/// What scales are off by at least and at most, as a standard deviation, g: half of what the last written figure
/// stands for lies between (common practice, no source).
const SCALES: std::ops::RangeInclusive<f64> = 0.05..=5.0;
/// Scales and readings further apart than so many standard deviations can't both be right: one in ten thousand by
/// chance.
const APART: f64 = 4.0;
/// Rounds by which the field comes to the weight: clamping to what steel there is makes it not quite linear.
const ROUNDS: usize = 2;

/// What the scales said, and what the readings say.
#[derive(Clone, Debug)]
pub(crate) struct Scales {
    /// g.
    pub(crate) weight: f64,
    /// The blade from the readings alone.
    pub(crate) unweighed: Surface,
    /// How far the mass of that may be off, at 95 %, g.
    pub(crate) unweighed_band: f64,
    /// The blade if the scales are right.
    pub(crate) weighed: Surface,
    /// Whether both can be right.
    pub(crate) agree: bool,
}

/// The fields with the weighing among their readings. Where both can't be right, the readings' field stays, and where the
/// scales say less, its bands reach down to an even loss of as much: a caliper that reads too thick does so everywhere; where a slip of writing explains the weight, it is asked for again and not counted.
/// `None` where a number is not finite.
pub(crate) fn weigh(
    design: &Design,
    planned: &Planned,
    mut fields: Fields,
    reading: &Reading,
    doubts: &mut Vec<Doubt>,
) -> Option<(Fields, Option<Scales>)> {
    let density = design.density();
    let unweighed = Surface::plain(planned, &fields);
    let now = MassBalance::rebuilt(design, &unweighed).steel_g;
    let fine = resolution(reading);
    let read = density * fields.thickness.spread(&places::scales(planned, |_| 1.0, 1.0));
    let spread = read.hypot(fine);
    let agree = (reading.value - now).abs() <= APART * spread;
    if let Some(doubt) = doubted(reading, now, design.figures()).filter(|_| !agree) {
        doubts.push(doubt);
        return Some((fields, None));
    }
    let met = |field: &Posterior| {
        let fields = Fields { thickness: field.clone(), ..fields.clone() };
        met(design, planned, &fields, (reading.value, fine))
    };
    let field = met(&fields.thickness)?;
    // What was asked for again is weighed against the scales too.
    let others: Option<Vec<Posterior>> = fields.otherwise.iter().map(met).collect();
    let weighed = Surface::plain(planned, &Fields { thickness: field.clone(), ..fields.clone() });
    if agree {
        (fields.thickness, fields.otherwise) = (field, others?);
    } else {
        fields.otherwise.push(field);
        fields.less = ((now - reading.value) / density / seen_area(planned)).max(0.0);
    }
    let unweighed_band = SURE * read;
    Some((fields, Some(Scales { weight: reading.value, unweighed, unweighed_band, weighed, agree })))
}

/// Area of blade and tang seen from the side, mm²: what an even change of thickness changes.
pub(crate) fn seen_area(planned: &Planned) -> f64 {
    planned.side_area() + planned.tang_side.area
}

/// A weight that a slip of writing explains, where about `now` (g) should stand, unless it is sure.
fn doubted(reading: &Reading, now: f64, figures: Figures) -> Option<Doubt> {
    let slip =
        slip::weight(reading.value, now, figures.mass, |g| figures.weight(g)).filter(|_| !reading.sure)?;
    let (line, value) = (reading.line, reading.value);
    let (told, about) = (figures.mass(value), figures.weight(now));
    let words = format!("line {line}: weight reads {told}, the readings say about {about}; {slip}");
    Some(doubt(reading, now, words))
}

/// What the scales may be off by, as a standard deviation, g: half of the last figure that was written.
pub(crate) fn resolution(reading: &Reading) -> f64 {
    let number = reading.written.trim_start();
    let digits = number.bytes().take_while(|b| b.is_ascii_digit() || *b == b'.').count();
    let decimals = number[..digits].split_once('.').map_or(0, |(_, d)| d.len());
    // What one of the unit weighs.
    let one = number[..digits].parse::<f64>().ok().filter(|n| *n > 0.0).map_or(1.0, |n| reading.value / n);
    (0.5 * one * 0.1_f64.powi(decimals.min(9) as i32)).clamp(*SCALES.start(), *SCALES.end())
}

/// The field of thickness that weighs so much, g, by scales so good.
fn met(design: &Design, planned: &Planned, fields: &Fields, (weight, fine): (f64, f64)) -> Option<Posterior> {
    let patch = places::scales(planned, |_| 1.0, 1.0);
    let density = design.density();
    let value = |field: &Posterior| {
        let surface = Surface::plain(planned, &Fields { thickness: field.clone(), ..fields.clone() });
        let now = MassBalance::rebuilt(design, &surface).steel_g;
        (weight - now) / density + field.sum(&patch)
    };
    let observation =
        Observation { patch: patch.clone(), value: value(&fields.thickness), noise: fine / density };
    let known = fields.thickness.known().iter().cloned().chain([observation]).collect();
    let mut field = Posterior::fit(fields.thickness.prior().clone(), known)?;
    for _ in 1..ROUNDS {
        let next = value(&field);
        field = field.with_last(next)?;
    }
    Some(field)
}
