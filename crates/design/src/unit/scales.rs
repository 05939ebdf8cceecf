//! The scales on which heat, weight and torque are read: metric unless the file says otherwise.

/// The scale of a thermometer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Temperature {
    /// Degrees Celsius.
    #[default]
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
}

/// The unit of masses given as plain numbers, and of those that are told.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum MassUnit {
    /// Grams.
    #[default]
    Gram,
    /// Ounces avoirdupois.
    Ounce,
    /// Pounds avoirdupois.
    Pound,
}

/// The unit of torques.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Torque {
    /// Newton metres.
    #[default]
    NewtonMetre,
    /// Foot-pounds.
    FootPound,
}

/// Grams in a pound avoirdupois, exact by the international yard and pound agreement of 1959.
pub(crate) const POUND: f64 = 453.592_37;
/// Newtons in a pound-force: that pound under standard gravity, 9.80665 m/s².
pub(crate) const POUND_FORCE: f64 = POUND * 1e-3 * 9.806_65;
/// Newton metres in a foot-pound: that force at a foot of 0.3048 m.
const FOOT_POUND: f64 = POUND_FORCE * 0.3048;
/// MPa in a pound to the square inch: that force on 25.4 mm by 25.4 mm.
pub(crate) const PSI: f64 = POUND_FORCE / (25.4 * 25.4);

impl Temperature {
    /// What a thermometer of this scale shows at so many degrees Celsius.
    pub fn degrees(self, celsius: f64) -> f64 {
        match self {
            Temperature::Celsius => celsius,
            Temperature::Fahrenheit => 1.8 * celsius + 32.0,
        }
    }

    /// Degrees Celsius at which a thermometer of this scale shows so many degrees.
    pub fn celsius(self, degrees: f64) -> f64 {
        match self {
            Temperature::Celsius => degrees,
            Temperature::Fahrenheit => (degrees - 32.0) / 1.8,
        }
    }

    /// Its sign: `°C` or `°F`.
    pub fn name(self) -> &'static str {
        match self {
            Temperature::Celsius => "°C",
            Temperature::Fahrenheit => "°F",
        }
    }
}

impl MassUnit {
    /// Its short name, as files spell it.
    pub fn name(self) -> &'static str {
        match self {
            MassUnit::Gram => "g",
            MassUnit::Ounce => "oz",
            MassUnit::Pound => "lb",
        }
    }

    /// The unit in a sentence.
    pub fn spoken(self) -> &'static str {
        match self {
            MassUnit::Gram => "grams",
            MassUnit::Ounce => "ounces",
            MassUnit::Pound => "pounds",
        }
    }

    /// Grams in the unit.
    pub fn grams(self) -> f64 {
        match self {
            MassUnit::Gram => 1.0,
            MassUnit::Ounce => POUND / 16.0,
            MassUnit::Pound => POUND,
        }
    }

    /// The unit in which the number of `grams` was likelier read, where it is told in this one: in it, it comes within a quarter
    /// of the mass `expected`, g. `None` where it does so in this unit, or in none.
    pub fn meant(self, grams: f64, expected: f64) -> Option<MassUnit> {
        const NEAR: f64 = 0.25;
        let near = |unit: &MassUnit| {
            let mass = grams / self.grams() * unit.grams();
            (mass - expected).abs() <= NEAR * expected
        };
        let all = [MassUnit::Gram, MassUnit::Ounce, MassUnit::Pound];
        all.into_iter().find(near).filter(|_| !near(&self))
    }

    /// Decimals of a kitchen scale's reading: 0.1 g, 0.01 oz or 0.001 lb.
    pub(crate) fn places(self) -> usize {
        match self {
            MassUnit::Gram => 1,
            MassUnit::Ounce => 2,
            MassUnit::Pound => 3,
        }
    }
}

impl Torque {
    /// Its name: `N·m` or `ft·lb`.
    pub fn name(self) -> &'static str {
        match self {
            Torque::NewtonMetre => "N·m",
            Torque::FootPound => "ft·lb",
        }
    }

    /// Newton metres in the unit.
    pub fn newton_metres(self) -> f64 {
        match self {
            Torque::NewtonMetre => 1.0,
            Torque::FootPound => FOOT_POUND,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mass_in_another_unit_is_seen_by_its_size() {
        let (gram, ounce, pound) = (MassUnit::Gram, MassUnit::Ounce, MassUnit::Pound);
        for (unit, number, expected, meant) in [
            (ounce, 375.0, 398.0, Some(gram)),
            (gram, 14.0, 398.0, Some(ounce)),
            (gram, 0.9, 398.0, Some(pound)),
            (ounce, 14.0, 398.0, None),
            (gram, 200.0, 398.0, None),
            (pound, 1e9, 398.0, None),
            (gram, 0.0, 398.0, None),
        ] {
            assert_eq!(unit.meant(number * unit.grams(), expected), meant, "{number} {unit:?}");
        }
    }
}
