//! One page for the keeper: their tank, the worst single fault, what to change first, what was not modelled.

use maud::{Markup, html};

use super::page::anchor;
use super::{Chapter, FaultCourse, StrategyCourses};
use crate::cautions::Cautioned;
use crate::records::{SinglePoint, Standing, StrategyFaults};
use crate::table::{change_that_removes, harm_of, warnings_told};
use crate::wording::{Units, duration, in_room_kind, or_missing, outcome, power};

/// Litres in a cubic metre.
const L_PER_M3: f64 = 1000.0;

/// What no scenario states and the model leaves out; `docs/model.md` has the whole list with what each costs.
const LEFT_OUT: [&str; 6] = [
    "Animals: how long they bear a temperature is common practice without a source, so a dose below 1 is no promise.",
    "Oxygen, unless the stock is stated: with the flow stopped a stocked tank can run out of it sooner than it cools.",
    "Stratification: each tank has one temperature, also with its pump stopped.",
    "Draughts, and walls colder than the air, unless stated: both take more heat.",
    "Scatter of evaporation: measured rates scatter by about a sixth around the formula.",
    "Two things that break at once.",
];

/// The section.
pub(super) fn section(chapter: &Chapter, place: usize, units: Units) -> Markup {
    let Some((courses, faults)) = trusted(chapter) else {
        return html! {};
    };
    html! {
        section.customer aria-labelledby=(anchor("keeper", place)) {
            h2 id=(anchor("keeper", place)) { "For the keeper: " (chapter.faults.title) }
            h3 { "Your tank" }
            dl.facts { @for (name, value) in facts(chapter, &courses.strategy, units) { dt { (name) } dd { (value) } } }
            h3 { "The worst single fault" }
            @match &courses.worst { Some(worst) => { (worst_fault(worst, chapter, units)) } None => { p { "No fault was tried." } } }
            h3 { "What to change first" }
            (first_change(faults, chapter, units))
            h3 { "What was not modelled" }
            ul {
                @for told in warnings_told(&chapter.faults.warnings, units) { li { (told) } }
                @for left_out in LEFT_OUT { li { (left_out) } }
            }
            @let said = cautions_of(chapter, courses);
            @if !said.is_empty() {
                h3 { "Before you touch anything" }
                ul.cautions { @for one in &said { li { (one.marked()) } } }
                @if let Some(mark) = crate::cautions::mark_of(&said) { p.small { (mark) } }
            }
        }
    }
}

/// The strategy that comes first in the comparison, else the first asked for.
fn trusted(chapter: &Chapter) -> Option<(&StrategyCourses, &StrategyFaults)> {
    let best = chapter
        .block
        .iter()
        .flat_map(|block| &block.rows)
        .find(|row| row.standing == Standing::Best)
        .map(|row| &row.strategy);
    let courses = chapter
        .courses
        .iter()
        .find(|one| Some(&one.strategy) == best)
        .or_else(|| chapter.courses.first())?;
    let faults = chapter
        .faults
        .strategies
        .iter()
        .find(|one| one.strategy == courses.strategy)?;
    Some((courses, faults))
}

fn facts(chapter: &Chapter, strategy: &str, units: Units) -> Vec<(&'static str, String)> {
    let matrix = &chapter.faults;
    let water: Vec<String> = chapter
        .tanks
        .iter()
        .map(|tank| format!("{} {}", tank.name, units.volume(tank.water_m3 * L_PER_M3)))
        .collect();
    let rated_w: f64 = chapter.budgets.iter().map(|budget| budget.heaters_rated_w).sum();
    let needed_w: f64 = chapter.budgets.iter().map(|budget| budget.heater_needed_w).sum();
    let held_c = chapter
        .budgets
        .iter()
        .filter_map(|budget| budget.coldest_room_held_c)
        .reduce(f64::max);
    vec![
        ("Water", water.join(", ")),
        (
            "Wanted",
            format!(
                "{}, band {}",
                units.line(matrix.target_c),
                units.range(matrix.band_c[0], matrix.band_c[1])
            ),
        ),
        ("Livestock", matrix.livestock.kind.clone()),
        (
            "Heaters",
            format!(
                "{} in all; {} needed in the mean; hold the target down to a room of {}",
                power(rated_w),
                power(needed_w.max(0.0)),
                or_missing(held_c, |c| units.temperature(c))
            ),
        ),
        ("Run by", strategy.to_owned()),
    ]
}

fn worst_fault(worst: &FaultCourse, chapter: &Chapter, units: Units) -> Markup {
    let one = &worst.row.outcome;
    let lines = &chapter.faults.livestock;
    let warned = match (one.first_alert_h, one.heard_h) {
        (_, Some(heard_h)) => format!(
            "Heard of by {} after {}.",
            one.heard_by.as_deref().unwrap_or("somebody"),
            duration(heard_h)
        ),
        (Some(alert_h), None) => format!(
            "An alert gets out after {}, and nobody hears it.",
            duration(alert_h)
        ),
        (None, None) => "Nothing in this set-up tells anybody.".to_owned(),
    };
    html! {
        p {
            strong { (one.case) (in_room_kind(one.room)) ": " }
            (outcome(one, lines, units)) ". " (warned)
        }
    }
}

fn first_change(faults: &StrategyFaults, chapter: &Chapter, units: Units) -> Markup {
    if faults.single_points.is_empty() {
        return html! { p { "Nothing has to be: no single fault tried takes the water past the dose." } };
    }
    let removable: Vec<&SinglePoint> = faults
        .single_points
        .iter()
        .filter(|point| point.smallest.is_some())
        .collect();
    let others: Vec<&str> = faults
        .single_points
        .iter()
        .filter(|point| point.smallest.is_none())
        .map(|point| point.case.as_str())
        .collect();
    html! {
        p { (faults.single_points.len()) " single faults take the water past the dose. The smallest changes tried that remove one:" }
        @if removable.is_empty() { p { "None of the changes tried removes any of them." } }
        ul {
            @for point in removable.iter().take(4) {
                li {
                    strong { (point.case) } " (" (harm_of(point, units)) "): "
                    (change_that_removes(point, faults, &chapter.faults, units).unwrap_or_default())
                }
            }
        }
        @if removable.len() > 4 { p { "And " (removable.len() - 4) " more, told by the command below the grid of faults." } }
        @if !others.is_empty() {
            p { "No change tried removes: " (others.join("; ")) ". Against these somebody has to notice in time." }
        }
    }
}

/// Cautions of the worst fault.
fn cautions_of(chapter: &Chapter, courses: &StrategyCourses) -> Vec<Cautioned> {
    let Some(worst) = &courses.worst else {
        return Vec::new();
    };
    let called_for = &worst.row.outcome.cautions;
    let all = chapter.faults.cautions.iter();
    all.filter(|one| called_for.contains(&one.caution))
        .cloned()
        .collect()
}
