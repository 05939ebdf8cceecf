//! Sheets of paper that templates are printed on.

use crate::file::draft::words;
use crate::unit::quantity::Unit;

/// A sheet of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// ISO 216 A4.
    A4,
    /// ISO 216 A3.
    A3,
    /// US letter, ANSI size A.
    Letter,
}

impl Paper {
    /// Width and height standing upright, mm: ISO 216, and 8.5 by 11 inches (ANSI Y14.1; both from memory).
    pub fn size(self) -> [f64; 2] {
        match self {
            Paper::A4 => [210.0, 297.0],
            Paper::A3 => [297.0, 420.0],
            Paper::Letter => [215.9, 279.4],
        }
    }

    /// The sheet sold where this unit is in use.
    pub(crate) fn usual(unit: Unit) -> Paper {
        match unit {
            Unit::Millimetre => Paper::A4,
            Unit::Inch => Paper::Letter,
        }
    }
}

words! {
    /// A sheet of paper.
    PaperWord {
        /// 210 by 297 mm.
        A4 = "a4",
        /// 297 by 420 mm.
        A3 = "a3",
        /// 8.5 by 11 inches.
        Letter = "letter",
    }
}

impl From<PaperWord> for Paper {
    fn from(word: PaperWord) -> Paper {
        match word {
            PaperWord::A4 => Paper::A4,
            PaperWord::A3 => Paper::A3,
            PaperWord::Letter => Paper::Letter,
        }
    }
}
