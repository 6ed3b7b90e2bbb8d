//! Figures in words: what a person reads, in tables, plots and sentences alike.

mod beyond_lines;
mod chance;
mod money;
mod outcome;
mod oxygen;
mod paragraph;
mod past_dose;
mod restated;
mod salinity;
mod shell;
mod side;
pub(crate) mod study;
pub(crate) mod study_scores;
mod units;
mod warned;

pub(crate) use beyond_lines::{beyond_lines, lines_end, no_acquittal, no_acquittal_of};
pub use chance::{figure, more_in_ten_thousand, one_in};
pub(crate) use money::{money, price, prices};
pub(crate) use outcome::{added, alike, alike_unbroken, extreme, extremes_alike, near_h, run_dry, unbroken};
pub use outcome::{outcome, outcomes};
pub use oxygen::{oxygen_facts, oxygen_of_block};
pub use paragraph::wrapped;
pub(crate) use paragraph::{glued, unglued};
pub(crate) use past_dose::{past_dose, tanks_past_dose};
pub use restated::restated;
pub(crate) use salinity::{salinity, salinity_lost, salinity_wanted};
pub use shell::quoted;
pub(crate) use side::{ADDS_K, Harm};
pub use units::Units;
pub(crate) use warned::{warned, warned_alike};

use crate::records::RoomKind;

/// What stands where nothing is known.
pub const MISSING: &str = "–";

/// A dose above which only this bound is told: beyond the severest line the slope of the danger table is a continuation.
pub const DOSE_TOLD_UP_TO: f64 = 10.0;

/// A length of time, h: "36 min", "3.1 h", "2.4 d".
#[must_use]
pub fn duration(length_h: f64) -> String {
    if !length_h.is_finite() {
        MISSING.to_owned()
    } else if length_h < 0.0 {
        format!("-{}", duration(-length_h))
    } else if length_h < 59.5 / 60.0 {
        format!("{:.0} min", length_h * 60.0)
    } else if length_h < 48.0 {
        format!("{} h", trimmed(length_h, 1))
    } else {
        format!("{} d", trimmed(length_h / 24.0, 1))
    }
}

/// An instant, h after time zero, as day and time of day: "20:00 on day 1"; time zero is 00:00 of day 1.
#[must_use]
pub fn at(instant_h: f64) -> String {
    if !instant_h.is_finite() {
        return MISSING.to_owned();
    }
    let minutes = (instant_h * 60.0).round();
    let day = (minutes / 1440.0).floor();
    let of_day = minutes - day * 1440.0;
    format!("{} on day {:.0}", clock(of_day / 60.0), day + 1.0)
}

/// A time of day: "06:30".
fn clock(of_day_h: f64) -> String {
    let minutes = (of_day_h * 60.0).round();
    format!("{:02.0}:{:02.0}", (minutes / 60.0).floor(), minutes % 60.0)
}

/// A horizon, always in hours: "72 h".
#[must_use]
pub fn hours(length_h: f64) -> String {
    if length_h.is_finite() {
        format!("{} h", trimmed(length_h, 1))
    } else {
        MISSING.to_owned()
    }
}

/// Electrical energy, kWh: "4.42 kWh", "310 kWh".
#[must_use]
pub fn energy(energy_kwh: f64) -> String {
    if !energy_kwh.is_finite() {
        MISSING.to_owned()
    } else if energy_kwh < 10.0 {
        format!("{energy_kwh:.2} kWh")
    } else if energy_kwh < 100.0 {
        format!("{energy_kwh:.1} kWh")
    } else {
        format!("{energy_kwh:.0} kWh")
    }
}

/// A contact's life, years: "3.2 years", "over 100 years".
#[must_use]
pub fn years(life_years: f64) -> String {
    if life_years.is_nan() {
        MISSING.to_owned()
    } else if life_years > 100.0 {
        "over 100 years".to_owned()
    } else {
        format!("{life_years:.1} years")
    }
}

