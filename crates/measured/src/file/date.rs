//! Calendar days as ISO 8601 writes them.

use std::fmt;

/// A day of the Gregorian calendar. Days compare in the order of time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    year: i64,
    month: i64,
    day: i64,
}

/// Days of the months of a common year.
const DAYS: [i64; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

impl Date {
    /// A day written like 2026-03-14; `None` for any other text and for days that no calendar has.
    pub fn parse(text: &str) -> Option<Date> {
        let mut parts = text.split('-');
        let mut number = |digits: usize| {
            let part = parts.next()?;
            let plain = part.len() == digits && part.bytes().all(|b| b.is_ascii_digit());
            if plain { part.parse::<i64>().ok() } else { None }
        };
        let date = Date { year: number(4)?, month: number(2)?, day: number(2)? };
        let known = parts.next().is_none() && (1..=12).contains(&date.month);
        (known && (1..=date.last()).contains(&date.day)).then_some(date)
    }

    /// The last day of its month.
    fn last(self) -> i64 {
        let leap = self.year % 4 == 0 && (self.year % 100 != 0 || self.year % 400 == 0);
        DAYS[(self.month - 1) as usize] + i64::from(leap && self.month == 2)
    }

    /// Days since 1 March of the year 0: years are counted from March, so that a leap day comes last and the months
    /// before it have 153 days in every five (Richards, in the Explanatory Supplement to the Astronomical Almanac; from
    /// memory).
    pub fn days(self) -> i64 {
        let (year, month) =
            if self.month > 2 { (self.year, self.month - 3) } else { (self.year - 1, self.month + 9) };
        365 * year + year.div_euclid(4) - year.div_euclid(100)
            + year.div_euclid(400)
            + (153 * month + 2) / 5
            + self.day
            - 1
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_of_the_calendar_are_read_and_others_are_not() {
        for text in ["2026-03-14", "2024-02-29", "2000-02-29", "0001-01-01", "9999-12-31"] {
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
    fn days_are_counted_without_gaps() {
        let day = |text| Date::parse(text).unwrap().days();
        assert_eq!(day("2024-03-01") - day("2024-02-29"), 1);
        assert_eq!(day("2025-01-01") - day("2024-01-01"), 366);
        assert_eq!(day("2000-01-01") - day("1600-01-01"), 146_097);
        assert_eq!(day("2026-01-01") - day("2025-12-31"), 1);
    }
}
