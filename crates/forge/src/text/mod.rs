//! The forging plan as text for a terminal.

pub(crate) mod bands;
mod bath_words;
mod bench;
mod heat;
mod notes;
mod skin_words;
mod steel;
mod twist;

use std::fmt::Write;

use design::Unit;

pub use notes::{MARKS, TWIST_MARKS, TWO_ROUNDS};

use crate::plan::Plan;
use crate::twisting::HEATED;

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
            steel::bar_way(out, bar, (self.twisted_square(bar), self.stock.is_one_bar()), figures)?;
        }
        for joined in &self.stock.joined {
            steel::joined(out, joined, figures)?;
        }
        if !self.stock.is_one_place() {
            steel::way(out, &self.stack_way())?;
        }
        let rounds = self.twisting.iter().flat_map(|t| &t.stretches).any(|s| s.rounds > 1);
        if !self.twisting.is_empty() {
            writeln!(out, "\nTwisting")?;
            notes::wrapped(TWIST_MARKS, notes::WIDE - 7)
                .iter()
                .try_for_each(|line| writeln!(out, "       {line}"))?;
            writeln!(
                out,
                "       `face` and `corner` are the angles of the layer lines to the bar's length,\n\
             \u{20}      `stretch` is how much longer the corners get, `chamfered` the same with each corner chamfered first.\n\
             \u{20}      One heat covers about {} of the bar: `each` is the turns in one heat, `last` those in the last heat{}.",
                figures.told(if figures.unit == Unit::Inch {
                    2.0 * Unit::Inch.millimetres()
                } else {
                    HEATED
                }),
                if rounds { " of a round" } else { "" }
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
        self.notes(out)
    }
}
