//! What is told of a design and of its file: summaries, the schema, the starter file.

pub(crate) mod against_targets;
pub(crate) mod bars_summary;
pub(crate) mod cautions;
pub(crate) mod edge_curve;
pub(crate) mod forged_from;
pub(crate) mod form_words;
pub(crate) mod hang;
pub(crate) mod outline_skin;
pub(crate) mod schema;
pub(crate) mod spoken;
pub(crate) mod starter;
pub(crate) mod summary;
pub(crate) mod sureness;
