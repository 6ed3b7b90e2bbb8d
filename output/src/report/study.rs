//! The page of a study: gates, the groups first in danger, and for each scenario the scores of all strategies and cases, how they vary, and what one gives up
//! for what.

use maud::{Markup, html};

use super::chart::{Frame, axis_below, px, value_ticks};
use super::page::{anchor, document};
use super::{Input, cautions, pareto};
use crate::records::{GateResult, GateVerdict, ScoreSummary, StudyGroup, StudyResult};
use crate::trade::{Point, Trade};
use crate::wording::study::{
    bound, case_named, differences, figure_in, gate_value, gates_in_a_sentence, gates_that, heading,
    how_shown, judged, lacking, runs,
};
use crate::wording::study_scores::{Figures, MAIN, Main, columns, shown_and_zero, summary, zero_in_words};
use crate::wording::{MISSING, Units, dose, quoted};

/// Groups of the list of those first in danger, and gates told of each kind.
const TOLD: usize = 40;

/// What a page of a study is written from.
#[derive(Debug, Clone, PartialEq)]
pub struct StudyReport {
    /// Name and version of the program.
    pub program: String,
    /// The command that makes the page again.
    pub command: String,
    /// What its figures are read in.
    pub units: Units,
    /// The study's file.
    pub path: String,
    /// The result.
    pub result: StudyResult,
    /// Whatever it was read from.
    pub inputs: Vec<Input>,
}

/// The page.
#[must_use]
pub fn study_html(report: &StudyReport) -> String {
    let result = &report.result;
    let scenarios: Vec<&[StudyGroup]> = result.groups.chunk_by(|a, b| a.scenario == b.scenario).collect();
    let contents = html! {
        li { a href="#short" { "In short" } }
        @if !result.gates.is_empty() { li { a href="#gates" { "Gates" } } }
        li { a href="#ranking" { "First in danger" } }
        @for (place, groups) in scenarios.iter().enumerate() {
            li { a href={ "#" (anchor("scenario", place)) } { (name(groups)) } }
        }
        li { a href="#cautions" { "Cautions" } }
        li { a href="#made" { "How it was made" } }
    };
    let body = html! {
        (in_short(result))
        (gates(result, report.units))
        (first_in_danger(report))
        @for (place, groups) in scenarios.iter().enumerate() { (scenario(result, groups, place, report.units)) }
        (cautions::listed(&result.cautions))
        (made(report))
    };
    document(&heading(result), &report.program, &contents, &body)
}

fn name(groups: &[StudyGroup]) -> &str {
    groups.first().map_or("", |group| &group.scenario)
}

fn in_short(result: &StudyResult) -> Markup {
    let sentence = gates_in_a_sentence(result).unwrap_or_else(|| "It has no gates.".to_owned());
    html! {
        section aria-labelledby="short" {
            h2 id="short" { "In short" }
            p.lead { (sentence) @if !result.complete { " The study is not complete." } }
            dl.facts {
                dt { "Runs" } dd { (runs(result)) ", seed " (result.seed) }
                @if let Some(reference) = &result.reference { dt { "Compared with" } dd { (reference) } }
                dt { "Digest" } dd { code { (result.digest) } }
            }
            @if !result.groups.is_empty() { p { (how_shown(result)) } }
            @let lacking = lacking(result);
            @if !lacking.is_empty() { ul { @for one in &lacking { li { "Does not apply: " (one) } } } }
            @if !result.failures.is_empty() {
                h3 { "Runs without a result" }
                ul {
                    @for failed in result.failures.iter().take(TOLD) {
                        li { (failed.strategy) " in " (failed.scenario) ", " (case_named(&failed.fault_set, &failed.case)) ": " (failed.reason) }
                    }
                }
            }
        }
    }
}

