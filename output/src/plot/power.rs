//! The lower panel: mean heater power in each column of time, heaters stacked.

use plotters::prelude::DrawingBackend;

use super::canvas::{Anchor, Box2, Canvas, Lettering, Point};
use super::course::Course;
use super::happenings::{Span, draw_spans};
use super::scale::Scale;
use super::sheet::PlotInfo;
use super::temperatures::frame;
use super::{PlotError, ink};

const TICK: Lettering = Lettering {
    size: 11.0,
    color: ink::TEXT,
    bold: false,
};

/// Draws the panel.
pub fn draw<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    panel: Box2,
    time: &Scale,
    course: &Course,
    info: &PlotInfo,
    spans: &[Span],
) -> Result<(), PlotError> {
    let rated_w: f64 = info.heaters.iter().map(|heater| heater.power_w).sum();
    let highest_w = stacked(course, course.heater_w.len())
        .into_iter()
        .flatten()
        .fold(rated_w, f64::max);
    let top_w = if highest_w > 0.0 { highest_w * 1.08 } else { 1.0 };
    let scale = Scale::new(0.0, top_w, panel.bottom, panel.top);
    for power_w in scale.ticks(4) {
        let y = scale.at(power_w);
        canvas.line(&[(panel.left, y), (panel.right, y)], ink::GRID, 0.75)?;
        canvas.text(
            &format!("{power_w:.0}"),
            (panel.left - 8.0, y),
            Anchor::Right,
            TICK,
        )?;
    }
    draw_spans(canvas, spans, panel)?;
    for heater in (0..course.heater_w.len()).rev() {
        let tops = stacked(course, heater + 1);
        for outline in outlines(&tops, course, time, &scale, panel) {
            canvas.polygon(&outline, ink::heater(heater))?;
        }
    }
    frame(canvas, panel)?;
    canvas.text("W", (panel.left - 8.0, panel.top - 9.0), Anchor::Right, TICK)?;
    key(canvas, panel, info)
}

/// Names and ratings above the panel, each after a patch of its colour.
fn key<B: DrawingBackend>(canvas: &Canvas<'_, B>, panel: Box2, info: &PlotInfo) -> Result<(), PlotError> {
    let middle = panel.top - 9.0;
    let mut left = panel.left;
    canvas.text("heater power", (left, middle), Anchor::Left, TICK)?;
    left += canvas.text_width("heater power", TICK)? + 14.0;
    for (heater, plotted) in info.heaters.iter().enumerate() {
        let text = format!("{}, {:.0} W rated", plotted.name, plotted.power_w);
        let width = canvas.text_width(&text, TICK)?;
        if left + 14.0 + width > panel.right {
            break;
        }
        let patch = Box2 {
            left,
            top: middle - 5.0,
            right: left + 10.0,
            bottom: middle + 5.0,
        };
        canvas.fill(patch, ink::heater(heater), 1.0)?;
        canvas.text(&text, (left + 14.0, middle), Anchor::Left, TICK)?;
        left += 14.0 + width + 16.0;
    }
    Ok(())
}

/// Sum of the first `heaters` heaters' power in each column, W.
fn stacked(course: &Course, heaters: usize) -> Vec<Option<f64>> {
    let columns = course.room_c.len();
    (0..columns)
        .map(|column| {
            course
                .heater_w
                .iter()
                .take(heaters)
                .map(|power_w| power_w.get(column).copied().flatten())
                .sum()
        })
        .collect()
}

/// One outline per stretch of known columns, down to the base line.
fn outlines(
    tops: &[Option<f64>],
    course: &Course,
    time: &Scale,
    scale: &Scale,
    panel: Box2,
) -> Vec<Vec<Point>> {
    let edge = |column: usize| {
        let share = column as f64 / tops.len() as f64;
        time.at(course.from_ms as f64 + (course.to_ms - course.from_ms) as f64 * share)
    };
    let mut outlines = Vec::new();
    let mut outline: Vec<Point> = Vec::new();
    for column in 0..=tops.len() {
        match tops.get(column).copied().flatten() {
            Some(power_w) => {
                if outline.is_empty() {
                    outline.push((edge(column), panel.bottom));
                }
                let y = scale.at(power_w);
                outline.extend([(edge(column), y), (edge(column + 1), y)]);
            }
            None => {
                if !outline.is_empty() {
                    outline.push((edge(column), panel.bottom));
                    outlines.push(std::mem::take(&mut outline));
                }
            }
        }
    }
    outlines
}
