//! Stamps of rows as minutes.

/// Minutes of a day.
pub(super) const DAY_MIN: i64 = 1440;

/// Which years a file's stamps are in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Calendar {
    /// Real dates.
    Dated,
    /// A typical year put together from months of several years: years mean nothing.
    TypicalYear {
        /// It has a 29 February.
        leap: bool,
    },
}

/// A stamp as it stands in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stamp {
    pub year: i64,
    pub month: i64,
    pub day: i64,
    /// Minute of the day, 0..=1440: 24:00 closes the day.
    pub minute: i64,
}

impl Stamp {
    /// A stamp of a day and minute that exist; `None` otherwise.
    pub fn new(year: i64, month: i64, day: i64, minute: i64) -> Option<Self> {
        let exists = (1..=12).contains(&month)
            && (1..=days_in_month(year, month)).contains(&day)
            && (0..=DAY_MIN).contains(&minute)
            && (1000..=9999).contains(&year);
        exists.then_some(Self {
            year,
            month,
            day,
            minute,
        })
    }
}

impl Calendar {
    /// Length of the year after which the file begins again, minutes.
    pub fn year_min(self) -> Option<i64> {
        match self {
            Self::Dated => None,
            Self::TypicalYear { leap } => Some(if leap { 366 } else { 365 } * DAY_MIN),
        }
    }

    /// Minutes of a stamp since a fixed moment.
    pub fn minutes(self, stamp: Stamp) -> i64 {
        let year = match self {
            Self::Dated => stamp.year,
            Self::TypicalYear { leap: true } => 2000,
            Self::TypicalYear { leap: false } => 2001,
        };
        midnight(year, stamp.month, stamp.day) + stamp.minute
    }
}

/// Days from the start of year 1 of the Gregorian calendar to a day.
pub(crate) fn days_since_year_1(year: i64, month: i64, day: i64) -> i64 {
    midnight(year, month, day) / DAY_MIN
}

/// Minutes from the start of year 1 of the Gregorian calendar to 00:00 of a day; a 29 February of another year is the
/// 1 March.
pub(super) fn midnight(year: i64, month: i64, day: i64) -> i64 {
    let before = year - 1;
    let leap_days = before / 4 - before / 100 + before / 400;
    let months: i64 = (1..month).map(|month| days_in_month(year, month)).sum();
    (365 * before + leap_days + months + day - 1) * DAY_MIN
}

/// "01-08 13:00" (month, day, time) of minutes since the start of year 1.
pub(super) fn shown(minutes: i64) -> String {
    let mut day = minutes.div_euclid(DAY_MIN);
    let minute = minutes.rem_euclid(DAY_MIN);
    let mut year = day / 366 + 1;
    while midnight(year + 1, 1, 1) <= minutes {
        year += 1;
    }
    day -= midnight(year, 1, 1) / DAY_MIN;
    let mut month = 1;
    while month < 12 && day >= days_in_month(year, month) {
        day -= days_in_month(year, month);
        month += 1;
    }
    format!("{month:02}-{:02} {:02}:{:02}", day + 1, minute / 60, minute % 60)
}

/// Month and day of a day of a year of 365 days, 0 = 1 January.
pub(super) fn month_and_day(day_of_year: u32) -> (i64, i64) {
    let mut day = i64::from(day_of_year);
    let mut month = 1;
    while month < 12 && day >= days_in_month(2001, month) {
        day -= days_in_month(2001, month);
        month += 1;
    }
    (month, day + 1)
}

fn days_in_month(year: i64, month: i64) -> i64 {
    let leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}
