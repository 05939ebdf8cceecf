//! The bench sheet: a PDF for the smith to take to forge and grinder, with what to cut, do and measure, and room to write;
//! the bench page, with what is still to take off after measuring; and the sheet of layers for a customer.
//!
//! It takes finished models and returns bytes. It opens no file, reads no clock, and knows no font but its own; the same
//! input gives the same bytes. `typesetting` sets words, tables and pictures and knows nothing of blades; `plan_page`,
//! `bench_page` and `layer_page` say what stands on the pages.

mod bench_page;
mod fault;
mod layer_page;
mod plan_page;
mod sheet;
#[cfg(test)]
mod tests;
mod typesetting;

pub use bench_page::page::bench_page;
pub use fault::SheetFault;
pub use layer_page::foot::LayerColours;
pub use layer_page::page::{LayerSheet, layer_sheet};
pub use layer_page::sure_page::sure_sheet;
pub use plan_page::page::sheet;
pub use sheet::Sheet;
