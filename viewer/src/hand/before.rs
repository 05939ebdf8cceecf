//! The blade as it was before a change: its lines and its figures, to be seen behind the new one.

use blade::Sections;
use glam::DVec3;

use crate::model::shown::Shown;

/// Stations at which the lines are kept.
const STATIONS: usize = 160;

/// The blade before.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Before {
    /// Back, edge, right and left, from the tang's end to the point, mm.
    pub(crate) lines: [Vec<DVec3>; 4],
    /// Mass of the bare steel and with fittings, g; balance from the guard or the shoulder, mm.
    pub(crate) figures: [f64; 3],
}

impl Before {
    pub(crate) fn of(shown: &Shown) -> Before {
        let swing = &shown.facts.swing;
        Before { lines: lines(&shown.facts.sections), figures: [swing.steel_mass, swing.mass, swing.balance] }
    }
}

/// The blade's outermost lines seen from the side and from above.
fn lines(sections: &Sections) -> [Vec<DVec3>; 4] {
    let (from, to) = sections.range();
    let mut lines: [Vec<DVec3>; 4] = Default::default();
    for i in 0..=STATIONS {
        let x = from + (to - from) * i as f64 / STATIONS as f64;
        let Some(section) = sections.at(x) else { continue };
        let ((low, high), (left, right)) = (section.range(), section.extent());
        let each = [[high, 0.0], [low, 0.0], [high, right], [high, left]];
        lines.iter_mut().zip(each).for_each(|(line, [y, z])| line.push(DVec3::new(x, y, z)));
    }
    lines
}
