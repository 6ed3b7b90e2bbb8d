//! What one gives up for what: two plots in which down and left is better, with the line of strategies that no other beats in both.

use maud::{Markup, html};

use super::Chapter;
use super::chart::{Frame, axis_below, axis_beside, path, px, trimmed};
use super::labels::spread_apart;
use super::page::{anchor, made_by};
use crate::records::{ExposureHow, HealthySummary};

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

/// A strategy as a point.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Point {
    /// Its name.
    pub(crate) name: String,
    /// To the right.
    pub(crate) x: f64,
    /// Upwards.
    pub(crate) y: f64,
}

/// One plot.
pub(crate) struct Trade {
    /// What is weighed.
    pub(crate) title: &'static str,
    /// The lower axis, with its unit.
    pub(crate) x_name: &'static str,
    /// The upright axis, with its unit.
    pub(crate) y_name: &'static str,
    /// Its points.
    pub(crate) points: Vec<Point>,
}

/// The section.
pub(super) fn section(chapter: &Chapter, place: usize) -> Markup {
    let plots: Vec<Trade> = [closings(chapter), stuck(chapter)]
        .into_iter()
        .filter(|trade| !trade.points.is_empty())
        .collect();
    if plots.is_empty() {
        return html! {};
    }
    let commands = format!("{} and {}", chapter.compare_command, chapter.faults_command);
    html! {
        section aria-labelledby=(anchor("trade", place)) {
            h2 id=(anchor("trade", place)) { "What one gives up for what" }
            p { "Down and left is better. The line joins the strategies that no other beats in both figures." }
            div.pairs {
                @for (number, trade) in plots.iter().enumerate() {
                    figure {
                        (drawing(trade, &format!("{}-{number}", anchor("trade", place))))
                        figcaption { (trade.title) }
                        (table(trade))
                    }
                }
            }
            (made_by("With nothing broken in the scenario's own room; what sticks in the room in which it gets warmest, with nobody acting on alerts where that is worse.", &commands))
        }
    }
}

/// Closings against time outside the band.
fn closings(chapter: &Chapter) -> Trade {
    let rows = chapter.block.iter().flat_map(|block| &block.rows);
    let points = rows.filter_map(|row| {
        let healthy = row.healthy.as_ref()?;
        Some(Point {
            name: row.strategy.clone(),
            x: healthy.outside_band_h()?,
            y: healthy
                .most_worn_contact()
                .map_or(0.0, |contact: &crate::records::ContactWear| {
                    contact.closings_per_day.worst
                }),
        })
    });
    Trade {
        title: "Wear against steadiness",
        x_name: "outside the band, h",
        y_name: "closings a day",
        points: points.collect(),
    }
}

/// How hot it gets with a heater stuck on against how far the water falls with nothing broken.
fn stuck(chapter: &Chapter) -> Trade {
    let rows = chapter.block.iter().flat_map(|block| &block.rows);
    let points = rows.filter_map(|row| {
        let healthy: &HealthySummary = row.healthy.as_ref()?;
        let faults = chapter
            .faults
            .strategies
            .iter()
            .find(|one| one.strategy == row.strategy)?;
        let stuck = faults.exposure.iter().filter(|one| one.how == ExposureHow::Stuck);
        Some(Point {
            name: row.strategy.clone(),
            x: healthy.undershoot_k?.worst,
            y: stuck.filter_map(|one| one.row.outcome.peak_c).reduce(f64::max)?,
        })
    });
    Trade {
        title: "Hottest water with a heater stuck on against how far it falls with nothing broken",
        x_name: "undershoot, K",
        y_name: "hottest, stuck on, °C",
        points: points.collect(),
    }
}

/// The points that no other beats in one figure without losing in the other, from left to right; what differs by less than a hundredth is alike.
pub(crate) fn frontier(points: &[Point]) -> Vec<&Point> {
    // Figures that read the same are the same.
    let read = |point: &Point| [point.x, point.y].map(|value| (value * 100.0).round());
    let beats = |a: &Point, b: &Point| {
        let (a, b) = (read(a), read(b));
        a != b && a[0] <= b[0] && a[1] <= b[1]
    };
    let mut unbeaten: Vec<&Point> = points
        .iter()
        .filter(|one| !points.iter().any(|other| beats(other, one)))
        .collect();
    unbeaten.sort_by(|a, b| a.x.total_cmp(&b.x).then(b.y.total_cmp(&a.y)));
    unbeaten
}

/// From the least to the largest with some room around, never of no width.
pub(crate) fn padded(values: impl Iterator<Item = f64>, from_zero: bool) -> (f64, f64) {
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
        (low.min(value), high.max(value))
    });
    let low = if from_zero { low.min(0.0) } else { low };
    let room = ((high - low) * 0.06).max(0.05 * high.abs()).max(0.1);
    (low - room, high + room)
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
            (axis_below(&FRAME, &x, trade.x_name))
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_frontier_holds_whatever_no_other_beats_in_both() {
        let point = |name: &str, x: f64, y: f64| Point {
            name: name.to_owned(),
            x,
            y,
        };
        let points = [
            point("steady", 0.0, 280.0),
            point("steady too", 0.0, 280.0),
            point("quiet", 9.0, 8.0),
            point("beaten", 9.0, 45.0),
            point("between", 2.0, 50.0),
            point("between by nothing", 2.000_01, 50.0),
        ];
        let names: Vec<&str> = frontier(&points).iter().map(|one| one.name.as_str()).collect();
        assert_eq!(
            names,
            ["steady", "steady too", "between", "between by nothing", "quiet"]
        );
    }
}
