//! The tables that shape the blade.

pub(crate) mod fuller;
pub(crate) mod outline;
pub(crate) mod ricasso;
pub(crate) mod section;
pub(crate) mod stages;
pub(crate) mod tang;
pub(crate) mod taper;