fn gates(result: &StudyResult, units: Units) -> Markup {
    if result.gates.is_empty() {
        return html! {};
    }
    let of = |verdict: GateVerdict| gates_that(result, verdict);
    let parts = [
        ("Broken", of(GateVerdict::Broken), "▲ broken"),
        ("Could not be judged", of(GateVerdict::NotJudged), "◇ not judged"),
        ("Hold", of(GateVerdict::Holds), "○ holds"),
    ];
    html! {
        section aria-labelledby="gates" {
            h2 id="gates" { "Gates" }
            @for (heading, gates, mark) in &parts {
                @if !gates.is_empty() {
                    details open[*heading != "Hold"] {
                        summary { (heading) " (" (gates.len()) ")" }
                        div.scroll tabindex="0" role="region" aria-label={ "Gates: " (heading) } {
                            table {
                                thead {
                                    tr {
                                        th scope="col" { "Gate" }
                                        th scope="col" { "Score" }
                                        th.figure scope="col" { "Value" }
                                        th scope="col" { "Allowed" }
                                        th scope="col" { "Where" }
                                    }
                                }
                                tbody { @for gate in gates.iter().take(TOLD) { (gate_row(gate, mark, units)) } }
                            }
                        }
                        @if gates.len() > TOLD { p { "And " (gates.len() - TOLD) " more, in the study's JSON." } }
                    }
                }
            }
        }
    }
}

fn gate_row(gate: &GateResult, mark: &str, units: Units) -> Markup {
    html! {
        tr {
            th.mark scope="row" { (mark) }
            td { (gate.score) ", " (judged(gate.of)) }
            td.figure { (gate_value(gate, units)) }
            td { (bound(gate.bound, gate.unit, units)) }
            td {
                (gate.strategy) " in " (gate.scenario) ", " (case_named(&gate.fault_set, &gate.case))
                @if let Some(replay) = &gate.replay { br; code { (replay) (units.option()) } }
            }
        }
    }
}

/// The worse dose of a group's worst run, and that run.
fn worst_dose(group: &StudyGroup) -> Option<(&'static str, &ScoreSummary)> {
    let doses = [("too warm", "hot dose used"), ("too cold", "cold dose used")];
    doses
        .into_iter()
        .filter_map(|(side, score)| Some((side, summary(group, score)?)))
        .max_by(|a, b| a.1.worst.value.total_cmp(&b.1.worst.value))
}

fn first_in_danger(report: &StudyReport) -> Markup {
    let mut ranked: Vec<(&StudyGroup, &str, &ScoreSummary)> = report
        .result
        .groups
        .iter()
        .filter_map(|group| worst_dose(group).map(|(side, score)| (group, side, score)))
        .collect();
    let all = ranked.len();
    ranked.retain(|(_, _, score)| score.worst.value > 0.0);
    let none = all - ranked.len();
    ranked.sort_by(|a, b| b.2.worst.value.total_cmp(&a.2.worst.value));
    html! {
        section aria-labelledby="ranking" {
            h2 id="ranking" { "First in danger" }
            p { "Every scenario, strategy and fault case by the dose that its worst run uses; 1 is all that the animals bear."
                @if none > 0 { " Of " (all) " of these " (none) " use none of it and are not in the list." }
            }
            div.scroll tabindex="0" role="region" aria-labelledby="ranking" {
                table {
                    thead {
                        tr {
                            th.figure scope="col" { "Rank" }
                            th scope="col" { "Scenario" }
                            th scope="col" { "Strategy" }
                            th scope="col" { "Why" }
                            th.figure scope="col" { "Dose used" }
                            th scope="col" { "Look at it" }
                        }
                    }
                    tbody {
                        @for (place, (group, side, score)) in ranked.iter().take(TOLD).enumerate() {
                            tr {
                                td.figure { (place + 1) }
                                th scope="row" { (group.scenario) }
                                td { (group.strategy) }
                                td {
                                    (case_named(&group.fault_set, &group.case)) ": " (side)
                                    @if let Some(tank) = &score.worst.tank { ", " (tank) }
                                }
                                td.figure.past[score.worst.value >= 1.0] { @if score.worst.value >= 1.0 { "▲ " } (dose(score.worst.value)) }
                                td { code { "tepid run " (quoted(&report.path)) " --cell " (quoted(&score.worst.cell)) (report.units.option()) " --plot worst.svg" } }
                            }
                        }
                    }
                }
            }
            @if ranked.len() > TOLD { p { "And " (ranked.len() - TOLD) " more, below, by scenario." } }
        }
    }
}

