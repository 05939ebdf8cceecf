//! Gauges of sheet steel, for hot work: whole parts to be cut by water, laser or plasma, and how they lie on a sheet.

pub(crate) mod corners;
pub(crate) mod cut_angles;
pub(crate) mod cut_gauge;
pub(crate) mod cut_plate;
pub(crate) mod cut_sections;
pub(crate) mod cutting;
pub(crate) mod gauges;
pub(crate) mod nest;
pub(crate) mod strokes;
pub(crate) mod words;
