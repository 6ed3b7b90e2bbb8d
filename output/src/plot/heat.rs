//! The heat budget: what comes in at the left, what goes out at the right, as wide as it is in watts.

use plotters::prelude::DrawingBackend;

use super::around::WIDTH;
use super::axes::{NAME, SMALL, TICK};
use super::canvas::{Anchor, Box2, Canvas, Point};
use super::{PlotError, ink};
use crate::heat_flows::{Flow, GAP, edges, flows, per_w};
use crate::labels::spread_apart;
use crate::records::Budget;
use crate::wording::{Units, power, share};

const TOP: f64 = 26.0;
const DIAGRAM: f64 = 300.0;
/// Where flows in begin, meet the water, leave it, and end.
const STATIONS: [f64; 4] = [210.0, 340.0, 440.0, 570.0];
/// Pieces that a soft bend is drawn in.
const PIECES: usize = 24;
/// Between two lines of the hatching, pixels.
const HATCH: f64 = 6.0;

pub(super) const HEIGHT: f64 = TOP + DIAGRAM + 26.0;

pub(super) fn draw<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    top: f64,
    budget: &Budget,
    units: Units,
) -> Result<(), PlotError> {
    let (ins, outs) = flows(budget);
    if ins.is_empty() && outs.is_empty() {
        return Err(PlotError::NothingToShow);
    }
    let per_w = per_w(&ins, &outs, DIAGRAM);
    let top = top + TOP;
    let [far_left, left, right, far_right] = STATIONS;
    let total = |flows: &[Flow]| flows.iter().map(|flow| flow.power_w).sum::<f64>();
    let water = Box2 {
        left,
        right,
        top,
        bottom: top + per_w * total(&ins).max(total(&outs)),
    };
    canvas.fill(water, ink::BAND, 1.0)?;
    for (text, x) in [
        (format!("in, {}", power(total(&ins))), far_left),
        ("water".to_owned(), (left + right) / 2.0),
        (format!("out, {}", power(total(&outs))), far_right),
    ] {
        canvas.text(&text, (x, top - 12.0), Anchor::Middle, NAME)?;
    }
    side(
        canvas,
        &ins,
        &edges(&ins, per_w, top, GAP),
        far_left,
        left,
        Anchor::Right,
    )?;
    side(
        canvas,
        &outs,
        &edges(&outs, per_w, top, GAP),
        far_right,
        right,
        Anchor::Left,
    )?;
    let key = format!(
        "Widths are watts in the mean, all water at {}, room at {} and {} humidity. Hatched: what heaters must give ({} rated).",
        units.line(budget.target_c),
        units.line(budget.room_c),
        share(budget.relative_humidity_frac),
        power(budget.heaters_rated_w)
    );
    let key = super::around::shortened_to(canvas, &key, SMALL, WIDTH - 24.0)?;
    canvas.text(&key, (12.0, top + DIAGRAM + 18.0), Anchor::Left, SMALL)
}

/// All flows between their far ends and the water.
fn side<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    flows: &[Flow],
    edges: &[[f64; 4]],
    far: f64,
    near: f64,
    names: Anchor,
) -> Result<(), PlotError> {
    let wanted: Vec<f64> = edges.iter().map(|edge| (edge[0] + edge[1]) / 2.0).collect();
    let (first, last) = (
        wanted.first().copied().unwrap_or(0.0),
        wanted.last().copied().unwrap_or(0.0),
    );
    let places = spread_apart(&wanted, 15.0, first, last.max(first + 15.0 * wanted.len() as f64));
    for ((flow, edge), place) in flows.iter().zip(edges).zip(places) {
        let upper = bend((far, edge[0]), (near, edge[2]));
        let lower = bend((far, edge[1]), (near, edge[3]));
        let outline: Vec<Point> = upper.iter().chain(lower.iter().rev()).copied().collect();
        canvas.polygon(&outline, ink::FLOW)?;
        if flow.heaters {
            hatching(canvas, &upper, &lower)?;
        }
        canvas.line(&upper, ink::ROOM, 0.8)?;
        canvas.line(&lower, ink::ROOM, 0.8)?;
        canvas.line(&[(far, edge[0]), (far, edge[1])], ink::ROOM, 0.8)?;
        let x = match names {
            Anchor::Right => far - 8.0,
            Anchor::Left | Anchor::Middle => far + 8.0,
        };
        canvas.text(
            &format!("{}, {}", flow.name, power(flow.power_w)),
            (x, place),
            names,
            TICK,
        )?;
    }
    Ok(())
}

/// From one point to another, level at both ends.
fn bend((from_x, from_y): Point, (to_x, to_y): Point) -> Vec<Point> {
    (0..=PIECES)
        .map(|piece| {
            let share = piece as f64 / PIECES as f64;
            let soft = share * share * (3.0 - 2.0 * share);
            (from_x + (to_x - from_x) * share, from_y + (to_y - from_y) * soft)
        })
        .collect()
}

/// Slanting lines between two edges that run over the same abscissas.
fn hatching<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    upper: &[Point],
    lower: &[Point],
) -> Result<(), PlotError> {
    let (Some(first), Some(last)) = (upper.first(), upper.last()) else {
        return Ok(());
    };
    let (left, right) = (first.0.min(last.0), first.0.max(last.0));
    let level = |edge: &[Point], x: f64| {
        let pair = edge
            .windows(2)
            .find(|pair| (pair[0].0 - x) * (pair[1].0 - x) <= 0.0)?;
        let share = (x - pair[0].0) / (pair[1].0 - pair[0].0);
        Some(pair[0].1 + (pair[1].1 - pair[0].1) * share)
    };
    let deepest = lower
        .iter()
        .map(|point| point.1)
        .fold(f64::NEG_INFINITY, f64::max);
    let highest = upper.iter().map(|point| point.1).fold(f64::INFINITY, f64::min);
    let mut start = left - (deepest - highest);
    while start < right {
        let mut stretch: Vec<Point> = Vec::new();
        let mut x = start.max(left);
        while x <= right {
            // 45 degrees, downwards to the right.
            let y = highest + (x - start);
            if level(upper, x)
                .zip(level(lower, x))
                .is_some_and(|(top, bottom)| (top..=bottom).contains(&y))
            {
                stretch.push((x, y));
            }
            x += 1.0;
        }
        canvas.line(&stretch, ink::HATCH, 0.8)?;
        start += HATCH;
    }
    Ok(())
}