fn scenario(result: &StudyResult, groups: &[StudyGroup], place: usize, units: Units) -> Markup {
    let id = anchor("scenario", place);
    let unbroken: Vec<&StudyGroup> = groups.iter().filter(|group| group.fault_set == "none").collect();
    let trade = trade(&unbroken);
    let main: Vec<&str> = MAIN.iter().map(|main| main.score).collect();
    let apart: Vec<String> = groups
        .iter()
        .filter_map(|group| {
            let told = differences(group, &main, units)?;
            let case = case_named(&group.fault_set, &group.case);
            Some(format!("{}, {case}: {told}", group.strategy))
        })
        .collect();
    html! {
        section aria-labelledby=(id) {
            h2 id=(id) { (name(groups)) }
            (scores(groups, &id, units))
            @if !apart.is_empty() {
                details {
                    summary { "Beside " (result.reference.as_deref().unwrap_or(MISSING)) }
                    ul { @for one in &apart { li { (one) } } }
                }
            }
            @if unbroken.iter().any(|group| group.replicates > 1) { (spreads(&unbroken, &id, units)) }
            @if trade.points.len() > 1 {
                h3 { "What one gives up for what, nothing broken" }
                div.pairs { (pareto::figure(&trade, &format!("{id}-trade"))) }
            }
        }
    }
}

/// Means with half their intervals and worst runs; sorts by the means.
fn scores(groups: &[StudyGroup], id: &str, units: Units) -> Markup {
    let (shown, zero) = shown_and_zero(groups);
    let columns = columns(shown, groups, units);
    html! {
        div.scroll tabindex="0" role="region" aria-labelledby=(id) {
            table data-sorts="" {
                caption { span { "Mean of the runs and, below it, the worst run. Sort by the buttons in the heads." } }
                thead {
                    tr {
                        th scope="col" { button type="button" { "Case" } }
                        th scope="col" { button type="button" { "Strategy" } }
                        th.figure scope="col" { button type="button" { "Runs" } }
                        @for (main, _) in &columns { th.figure scope="col" { button type="button" { (main.title(units)) } } }
                    }
                }
                tbody {
                    @for group in groups {
                        @let case = case_named(&group.fault_set, &group.case);
                        tr {
                            th scope="row" data-value=(case) { (case) }
                            td data-value=(group.strategy) { (group.strategy) }
                            td.figure data-value=(group.replicates) { (group.replicates) }
                            @for (main, figures) in &columns { (score_cell(summary(group, main.score), figures, units)) }
                        }
                    }
                }
            }
        }
        @if let Some(zero) = zero_in_words(&zero) { p { (zero) } }
    }
}

fn score_cell(score: Option<&ScoreSummary>, figures: &Figures, units: Units) -> Markup {
    let Some(score) = score else {
        return html! { td.figure data-value="" { (MISSING) } };
    };
    let (mean, worst) = (figures.mean(score), figures.one(score.worst.value));
    html! {
        td.figure data-value=(figure_in(score.mean, score.unit, units)) {
            (mean)
            @if mean != worst { small { "worst " (worst) } }
        }
    }
}

/// Time outside the band against closings, means.
fn trade(unbroken: &[&StudyGroup]) -> Trade {
    let points = unbroken.iter().filter_map(|group| {
        let mean = |score: &str| summary(group, score).map(|score| score.mean);
        Some(Point {
            name: group.strategy.clone(),
            x: mean("time above band")? + mean("time below band")?,
            y: mean("closings per day").unwrap_or(0.0),
        })
    });
    Trade {
        title: "Wear against steadiness, means of the runs",
        x_name: "outside the band, h",
        y_name: "closings a day",
        points: points.collect(),
    }
}

const ROW: f64 = 26.0;
const WIDTH: f64 = 560.0;

