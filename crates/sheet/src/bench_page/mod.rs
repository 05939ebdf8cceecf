//! The bench page: what measuring has shown, and what is still to take off.

mod hangs;
pub(crate) mod page;
mod shades;
mod take_off;
#[cfg(test)]
mod tests;
