//! Calendar days as ISO 8601 writes them.

use std::fmt;

use jiff::civil;

/// A day of the Gregorian calendar. Days compare in the order of time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date(civil::Date);

/// Digits, and the hyphens between them, of a day as files write it: ISO 8601's extended form.
const FORM: &[u8; 10] = b"0000-00-00";

impl Date {
    /// A day written like 2026-03-14; `None` for any other text and for days that no calendar has.
    pub fn parse(text: &str) -> Option<Date> {
        let fits =
            |(byte, form): (u8, &u8)| if *form == b'0' { byte.is_ascii_digit() } else { byte == *form };
        // ISO 8601 has other forms too, with weeks, signs or times: none of them is wanted here.
        let plain = text.len() == FORM.len() && text.bytes().zip(FORM).all(fits);
        if plain { text.parse().ok().map(Date) } else { None }
    }

    /// The days that text in another form may mean: three numbers with anything between them, the year of four digits first
    /// or last. Two where day and month can't be told apart.
    pub(crate) fn meant(text: &str) -> Vec<Date> {
        let parts: Vec<&str> =
            text.split(|c: char| !c.is_ascii_digit()).filter(|part| !part.is_empty()).collect();
        let orders: &[[usize; 3]] = match parts.as_slice() {
            [year, _, _] if year.len() == 4 => &[[0, 1, 2]],
            [_, _, year] if year.len() == 4 => &[[2, 1, 0], [2, 0, 1]],
            _ => &[],
        };
        let day = |[year, month, day]: &[usize; 3]| {
            Date::parse(&format!("{}-{:0>2}-{:0>2}", parts[*year], parts[*month], parts[*day]))
        };
        let mut days: Vec<Date> = orders.iter().filter_map(day).collect();
        days.dedup();
        days
    }

    /// Days from `earlier` to this day; below 0 where that is the later one.
    pub fn days_since(self, earlier: Date) -> i64 {
        i64::from((self.0 - earlier.0).get_days())
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_of_the_calendar_are_read_and_others_are_not() {
        for text in ["2026-03-14", "2024-02-29", "2000-02-29", "0000-02-29", "0001-01-01", "9999-12-31"] {
            assert_eq!(Date::parse(text).map(|d| d.to_string()).as_deref(), Some(text));
        }
        for text in ["", "2026-3-14", "14-03-2026", "2026-02-29", "1900-02-29", "2026-13-01", "2026-00-01"] {
            assert_eq!(Date::parse(text), None, "{text}");
        }
        for text in ["2026-04-31", "2026-04-00", "2026-04-30-1", "2026/04/30", "+026-04-30", "today"] {
            assert_eq!(Date::parse(text), None, "{text}");
        }
    }

    #[test]
    fn other_forms_are_read_as_what_they_may_mean() {
        for (text, meant) in [
            ("2026-3-4", "2026-03-04"),
            ("2026/03/14", "2026-03-14"),
            ("14.03.2026", "2026-03-14"),
            ("3/14/2026", "2026-03-14"),
            ("4/3/2026", "2026-03-04 2026-04-03"),
            ("4/4/2026", "2026-04-04"),
            ("2026-02-30", ""),
            ("14.3.26", ""),
            ("today", ""),
            ("", ""),
            ("2026-03-14-15", ""),
        ] {
            let told: Vec<String> = Date::meant(text).iter().map(ToString::to_string).collect();
            assert_eq!(told.join(" "), meant, "{text}");
        }
    }

    #[test]
    fn days_are_counted_without_gaps() {
        let day = |text| Date::parse(text).unwrap();
        assert_eq!(day("2024-03-01").days_since(day("2024-02-29")), 1);
        assert_eq!(day("2025-01-01").days_since(day("2024-01-01")), 366);
        assert_eq!(day("2000-01-01").days_since(day("1600-01-01")), 146_097);
        assert_eq!(day("2026-01-01").days_since(day("2025-12-31")), 1);
    }
}
