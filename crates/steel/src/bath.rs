//! The quench bath: how warm a blade makes it, and how much of it there must be.

use thiserror::Error;

use crate::enthalpy::{enthalpy, root};

/// Specific heat of quench oil, J/(kg·K): the middle of 0.45 (MacKenzie, Thermal Processing) and 0.50 cal/(g·K) (Gear
/// Solutions, sizing tanks).
pub const OIL_HEAT: f64 = 1970.0;
/// Density of quench oil, kg/L (common practice, no source).
pub const OIL_DENSITY: f64 = 0.87;
/// How far a bath stays below its flash point, K: 50 °F by 29 CFR 1910.126(a)(2); the "10 °C" printed beside it turns a
/// difference into a temperature.
pub const FLASH_MARGIN: f64 = 50.0 / 1.8;

/// A bath of oil.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bath {
    /// How much of it, L.
    pub litres: f64,
    /// How warm it is before, °C.
    pub start: f64,
    /// Flash point, °C, by the oil's data sheet.
    pub flash: f64,
}

/// What a blade does to a bath.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quench {
    /// The temperature of oil and blade when both are even, °C.
    pub end: f64,
    /// How much warmer the oil is then, K.
    pub rise: f64,
    /// Heat that the blade gave off, J.
    pub heat: f64,
    /// Blades like this one, one after the other, until the bath must cool first.
    pub blades: usize,
}

/// Why a blade must not go into a bath.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum BathFault {
    /// A measure that no bath has.
    #[error("{field} of {value} is none that a bath has: give {accepted}")]
    Measure {
        /// Which measure.
        field: &'static str,
        /// What was given.
        value: f64,
        /// What would be accepted.
        accepted: &'static str,
    },
    /// It would come too near its flash point.
    #[error(
        "the oil would reach {end:.0} °C, nearer than 28 °C (50 °F) to its flash point of {flash:.0} °C: take at least \
         {least:.1} L, or oil of a higher flash point"
    )]
    Flash {
        /// The temperature that it would reach, °C.
        end: f64,
        /// The flash point, °C.
        flash: f64,
        /// Least volume that stays far enough below, L; infinite where the bath is too warm before.
        least: f64,
    },
    /// It is too warm before.
    #[error(
        "the oil at {start:.0} °C is already nearer than 28 °C (50 °F) to its flash point of {flash:.0} °C: let it cool"
    )]
    Warm {
        /// How warm it is, °C.
        start: f64,
        /// The flash point, °C.
        flash: f64,
    },
}

/// Heat capacity of so many litres of oil, J/K.
fn capacity(litres: f64) -> f64 {
    litres * OIL_DENSITY * OIL_HEAT
}

/// Least volume of oil, L, that steel of `mass` (kg) from `from` (°C) warms by no more than `rise` (K) from `start`
/// (°C): the blade's heat over the oil's. Heat content by EN 1993-1-2; what martensite keeps back makes the bath a
/// little cooler. `None` outside 20 to 1200 °C or where the bath would be hotter than the blade.
pub fn least_litres(mass: f64, from: f64, start: f64, rise: f64) -> Option<f64> {
    let heat = mass * (enthalpy(from)? - enthalpy(start + rise)?);
    (heat > 0.0 && rise > 0.0).then(|| heat / capacity(1.0) / rise)
}

/// What steel of `mass` (kg) from `from` (°C) does to a bath that may become as warm as `most` (°C) or, where that is
/// cooler, 28 K under its flash point.
///
/// # Errors
/// [`BathFault`] for measures no bath has, and where the bath would come nearer to its flash point than 29 CFR
/// 1910.126(a)(2) asks for.
pub fn quench(mass: f64, from: f64, bath: &Bath, most: f64) -> Result<Quench, BathFault> {
    measures(mass, from, bath, most)?;
    let safe = bath.flash - FLASH_MARGIN;
    if bath.start >= safe {
        return Err(BathFault::Warm { start: bath.start, flash: bath.flash });
    }
    let end = even(mass, from, bath.litres, bath.start);
    if end > safe {
        let least = least_litres(mass, from, bath.start, safe - bath.start).unwrap_or(f64::INFINITY);
        return Err(BathFault::Flash { end, flash: bath.flash, least });
    }
    let limit = most.min(safe);
    let next = |start: &f64| Some(even(mass, from, bath.litres, *start));
    let ends = std::iter::successors(Some(end), next);
    Ok(Quench {
        end,
        rise: end - bath.start,
        heat: capacity(bath.litres) * (end - bath.start),
        // A rack of blades, so that a lake of oil has an end.
        blades: ends.take(MOST_BLADES).take_while(|t| *t <= limit).count(),
    })
}

/// Blades that are counted at most.
const MOST_BLADES: usize = 100;

/// The temperature (°C) at which blade and oil are even: what one gives off the other takes up.
fn even(mass: f64, from: f64, litres: f64, start: f64) -> f64 {
    let content = |t: f64| enthalpy(t).unwrap_or_default();
    root(start, from, |t| capacity(litres) * (t - start) - mass * (content(from) - content(t)))
}

