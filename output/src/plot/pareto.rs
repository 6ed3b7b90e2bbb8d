//! Trade-offs: two panels in which down and left is better.

use plotters::prelude::{DrawingBackend, WHITE};

use super::axes::{self, NAME, SMALL, TICK};
use super::canvas::{Anchor, Box2, Canvas, Point};
use super::scale::Scale;
use super::temperatures::frame;
use super::{PlotError, ink};
use crate::labels::spread_apart;
use crate::trade::{Trade, frontier, padded};

const PANEL: f64 = 250.0;
const HEADING: f64 = 40.0;
const AXIS: f64 = 34.0;
/// Left edge, right edge and where names begin of both panels.
const PLACES: [[f64; 3]; 2] = [[48.0, 285.0, 302.0], [448.0, 685.0, 702.0]];

pub(super) const HEIGHT: f64 = HEADING + PANEL + AXIS + 16.0;

pub(super) fn draw<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    top: f64,
    trades: &[Trade; 2],
) -> Result<(), PlotError> {
    for (trade, place) in trades.iter().zip(PLACES) {
        if !trade.points.is_empty() {
            panel(canvas, top + HEADING, place, trade)?;
        }
    }
    let key =
        "Down and left is better. Full: no other strategy beats it in both figures; the line joins these.";
    canvas.text(key, (12.0, top + HEIGHT - 6.0), Anchor::Left, SMALL)
}

fn panel<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    top: f64,
    [left, right, names]: [f64; 3],
    trade: &Trade,
) -> Result<(), PlotError> {
    let panel = Box2 {
        left,
        right,
        top,
        bottom: top + PANEL,
    };
    let (low, high) = padded(trade.points.iter().map(|point| point.x), true);
    let x = Scale::new(low, high, left, right);
    let (low, high) = padded(
        trade.points.iter().map(|point| point.y),
        !trade.y_name.contains('°'),
    );
    let y = Scale::new(low, high, panel.bottom, panel.top);
    axes::level(canvas, panel, &x, 4)?;
    axes::upright(canvas, panel, &y, 5)?;
    canvas.text(trade.y_name, (left - 30.0, top - 12.0), Anchor::Left, NAME)?;
    canvas.text(
        trade.x_name,
        ((left + right) / 2.0, panel.bottom + 27.0),
        Anchor::Middle,
        NAME,
    )?;
    let unbeaten = frontier(&trade.points);
    let line: Vec<Point> = unbeaten.iter().map(|one| (x.at(one.x), y.at(one.y))).collect();
    canvas.line(&line, ink::TEXT, 1.0)?;
    let wanted: Vec<f64> = trade.points.iter().map(|point| y.at(point.y)).collect();
    let places = spread_apart(&wanted, 14.0, panel.top + 4.0, panel.bottom);
    for (point, place) in trade.points.iter().zip(places) {
        let at = (x.at(point.x), y.at(point.y));
        canvas.line(&[at, (right, place), (names - 3.0, place)], ink::ROOM, 0.6)?;
        dot(canvas, at, unbeaten.contains(&point))?;
        canvas.text(&point.name, (names, place), Anchor::Left, TICK)?;
    }
    frame(canvas, panel)
}

/// Full, or a ring.
fn dot<B: DrawingBackend>(canvas: &Canvas<'_, B>, (x, y): Point, full: bool) -> Result<(), PlotError> {
    let round = |radius: f64| -> Vec<Point> {
        (0..24)
            .map(|part| {
                let angle = f64::from(part) / 24.0 * std::f64::consts::TAU;
                (x + radius * angle.cos(), y + radius * angle.sin())
            })
            .collect()
    };
    canvas.polygon(&round(4.5), ink::water(0))?;
    if full {
        Ok(())
    } else {
        canvas.polygon(&round(3.0), WHITE)
    }
}
