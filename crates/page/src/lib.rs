//! Pages for the shop's screen and phone, and for the customer: one HTML file each, with its pictures, its 3D and its
//! script inside.
//!
//! It takes finished models and returns text. It opens no file, reads no clock and computes no dimension; the same
//! input gives the same text. `shop` and `customer` gather what others computed into the plain blocks of `document`;
//! `picture` turns drawings and parts into small SVG; `render` sets all of it by the templates in `assets`.

mod customer;
mod document;
mod fault;
mod given;
mod picture;
mod render;
mod shop;
#[cfg(test)]
mod tests;
mod view;

pub use customer::show;
pub use fault::PageFault;
pub use given::{Given, Side, Thing, Turned, What};
pub use shop::page::{bench, index};
