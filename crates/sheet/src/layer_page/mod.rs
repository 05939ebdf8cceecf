//! The sheet of layers for a customer: all four sides on one page, with scale bar, legend and fittings.

pub(crate) mod foot;
pub(crate) mod page;
#[cfg(test)]
mod tests;
pub(crate) mod view;
