//! The heat budget as a diagram: what comes in at the left, what goes out at the right, as wide as it is in watts.

use maud::{Markup, html};

use super::Chapter;
use super::chart::px;
use super::page::{anchor, made_by};
use crate::heat_flows::{Flow, GAP, edges, flows, per_w};
use crate::labels::spread_apart;
use crate::records::{Budget, BudgetPath};
use crate::wording::{Units, or_missing, power, share};

const WIDTH: f64 = 700.0;
const HEIGHT: f64 = 330.0;
const TOP: f64 = 26.0;
const BOTTOM: f64 = 318.0;
/// Where the flows in begin, meet the water, leave it, and end.
const STATIONS: [f64; 4] = [190.0, 310.0, 390.0, 510.0];

/// The section.
pub(super) fn section(chapter: &Chapter, place: usize, units: Units) -> Markup {
    if chapter.budgets.is_empty() {
        return html! {};
    }
    html! {
        section aria-labelledby=(anchor("heat", place)) {
            h2 id=(anchor("heat", place)) { "Where the heat goes" }
            @for (number, budget) in chapter.budgets.iter().enumerate() {
                @if let Some(system) = &budget.system { h3 { (system) } }
                p { (in_words(budget, units)) }
                figure {
                    div.scroll tabindex="0" role="region" aria-label="Picture of the heat budget" {
                        (drawing(budget, &format!("{}-{number}", anchor("heat", place))))
                    }
                    figcaption {
                        "Widths are watts, in the mean, all water at " (units.line(budget.target_c)) " in a room at "
                        (units.line(budget.room_c)) " and " (share(budget.relative_humidity_frac)) " humidity. Hatched: what heaters must give."
                    }
                }
                details {
                    summary { "The same as a table" }
                    (table(budget))
                }
            }
            (made_by("At the target in the scenario's mean room.", &chapter.budget_command))
        }
    }
}

fn in_words(budget: &Budget, units: Units) -> String {
    let biggest = budget.losses.first();
    let first = biggest.map_or_else(String::new, |path| {
        format!(
            " The largest way out is {} of {}, {}.",
            path.name,
            path.tank,
            share(path.percent / 100.0)
        )
    });
    format!(
        "The water loses {} in the mean; heaters must give {} of that, and are rated {}.{first} They hold the target down to a room of {}.",
        power(budget.total_loss_w),
        power(budget.heat_needed_w.max(0.0)),
        power(budget.heaters_rated_w),
        or_missing(budget.coldest_room_held_c, |c| units.temperature(c)),
    )
}

fn drawing(budget: &Budget, id: &str) -> Markup {
    let (ins, outs) = flows(budget);
    let per_w = per_w(&ins, &outs, BOTTOM - TOP);
    let of_side = |flows: &[Flow]| edges(flows, per_w, TOP, GAP);
    let tallest = |flows: &[Flow]| flows.iter().map(|flow| flow.power_w * per_w).sum::<f64>();
    let water = tallest(&ins).max(tallest(&outs));
    let label_places = |edges: &[[f64; 4]]| {
        let wanted: Vec<f64> = edges.iter().map(|edge| (edge[0] + edge[1]) / 2.0).collect();
        spread_apart(&wanted, 14.0, TOP + 4.0, BOTTOM)
    };
    let (in_edges, out_edges) = (of_side(&ins), of_side(&outs));
    let [far_left, left, right, far_right] = STATIONS;
    let hatched = format!("{id}-hatched");
    html! {
        svg.wide width=(WIDTH) viewBox=(format!("0 0 {WIDTH} {HEIGHT}")) role="img" aria-labelledby={ (id) "-t " (id) "-d" } {
            title id={ (id) "-t" } { "Heat that comes in and goes out, W" }
            desc id={ (id) "-d" } { "The same figures stand in the table below." }
            defs {
                pattern id=(hatched) width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                    line.hatching x1="0" y1="0" x2="0" y2="7" {}
                }
            }
            text.faint x=(px(far_left)) y="14" text-anchor="middle" { "in" }
            text.strong x=(px((left + right) / 2.0)) y="14" text-anchor="middle" { "water" }
            text.faint x=(px(far_right)) y="14" text-anchor="middle" { "out" }
            rect.band x=(px(left)) y=(px(TOP)) width=(px(right - left)) height=(px(water)) {}
            @for (flow, (edge, label_y)) in ins.iter().zip(in_edges.iter().zip(label_places(&in_edges))) {
                path.flow fill=[flow.heaters.then(|| format!("url(#{hatched})"))] d=(ribbon(far_left, left, edge[0], edge[1], edge[2], edge[3])) {}
                text x=(px(far_left - 8.0)) y=(px(label_y)) dy="0.35em" text-anchor="end" { (flow.name) ", " (power(flow.power_w)) }
            }
            @for (flow, (edge, label_y)) in outs.iter().zip(out_edges.iter().zip(label_places(&out_edges))) {
                path.flow d=(ribbon(right, far_right, edge[2], edge[3], edge[0], edge[1])) {}
                text x=(px(far_right + 8.0)) y=(px(label_y)) dy="0.35em" { (flow.name) ", " (power(flow.power_w)) }
            }
        }
    }
}

/// A band from one pair of edges to another, bent softly.
fn ribbon(from: f64, to: f64, from_top: f64, from_bottom: f64, to_top: f64, to_bottom: f64) -> String {
    let middle = (from + to) / 2.0;
    let [from, to, middle] = [from, to, middle].map(px);
    let [a, b, c, d] = [from_top, from_bottom, to_top, to_bottom].map(px);
    format!("M{from} {a}C{middle} {a} {middle} {c} {to} {c}L{to} {d}C{middle} {d} {middle} {b} {from} {b}Z")
}

fn table(budget: &Budget) -> Markup {
    let paths = |heading: &str, paths: &[BudgetPath]| {
        html! {
            @for path in paths {
                tr {
                    th scope="row" { (heading) ": " (path.name) }
                    td { (path.tank) }
                    td.figure { (format!("{:.1}", path.power_w)) }
                    td.figure { (format!("{:.1}", path.percent)) }
                }
            }
        }
    };
    html! {
        div.scroll tabindex="0" role="region" aria-label="Heat budget" {
            table {
                caption { span { "Heat in and out, in the mean" } }
                thead {
                    tr {
                        th scope="col" { "Way" }
                        th scope="col" { "Tank" }
                        th.figure scope="col" { "W" }
                        th.figure scope="col" { "% of the loss" }
                    }
                }
                tbody {
                    (paths("out", &budget.losses))
                    (paths("in", &budget.gains))
                    tr {
                        th scope="row" { "in: heaters, to hold the target" }
                        td {}
                        td.figure { (format!("{:.1}", budget.heat_needed_w)) }
                        td.figure { (format!("{:.1}", budget.heat_needed_w / budget.total_loss_w * 100.0)) }
                    }
                }
            }
        }
    }
}
