//! What is left to take off the blade on the bench, as a run of colours.

use std::collections::BTreeMap;

use blade::Stage;
use glam::DVec3;
use measured::{Advice, Bench, Near, Session, Slice};

use crate::model::scale::Scale;

/// Where steel is already gone, sRGB: off the run of colours, which has no red.
pub(crate) const GONE: [u8; 3] = [0xc4, 0x3c, 0x2b];

/// Where too little is known to take anything off, sRGB: paper white, off the run of colours and the steel's grey.
pub(crate) const UNREAD: [u8; 3] = [0xfb, 0xfa, 0xf7];

/// Where else to look, mm, when a place is off the blade: up to what stages differ by at back, edge and point.
const NUDGES: [DVec3; 7] = [
    DVec3::ZERO,
    DVec3::new(0.0, -0.02, 0.0),
    DVec3::new(0.0, 0.02, 0.0),
    DVec3::new(0.0, -0.5, 0.0),
    DVec3::new(0.0, 0.5, 0.0),
    DVec3::new(-0.02, 0.0, 0.0),
    DVec3::new(-0.5, 0.0, 0.0),
];

/// A compared blade, to be looked at.
#[derive(Clone, Debug)]
pub(crate) struct Grinding {
    bench: Bench,
    /// The day of the file's last reading, and the stage that the file gives it, if it does.
    last_read: Option<(String, Option<Stage>)>,
    /// From nothing to the most that is left to take off a side anywhere.
    pub(crate) scale: Scale,
}

/// What is told at a place on the surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Remaining {
    /// A share of the scale, 0 to 1.
    Share(f64),
    /// Steel that the next stage needs is gone.
    Gone,
    /// Nothing before it was read: too little is known.
    Unread,
    /// Nothing: the tang is not measured.
    Unmeasured,
}

impl Grinding {
    /// Of a blade that was compared with its design, by these sessions.
    pub(crate) fn new(bench: Bench, sessions: &[Session]) -> Grinding {
        let last = sessions.iter().max_by_key(|session| session.readings.iter().map(|r| r.line).max());
        let last_read = last.map(|session| (session.date.to_string(), session.stage));
        let spots = bench.last().take_off.iter().flat_map(|t| &t.spots);
        let most = spots.map(|s| s.right_mm.max(s.left_mm)).fold(0.0, f64::max);
        Grinding { bench, last_read, scale: Scale { low: 0.0, high: most } }
    }

    /// What is told at places on the planned surface.
    pub(crate) fn places(&self) -> Places<'_> {
        Places { grinding: self, slices: BTreeMap::new() }
    }

    /// The last day that something was read.
    pub(crate) fn day(&self) -> &str {
        &self.bench.last().date
    }

    /// The day of the reading that stands last in the file, and the stage that the file gives it, if it does.
    pub(crate) fn last_read(&self) -> Option<(&str, Option<Stage>)> {
        self.last_read.as_ref().map(|(day, stage)| (day.as_str(), *stage))
    }

    /// Where the blade stands and what tells it, in words.
    pub(crate) fn standing(&self) -> String {
        self.bench.last().standing()
    }

    /// The stage that the blade goes to next.
    pub(crate) fn next(&self) -> Stage {
        self.bench.next()
    }

    /// What is left to take off at the table's station nearest to this one, mm.
    pub(crate) fn near(&self, x: f64) -> Option<Near> {
        self.bench.near(x)
    }

    /// The readings of the last day that are likely slips of writing, in words.
    pub(crate) fn doubts(&self) -> impl Iterator<Item = &str> {
        self.bench.last().set_aside.iter().map(|doubt| doubt.words.as_str())
    }

    /// What the colours tell, in two lines.
    pub(crate) fn words(&self) -> [String; 2] {
        let next = self.next();
        ["to take off a side".to_owned(), format!("for {next}, {}", self.day())]
    }
}

/// What is told at places, with the sections that were already looked at.
pub(crate) struct Places<'a> {
    grinding: &'a Grinding,
    slices: BTreeMap<i64, Option<Slice>>,
}

impl Places<'_> {
    /// At a place on the planned surface, mm.
    pub(crate) fn left(&mut self, point: DVec3) -> Remaining {
        // Borders of the surface lie on those of the sections, where rounding decides: a hair inside there is steel.
        let scale = &self.grinding.scale;
        let share = |mm: f64| Remaining::Share(scale.share(mm).clamp(0.0, 1.0));
        match NUDGES.into_iter().find_map(|by| self.advice(point + by)) {
            None => Remaining::Unmeasured,
            Some(Advice::Gone(_)) => Remaining::Gone,
            Some(Advice::Read) => Remaining::Unread,
            Some(Advice::Leave) => share(0.0),
            Some(Advice::Off(mm)) => share(mm),
        }
    }

    fn advice(&mut self, point: DVec3) -> Option<Advice> {
        // Not a section of the tang for what lies on the blade.
        let (nearest, least) =
            ((point.x * EACH).round(), if point.x >= 0.0 { 0.0 } else { f64::NEG_INFINITY });
        let at = nearest.max(least);
        let slice = self.slices.entry(at as i64).or_insert_with(|| self.grinding.bench.section(at / EACH));
        slice.as_ref()?.advice_at(point.y, point.z)
    }
}

/// Sections looked at per mm: half a millimetre on, the surface is the same to a micrometre.
const EACH: f64 = 2.0;

/// The colour at a share of the scale, sRGB: the more there is to take off, the darker.
pub(crate) fn colour(share: f64) -> [u8; 3] {
    laminate::run_colour(1.0 - share)
}
