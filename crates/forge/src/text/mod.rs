//! The forging plan as text for a terminal.

mod bench;
mod heat;
mod lengths;
mod notes;
mod steel;
mod twist;

use std::fmt::Write;

use design::Unit;

use crate::plan::Plan;
use crate::text::lengths::Lengths;
use crate::text::notes::NOTES;

impl Plan {
    /// The plan as text: lengths in the design file's unit, masses in g.
    pub fn text(&self) -> String {
        let mut out = String::new();
        // Writing to a String can't fail.
        let _ = self.write(&mut out);
        out
    }

    /// The whole plan, part by part.
    fn write(&self, out: &mut String) -> std::fmt::Result {
        let lengths = Lengths { inch: self.unit == Unit::Inch.name() };
        self.stack(out, lengths)?;
        self.cuts(out, lengths)?;
        for bar in &self.stock.bars {
            steel::bar_way(out, bar, self.twisting.iter().any(|t| t.bar == bar.name), lengths)?;
        }
        if !self.twisting.is_empty() {
            writeln!(
                out,
                "\nTwist: mark from the tang end of the bar, before you crop it; leave steel beyond the end marks for vice and wrench,\n\
             \u{20}      it is not in these lengths"
            )?;
        }
        for twisting in &self.twisting {
            twist::twist(out, twisting, lengths)?;
        }
        steel::tip(out, &self.tip, lengths)?;
        self.at_the_anvil(out, lengths)?;
        self.heat(out)?;
        self.the_blade(out, lengths)?;
        self.oil(out, lengths)?;
        write!(out, "{NOTES}")
    }
}
