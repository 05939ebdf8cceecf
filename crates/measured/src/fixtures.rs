//! Designs for this package's tests.

use design::Design;

/// The ferry-house's plain design for tests: 310 mm, flat bevels, no fullers.
pub(crate) fn design() -> Design {
    design_with("")
}

/// The same with more tables.
pub(crate) fn design_with(more: &str) -> Design {
    let text = format!(
        "name = \"Ramp seax\"\n[outline]\nform = \"broken-back\"\nlength = 310\nbreadth = 36\nbreak_at = 205\n\
         break_breadth = 39\n[section]\ngrind_line = \"50 %\"\n[[taper]]\nat = 0\nback = 6\n[[taper]]\nat = 310\n\
         back = 3\n{more}"
    );
    design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"))
}
