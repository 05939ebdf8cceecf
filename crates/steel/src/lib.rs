//! Steels: composition, transformation, heat content, cooling, baths, diffusion, tempering, hot strength, yield,
//! expansion, brightness after etching.
//!
//! Pure formulas in °C, MPa, mm and mass percent, each with its source and domain. It knows no blade.

mod as_quenched;
mod bath;
mod composition;
mod conversion;
mod cooling;
mod density;
mod diffusion;
mod enthalpy;
mod etching;
mod expansion;
mod flow_stress;
mod growth;
mod nominal;
mod published;
mod strength;
mod tempering;
mod transformation;
mod twist_strain;
mod twisting_flow;
mod welding;
mod yielding;

pub use as_quenched::{AsQuenched, as_quenched};
pub use bath::{Bath, BathFault, FLASH_MARGIN, OIL_DENSITY, OIL_HEAT, Quench, least_litres, quench};
pub use composition::{Composition, DataSheet, Steel};
pub use conversion::{rockwell, tensile, vickers};
pub use cooling::{biot, cooling_seconds, depth, heat_loss, radiating_seconds, warming_seconds};
pub use density::density;
pub use diffusion::{CarbonLayer, CarbonProfile, SOURCES, decarburised, diffusion, erf, scaled};
pub use enthalpy::{enthalpy, specific_heat};
pub use etching::etched_brightness;
pub use expansion::{HotFault, elongation};
pub use flow_stress::{flow_stress, work};
pub use growth::{GROWN, cooled, hardening_growth};
pub use nominal::{nominal, nominals};
pub use published::{
    Advice, Band, Departure, EITHER_WAY, Medium, Published, departures, lacks_alloys, plain_by_carbon,
    published, published_of_name,
};
pub use strength::{bearing_depth, bearing_pressure, borne_torque, twisting_torque};
pub use tempering::{Tempering, later};
pub use transformation::{
    EUTECTOID, FITTED, MARTENSITE_CARBON, ac1, ac3, acm, dissolved, is_low_alloy, ms, ms_band, ms_ingber,
    ms_van_bohemen, quenched_hardness, retained,
};
pub use twist_strain::{ROUNDS, TEARING, fibre_stretch, most_stretch, rate_for, twist_rounds};
pub use twisting_flow::{TWISTED, flow_band, twisting_flow};
pub use welding::{HANDBOOKS, WELDED_CARBON, burning, solidus, welding};
pub use yielding::{HARDENED, YOUNG, cold_set, yield_strength};

/// 0 °C in kelvin.
const ZERO_CELSIUS: f64 = 273.15;
