//! How a blade is bent and twisted, and how to bring it straight, in words.

use design::minus;

use crate::compare::bow::Bow;
use crate::compare::day::Day;
use crate::compare::warp::{Shims, Twist};
use crate::file::reading::Line;
use crate::report::text::Words;

/// Said where bows are told, but no twist was read.
const SIGHT: &str = "a straightedge won't show an even twist: sight over two sticks laid across the blade and write it \
                     as `twist`";
impl Words {
    /// Bow, twist and straightening in words.
    pub(crate) fn warp(&self, day: &Day) -> Vec<String> {
        let warp = &day.warp;
        let mut lines: Vec<String> = warp.bows.iter().map(|bow| self.bow(bow)).collect();
        lines.extend(warp.twists.iter().map(|twist| self.twist(twist)));
        if !warp.bows.is_empty() && !warp.twists.iter().any(|t| t.read) {
            lines.push(SIGHT.to_owned());
        }
        // What the steel is comes before anything is clamped.
        if let Some(straightening) = &warp.straightening {
            lines.extend(self.straightening(straightening, day.stage));
            let hard = straightening.condition.hardened == Some(true);
            lines.extend(warp.shims.iter().map(|shims| self.shims(shims, hard)));
        }
        lines
    }

    fn bow(&self, bow: &Bow) -> String {
        let way = match (bow.sideways, bow.most_mm > 0.0) {
            (true, true) => "to the right",
            (true, false) => "to the left",
            (false, true) => "up, towards the back, against the planned line",
            (false, false) => "down, towards the edge, against the planned line",
        };
        let most = self.figures.gap(bow.most_mm.abs());
        format!("bow along the {}: {most} {way} at {}", bow.line.name(), self.figures.told(bow.at_mm))
    }

    /// A twist with its turns, station by station.
    fn twist(&self, twist: &Twist) -> String {
        let told = |turn: f64| minus(&format!("{turn:.1}°"));
        let turns =
            twist.turn_deg.iter().map(|[x, turn]| format!("{} at {}", told(*turn), self.figures.told(*x)));
        let how = if twist.read {
            "twist as read"
        } else {
            "twist by the bows of back and edge, even twist left out"
        };
        format!("{how}, clockwise seen from the shoulder: {}", turns.collect::<Vec<_>>().join(", "))
    }

    /// The shims to straighten over, in words.
    fn shims(&self, shims: &Shims, hard: bool) -> String {
        let line = match shims.line {
            Line::Back => "back",
            Line::Edge => "edge",
        };
        let clamp = if hard { "to clamp it for the temper," } else { "to clamp it" };
        let end = match shims.past {
            Some(past) => format!("{past} times the bow past straight, as you asked"),
            None => "straight; say with --past how far past straight you go".to_owned(),
        };
        let each = shims
            .shims_mm
            .iter()
            .map(|[x, shim]| format!("{} at {}", self.figures.gap(*shim), self.figures.told(*x)));
        format!(
            "{clamp} {end}: a straight bar on the {} side, by the {line}, with shims of {}",
            shims.side.name(),
            each.collect::<Vec<_>>().join(", ")
        )
    }
}