/// The door: finite measures of a size that baths and blades have.
fn measures(mass: f64, from: f64, bath: &Bath, most: f64) -> Result<(), BathFault> {
    let fields = [
        ("a mass", mass, 0.001..=100.0, "0.001 to 100 kg"),
        ("a heat", from, 400.0..=1200.0, "400 to 1200 °C"),
        ("a volume", bath.litres, 0.1..=10_000.0, "0.1 to 10 000 L"),
        ("a start", bath.start, 20.0..=250.0, "20 to 250 °C"),
        ("a flash point", bath.flash, 60.0..=400.0, "60 to 400 °C"),
        ("a limit", most, 20.0..=400.0, "20 to 400 °C"),
    ];
    fields
        .into_iter()
        .find(|(_, value, range, _)| !range.contains(value))
        .map_or(Ok(()), |(field, value, _, accepted)| Err(BathFault::Measure { field, value, accepted }))
}

#[cfg(test)]
mod tests {
    use super::*;

    const OIL: Bath = Bath { litres: 10.0, start: 40.0, flash: 180.0 };

    /// What the blade gives off the oil takes up, to 1e-9, over masses, heats and baths.
    #[test]
    fn the_balance_closes() {
        for (mass, from, litres) in
            [(0.6, 800.0, 10.0), (0.05, 760.0, 2.0), (2.0, 870.0, 40.0), (1.1, 845.0, 12.5)]
        {
            let bath = Bath { litres, ..OIL };
            let told = quench(mass, from, &bath, 120.0).unwrap();
            let given = mass * (enthalpy(from).unwrap() - enthalpy(told.end).unwrap());
            let taken = litres * OIL_DENSITY * OIL_HEAT * (told.end - OIL.start);
            assert!(
                (given / taken - 1.0).abs() < 1e-9 && (told.heat / given - 1.0).abs() < 1e-9,
                "{given} {taken}"
            );
        }
    }

    /// The least volume is that which warms by just so much, and the blades in a row stop below the limit.
    #[test]
    fn least_volume_and_blades_in_a_row_agree() {
        let litres = least_litres(0.6, 800.0, 40.0, 20.0).unwrap();
        let told = quench(0.6, 800.0, &Bath { litres, ..OIL }, 81.0).unwrap();
        assert!((told.rise - 20.0).abs() < 1e-9 && told.blades == 2, "{told:?}");
        assert_eq!(quench(0.6, 800.0, &Bath { litres, ..OIL }, 60.0 - 1e-6).unwrap().blades, 0);
    }

    /// 29 CFR 1910.126(a)(2): 50 °F under the flash point is the end of it.
    #[test]
    fn too_near_the_flash_point_is_refused() {
        let small = Bath { litres: 1.0, ..OIL };
        let fault = quench(0.6, 800.0, &small, 100.0).unwrap_err();
        assert!(matches!(fault, BathFault::Flash { least, .. } if least > 1.0), "{fault:?}");
        let BathFault::Flash { least, .. } = fault else { unreachable!() };
        let enough = Bath { litres: least * 1.001, ..OIL };
        assert!(quench(0.6, 800.0, &enough, 400.0).is_ok());
        let less = Bath { litres: least * 0.999, ..OIL };
        assert!(quench(0.6, 800.0, &less, 400.0).unwrap_err().to_string().contains("28 °C (50 °F)"));
        let warm = Bath { start: 153.0, ..OIL };
        assert!(matches!(quench(0.6, 800.0, &warm, 100.0), Err(BathFault::Warm { .. })));
        assert!(quench(0.1, 800.0, &Bath { start: 152.0, litres: 1000.0, ..OIL }, 400.0).is_ok());
    }

    /// Every limit is accepted, and a hundredth beyond it is not.
    #[test]
    fn the_door_stands_where_the_words_say() {
        let at = |mass, from, litres, start, flash, most| {
            matches!(quench(mass, from, &Bath { litres, start, flash }, most), Err(BathFault::Measure { .. }))
        };
        // Mass, heat, volume, start, flash point, limit.
        let sound = [0.6, 800.0, 100.0, 60.0, 300.0, 100.0];
        let shut = |i: usize, value: f64| {
            let mut all = sound;
            all[i] = value;
            at(all[0], all[1], all[2], all[3], all[4], all[5])
        };
        let ends =
            [[0.001, 100.0], [400.0, 1200.0], [0.1, 10_000.0], [20.0, 250.0], [60.0, 400.0], [20.0, 400.0]];
        for (i, [low, high]) in ends.into_iter().enumerate() {
            assert!(!shut(i, low) && !shut(i, high), "{i}");
            assert!(shut(i, 0.99 * low) && shut(i, 1.01 * high), "{i}");
        }
    }

    #[test]
    fn measures_that_no_bath_has_stop_at_the_door() {
        for mass in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e6] {
            let fault = quench(mass, 800.0, &OIL, 100.0).unwrap_err();
            assert!(fault.to_string().contains("0.001 to 100 kg"), "{fault}");
        }
        assert!(quench(0.6, 1300.0, &OIL, 100.0).unwrap_err().to_string().contains("400 to 1200 °C"));
        assert!(
            least_litres(0.6, 800.0, 40.0, f64::NAN).is_none()
                && least_litres(0.6, 800.0, 40.0, 0.0).is_none()
        );
    }
}
