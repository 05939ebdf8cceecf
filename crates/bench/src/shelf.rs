//! The page and the files that it links, in memory: what is not on the shelf can't be asked for.

use std::collections::BTreeMap;
use std::sync::Arc;

use hyper::body::Bytes;
use tokio::sync::watch;

/// The page's name on the shelf.
pub(crate) const PAGE: &str = "index.html";

/// Files by their names; nothing until they are made.
type Files = Option<Result<Held, String>>;

/// Files by their names, each held once however many are sent.
type Held = Arc<BTreeMap<String, Bytes>>;

/// Where the page waits until it is made.
#[derive(Debug)]
pub struct Shelf {
    files: watch::Sender<Files>,
}

impl Default for Shelf {
    fn default() -> Shelf {
        Shelf { files: watch::Sender::new(None) }
    }
}

impl Shelf {
    /// Puts all files on it, the page among them as `index.html`; or says why they can't be made.
    pub fn fill(&self, files: Result<BTreeMap<String, Vec<u8>>, String>) {
        let held = |files: BTreeMap<String, Vec<u8>>| {
            Arc::new(files.into_iter().map(|(name, bytes)| (name, Bytes::from(bytes))).collect())
        };
        self.files.send_replace(Some(files.map(held)));
    }

    /// The files, once they are made.
    pub(crate) async fn files(&self) -> Result<Held, String> {
        let mut waiting = self.files.subscribe();
        let found = waiting.wait_for(Option::is_some).await.ok().and_then(|files| files.clone());
        found.unwrap_or_else(|| Err("The page was not made.".to_owned()))
    }
}
