//! Drawings to print at full size: templates, their tiles on paper, the overview and the preform.

pub(crate) mod layout;
pub(crate) mod overview;
pub(crate) mod preform;
pub(crate) mod seam_lines;
pub(crate) mod section_row;
pub(crate) mod side_view;
pub(crate) mod template;
pub(crate) mod tiles;
pub(crate) mod top_view;