/// A dose: "0.42", "> 10".
#[must_use]
pub fn dose(used: f64) -> String {
    if used.is_nan() {
        MISSING.to_owned()
    } else if used > DOSE_TOLD_UP_TO {
        format!("> {DOSE_TOLD_UP_TO:.0}")
    } else if used > 0.0 && used < 0.005 {
        "< 0.01".to_owned()
    } else {
        format!("{used:.2}")
    }
}

/// A share of the whole, 0..=1: "99.8 %". All and nothing are told only of exactly all and nothing.
#[must_use]
pub fn share(frac: f64) -> String {
    if !frac.is_finite() {
        MISSING.to_owned()
    } else if frac > 0.9995 && frac < 1.0 {
        "> 99.9 %".to_owned()
    } else if frac > 0.0 && frac < 0.0005 {
        "< 0.1 %".to_owned()
    } else {
        format!("{} %", trimmed(frac * 100.0, 1))
    }
}

/// Heat flow or power, W: "224 W".
#[must_use]
pub fn power(power_w: f64) -> String {
    if power_w.is_finite() {
        // What rounds to nothing has no sign.
        let whole = format!("{power_w:.0}");
        format!("{} W", if whole == "-0" { "0" } else { &whole })
    } else {
        MISSING.to_owned()
    }
}

/// " in the room constant at the year's warmest"; nothing for the scenario's own.
pub(crate) fn in_room_kind(room: RoomKind) -> &'static str {
    match room {
        RoomKind::Scenario => "",
        RoomKind::Coldest => " in the room constant at the year's coldest",
        RoomKind::Warmest => " in the room constant at the year's warmest",
    }
}

/// Figures from the smallest to the largest: "3.9 to 4.3 h"; one figure where both ends read the same.
#[must_use]
pub fn spanned(values: impl IntoIterator<Item = f64>, text: impl Fn(f64) -> String) -> String {
    let values: Vec<f64> = values.into_iter().collect();
    let (Some(low), Some(high)) = (
        values.iter().copied().reduce(f64::min),
        values.iter().copied().reduce(f64::max),
    ) else {
        return MISSING.to_owned();
    };
    let (low, high) = (text(low), text(high));
    if low == high {
        return high;
    }
    match (low.rsplit_once(' '), high.rsplit_once(' ')) {
        (Some((figure, unit)), Some((_, same))) if unit == same => format!("{figure} to {high}"),
        _ => format!("{low} to {high}"),
    }
}

/// Two texts of one unit, which is named once: "26.5 instead of 25.6 °C".
pub(crate) fn spanned_both(with: &str, without: &str) -> String {
    match (with.rsplit_once(' '), without.rsplit_once(' ')) {
        (Some((figure, unit)), Some((_, same))) if unit == same => format!("{figure} instead of {without}"),
        _ => format!("{with} instead of {without}"),
    }
}

