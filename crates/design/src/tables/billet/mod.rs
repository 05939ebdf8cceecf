//! The tables of the billet, its bars and the way from cut steel to the forged blade.

pub(crate) mod bar;
pub(crate) mod forging;
pub(crate) mod height;
pub(crate) mod layers;
pub(crate) mod one_steel;
pub(crate) mod pitch;
pub(crate) mod plugs;
pub(crate) mod recipe;
pub(crate) mod serrated;
pub(crate) mod shared;
pub(crate) mod slanted;
pub(crate) mod steel;
pub(crate) mod twist;
pub(crate) mod twist_stations;
