//! What a phone sends, and whether it can be taken at all.

use serde::{Deserialize, Serialize};

/// Characters of an id: 8 are too many to meet by chance in one shop, 64 are more than any page makes.
const ID: std::ops::RangeInclusive<usize> = 8..=64;
/// Most characters of a cell or of a step's name: a quantity with its unit has a dozen.
const CELL: usize = 64;
/// Most rows that come at once: a blade lies on two supports or bears a few weights.
const ROWS: usize = 12;

/// Something sent, and the bench that it is meant for: a phone may keep it until another one is served.
#[derive(Clone, Debug, Deserialize, PartialEq)]
#[serde(deny_unknown_fields)]
pub(crate) struct Meant<T> {
    pub(crate) bench: String,
    pub(crate) sent: T,
}

/// Readings that come at once, mostly one.
#[derive(Clone, Debug, Deserialize, PartialEq)]
#[serde(deny_unknown_fields)]
pub(crate) struct Readings {
    pub(crate) id: String,
    pub(crate) date: String,
    pub(crate) time: String,
    pub(crate) rows: Vec<Cells>,
}

/// The cells of a reading, as they are written.
#[derive(Clone, Debug, Default, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct Cells {
    pub(crate) stage: String,
    pub(crate) station: String,
    pub(crate) what: String,
    pub(crate) height: String,
    pub(crate) measured: String,
    pub(crate) sure: String,
}

/// A reading taken back.
#[derive(Clone, Debug, Deserialize, PartialEq)]
#[serde(deny_unknown_fields)]
pub(crate) struct Undo {
    pub(crate) id: String,
    pub(crate) date: String,
    pub(crate) time: String,
    /// The reading's id.
    pub(crate) of: String,
}

/// A step that is done, or not done after all.
#[derive(Clone, Debug, Deserialize, PartialEq)]
#[serde(deny_unknown_fields)]
pub(crate) struct Tick {
    pub(crate) id: String,
    pub(crate) date: String,
    pub(crate) time: String,
    pub(crate) step: String,
    pub(crate) done: bool,
}

impl Readings {
    /// Whether it can be taken.
    ///
    /// # Errors
    /// What is wrong with it, in words.
    pub(crate) fn check(&self) -> Result<(), String> {
        stamped(&self.id, &self.date, &self.time)?;
        if self.rows.is_empty() || self.rows.len() > ROWS {
            return Err(format!("Send 1 to {ROWS} readings at once."));
        }
        let cells = |row: &Cells| {
            [&row.stage, &row.station, &row.what, &row.height, &row.measured, &row.sure]
                .iter()
                .all(|cell| is_plain(cell))
        };
        if !self.rows.iter().all(cells) {
            return Err(format!("A cell holds at most {CELL} characters of plain text."));
        }
        match self.rows.iter().all(|row| !row.measured.trim().is_empty()) {
            true => Ok(()),
            false => Err("Type what caliper, rule or scales said.".to_owned()),
        }
    }
}

impl Undo {
    /// As [`Readings::check`].
    pub(crate) fn check(&self) -> Result<(), String> {
        stamped(&self.id, &self.date, &self.time)?;
        if is_id(&self.of) { Ok(()) } else { Err("No reading has such an id.".to_owned()) }
    }
}

impl Tick {
    /// As [`Readings::check`].
    pub(crate) fn check(&self) -> Result<(), String> {
        stamped(&self.id, &self.date, &self.time)?;
        let plain = !self.step.is_empty() && self.step.len() <= CELL && self.step.bytes().all(is_sign);
        if plain { Ok(()) } else { Err("No step has such a name.".to_owned()) }
    }
}

fn stamped(id: &str, date: &str, time: &str) -> Result<(), String> {
    if !is_id(id) {
        return Err("This has no id of letters, digits and hyphens.".to_owned());
    }
    if measured::Date::parse(date).is_none() || !is_time(time) {
        return Err("Give the day as 2026-03-14 and the time as 14:05:30.".to_owned());
    }
    Ok(())
}

fn is_id(text: &str) -> bool {
    ID.contains(&text.len()) && text.bytes().all(is_sign)
}

fn is_sign(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || byte == b'-'
}

/// Short, and nothing in it that commands rather than shows.
fn is_plain(text: &str) -> bool {
    text.chars().count() <= CELL && !text.chars().any(char::is_control)
}

/// A time of the day as ISO 8601's extended form has it, to the second.
fn is_time(text: &str) -> bool {
    let parts: Vec<&str> = text.split(':').collect();
    let below = |part: &str, most: u32| {
        part.len() == 2
            && part.bytes().all(|b| b.is_ascii_digit())
            && part.parse().is_ok_and(|n: u32| n < most)
    };
    matches!(parts[..], [h, m, s] if below(h, 24) && below(m, 60) && below(s, 60))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_of_the_day_are_known() {
        for time in ["00:00:00", "23:59:59", "14:05:30"] {
            assert!(is_time(time), "{time}");
        }
        for time in ["", "24:00:00", "14:5:30", "14:05", "+4:05:30", "14:05:60", "14:05:30.5", "a4:05:30"] {
            assert!(!is_time(time), "{time}");
        }
    }

    #[test]
    fn ids_and_cells_are_short_and_plain() {
        assert!(is_id("0123abcd") && is_id("a-b-c-d-e"));
        for id in ["", "short", "has space", "dots.are.no", &"x".repeat(65), "../../etc"] {
            assert!(!is_id(id), "{id}");
        }
        assert!(is_plain("1/4 in") && !is_plain("a\nb") && !is_plain(&"é".repeat(65)));
    }
}
