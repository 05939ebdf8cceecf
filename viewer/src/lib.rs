//! The window that shows a blade. It computes nothing itself; its first code comes with its own issue.
