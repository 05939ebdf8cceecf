//! The surplus of steel over the plan, fitted to the readings that stand and to the scales, with its bands, and its
//! mass.

pub(crate) mod advice;
pub(crate) mod doubt;
pub(crate) mod fit;
pub(crate) mod mass_balance;
pub(crate) mod next_reading;
pub(crate) mod places;
pub(crate) mod planned;
pub(crate) mod posterior;
pub(crate) mod prior;
pub(crate) mod repeats;
pub(crate) mod slip;
pub(crate) mod surface;
pub(crate) mod weighing;
