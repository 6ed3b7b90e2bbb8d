//! How much of the time heaters draw power, day by day, and how closings add up.

use plotters::prelude::DrawingBackend;
use tepid_sim::time::DAY;

use super::around::WIDTH;
use super::axes::{self, NAME};
use super::canvas::{Anchor, Box2, Canvas, Lettering, Point};
use super::figure::WearOf;
use super::scale::Scale;
use super::{PlotError, around, ink};
use crate::labels::spread_apart;

const LEFT: f64 = 62.0;
const RIGHT: f64 = 600.0;
/// Where names of curves begin.
const NAMES: f64 = 622.0;
const HEADING: f64 = 24.0;
const PANEL: f64 = 190.0;
const AXIS: f64 = 24.0;

pub(super) const HEIGHT: f64 = 2.0 * (HEADING + PANEL + AXIS);

pub(super) fn draw<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    top: f64,
    all: &[WearOf],
) -> Result<(), PlotError> {
    let panel = |number: f64| {
        let top = top + (HEADING + PANEL + AXIS) * number + HEADING;
        Box2 {
            left: LEFT,
            right: RIGHT,
            top,
            bottom: top + PANEL,
        }
    };
    let duty: Vec<Curve> = all.iter().map(duty).collect();
    curves(
        canvas,
        panel(0.0),
        &duty,
        "heaters on, % of their rated power, mean of a day",
        all,
    )?;
    let closings: Vec<Curve> = all.iter().map(closings).collect();
    curves(
        canvas,
        panel(1.0),
        &closings,
        "closings of the contact that closes most, added up",
        all,
    )
}

/// A curve by time, ms, with its name.
struct Curve {
    name: String,
    points: Vec<(f64, f64)>,
}

/// One step a day (of less than a day: an hour).
fn duty(one: &WearOf) -> Curve {
    let course = &one.course;
    let columns = course.room_c.len();
    let span_ms = course.to_ms - course.from_ms;
    let step_ms = if span_ms > DAY { DAY } else { DAY / 24 };
    let at_ms = |column: usize| course.from_ms as f64 + span_ms as f64 * column as f64 / columns as f64;
    let power_w = |column: usize| -> f64 {
        let heaters = course.heater_w.iter();
        heaters
            .filter_map(|heater| heater.get(column).copied().flatten())
            .sum()
    };
    let mut steps: Vec<(i64, f64, f64)> = Vec::new();
    for column in 0..columns {
        let step = (at_ms(column) as i64).div_euclid(step_ms);
        match steps.last_mut() {
            Some((known, sum_w, count)) if *known == step => {
                *sum_w += power_w(column);
                *count += 1.0;
            }
            _ => steps.push((step, power_w(column), 1.0)),
        }
    }
    let mut points = Vec::new();
    for (step, sum_w, count) in steps {
        let share = 100.0 * sum_w / count / one.rated_w.max(f64::MIN_POSITIVE);
        let from = (step * step_ms).max(course.from_ms) as f64;
        let to = ((step + 1) * step_ms).min(course.to_ms) as f64;
        points.extend([(from, share), (to, share)]);
    }
    let mean = points.iter().map(|(_, share)| share).sum::<f64>() / points.len().max(1) as f64;
    Curve {
        name: format!("{}, {mean:.0} %", one.strategy),
        points,
    }
}

fn closings(one: &WearOf) -> Curve {
    let course = &one.course;
    let span = (course.to_ms - course.from_ms) as f64 / one.closings.len().max(1) as f64;
    let start = course.from_ms as f64;
    let after = one
        .closings
        .iter()
        .enumerate()
        .map(|(column, closings)| (start + span * (column + 1) as f64, *closings as f64));
    Curve {
        name: format!(
            "{}, {} of {}",
            one.strategy,
            one.closings.last().unwrap_or(&0),
            one.contact
        ),
        points: std::iter::once((start, 0.0)).chain(after).collect(),
    }
}

/// All curves in one panel, each with its name at its right end.
fn curves<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    panel: Box2,
    curves: &[Curve],
    heading: &str,
    all: &[WearOf],
) -> Result<(), PlotError> {
    let highest = curves
        .iter()
        .flat_map(|curve| &curve.points)
        .map(|(_, value)| *value);
    let top = highest.fold(0.0, f64::max).max(1.0) * 1.08;
    let scale = Scale::new(0.0, top, panel.bottom, panel.top);
    canvas.text(heading, (panel.left, panel.top - 10.0), Anchor::Left, NAME)?;
    axes::upright(canvas, panel, &scale, 5)?;
    let Some(first) = all.first() else {
        return Ok(());
    };
    let (from_ms, to_ms) = (first.course.from_ms, first.course.to_ms);
    axes::times(canvas, panel, (from_ms, to_ms), 9)?;
    let time = Scale::new(from_ms as f64, to_ms as f64, panel.left, panel.right);
    let ends: Vec<f64> = curves
        .iter()
        .map(|curve| {
            curve
                .points
                .last()
                .map_or(panel.bottom, |(_, value)| scale.at(*value))
        })
        .collect();
    let places = spread_apart(&ends, 15.0, panel.top + 4.0, panel.bottom);
    for (number, (curve, (end, place))) in curves.iter().zip(ends.iter().zip(places)).enumerate() {
        let points: Vec<Point> = curve
            .points
            .iter()
            .map(|(at_ms, value)| (time.at(*at_ms), scale.at(*value)))
            .collect();
        let color = ink::water(number);
        canvas.line(&points, color, 1.5)?;
        canvas.line(&[(panel.right, *end), (NAMES - 4.0, place)], color, 0.75)?;
        let lettering = Lettering {
            size: 11.0,
            color,
            ..NAME
        };
        let name = around::shortened_to(canvas, &curve.name, lettering, WIDTH - NAMES - 6.0)?;
        canvas.text(&name, (NAMES, place), Anchor::Left, lettering)?;
    }
    Ok(())
}
