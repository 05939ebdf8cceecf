//! The file's tables: what each may say, and the rules on its own values.

pub(crate) mod bench;
pub(crate) mod billet;
pub(crate) mod blade;
pub(crate) mod top_level;
pub(crate) mod units;
pub(crate) mod weight;
