//! The order of corners around the blade, and the names of the strips between them.

use crate::section::corners::{Side, Tag};
use crate::spec::Part;

/// Where a corner stands in the loop around the blade.
pub(super) fn rank(tag: Tag) -> (i32, i32) {
    let fuller = |i: usize| i32::try_from(i).unwrap_or(i32::MAX / 4) * 2;
    let (side, height) = match tag {
        Tag::Apex => return (-1, 0),
        Tag::Edge(s) => (s, 0),
        Tag::Shoulder(s) => (s, 1),
        Tag::Grind(s) => (s, 2),
        Tag::FullerLow(i, s) => (s, 10 + fuller(i)),
        Tag::FullerHigh(i, s) => (s, 11 + fuller(i)),
        Tag::Flank(s) => (s, i32::MAX - 1),
        Tag::BackFlat(s) => (s, i32::MAX),
    };
    if side == Side::Right { (0, height) } else { (1, -height) }
}

/// The name of the strip that begins at a corner, on the blade or on the tang.
pub(super) fn strip_name(from: Tag, to: Tag, part: Part) -> String {
    let what = match (from, to) {
        (
            Tag::Flank(Side::Right) | Tag::BackFlat(Side::Right),
            Tag::Flank(Side::Left) | Tag::BackFlat(Side::Left),
        ) => "back".into(),
        (Tag::Flank(s), Tag::BackFlat(_)) | (Tag::BackFlat(_), Tag::Flank(s)) => {
            format!("back corner {}", s.name())
        }
        (Tag::FullerLow(i, s), Tag::FullerHigh(..)) | (Tag::FullerHigh(i, s), Tag::FullerLow(..)) => {
            format!("fuller {} {}", i + 1, s.name())
        }
        (Tag::Apex, Tag::Shoulder(s)) | (Tag::Shoulder(s), Tag::Apex) => {
            format!("secondary bevel {}", s.name())
        }
        (Tag::Edge(Side::Left) | Tag::Apex, Tag::Edge(Side::Right)) | (Tag::Edge(Side::Left), Tag::Apex) => {
            "edge flat".into()
        }
        (Tag::Edge(s) | Tag::Shoulder(s), _) if s == Side::Right => format!("bevel {}", s.name()),
        (_, Tag::Edge(s) | Tag::Shoulder(s)) if s == Side::Left => format!("bevel {}", s.name()),
        (Tag::Apex, Tag::Flank(s)) | (Tag::Flank(s), Tag::Apex) => format!("flat {}", s.name()),
        (
            Tag::Grind(s) | Tag::FullerHigh(_, s) | Tag::Flank(s) | Tag::FullerLow(_, s) | Tag::BackFlat(s),
            _,
        ) => {
            format!("flank {}", s.name())
        }
        _ => "face".into(),
    };
    match part {
        Part::Tang => format!("tang {what}"),
        Part::Blade => what,
    }
}
