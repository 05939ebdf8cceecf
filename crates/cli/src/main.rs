//! The `seaxwright` command.

fn main() {}
