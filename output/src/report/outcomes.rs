//! The distribution of outcomes over many runs with nothing broken.

use maud::{Markup, html};

use super::chart::{Frame, axis_below, px, temperature_ticks};
use super::page::{anchor, made_by};
use super::{Chapter, OneRun, StrategyRuns};
use crate::records::DangerLine;
use crate::wording::{MISSING, Units, dose, duration};

const ROW: f64 = 34.0;
const LEFT: f64 = 120.0;
const RIGHT: f64 = 690.0;
const TOP: f64 = 46.0;
const WIDTH: f64 = 700.0;
/// Free temperature beyond the outermost thing shown, K.
const MARGIN_K: f64 = 0.3;

/// The section.
pub(super) fn section(chapter: &Chapter, place: usize, units: Units) -> Markup {
    let most = chapter.runs.iter().map(|one| one.runs.len()).max().unwrap_or(0);
    if most == 0 {
        return html! {};
    }
    html! {
        section aria-labelledby=(anchor("outcomes", place)) {
            h2 id=(anchor("outcomes", place)) { "How outcomes vary" }
            p {
                @if most == 1 { "One run of each strategy with nothing broken: the coldest and the warmest that any tank got in it. " }
                @else { (most) " runs of each strategy with nothing broken, each in other weather and noise: the coldest and the warmest that any tank got in each run. " }
                "Open circles: the lowest temperature of a run. Full ones: the highest. Shaded: the band."
            }
            figure {
                div.scroll tabindex="0" role="region" aria-label="Picture of the outcomes" { (drawing(chapter, place, units)) }
                figcaption { "One circle per run; strategies in the order asked for." }
            }
            (table(chapter, units))
            (made_by("Each run's own course: tepid run with --replicate N, N from 0.", &chapter.runs_command))
        }
    }
}

fn drawing(chapter: &Chapter, place: usize, units: Units) -> Markup {
    let id = anchor("outcomes-drawing", place);
    let frame = Frame {
        left: LEFT,
        top: TOP,
        right: RIGHT,
        bottom: TOP + ROW * chapter.runs.len() as f64,
    };
    let runs = || chapter.runs.iter().flat_map(|one| &one.runs);
    let band_c = chapter.faults.band_c;
    let mut low_c = runs().map(|run| run.lowest_c).fold(band_c[0], f64::min);
    let mut high_c = runs().map(|run| run.highest_c).fold(band_c[1], f64::max);
    let livestock = &chapter.faults.livestock;
    high_c = livestock
        .danger_hot
        .iter()
        .map(|line| line.temp_c)
        .find(|line| *line > high_c)
        .unwrap_or(high_c);
    low_c = livestock
        .danger_cold
        .iter()
        .map(|line| line.temp_c)
        .find(|line| *line < low_c)
        .unwrap_or(low_c);
    let scale = frame.rightwards(low_c - MARGIN_K, high_c + MARGIN_K);
    let lines: Vec<&DangerLine> = livestock
        .danger_hot
        .iter()
        .chain(&livestock.danger_cold)
        .filter(|line| scale.holds(line.temp_c))
        .collect();
    let (band_left, band_right) = (scale.clamped(band_c[0]), scale.clamped(band_c[1]));
    html! {
        svg.wide width=(WIDTH) viewBox=(format!("0 0 {WIDTH} {}", frame.bottom + 36.0)) role="img" aria-labelledby={ (id) "-t " (id) "-d" } {
            title id={ (id) "-t" } { "Lowest and highest temperature of each run, by strategy" }
            desc id={ (id) "-d" } { "The same figures stand in the table below." }
            rect.band x=(px(band_left)) y=(px(frame.top)) width=(px(band_right - band_left)) height=(px(frame.bottom - frame.top)) {}
            (axis_below(&frame, &scale, &temperature_ticks(&scale, units), &format!("water, {}", units.temperature_unit())))
            @for (number, line) in lines.iter().enumerate() {
                @let x = px(scale.at(line.temp_c));
                @let y = frame.top - 5.0 - 13.0 * (number % 3) as f64;
                line.line x1=(x) x2=(x) y1=(px(y + 2.0)) y2=(px(frame.bottom)) {}
                text x=(px(scale.at(line.temp_c).clamp(frame.left + 45.0, frame.right - 45.0))) y=(px(y)) text-anchor="middle" {
                    (units.line(line.temp_c)) ", "
                    (line.allowed_h.map_or_else(|| "not at all".to_owned(), |h| format!("{} at most", duration(h))))
                }
            }
            (frame.outline())
            @for (number, one) in chapter.runs.iter().enumerate() {
                @let middle = frame.top + ROW * (number as f64 + 0.5);
                text x=(px(frame.left - 8.0)) y=(px(middle)) dy="0.35em" text-anchor="end" { (one.strategy) }
                @if number > 0 { line.grid x1=(px(frame.left)) x2=(px(frame.right)) y1=(px(middle - ROW / 2.0)) y2=(px(middle - ROW / 2.0)) {} }
                @for (run, y) in one.runs.iter().zip(heights(one.runs.len(), middle)) {
                    circle.dot.open cx=(px(scale.at(run.lowest_c))) cy=(px(y)) r="3" {}
                    circle.dot cx=(px(scale.at(run.highest_c))) cy=(px(y)) r="3.2" {}
                }
            }
        }
    }
}

/// Runs of one strategy stand a little below each other, so that alike ones can be told apart.
fn heights(runs: usize, middle: f64) -> impl Iterator<Item = f64> {
    let spread = ROW * 0.6;
    (0..runs).map(move |run| middle - spread / 2.0 + spread * (run as f64 + 0.5) / runs as f64)
}

fn table(chapter: &Chapter, units: Units) -> Markup {
    let unit = units.temperature_unit();
    let degrees = |temp_c: f64| format!("{:.1}", units.degrees(temp_c));
    html! {
        div.scroll tabindex="0" role="region" aria-label="Outcomes of the runs" {
            table {
                caption { span { "From the least to the largest of the runs, the median in between" } }
                thead {
                    tr {
                        th scope="col" { "Strategy" }
                        th.figure scope="col" { "Runs" }
                        th.figure scope="col" { "Lowest, " (unit) }
                        th.figure scope="col" { "Highest, " (unit) }
                        th.figure scope="col" { "Outside the band" }
                        th.figure scope="col" { "Dose used" }
                    }
                }
                tbody {
                    @for one in &chapter.runs {
                        tr {
                            th scope="row" { (one.strategy) }
                            td.figure { (one.runs.len()) }
                            td.figure { (three(one, |run| run.lowest_c, degrees)) }
                            td.figure { (three(one, |run| run.highest_c, degrees)) }
                            td.figure { (three(one, |run| run.outside_band_h, duration)) }
                            td.figure { (three(one, |run| run.dose_used, dose)) }
                        }
                    }
                }
            }
        }
    }
}

/// "25.1 / 25.3 / 25.4"; one figure where all read the same.
fn three(runs: &StrategyRuns, of: fn(&OneRun) -> f64, told: impl Fn(f64) -> String) -> String {
    let mut values: Vec<f64> = runs.runs.iter().map(of).collect();
    values.sort_by(f64::total_cmp);
    let (Some(least), Some(most), Some(median)) =
        (values.first(), values.last(), values.get(values.len() / 2))
    else {
        return MISSING.to_owned();
    };
    let (least, median, most) = (told(*least), told(*median), told(*most));
    if least == most {
        least
    } else {
        format!("{least} / {median} / {most}")
    }
}
