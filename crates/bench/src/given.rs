//! What a command hands over to be served.

use std::net::IpAddr;
use std::path::PathBuf;
use std::sync::Arc;

use design::Design;

use crate::answer::Compare;
use crate::shelf::Shelf;

/// Who reaches the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reach {
    /// This machine alone.
    Here,
    /// The network in which this machine has an address: the one given, or that of its way out.
    Network(Option<IpAddr>),
}

/// Says something to who sits at the laptop.
pub type Say = Arc<dyn Fn(&str) + Send + Sync>;

/// A bench to serve.
pub struct Served {
    /// The design.
    pub design: Arc<Design>,
    /// The measured file, by the name that the page was given as its bench; one that is not there is made.
    pub measured: PathBuf,
    /// Who reaches it.
    pub reach: Reach,
    /// The port; 0 takes any that is free.
    pub port: u16,
    /// The page and the files that it links.
    pub shelf: Arc<Shelf>,
    /// Compares what is measured.
    pub compare: Arc<dyn Compare>,
    /// Says something to who sits at the laptop.
    pub say: Say,
    /// Whether that is a terminal, which shows a code in black and white.
    pub terminal: bool,
}
