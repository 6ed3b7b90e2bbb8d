//! How likely a year uses up the dose.

use super::{Column, WIDTH, assumed, cautions, grid};
use crate::records::{Odds, OddsCause, OddsMoved, StrategyOdds};
use crate::wording::{
    MISSING, Units, enumerated, figure, hours, more_in_ten_thousand, no_acquittal, one_in, share, wrapped,
};

/// Causes told of each strategy; the rest stands in JSON and CSV.
const CAUSES: usize = 5;

/// Parts told that are broken without anybody knowing, likewise.
const UNNOTICED: usize = 6;

/// The odds: in a sentence, by strategy, by cause, and how they move.
#[must_use]
pub fn odds(record: &Odds, units: Units) -> String {
    let mut text = wrapped("", &format!("{}: {}", record.scenario, record.title), WIDTH);
    text.push('\n');
    for one in &record.strategies {
        text += &wrapped("", &in_a_sentence(record, one, units), WIDTH);
    }
    text += &format!("\n{}", wrapped("", &how_reckoned(record, units), WIDTH));
    for one in record.strategies.iter().filter(|one| !one.causes.is_empty()) {
        text += &format!("\n{}", causes(record, one));
    }
    text += &differences(record);
    for one in record.strategies.iter().filter(|one| !one.unnoticed.is_empty()) {
        text += &format!("\n{}", unnoticed(one));
    }
    for one in record
        .strategies
        .iter()
        .filter(|one| !one.moved.is_empty())
        .take(1)
    {
        text += &format!("\n{}", moved(one));
    }
    text += &format!("\n{}", lives(record));
    text += &assumed(&record.assumptions, units);
    text += &cautions(&record.cautions);
    text
}

fn in_a_sentence(record: &Odds, one: &StrategyOdds, units: Units) -> String {
    let beyond = one.beyond_lines.map_or_else(String::new, |beyond| {
        format!(" {}", no_acquittal("some failures", beyond, units))
    });
    let Some(chance) = &one.chance else {
        let missing = one.does_not_apply.as_deref().unwrap_or(MISSING);
        return format!("{}: does not apply; it needs {missing}.", one.strategy);
    };
    if chance.frac == 0.0 {
        return format!(
            "{}: none of {} years uses up the dose: {}.{beyond}",
            one.strategy,
            record.years,
            one_in(chance)
        );
    }
    let most = one.causes.first().map_or_else(String::new, |cause| {
        let of_all = cause.chance.frac / chance.frac;
        let most = if of_all > 0.5 { "most of it" } else { "most often" };
        format!("; {most} by {} ({})", cause_in_words(cause), share(of_all))
    });
    let anyway = match one.lost_unbroken_frac {
        Some(frac) if frac > 0.0 => format!(
            " In {} of seasons and times of day the dose is used up with nothing broken; that is not counted here.",
            share(frac)
        ),
        _ => String::new(),
    };
    format!(
        "{}: about {} years uses up the dose{most}.{anyway}{beyond}",
        one.strategy,
        one_in(chance)
    )
}

fn how_reckoned(record: &Odds, units: Units) -> String {
    let rooms: Vec<String> = record
        .seasons_room_c
        .iter()
        .map(|room_c| units.temperature(*room_c))
        .collect();
    let windows: u64 = record.strategies.iter().map(|one| one.windows).sum();
    format!(
        "From {} years drawn, {} at a time from the parts' stated age on; ranges hold {} of the time for the chance of the draw alone. What \
         follows a failure was simulated for {} in {windows} windows. Seasons: {}, rooms of {}.",
        record.years,
        record.span_years,
        share(record.level_frac),
        hours(record.followed_h),
        record.seasons,
        enumerated(&rooms)
    )
}

/// "relay left welded with dial left welded before, too warm".
fn cause_in_words(cause: &OddsCause) -> String {
    let way = if cause.too_warm { "too warm" } else { "too cold" };
    let before = enumerated(&cause.broken_before);
    match &cause.failed {
        Some(failed) if cause.broken_before.is_empty() => format!("{failed}, {way}"),
        Some(failed) => format!("{failed} with {before} before, {way}"),
        None => format!("{before}, unnoticed until the season changed, {way}"),
    }
}

