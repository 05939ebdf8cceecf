//! The sheet of layers for a customer: all four sides on one page, with scale bar, legend and fittings; and the page that
//! shows how sure the pattern is.

pub(crate) mod foot;
pub(crate) mod page;
pub(crate) mod sure_page;
#[cfg(test)]
mod tests;
pub(crate) mod view;
