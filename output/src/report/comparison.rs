//! Strategies side by side, sortable.

use maud::{Markup, html};

use super::Chapter;
use super::page::{anchor, made_by};
use crate::records::{HealthySummary, ScenarioBlock, StrategyRow};
use crate::table::{row_cells, standing_in_words};
use crate::wording::Units;

/// Heads of the columns: name, unit.
fn heads(units: Units) -> [(&'static str, &'static str); 8] {
    [
        ("Strategy", ""),
        ("Inside the band", "% of the time"),
        ("Overshoot", units.difference_unit()),
        ("Undershoot", units.difference_unit()),
        ("Closings a day", "of the contact that wears out first"),
        ("Its life", "years"),
        ("Electricity", "kWh a day"),
        ("Standing", ""),
    ]
}

/// The section.
pub(super) fn section(chapter: &Chapter, place: usize, units: Units) -> Markup {
    let Some(block) = &chapter.block else {
        return html! {};
    };
    html! {
        section aria-labelledby=(anchor("strategies", place)) {
            h2 id=(anchor("strategies", place)) { "Strategies side by side" }
            div.scroll tabindex="0" role="region" aria-labelledby=(anchor("strategies", place)) {
                table data-sorts="" {
                    caption { span {
                        "With nothing broken, in the scenario's own room; the standing also takes in each contact welded, in three rooms. "
                        "A star marks the best, or as good, of those fit to use. Sort by the buttons in the heads."
                    } }
                    thead {
                        tr {
                            @for (place, (name, unit)) in heads(units).iter().enumerate() {
                                th scope="col" class=[figure(place)] {
                                    button type="button" { (name) }
                                    @if !unit.is_empty() { br; span.small { (unit) } }
                                }
                            }
                        }
                    }
                    tbody {
                        @for row in &block.rows { (self::row(row, block, units)) }
                    }
                }
            }
            (made_by(
                &format!(
                    "One run of each strategy over {} h, seed as stated, the same weather and noise for all.",
                    block.duration_h
                ),
                &chapter.compare_command
            ))
        }
    }
}

fn figure(column: usize) -> Option<&'static str> {
    (1..=6).contains(&column).then_some("figure")
}

fn row(row: &StrategyRow, block: &ScenarioBlock, units: Units) -> Markup {
    let values = values(row, block, units);
    let mut texts = row_cells(row, block, units);
    // Units stand in the head.
    let degree = format!(" {}", units.difference_unit());
    for (column, unit) in [(1, " %"), (2, &degree), (3, &degree)] {
        if let Some(text) = texts.get_mut(column) {
            *text = text.replace(unit, "");
        }
    }
    let standing = standing_in_words(row, block).replace('\n', " ");
    html! {
        tr {
            th scope="row" data-value=(row.strategy) { (row.strategy) }
            @for (column, value) in values.iter().enumerate() {
                td.figure data-value=(value.map_or_else(String::new, |value| value.to_string())) {
                    (texts.get(column + 1).map_or("", String::as_str))
                }
            }
            td data-value=(standing) { (standing) }
        }
    }
}

/// The figures of a row in full, for sorting and for whoever reads the page by program.
fn values(row: &StrategyRow, block: &ScenarioBlock, units: Units) -> [Option<f64>; 6] {
    let healthy = row.healthy.as_ref();
    let worn = healthy.and_then(HealthySummary::most_worn_contact);
    [
        healthy.and_then(|healthy| healthy.inside_band_frac(block.duration_h)),
        healthy
            .and_then(|healthy| healthy.overshoot_k)
            .map(|spread| units.step(spread.worst)),
        healthy
            .and_then(|healthy| healthy.undershoot_k)
            .map(|spread| units.step(spread.worst)),
        worn.map(|contact| contact.closings_per_day.worst),
        worn.and_then(|contact| contact.life_years).map(|life| life.worst),
        healthy
            .and_then(|healthy| healthy.energy_kwh)
            .map(|spread| spread.mean * 24.0 / block.duration_h),
    ]
}
