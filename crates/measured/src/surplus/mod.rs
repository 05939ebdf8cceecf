//! The surplus of steel over the plan, fitted to the readings that are no outliers, and its mass.

pub(crate) mod fit;
pub(crate) mod mass_balance;
pub(crate) mod outliers;
pub(crate) mod places;
pub(crate) mod planned;
pub(crate) mod posterior;
pub(crate) mod slip;
pub(crate) mod surface;
