//! Scores, gates and differences of a study, in words.

use super::{
    DOSE_TOLD_UP_TO, MISSING, Units, dose, duration, energy, enumerated, figure, share, spanned, trimmed,
};
use crate::records::{
    GateBound, GateOf, GateResult, GateVerdict, ScoreSummary, ScoreUnit, Shown, StudyGroup, StudyResult,
};

/// "winter: One heater or two"; a study without a title of its own by its name alone.
pub(crate) fn heading(record: &StudyResult) -> String {
    if record.name == record.title {
        record.name.clone()
    } else {
        format!("{}: {}", record.name, record.title)
    }
}

/// A fault case: "nothing broken", "outage", "one contact welded: relay left welded".
pub(crate) fn case_named(fault_set: &str, case: &str) -> String {
    match (fault_set, case) {
        ("none", _) => "nothing broken".to_owned(),
        (set, case) if set == case => case.to_owned(),
        (set, case) => format!("{set}: {case}"),
    }
}

/// Fault cases that are told together: "one contact welded: dial left welded and dial right welded".
pub(crate) fn cases_named(cases: &[(&str, &str)]) -> String {
    match cases {
        [(set, first), rest @ ..] if !rest.is_empty() && rest.iter().all(|(other, _)| other == set) => {
            let names: Vec<&str> = cases.iter().map(|(_, case)| *case).collect();
            let all = enumerated(&names);
            if set == first {
                all
            } else {
                format!("{set}: {all}")
            }
        }
        _ => {
            let names: Vec<String> = cases.iter().map(|(set, case)| case_named(set, case)).collect();
            enumerated(&names)
        }
    }
}

/// A score's value: "0.12 K", "25.5 °C", "3.1 h", "0.42" of a dose.
pub(crate) fn score_value(value: f64, unit: ScoreUnit, units: Units) -> String {
    match unit {
        ScoreUnit::Kelvin => units.difference(value),
        ScoreUnit::Celsius => units.temperature(value),
        ScoreUnit::Hours => duration(value),
        ScoreUnit::KilowattHours => energy(value),
        ScoreUnit::Litres => units.volume(value),
        ScoreUnit::Share => dose(value),
        ScoreUnit::Number => figure(value),
    }
}

/// What a gate allows: "at most 0.50", "0.88 at worst (baseline 0.80)".
pub(crate) fn bound(bound: GateBound, unit: ScoreUnit, units: Units) -> String {
    let told = |value| match unit {
        // A limit is what somebody wrote, however large.
        ScoreUnit::Share if value > DOSE_TOLD_UP_TO => figure(value),
        _ => score_value(value, unit, units),
    };
    match bound {
        GateBound::AtMost { limit } => format!("at most {}", told(limit)),
        GateBound::AtLeast { limit } => format!("at least {}", told(limit)),
        GateBound::NoWorseThanBaseline { baseline, limit } => {
            format!("{} at worst (baseline {})", told(limit), told(baseline))
        }
        GateBound::NoBaseline => "what it is, as no baseline is kept yet".to_owned(),
    }
}

/// The figure that a gate judges, with as many digits as it takes to tell it from the limit.
pub(crate) fn gate_value(gate: &GateResult, units: Units) -> String {
    let Some(value) = gate.value else {
        return MISSING.to_owned();
    };
    let told = score_value(value, gate.unit, units);
    let limit = match gate.bound {
        GateBound::AtMost { limit }
        | GateBound::AtLeast { limit }
        | GateBound::NoWorseThanBaseline { limit, .. } => limit,
        GateBound::NoBaseline => return told,
    };
    if value == limit || told != score_value(limit, gate.unit, units) {
        return told;
    }
    let decimals =
        (2..=MOST_DECIMALS).find(|decimals| trimmed(value, *decimals) != trimmed(limit, *decimals));
    exact(value, gate.unit, units, decimals.unwrap_or(MOST_DECIMALS) + 1)
}

/// Decimals of a figure that hardly passes its limit.
const MOST_DECIMALS: usize = 9;

