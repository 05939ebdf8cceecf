//! The blade on the bench rebuilt from its readings.

use design::Design;

use crate::file::reading::{Quantity, Reading, Session};
use crate::surplus::mass_balance::MassBalance;
use crate::surplus::outliers::{Expected, FAR, Outlier, OutlierFilter};
use crate::surplus::places::{middle, noise, place, spread};
use crate::surplus::planned::Planned;
use crate::surplus::posterior::{Observation, Posterior};
use crate::surplus::surface::Surface;

/// Share of the tang's volume that is not known: it is not measured, and is forged and filed to fit (common practice, no
/// source).
const TANG: f64 = 0.1;
/// What kitchen scales are off by, g (common practice, no source).
const SCALES: f64 = 1.0;

/// The breadth of the blade on the bench.
#[derive(Clone, Debug)]
pub(crate) struct Breadth {
    field: Posterior,
    asides: Vec<Outlier>,
    read: bool,
}

impl Breadth {
    /// From a session's readings; every stage is planned as broad as the others. `None` where no smooth line fits.
    pub(crate) fn new(design: &Design, stages: &[Planned; 3], session: &Session) -> Option<Breadth> {
        let mut outliers = OutlierFilter { figures: design.figures(), stages, found: Vec::new() };
        let planned = &stages[2];
        let read = session.readings.iter().filter(|r| r.what == Quantity::Breadth);
        let (field, read) = outliers
            .fit_without_outliers(read.filter_map(|r| seen(planned, r, 0.0)).collect(), planned.length)?;
        Some(Breadth { field, asides: outliers.found, read })
    }

    /// How much broader than planned it is at a reading's station, mm.
    pub(crate) fn over(&self, planned: &Planned, reading: &Reading) -> f64 {
        self.field.sum(&[middle(planned, reading.station)])
    }
}

/// A blade rebuilt.
#[derive(Clone, Debug)]
pub(crate) struct Fitted {
    pub(crate) surface: Surface,
    /// Without the weighing, where there is one that is believed.
    pub(crate) unweighed: Option<Surface>,
    pub(crate) asides: Vec<Outlier>,
    /// Whether anything tells of thickness.
    pub(crate) thickness_read: bool,
    pub(crate) breadth_read: bool,
}

impl Fitted {
    /// The blade of a session rebuilt on the point of grinding it is nearest to, `planned`. `None` where no smooth surface
    /// fits.
    pub(crate) fn new(
        design: &Design,
        stages: &[Planned; 3],
        planned: &Planned,
        session: &Session,
        breadth: Breadth,
    ) -> Option<Fitted> {
        let mut outliers = OutlierFilter { figures: design.figures(), stages, found: breadth.asides.clone() };
        let read = session.readings.iter().filter(|r| r.what.is_thickness());
        let read = read.filter_map(|r| seen(planned, r, breadth.over(planned, r)));
        let (thickness, thickness_read) = outliers.fit_without_outliers(read.collect(), planned.length)?;
        let plain = Surface::new(planned, &thickness, &breadth.field);
        let weight = session.readings.iter().find(|r| r.what == Quantity::Weight);
        let weighed = match weight {
            Some(reading) => weighed(design, reading, &plain, &thickness, &mut outliers)?,
            None => None,
        };
        let (surface, unweighed) = match weighed {
            Some(field) => (Surface::new(planned, &field, &breadth.field), Some(plain)),
            None => (plain, None),
        };
        Some(Fitted {
            surface,
            unweighed,
            asides: outliers.found,
            thickness_read,
            breadth_read: breadth.read,
        })
    }
}

/// A reading beside the plan; `None` where nothing is planned.
fn seen<'r>(planned: &Planned, reading: &'r Reading, broader: f64) -> Option<Expected<'r>> {
    let expected = planned.reading(reading, broader)?;
    let (places, noise) = (vec![place(planned, reading, broader)?], noise(planned, reading, broader)?);
    let known = Observation { places, value: reading.value - expected, noise };
    Some(Expected { reading, known, planned: expected })
}

/// The thickness with the weighing among its readings; `Some(None)` where the weighing is not believed.
fn weighed(
    design: &Design,
    reading: &Reading,
    surface: &Surface,
    thickness: &Posterior,
    outliers: &mut OutlierFilter<'_>,
) -> Option<Option<Posterior>> {
    let planned = surface.planned();
    let now = MassBalance::rebuilt(design, surface).steel_g;
    let places = spread(planned);
    let value = (reading.value - now) / design.density() + thickness.sum(&places);
    let tang =
        planned.moments.volume - planned.slices.iter().map(|(_, s)| s.area() * planned.step()).sum::<f64>();
    let noise = (TANG * tang.max(0.0)).hypot(SCALES / design.density());
    let known: Vec<Observation> =
        thickness.known().iter().cloned().chain([Observation { places, value, noise }]).collect();
    let field = Posterior::fit(thickness.prior(), known)?;
    let spread = field.left_out().last()?.spread * design.density();
    if (reading.value - now).abs() > FAR * spread {
        let fittings: f64 = design.fittings().iter().map(|f| f.mass).sum();
        let fitted = fittings > 0.0 && (reading.value - now - fittings).abs() < FAR * spread;
        let whose =
            if fitted { "with its fittings on? The bare steel should weigh" } else { "the readings say" };
        outliers.set_aside(reading, now, whose);
        return Some(None);
    }
    Some(Some(field))
}