/// "a", "a and b", "a, b and c".
#[must_use]
pub fn enumerated<T: AsRef<str>>(items: &[T]) -> String {
    let items: Vec<&str> = items.iter().map(AsRef::as_ref).collect();
    match items.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// At most the first two of many: "a and b", "a, b and 3 more".
#[must_use]
pub fn abridged<T: AsRef<str>>(items: &[T]) -> String {
    match items {
        [a, b, rest @ ..] if !rest.is_empty() => {
            format!("{}, {} and {} more", a.as_ref(), b.as_ref(), rest.len())
        }
        all => enumerated(all),
    }
}

/// A span of switching, s: "250 ms", "45 s", "9.8 min", "3.1 h".
#[must_use]
pub fn span(length_s: f64) -> String {
    if !length_s.is_finite() {
        MISSING.to_owned()
    } else if length_s > 0.0 && length_s < 0.9995 {
        format!("{:.0} ms", length_s * 1000.0)
    } else if length_s < 10.0 {
        format!("{} s", trimmed(length_s, 1))
    } else if length_s < 99.5 {
        format!("{length_s:.0} s")
    } else if length_s < 3597.0 {
        format!("{} min", trimmed(length_s / 60.0, 1))
    } else {
        duration(length_s / 3600.0)
    }
}

/// The text of a value, or the sign for a missing one.
#[must_use]
pub fn or_missing(value: Option<f64>, text: impl Fn(f64) -> String) -> String {
    value.map_or_else(|| MISSING.to_owned(), text)
}

/// A number with at most `decimals` decimals, without trailing zeros and without a negative zero.
pub(crate) fn trimmed(value: f64, decimals: usize) -> String {
    let mut text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" { "0".to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_of_time_read_as_people_say_them() {
        assert_eq!(duration(0.6), "36 min");
        assert_eq!(duration(3.12), "3.1 h");
        assert_eq!(duration(9.0), "9 h");
        assert_eq!(duration(57.6), "2.4 d");
        assert_eq!(duration(-2.0), "-2 h");
        assert_eq!(hours(72.0), "72 h");
    }

    #[test]
    fn time_zero_is_midnight_of_the_first_day() {
        assert_eq!(at(0.0), "00:00 on day 1");
        assert_eq!(at(20.0), "20:00 on day 1");
        assert_eq!(at(47.999), "00:00 on day 3");
        assert_eq!(at(115.25), "19:15 on day 5");
        assert_eq!(at(f64::NAN), MISSING);
    }

    #[test]
    fn figures_of_one_unit_name_it_once() {
        assert_eq!(spanned([4.3, 3.9, 4.0], duration), "3.9 to 4.3 h");
        assert_eq!(spanned([46.9, 48.1], duration), "46.9 h to 2 d");
        assert_eq!(spanned([3.91, 3.92], duration), "3.9 h");
        assert_eq!(spanned([], duration), MISSING);
    }

    #[test]
    fn of_many_names_two_are_told() {
        assert_eq!(abridged(&["a", "b"]), "a and b");
        assert_eq!(abridged(&["a", "b", "c"]), "a, b and 1 more");
        assert_eq!(enumerated(&["a", "b", "c"]), "a, b and c");
    }

    #[test]
    fn spans_of_switching_need_no_five_digits() {
        assert_eq!(span(0.02), "20 ms");
        assert_eq!(span(1.54), "1.5 s");
        assert_eq!(span(45.0), "45 s");
        assert_eq!(span(590.0), "9.8 min");
        assert_eq!(span(86_223.0), "24 h");
    }

    #[test]
    fn a_dose_far_beyond_the_table_is_told_as_a_bound() {
        assert_eq!(dose(10.0), "10.00");
        assert_eq!(dose(10.1), "> 10");
        assert_eq!(dose(f64::INFINITY), "> 10");
        assert_eq!(dose(0.001), "< 0.01");
        assert_eq!(dose(0.0), "0.00");
    }

    #[test]
    fn almost_all_of_the_time_is_not_told_as_all_of_it() {
        assert_eq!(share(1.0), "100 %");
        assert_eq!(share(0.9999), "> 99.9 %");
        assert_eq!(share(0.0001), "< 0.1 %");
        assert_eq!(share(0.0), "0 %");
        assert_eq!(share(0.998), "99.8 %");
    }

    #[test]
    fn what_is_no_number_is_missing() {
        for text in [duration, hours, energy, years, dose, share, power, span] {
            assert_eq!(text(f64::NAN), MISSING);
        }
    }

    #[test]
    fn lives_and_energies_keep_the_digits_that_matter() {
        assert_eq!(years(3.24), "3.2 years");
        assert_eq!(years(450.0), "over 100 years");
        assert_eq!(energy(4.421), "4.42 kWh");
        assert_eq!(energy(1234.4), "1234 kWh");
    }
}
