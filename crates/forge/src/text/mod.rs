//! The forging plan as text for a terminal.

mod bands;
mod bench;
mod heat;
mod notes;
mod steel;
mod twist;

use std::fmt::Write;

use crate::plan::Plan;
use crate::text::notes::NOTES;

impl Plan {
    /// The plan as text: everything in the design file's units.
    pub fn text(&self) -> String {
        let mut out = String::new();
        // Writing to a String can't fail.
        let _ = self.write(&mut out);
        out
    }

    /// The whole plan, part by part.
    fn write(&self, out: &mut String) -> std::fmt::Result {
        let figures = self.figures;
        self.stack(out, figures)?;
        self.cuts(out, figures)?;
        for bar in &self.stock.bars {
            steel::bar_way(out, bar, self.twisting.iter().any(|t| t.bar == bar.name), figures)?;
        }
        if !self.twisting.is_empty() {
            writeln!(
                out,
                "\nTwist: mark from the tang end of the bar, before you crop it; leave steel beyond the end marks for vice and wrench,\n\
             \u{20}      it is not in these lengths"
            )?;
        }
        for twisting in &self.twisting {
            twist::twist(out, twisting, figures)?;
        }
        steel::tip(out, &self.tip, figures)?;
        self.at_the_anvil(out, figures)?;
        self.heat(out, figures)?;
        self.the_blade(out, figures)?;
        self.oil(out, figures)?;
        write!(out, "{NOTES}")
    }
}
