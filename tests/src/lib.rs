//! Suites across packages.