/// How the scores of the runs vary with nothing broken, a picture for each score that does.
fn spreads(unbroken: &[&StudyGroup], id: &str, units: Units) -> Markup {
    let varies = |main: &&Main| {
        unbroken.iter().any(|group| {
            summary(group, main.score).is_some_and(|score| score.quantiles[0] != score.quantiles[2])
        })
    };
    html! {
        h3 { "How outcomes vary, nothing broken" }
        p { "Thick: from the 5 % to the 95 % quantile of the runs. Upright mark: the median. Circle: the worst run." }
        div.pairs {
            @for (number, main) in MAIN.iter().filter(varies).enumerate() {
                figure {
                    div.scroll tabindex="0" role="region" aria-label={ "Picture: " (main.title(units)) } {
                        (spread(main, unbroken, &format!("{id}-spread-{number}"), units))
                    }
                }
            }
        }
    }
}

/// How a score varies, in the reader's units.
struct Spread {
    low: f64,
    median: f64,
    high: f64,
    worst: f64,
}

impl Spread {
    fn of(score: &ScoreSummary, units: Units) -> Self {
        let [low, median, high] = score.quantiles.map(|value| figure_in(value, score.unit, units));
        Self {
            low,
            median,
            high,
            worst: figure_in(score.worst.value, score.unit, units),
        }
    }
}

fn spread(main: &Main, unbroken: &[&StudyGroup], id: &str, units: Units) -> Markup {
    let title = main.title(units);
    let rows: Vec<(&str, Spread)> = unbroken
        .iter()
        .filter_map(|group| {
            Some((
                group.strategy.as_str(),
                Spread::of(summary(group, main.score)?, units),
            ))
        })
        .collect();
    let frame = Frame {
        left: 120.0,
        top: 22.0,
        right: WIDTH - 12.0,
        bottom: 22.0 + ROW * rows.len() as f64,
    };
    let values = rows
        .iter()
        .flat_map(|(_, spread)| [spread.low, spread.median, spread.high, spread.worst]);
    let (low, high) = crate::trade::padded(values, false);
    let scale = frame.rightwards(low, high);
    html! {
        svg width=(WIDTH) viewBox=(format!("0 0 {WIDTH} {}", frame.bottom + 36.0)) role="img" aria-labelledby={ (id) "-t " (id) "-d" } {
            title id={ (id) "-t" } { (title) ", by strategy" }
            desc id={ (id) "-d" } {
                @for (strategy, one) in &rows {
                    (strategy) ": " (format!("{:.2} to {:.2}, median {:.2}, worst {:.2}", one.low, one.high, one.median, one.worst)) ". "
                }
            }
            text.strong x="0" y="12" { (title) }
            (axis_below(&frame, &scale, &value_ticks(&scale), &title))
            (frame.outline())
            @for (number, (strategy, one)) in rows.iter().enumerate() {
                @let y = px(frame.top + ROW * (number as f64 + 0.5));
                @let middle = frame.top + ROW * (number as f64 + 0.5);
                text x=(px(frame.left - 8.0)) y=(y) dy="0.35em" text-anchor="end" { (strategy) }
                line.spread x1=(px(scale.at(one.low))) x2=(px(scale.at(one.high))) y1=(y) y2=(y) {}
                line.axis x1=(px(scale.at(one.median))) x2=(px(scale.at(one.median))) y1=(px(middle - 8.0)) y2=(px(middle + 8.0)) {}
                circle.dot.open cx=(px(scale.at(one.worst))) cy=(y) r="3.5" {}
            }
        }
    }
}

fn made(report: &StudyReport) -> Markup {
    html! {
        section aria-labelledby="made" {
            h2 id="made" { "How this report was made" }
            p { "By " (report.program) ", seed " (report.result.seed) ". The same inputs give the same page to the byte; nothing on it comes from the network." }
            pre tabindex="0" aria-label="Command" { code { (report.command) } }
            h3 { "Inputs" }
            @for input in &report.inputs {
                details data-stays="" {
                    summary { (input.name) }
                    pre tabindex="0" aria-label=(input.name) { code { (input.text) } }
                }
            }
        }
    }
}
