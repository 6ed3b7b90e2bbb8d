//! Days of the calendar, for tests that are due.

use tepid_sim::scenario::CalendarDate;

/// A day from "2026-11-26"; `None`: it is none.
#[must_use]
pub fn day_of(text: &str) -> Option<CalendarDate> {
    let mut parts = text.trim().splitn(3, '-');
    let year: i32 = parts.next()?.parse().ok()?;
    let month: u8 = parts.next()?.parse().ok()?;
    let day: u8 = parts.next()?.parse().ok()?;
    let date = CalendarDate { year, month, day };
    // A day that does not exist is told by that it is another one.
    let exists = (1..=12).contains(&month) && (1..=31).contains(&day) && (1900..=2999).contains(&year);
    (exists && after(date, 0) == date).then_some(date)
}

/// The day so many days later.
#[must_use]
pub fn after(date: CalendarDate, days: u32) -> CalendarDate {
    of_number(number(date) + i64::from(days))
}

/// A day as "2026-11-26".
#[must_use]
pub fn text(date: CalendarDate) -> String {
    format!("{:04}-{:02}-{:02}", date.year, date.month, date.day)
}

/// Days since 1 March of the year 0, so that the leap day is the last of its year.
fn number(date: CalendarDate) -> i64 {
    let year = i64::from(date.year) - i64::from(date.month <= 2);
    let month = (i64::from(date.month) + 9) % 12;
    365 * year + year / 4 - year / 100 + year / 400 + (153 * month + 2) / 5 + i64::from(date.day) - 1
}

fn of_number(number: i64) -> CalendarDate {
    // The year is at most one too many by this estimate.
    let mut year = (10_000 * number + 14_780) / 3_652_425;
    let starts = |year: i64| 365 * year + year / 4 - year / 100 + year / 400;
    if number < starts(year) {
        year -= 1;
    }
    let day_of_year = number - starts(year);
    let month = (100 * day_of_year + 52) / 3060;
    let day = day_of_year - (month * 306 + 5) / 10 + 1;
    let (month, year) = ((month + 2) % 12 + 1, year + (month + 2) / 12);
    CalendarDate {
        year: year as i32,
        month: month as u8,
        day: day as u8,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_pass_over_the_ends_of_months_years_and_februaries() {
        for (from, days, to) in [
            ("2026-11-26", 0, "2026-11-26"),
            ("2026-11-26", 30, "2026-12-26"),
            ("2026-12-26", 30, "2027-01-25"),
            ("2024-02-28", 2, "2024-03-01"),
            ("2023-02-28", 1, "2023-03-01"),
            ("1999-12-31", 1, "2000-01-01"),
            ("2000-02-28", 366, "2001-02-28"),
            ("2100-02-28", 1, "2100-03-01"),
        ] {
            assert_eq!(
                text(after(day_of(from).expect("a day"), days)),
                to,
                "{from} + {days}"
            );
        }
    }

    #[test]
    fn every_day_of_four_hundred_years_is_the_day_after_the_one_before() {
        let mut date = day_of("1900-01-01").expect("a day");
        for _ in 0..146_097 {
            let next = after(date, 1);
            assert!(next > date && day_of(&text(next)) == Some(next), "{date:?}");
            date = next;
        }
        assert_eq!(text(date), "2300-01-01");
    }

    #[test]
    fn what_is_no_day_is_refused() {
        for text in [
            "2026-02-29",
            "2026-13-01",
            "26.11.2026",
            "2026-11",
            "soon",
            "2026-11-31",
        ] {
            assert_eq!(day_of(text), None, "{text}");
        }
    }
}