/// A score's value with that many decimals.
fn exact(value: f64, unit: ScoreUnit, units: Units, decimals: usize) -> String {
    let name = match unit {
        ScoreUnit::Kelvin => units.difference_unit(),
        ScoreUnit::Celsius => units.temperature_unit(),
        ScoreUnit::Hours => "h",
        ScoreUnit::KilowattHours => "kWh",
        ScoreUnit::Litres => units.volume_unit(),
        ScoreUnit::Share | ScoreUnit::Number => return trimmed(value, decimals),
    };
    format!("{} {name}", trimmed(figure_in(value, unit, units), decimals))
}

/// The figure of a score's value on the reader's scale.
pub(crate) fn figure_in(value: f64, unit: ScoreUnit, units: Units) -> f64 {
    match unit {
        ScoreUnit::Kelvin => units.step(value),
        ScoreUnit::Celsius => units.degrees(value),
        ScoreUnit::Litres => units.of_litres(value),
        ScoreUnit::Hours | ScoreUnit::KilowattHours | ScoreUnit::Share | ScoreUnit::Number => value,
    }
}

/// Which figure a gate judges.
pub(crate) fn judged(of: GateOf) -> &'static str {
    match of {
        GateOf::WorstRun => "worst run",
        GateOf::Mean => "mean",
        GateOf::WorstTwentieth => "worst twentieth of runs",
    }
}

/// "hot dose used 0.91 in the worst run, allowed is at most 0.50".
pub(crate) fn against(gate: &GateResult, units: Units) -> String {
    format!(
        "{} {} in the {}, allowed is {}",
        gate.score,
        gate_value(gate, units),
        judged(gate.of),
        bound(gate.bound, gate.unit, units)
    )
}

/// "tank display, replicate 17, seed 7": where to look for what broke a gate.
pub(crate) fn worst_run(gate: &GateResult, seed: u64) -> Option<String> {
    let worst = gate.worst.as_ref()?;
    let tank = worst
        .tank
        .as_ref()
        .map_or_else(String::new, |tank| format!("tank {tank}, "));
    Some(format!("{tank}replicate {}, seed {seed}", worst.replicate))
}

/// Gates with that verdict.
pub(crate) fn gates_that(record: &StudyResult, verdict: GateVerdict) -> Vec<&GateResult> {
    let gates = record.gates.iter();
    gates.filter(|gate| gate.verdict == verdict).collect()
}

/// How the gates came out, in one sentence; nothing of a study without any.
pub(crate) fn gates_in_a_sentence(record: &StudyResult) -> Option<String> {
    let count = |verdict| gates_that(record, verdict).len();
    let (broken, open) = (count(GateVerdict::Broken), count(GateVerdict::NotJudged));
    let all = record.gates.len();
    let holding = all - broken - open;
    let open = match open {
        0 => String::new(),
        open => format!(", {open} could not be judged"),
    };
    match all {
        0 => None,
        1 if holding == 1 => Some("The gate holds.".to_owned()),
        _ if holding == all => Some(format!("All {all} gates hold.")),
        _ if broken == 0 => Some(format!("No gate is broken{open}; {holding} of {all} hold.")),
        _ => Some(format!("{broken} of {all} gates broken{open}; {holding} hold.")),
    }
}

/// How much of the study was run: "512 runs", "480 of 512 runs: not complete".
pub(crate) fn runs(record: &StudyResult) -> String {
    let failed = match record.failures.len() {
        0 => String::new(),
        failed => format!(", {failed} of them without a result"),
    };
    if record.complete {
        format!("{}{failed}", record.cells)
    } else {
        format!(
            "{} of {}{failed}: the study is not complete, all figures are of these runs",
            record.cells_done, record.cells
        )
    }
}

/// What the figures are and when a difference is told.
pub(crate) fn how_shown(record: &StudyResult) -> String {
    if record.groups.iter().all(|group| group.replicates <= 1) {
        return "One run each: it says nothing of other weather and other draws.".to_owned();
    }
    let level = share(record.confidence_frac);
    let differences = match &record.reference {
        Some(reference) => format!(
            " Differences to {reference} are run by run in the same weather, and told where the {level} intervals by Student's t and by bootstrap both \
             leave zero out."
        ),
        None => String::new(),
    };
    format!("Figures are means ± half their {level} interval.{differences}")
}

