//! `new`: a commented starter design, never over an existing file.

use std::path::PathBuf;

use crate::arguments::New;
use crate::source::Source;
use crate::stop::Stop;
use crate::{swap, terminal};

/// Writes the starter file and says where.
pub(crate) fn run(new: &New) -> Result<(), Stop> {
    let source =
        Source { path: PathBuf::from("the starter file"), bytes: design::starter(&new.name).into_bytes() };
    let slug = match source.design() {
        Ok(design) => design.slug().to_owned(),
        Err(problems) => return Err(Stop::Problems { source_file: source, problems }),
    };
    let path = new.out.clone().unwrap_or_else(|| PathBuf::from(format!("{slug}.toml")));
    swap::write_new(&path, &source.bytes)?;
    terminal::say(format!("wrote {}\n", path.display()).as_bytes())
}
