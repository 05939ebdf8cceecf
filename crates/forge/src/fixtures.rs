//! Designs of the profiles and their plans, for tests.

use design::Design;

use crate::plan::Plan;

/// The design of the profile with this name, without its ending.
pub(crate) fn design(name: &str) -> Design {
    let text = ::fixtures::profiles::named(name).text;
    design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{name}: {p:#?}"))
}

/// Its plan; it has a billet.
pub(crate) fn plan(name: &str) -> Plan {
    Plan::of(&design(name)).unwrap()
}
