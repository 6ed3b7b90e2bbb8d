//! A card as text.

use super::{WIDTH, assumed, cautions, list};
use crate::records::{Card, CardHours, CardSetting, CardTrial, HoursToLine};
use crate::wording::{Units, duration, enumerated, hours, lines_end, restated, wrapped};

/// A line to write on.
const BLANK: &str = "________________";

/// Settings, what to do first, hours available, the record of tests.
#[must_use]
pub fn card(record: &Card, units: Units) -> String {
    let mut text = wrapped("", &record.title, WIDTH);
    text += &wrapped(
        "",
        &format!(
            "{}, band {} to {}; controlled by {}. Put up: {}",
            units.line(record.target_c),
            units.line(record.band_c[0]),
            units.line(record.band_c[1]),
            record.strategy,
            record.date.as_deref().unwrap_or(BLANK)
        ),
        WIDTH,
    );
    text += &steps("TOO HOT: first", &record.too_hot, units);
    text += &steps("TOO COLD: first", &record.too_cold, units);
    text += &list(
        "Hours there are, the most urgent first",
        record
            .hours
            .iter()
            .map(|one| hours_told(record, one, units))
            .collect::<Vec<_>>()
            .iter()
            .map(String::as_str),
    );
    if record.hours.is_empty() {
        text += "\nNo danger lines are stated, so no hours are told.\n";
    } else if let Some(unsaid) = oxygen_unsaid(record) {
        text += &wrapped("", unsaid, WIDTH);
    }
    text += &list(
        "Settings",
        record
            .settings
            .iter()
            .map(|setting| setting_told(setting, units))
            .collect::<Vec<_>>()
            .iter()
            .map(String::as_str),
    );
    text += &list(
        "Tests, to be dated and signed",
        record
            .trials
            .iter()
            .map(|trial| trial_told(trial, units))
            .collect::<Vec<_>>()
            .iter()
            .map(String::as_str),
    );
    text + &assumed(&record.assumptions, units) + &cautions(&record.cautions)
}

fn steps(heading: &str, steps: &[String], units: Units) -> String {
    let numbered = steps.iter().enumerate();
    let told: String = numbered
        .map(|(at, step)| wrapped(&format!("{}. ", at + 1), &restated(step, units), WIDTH))
        .collect();
    format!("\n{heading}\n{told}")
}

/// What the hours do not say where nothing is known of the stock: it kills before cold does.
pub(crate) fn oxygen_unsaid(record: &Card) -> Option<&'static str> {
    let told = record.hours.iter().any(|one| one.oxygen);
    (!told).then_some(
        "These hours are of temperature alone. With pumps or air stopped, oxygen may run out long before them.",
    )
}

/// "22 °C after 4.3 h" of each line that is reached.
pub(super) fn lines_reached(lines: &[HoursToLine], units: Units) -> Vec<String> {
    let reached = lines.iter().filter_map(|line| Some((line.temp_c, line.after_h?)));
    reached
        .map(|(temp_c, after_h)| format!("{} after {}", units.line(temp_c), duration(after_h)))
        .collect()
}

/// The hours of one failure in words.
pub(crate) fn hours_words(record: &Card, one: &CardHours, units: Units) -> String {
    let followed = hours(record.followed_h);
    if one.oxygen && one.already {
        return "oxygen is below half of saturation already with everything working".to_owned();
    }
    if one.oxygen {
        return one.dose_used_up_h.map_or_else(
            || format!("oxygen stays above half of saturation for {followed}"),
            |after_h| format!("oxygen below half of saturation after {}", duration(after_h)),
        );
    }
    let reached = lines_reached(&one.lines, units);
    let dose = one.dose_used_up_h.map_or_else(
        || format!("dose not used up within {followed}"),
        |after_h| format!("dose used up after {}", duration(after_h)),
    );
    if reached.is_empty() {
        format!("no danger line within {followed}")
    } else {
        let beyond = one.beyond_lines.map_or_else(String::new, |beyond| {
            format!(
                "; but it gets to {}, and {}: count on less",
                units.temperature(beyond.extreme_c),
                lines_end(beyond, units)
            )
        });
        format!("{}; {dose}{beyond}", enumerated(&reached))
    }
}

fn hours_told(record: &Card, one: &CardHours, units: Units) -> String {
    format!(
        "{}: {}",
        restated(&one.what, units),
        hours_words(record, one, units)
    )
}

fn setting_told(setting: &CardSetting, units: Units) -> String {
    format!(
        "{}, {}: {} ({}). Your device calls it: {BLANK}",
        setting.at,
        setting.what,
        restated(&setting.value, units),
        restated(&setting.protects, units)
    )
}

/// How often, and who says so.
pub(crate) fn every_words(trial: &CardTrial) -> String {
    if trial.stated {
        format!("every {} d, as stated", trial.every_d)
    } else {
        format!("every {} d", trial.every_d)
    }
}

fn trial_told(trial: &CardTrial, units: Units) -> String {
    let replace = trial.replace.as_ref().map_or_else(
        || " Replace when it fails.".to_owned(),
        |replace| format!(" Replace {replace}, or when it fails."),
    );
    format!(
        "{}, {}: {} Wanted: {}.{replace} Last: {BLANK} Next: {} Signed: {BLANK}",
        restated(&trial.part, units),
        every_words(trial),
        restated(&trial.how, units),
        restated(&trial.wanted, units),
        trial.next.as_deref().unwrap_or(BLANK)
    )
}
