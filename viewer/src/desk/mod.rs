//! What the smith sees and sets around the blade.

pub(crate) mod before_lines;
pub(crate) mod board;
pub(crate) mod clash;
pub(crate) mod colour_key;
pub(crate) mod controls;
pub(crate) mod field;
pub(crate) mod frame;
pub(crate) mod grips;
pub(crate) mod key_list;
pub(crate) mod keys;
pub(crate) mod marks;
pub(crate) mod measure;
pub(crate) mod name_list;
pub(crate) mod offer;
pub(crate) mod panel;
pub(crate) mod problem_list;
pub(crate) mod ring;
pub(crate) mod section_view;
pub(crate) mod side;
pub(crate) mod sizes;
pub(crate) mod start;
pub(crate) mod state;
pub(crate) mod strip;
pub(crate) mod style;
pub(crate) mod title;
