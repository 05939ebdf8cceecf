//! The `[units]` table: on which scales heat, weight and torque are given and told.

use crate::file::draft::{Field, table, words};
use crate::unit::scales::{MassUnit, Temperature, Torque};

words! {
    /// The scale of temperatures.
    TemperatureWord {
        /// Degrees Celsius.
        Celsius = "C",
        /// Degrees Fahrenheit.
        Fahrenheit = "F",
    }
}

words! {
    /// The unit of masses.
    MassWord {
        /// Grams.
        Gram = "g",
        /// Ounces of 28.35 g.
        Ounce = "oz",
        /// Pounds of 453.6 g.
        Pound = "lb",
    }
}

words! {
    /// The unit of torques.
    TorqueWord {
        /// Newton metres.
        NewtonMetre = "N m",
        /// Foot-pounds of 1.356 N·m.
        FootPound = "ft lb",
    }
}

table! {
    /// Units of everything but lengths. Metric by default, also where `unit` is `in`.
    UnitsDraft {
        /// Temperatures are given in `C` (default) or `F`.
        temperature: TemperatureWord,
        /// Masses are given in `g` (default), `oz` or `lb`, and plain numbers are read so.
        mass: MassWord,
        /// Torques are given in `N m` (default) or `ft lb`.
        torque: TorqueWord,
    }
}

/// What the file chose.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Units {
    pub(crate) temperature: Temperature,
    pub(crate) mass: MassUnit,
    pub(crate) torque: Torque,
}

impl Units {
    /// The table's choices; metric without one.
    pub(crate) fn from_table(draft: Option<&Field<UnitsDraft>>) -> Units {
        let Some(Field { value: draft, .. }) = draft else { return Units::default() };
        let temperature = draft.temperature.as_ref().map(|word| match word.value {
            TemperatureWord::Celsius => Temperature::Celsius,
            TemperatureWord::Fahrenheit => Temperature::Fahrenheit,
        });
        let mass = draft.mass.as_ref().map(|word| match word.value {
            MassWord::Gram => MassUnit::Gram,
            MassWord::Ounce => MassUnit::Ounce,
            MassWord::Pound => MassUnit::Pound,
        });
        let torque = draft.torque.as_ref().map(|word| match word.value {
            TorqueWord::NewtonMetre => Torque::NewtonMetre,
            TorqueWord::FootPound => Torque::FootPound,
        });
        Units {
            temperature: temperature.unwrap_or_default(),
            mass: mass.unwrap_or_default(),
            torque: torque.unwrap_or_default(),
        }
    }
}
