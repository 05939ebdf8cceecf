//! Parts of the twisting jig: insert, stops and coupon.

pub(crate) mod coupon;
pub(crate) mod insert;
pub(crate) mod parts;
pub(crate) mod stops;
mod wrench;
