//! The verdict of a scenario's block in two or three sentences: which strategy one would trust, why, and what decides.

use crate::judgement::worst_of;
use crate::records::{FaultOutcome, RoomKind, ScenarioBlock, Standing, StrategyRow};
use crate::wording::{Units, duration, hours, outcome, share};

/// The sentences, from the standings that [`ScenarioBlock::judge`] set.
#[must_use]
pub fn verdict(block: &ScenarioBlock, units: Units) -> Vec<String> {
    let applied: Vec<&StrategyRow> = block
        .rows
        .iter()
        .filter(|row| row.does_not_apply.is_none())
        .collect();
    let judged: Vec<&StrategyRow> = applied
        .iter()
        .copied()
        .filter(|row| row.standing != Standing::Failed)
        .collect();
    let mut sentences = Vec::new();
    if applied.is_empty() {
        sentences
            .push("None of these strategies applies here: the scenario lacks what they switch.".to_owned());
        return sentences;
    }
    if judged.is_empty() {
        sentences.push("Every run failed, so nothing can be said.".to_owned());
        return sentences;
    }
    match judged.iter().find(|row| row.standing == Standing::Best) {
        Some(best) => with_first_choice(block, best, &judged, units, &mut sentences),
        None if judged.iter().all(|row| row.standing == Standing::NoFaultTried) => sentences.push(
            "No fault was tried, so nothing here says which one to trust: add one contact welded and look again."
                .to_owned(),
        ),
        None => without_choice(block, &judged, units, &mut sentences),
    }
    let failed = applied.len() - judged.len();
    if failed > 0 {
        sentences.push(format!(
            "Runs of {failed} of {} strategies failed; they are not judged.",
            applied.len()
        ));
    }
    sentences
}

fn with_first_choice(
    block: &ScenarioBlock,
    best: &StrategyRow,
    judged: &[&StrategyRow],
    units: Units,
    sentences: &mut Vec<String>,
) {
    let inside = best
        .healthy
        .as_ref()
        .and_then(|healthy| healthy.outside_band_h())
        .map_or_else(
            || "its time inside the band is not known".to_owned(),
            |outside_h| {
                format!(
                    "it spends {} of the time inside the band",
                    share(1.0 - outside_h / block.duration_h)
                )
            },
        );
    let worst = best.worst_fault().map_or_else(String::new, |worst| {
        format!(
            "; the worst, {}{}: {}",
            worst.case,
            in_room(worst),
            outcome(worst, &block.livestock, units)
        )
    });
    sentences.push(format!(
        "Trust {} first: {inside} and stays below the dose whichever single fault of the table befalls it{worst}.",
        best.strategy
    ));
    let away: Vec<&StrategyRow> = judged.iter().copied().filter(|row| is_away(row)).collect();
    if away.is_empty() {
        let others = judged
            .iter()
            .filter(|row| row.standing == Standing::FitToUse)
            .count();
        if others > 0 {
            sentences.push(format!(
                "No single fault of the table takes {} past the dose, so the circuit, the heaters' size and the room \
                 have already decided; between strategies only steadiness and wear are left to choose.",
                if others == 1 { "the other one" } else { "any of the others" }
            ));
        }
    } else {
        sentences.push(format!("One fault away: {}.", away_list(&away)));
        sentences.push(
            "What decides is what that fault leaves switched on and what else can still open the chain, not how steadily \
             a strategy holds the water on a good day."
                .to_owned(),
        );
    }
}

fn without_choice(block: &ScenarioBlock, judged: &[&StrategyRow], units: Units, sentences: &mut Vec<String>) {
    let healthy_past = judged
        .iter()
        .filter(|row| row.standing == Standing::PastTheDose)
        .count();
    if healthy_past == judged.len() {
        sentences.push(
            "Trust none of these here: each uses up the dose with nothing broken, so the equipment or the room is wrong \
             before any fault."
                .to_owned(),
        );
        return;
    }
    let away: Vec<&StrategyRow> = judged.iter().copied().filter(|row| is_away(row)).collect();
    let Some(worst) = worst_of(away.iter().filter_map(|row| row.worst_fault())) else {
        sentences.push("Nothing here says which one to trust.".to_owned());
        return;
    };
    sentences.push(format!(
        "Trust none of these alone: a single fault takes each past the dose; the worst, {}{}: {}.",
        worst.case,
        in_room(worst),
        outcome(worst, &block.livestock, units)
    ));
    let same = away
        .iter()
        .filter_map(|row| row.worst_fault())
        .all(|outcome| outcome.case == worst.case);
    sentences.push(if same && away.len() > 1 {
        format!(
            "The same fault, {}, does it to every one of them, so it is not the strategy that decides but the circuit, \
             the heaters' size and the room: give the chain a second contact that fails by itself.",
            worst.case
        )
    } else {
        format!("What does it differs: {}.", away_list(&away))
    });
    if let Some((row, used_up_h)) = slowest(&away) {
        sentences.push(format!(
            "Of these {} leaves most time to notice: {} until the dose is used up.",
            row.strategy,
            duration(used_up_h)
        ));
    }
}

fn is_away(row: &StrategyRow) -> bool {
    matches!(row.standing, Standing::OneFaultAway { .. })
}

/// "relay left welded takes on-off past the dose after 9 h and proportional after 11 h", one part per fault.
fn away_list(rows: &[&StrategyRow]) -> String {
    let mut faults: Vec<(String, Vec<String>)> = Vec::new();
    for row in rows {
        let Some(worst) = row.worst_fault() else { continue };
        let fault = format!("{}{}", worst.case, in_room(worst));
        let after = worst.used_up_h().map_or_else(
            || format!("within {}", hours(worst.horizon_h)),
            |used_up_h| format!("after {}", duration(used_up_h)),
        );
        match faults.iter_mut().find(|(known, _)| *known == fault) {
            Some((_, taken)) => taken.push(format!("{} {after}", row.strategy)),
            None => faults.push((fault, vec![format!("{} past the dose {after}", row.strategy)])),
        }
    }
    let parts: Vec<String> = faults
        .iter()
        .map(|(fault, taken)| format!("{fault} takes {}", enumerated(taken)))
        .collect();
    parts.join("; ")
}

/// "a", "a and b", "a, b and c".
fn enumerated(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// The strategy whose first used-up dose comes last.
fn slowest<'a>(rows: &[&'a StrategyRow]) -> Option<(&'a StrategyRow, f64)> {
    if rows.len() < 2 {
        return None;
    }
    rows.iter()
        .filter_map(|row| {
            Some((
                *row,
                row.faults
                    .iter()
                    .filter_map(FaultOutcome::used_up_h)
                    .reduce(f64::min)?,
            ))
        })
        .max_by(|a, b| a.1.total_cmp(&b.1))
}

/// Where it happens, if not in the scenario's own room.
pub(crate) fn in_room(outcome: &FaultOutcome) -> &'static str {
    match outcome.room {
        RoomKind::Scenario => "",
        RoomKind::Coldest => " in the year's coldest room",
        RoomKind::Warmest => " in the year's warmest room",
    }
}
