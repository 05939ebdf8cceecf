//! The measured file beside the design.

use std::path::Path;
use std::sync::Arc;

use design::Design;
use measured::Bench;

use crate::file::guard::guarded;
use crate::file::news::News;
use crate::file::problems::located;
use crate::file::source::Source;
use crate::model::grinding::Grinding;

/// A measured file that is looked at for changes, and the blade that it tells of.
pub(crate) struct Readings {
    source: Source,
    name: String,
    pub(crate) grinding: Option<Arc<Grinding>>,
}

impl Readings {
    pub(crate) fn new(path: &Path) -> Readings {
        let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned();
        Readings { source: Source::new(path), name, grinding: None }
    }

    /// Whether the file is another one than before.
    pub(crate) fn changed(&mut self) -> bool {
        self.source.changed().is_some()
    }

    /// Compares the file as last read with a design; what is to be told where that can't be done.
    pub(crate) fn compare(&mut self, design: &Design) -> Option<News> {
        self.grinding = None;
        let bytes = match self.source.last() {
            Ok(bytes) => bytes,
            Err(why) => return Some(News::Unread(format!("{} can't be read: {why}", self.name))),
        };
        match guarded(|| compared(bytes, design)) {
            Ok(Ok(Some(bench))) => self.grinding = Some(Arc::new(Grinding::new(bench))),
            Ok(Ok(None)) => return Some(News::Unread(format!("nothing is filled in in {}", self.name))),
            Ok(Err(problems)) => {
                let mut problems = located(bytes, &problems);
                for problem in &mut problems {
                    problem.message = format!("{}: {}", self.name, problem.message);
                }
                return Some(News::Problems(problems));
            }
            Err(why) => return Some(News::Fault(why)),
        }
        None
    }
}

/// The blade that a measured file tells of; `None` where nothing is filled in.
pub(crate) fn compared(bytes: &[u8], design: &Design) -> Result<Option<Bench>, Vec<design::Problem>> {
    measured::read(bytes, design).and_then(|sessions| Bench::from_sessions(design, &sessions, None))
}
