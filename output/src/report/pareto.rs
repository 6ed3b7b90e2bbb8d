//! What one gives up for what: two plots in which down and left is better, with the line of strategies that no other beats in both.

use maud::{Markup, html};

use super::Chapter;
use super::chart::{Frame, axis_below, axis_beside, path, px, trimmed, value_ticks};
use super::page::{anchor, made_by_both};
use crate::labels::spread_apart;
use crate::trade::{Trade, closings, frontier, padded, stuck};
use crate::wording::Units;

const FRAME: Frame = Frame {
    left: 50.0,
    top: 28.0,
    right: 400.0,
    bottom: 280.0,
};
const WIDTH: f64 = 560.0;
const HEIGHT: f64 = 318.0;
/// Where names begin.
const NAMES: f64 = 426.0;

/// The section.
pub(super) fn section(chapter: &Chapter, place: usize, units: Units) -> Markup {
    let rows = chapter.block.iter().flat_map(|block| &block.rows);
    let plots: Vec<Trade> = [closings(rows.clone()), stuck(rows, &chapter.faults, units)]
        .into_iter()
        .filter(|trade| !trade.points.is_empty())
        .collect();
    if plots.is_empty() {
        return html! {};
    }
    html! {
        section aria-labelledby=(anchor("trade", place)) {
            h2 id=(anchor("trade", place)) { "What one gives up for what" }
            p { "Down and left is better. The line joins the strategies that no other beats in both figures." }
            div.pairs {
                @for (number, trade) in plots.iter().enumerate() {
                    (self::figure(trade, &format!("{}-{number}", anchor("trade", place))))
                }
            }
            (made_by_both(
                "With nothing broken in the scenario's own room; what sticks in the room in which it gets warmest, with nobody acting on alerts where that is worse.",
                [&chapter.compare_command, &chapter.faults_command]
            ))
        }
    }
}

/// A picture of one trade-off with its table.
pub(super) fn figure(trade: &Trade, id: &str) -> Markup {
    html! {
        figure {
            div.scroll tabindex="0" role="region" aria-label={ "Picture: " (trade.title) } { (drawing(trade, id)) }
            figcaption { (trade.title) }
            (table(trade))
        }
    }
}

fn drawing(trade: &Trade, id: &str) -> Markup {
    let (low, high) = padded(trade.points.iter().map(|point| point.x), true);
    let x = FRAME.rightwards(low, high);
    let from_zero = !trade.y_name.contains('°');
    let (low, high) = padded(trade.points.iter().map(|point| point.y), from_zero);
    let y = FRAME.upwards(low, high);
    let unbeaten = frontier(&trade.points);
    let line: Vec<(f64, f64)> = unbeaten.iter().map(|one| (x.at(one.x), y.at(one.y))).collect();
    let wanted: Vec<f64> = trade.points.iter().map(|point| y.at(point.y)).collect();
    let placed = spread_apart(&wanted, 15.0, FRAME.top + 4.0, FRAME.bottom);
    html! {
        svg width=(WIDTH) viewBox=(format!("0 0 {WIDTH} {HEIGHT}")) role="img" aria-labelledby={ (id) "-t " (id) "-d" } {
            title id={ (id) "-t" } { (trade.title) }
            desc id={ (id) "-d" } { "The same figures stand in the table below." }
            (axis_below(&FRAME, &x, &value_ticks(&x), trade.x_name))
            (axis_beside(&FRAME, &y, trade.y_name))
            (FRAME.outline())
            path.frontier d=(path(&line)) {}
            @for (point, label_y) in trade.points.iter().zip(placed) {
                @let at = (x.at(point.x), y.at(point.y));
                path.leader d=(path(&[at, (FRAME.right, label_y), (NAMES - 4.0, label_y)])) {}
                circle.dot.open[!unbeaten.contains(&point)] cx=(px(at.0)) cy=(px(at.1)) r="4.5" {}
                text x=(px(NAMES)) y=(px(label_y)) dy="0.35em" { (point.name) }
            }
        }
    }
}

fn table(trade: &Trade) -> Markup {
    let unbeaten = frontier(&trade.points);
    html! {
        div.scroll tabindex="0" role="region" aria-label=(trade.title) {
            table {
                thead {
                    tr {
                        th scope="col" { "Strategy" }
                        th.figure scope="col" { (trade.x_name) }
                        th.figure scope="col" { (trade.y_name) }
                        th scope="col" { "Beaten in both" }
                    }
                }
                tbody {
                    @for point in &trade.points {
                        tr {
                            th scope="row" { (point.name) }
                            td.figure { (trimmed(point.x)) }
                            td.figure { (trimmed(point.y)) }
                            td { @if unbeaten.contains(&point) { "by none" } @else { "yes" } }
                        }
                    }
                }
            }
        }
    }
}
