//! Work whose panic becomes an error in words.

use std::panic::{AssertUnwindSafe, catch_unwind};

/// Runs work that no design should be able to break; if one does, its panic is told as a fault and the window lives on.
pub(crate) fn guarded<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    catch_unwind(AssertUnwindSafe(work)).map_err(|panic| {
        let text = panic.downcast_ref::<String>().map(String::as_str);
        let text = text.or(panic.downcast_ref::<&str>().copied());
        format!("something broke: {}", text.unwrap_or("no more is known"))
    })
}
