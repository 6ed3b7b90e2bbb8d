//! A study, one line per scenario, strategy, fault case and score.

use super::{CsvError, cell, finished};
use crate::records::{NotApplied, ScoreSummary, ScoreUnit, Shown, StudyGroup, StudyResult};

/// The columns, in order. `fault_set` and `case` are `none` where nothing is broken. `difference` is to the strategy in `reference`, run by run.
const COLUMNS: [&str; 33] = [
    "scenario",
    "strategy",
    "does_not_apply",
    "fault_set",
    "case",
    "replicates",
    "failed",
    "score",
    "unit",
    "runs",
    "mean",
    "mean_low",
    "mean_high",
    "standard_deviation",
    "quantile_05",
    "quantile_50",
    "quantile_95",
    "worst",
    "worst_replicate",
    "worst_tank",
    "worst_cell",
    "rank",
    "reference",
    "pairs",
    "difference",
    "difference_t_low",
    "difference_t_high",
    "difference_bootstrap_low",
    "difference_bootstrap_high",
    "shown",
    "confidence_frac",
    "seed",
    "complete",
];

/// All groups of a study. A group without any value, and a strategy that does not apply, have one line.
///
/// # Errors
/// [`CsvError`] if the text cannot be built.
pub fn study(record: &StudyResult) -> Result<String, CsvError> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    for group in &record.groups {
        if group.scores.is_empty() {
            writer.write_record(line(record, &of_group(group), &nothing()))?;
        }
        for score in &group.scores {
            writer.write_record(line(record, &of_group(group), &of_score(record, score)))?;
        }
    }
    for one in &record.does_not_apply {
        writer.write_record(line(record, &of_none(one), &nothing()))?;
    }
    finished(writer)
}

fn line(record: &StudyResult, group: &[String; 7], score: &[String; 23]) -> Vec<String> {
    let study = [
        cell(Some(record.confidence_frac)),
        record.seed.to_string(),
        if record.complete { "yes" } else { "no" }.to_owned(),
    ];
    group.iter().chain(score).chain(&study).cloned().collect()
}

fn of_group(group: &StudyGroup) -> [String; 7] {
    [
        group.scenario.clone(),
        group.strategy.clone(),
        String::new(),
        group.fault_set.clone(),
        group.case.clone(),
        group.replicates.to_string(),
        group.failed.to_string(),
    ]
}

fn of_none(one: &NotApplied) -> [String; 7] {
    [
        one.scenario.clone(),
        one.strategy.clone(),
        one.missing.clone(),
        String::new(),
        String::new(),
        String::new(),
        String::new(),
    ]
}

fn nothing() -> [String; 23] {
    std::array::from_fn(|_| String::new())
}

fn of_score(record: &StudyResult, score: &ScoreSummary) -> [String; 23] {
    let end = |interval: Option<[f64; 2]>, which: usize| cell(interval.map(|ends| ends[which]));
    let difference = score.difference.as_ref();
    let t = difference.and_then(|one| one.t_interval);
    let bootstrap = difference.and_then(|one| one.bootstrap_interval);
    let [low, middle, high] = score.quantiles.map(|value| cell(Some(value)));
    [
        score.score.clone(),
        unit(score.unit).to_owned(),
        score.runs.to_string(),
        cell(Some(score.mean)),
        end(score.mean_interval, 0),
        end(score.mean_interval, 1),
        cell(score.standard_deviation),
        low,
        middle,
        high,
        cell(Some(score.worst.value)),
        score.worst.replicate.to_string(),
        score.worst.tank.clone().unwrap_or_default(),
        score.worst.cell.clone(),
        score.rank.map_or_else(String::new, |rank| rank.to_string()),
        difference.and(record.reference.clone()).unwrap_or_default(),
        difference.map_or_else(String::new, |one| one.pairs.to_string()),
        cell(difference.map(|one| one.mean)),
        end(t, 0),
        end(t, 1),
        end(bootstrap, 0),
        end(bootstrap, 1),
        difference.map_or("", |one| shown(one.shown)).to_owned(),
    ]
}

/// As in JSON.
fn unit(unit: ScoreUnit) -> &'static str {
    match unit {
        ScoreUnit::Kelvin => "K",
        ScoreUnit::Celsius => "°C",
        ScoreUnit::Hours => "h",
        ScoreUnit::KilowattHours => "kWh",
        ScoreUnit::Litres => "L",
        ScoreUnit::Share => "share",
        ScoreUnit::Number => "number",
    }
}

/// As in JSON.
fn shown(shown: Shown) -> &'static str {
    match shown {
        Shown::Better => "better",
        Shown::Worse => "worse",
        Shown::NoDifference => "no-difference",
        Shown::Alike => "alike",
        Shown::TooFewRuns => "too-few-runs",
    }
}
