//! How a page can fail to be made.

/// Why a page can't be made.
#[derive(Debug, thiserror::Error)]
pub enum PageFault {
    /// A template could not be filled in.
    #[error("the page's template: {0}")]
    Template(#[from] minijinja::Error),
}