/// What sets a strategy apart from the reference in these scores; `None` where it is the reference, or there is nothing to compare.
pub(crate) fn differences(group: &StudyGroup, scores: &[&str], units: Units) -> Option<String> {
    let of = |shown: Shown| {
        let told = group
            .scores
            .iter()
            .filter(|score| scores.contains(&score.score.as_str()));
        told.filter(move |score| score.difference.as_ref().is_some_and(|one| one.shown == shown))
    };
    let sized = |shown: Shown| {
        let told: Vec<String> = of(shown).filter_map(|score| apart(score, units)).collect();
        told.join(", ")
    };
    let named = |shown: Shown| {
        let names: Vec<&str> = of(shown).map(|score| score.score.as_str()).collect();
        enumerated(&names)
    };
    let parts: Vec<String> = [
        ("better: ", sized(Shown::Better)),
        ("worse: ", sized(Shown::Worse)),
        ("no difference shown: ", named(Shown::NoDifference)),
        ("alike: ", named(Shown::Alike)),
        ("too few runs to tell: ", named(Shown::TooFewRuns)),
    ]
    .into_iter()
    .filter(|(_, told)| !told.is_empty())
    .map(|(lead, told)| format!("{lead}{told}"))
    .collect();
    (!parts.is_empty()).then(|| parts.join("; "))
}

/// "overshoot lower by 0.12 to 0.15 K": from the nearer end of both intervals to the farther.
fn apart(score: &ScoreSummary, units: Units) -> Option<String> {
    let difference = score.difference.as_ref()?;
    let intervals = [difference.t_interval, difference.bootstrap_interval];
    let ends: Vec<f64> = intervals.into_iter().flatten().flatten().map(f64::abs).collect();
    let direction = if difference.mean < 0.0 { "lower" } else { "higher" };
    let told = |size| size_of(size, score.unit, units);
    let (least, most) = (
        ends.iter().copied().reduce(f64::min)?,
        ends.iter().copied().reduce(f64::max)?,
    );
    // An end that reads as none says nothing.
    let size = if reads_as_none(least, score.unit, units) && !reads_as_none(most, score.unit, units) {
        format!("up to {}", told(most))
    } else {
        spanned([least, most], told)
    };
    Some(format!("{} {direction} by {size}", score.score))
}

/// The size of a difference, ≥ 0; what would read as none is "under" the least that can be read.
fn size_of(size: f64, unit: ScoreUnit, units: Units) -> String {
    if size > 0.0 && reads_as_none(size, unit, units) {
        let least = match unit {
            ScoreUnit::Hours => 1.0 / 60.0,
            ScoreUnit::Litres => 0.1,
            _ => 0.01,
        };
        format!("under {}", sized(least, unit, units))
    } else {
        sized(size, unit, units).replace("> ", "over ")
    }
}

/// Whether a size of a difference has no digit but zeros.
fn reads_as_none(size: f64, unit: ScoreUnit, units: Units) -> bool {
    let told = sized(size, unit, units);
    told == sized(0.0, unit, units) || told.starts_with('<')
}

fn sized(size: f64, unit: ScoreUnit, units: Units) -> String {
    match unit {
        ScoreUnit::Celsius => units.difference(size),
        ScoreUnit::Number if size >= 99.95 => trimmed(size, 0),
        ScoreUnit::Number if size >= 9.995 => trimmed(size, 1),
        ScoreUnit::Number => trimmed(size, 2),
        _ => score_value(size, unit, units),
    }
}

/// The groups of one scenario and fault case, which follow each other.
pub(crate) fn blocks(groups: &[StudyGroup]) -> impl Iterator<Item = &[StudyGroup]> {
    groups.chunk_by(|a, b| (&a.scenario, &a.fault_set, &a.case) == (&b.scenario, &b.fault_set, &b.case))
}

/// Strategies that lack the same, with where they lack it.
pub(crate) fn lacking(record: &StudyResult) -> Vec<String> {
    let mut lacking: Vec<(&str, &str, Vec<&str>)> = Vec::new();
    for one in &record.does_not_apply {
        let known = lacking
            .iter_mut()
            .find(|(strategy, missing, _)| *strategy == one.strategy && *missing == one.missing);
        match known {
            Some((_, _, scenarios)) => scenarios.push(&one.scenario),
            None => lacking.push((&one.strategy, &one.missing, vec![&one.scenario])),
        }
    }
    lacking
        .into_iter()
        .map(|(strategy, missing, scenarios)| format!("{strategy} in {}: {missing}", enumerated(&scenarios)))
        .collect()
}