fn causes(record: &Odds, one: &StrategyOdds) -> String {
    let told = one.causes.iter().take(CAUSES).map(|cause| {
        vec![
            cause_in_words(cause),
            one_in(&cause.chance),
            of_all(one, cause.chance.frac),
            String::new(),
        ]
    });
    let rest = &one.causes[one.causes.len().min(CAUSES)..];
    let rest_years: u64 = rest.iter().map(|cause| cause.years_lost).sum();
    let rest_row = (!rest.is_empty()).then(|| {
        let frac = rest_years as f64 / record.years as f64;
        vec![
            match rest.len() {
                1 => "one other cause".to_owned(),
                count => format!("{count} other causes"),
            },
            String::new(),
            of_all(one, frac),
            String::new(),
        ]
    });
    let heading = wrapped(
        "",
        &format!("What uses up the dose under {}", one.strategy),
        WIDTH,
    );
    heading
        + &grid(
            &[
                Column::words("Cause", 60),
                Column::words("Years", 28),
                Column::figures("Of all", 10),
                Column::words("", 1),
            ],
            told.chain(rest_row).collect(),
        )
}

/// A chance as a share of all losses of a strategy.
fn of_all(one: &StrategyOdds, frac: f64) -> String {
    one.chance
        .map_or_else(|| MISSING.to_owned(), |all| share(frac / all.frac))
}

fn differences(record: &Odds) -> String {
    if record.differences.is_empty() {
        return String::new();
    }
    let rows = record.differences.iter().map(|one| {
        vec![
            format!("{} beside {}", one.strategy, one.than),
            more_in_ten_thousand(&one.more),
        ]
    });
    let table = grid(
        &[
            Column::words("Over the same draws", 40),
            Column::words("Years that use up the dose", 56),
        ],
        rows.collect(),
    );
    format!("\n{table}")
}

fn unnoticed(one: &StrategyOdds) -> String {
    let rows = one.unnoticed.iter().take(UNNOTICED).map(|part| {
        let time = &part.time;
        vec![
            format!("{} ({})", part.part, part.kind),
            format!(
                "{} ({} to {})",
                share(time.frac),
                share(time.low_frac),
                share(time.high_frac)
            ),
            part.tested_every_d.map_or_else(
                || "never".to_owned(),
                |every_d| format!("every {} d", figure(every_d)),
            ),
        ]
    });
    let heading = format!("Broken and not noticed under {}", one.strategy);
    wrapped("", &heading, WIDTH)
        + &grid(
            &[
                Column::words("Part", 46),
                Column::words("Share of the time", 34),
                Column::words("Tested", 18),
            ],
            rows.collect(),
        )
}

/// One row for each assumption, with all ways it was moved.
fn moved(one: &StrategyOdds) -> String {
    let mut rows: Vec<Vec<String>> = Vec::new();
    for OddsMoved { what, how, chance } in &one.moved {
        let told = format!("{how}: {}", one_in(chance));
        match rows.last_mut().filter(|row| row[0] == *what) {
            Some(row) => row[1] = format!("{}; {told}", row[1]),
            None => rows.push(vec![what.clone(), told]),
        }
    }
    let stated = one.chance.as_ref().map_or_else(|| MISSING.to_owned(), one_in);
    let heading = format!("How the answer moves under {}, as stated {stated}", one.strategy);
    wrapped("", &heading, WIDTH)
        + &grid(
            &[
                Column::words("What moves", 34),
                Column::words("Years that use up the dose", 64),
            ],
            rows,
        )
}

fn lives(record: &Odds) -> String {
    let rows = record
        .lives
        .iter()
        .map(|one| vec![one.kind.clone(), one.life.clone(), one.source.clone()]);
    let mut text = grid(
        &[
            Column::words("Lives of", 24),
            Column::words("Characteristic life", 28),
            Column::words("From", 48),
        ],
        rows.collect(),
    );
    for one in &record.strategies {
        let closings: Vec<String> = one
            .closings
            .iter()
            .map(|contact| format!("{} {}", contact.contact, figure(contact.per_year.round())))
            .collect();
        if !closings.is_empty() {
            text += &wrapped(
                "",
                &format!("Closings a year under {}: {}.", one.strategy, closings.join(", ")),
                WIDTH,
            );
        }
    }
    text
}
