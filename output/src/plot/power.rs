//! The lower panels: mean power in each column of time, devices stacked; heaters in one, fans and chillers in another.

use plotters::prelude::DrawingBackend;
use plotters::style::RGBColor;

use super::canvas::{Anchor, Box2, Canvas, Lettering, Point};
use super::course::Course;
use super::happenings::{Span, draw_spans};
use super::scale::Scale;
use super::sheet::PlottedDevice;
use super::temperatures::frame;
use super::{PlotError, ink};

const TICK: Lettering = Lettering {
    size: 11.0,
    color: ink::TEXT,
    bold: false,
};

/// What a panel shows.
#[derive(Debug, Clone, Copy)]
pub struct Powers<'a> {
    /// Its heading.
    pub heading: &'a str,
    /// Names and rated powers.
    pub devices: &'a [PlottedDevice],
    /// Mean power of each in each column of time, W.
    pub power_w: &'a [Vec<Option<f64>>],
    /// Colour of each by number.
    pub color: fn(usize) -> RGBColor,
}

/// Draws the panel.
pub fn draw<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    panel: Box2,
    time: &Scale,
    course: &Course,
    powers: Powers<'_>,
    spans: &[Span],
) -> Result<(), PlotError> {
    let rated_w: f64 = powers.devices.iter().map(|device| device.power_w).sum();
    let highest_w = stacked(course, powers.power_w)
        .into_iter()
        .flatten()
        .fold(rated_w, f64::max);
    let top_w = if highest_w > 0.0 { highest_w * 1.08 } else { 1.0 };
    let scale = Scale::new(0.0, top_w, panel.bottom, panel.top);
    for power_w in scale.ticks(4) {
        let y = scale.at(power_w);
        canvas.line(&[(panel.left, y), (panel.right, y)], ink::GRID, 0.75)?;
        canvas.text(&watts(power_w), (panel.left - 8.0, y), Anchor::Right, TICK)?;
    }
    draw_spans(canvas, spans, panel)?;
    for device in (0..powers.power_w.len()).rev() {
        let tops = stacked(course, &powers.power_w[..=device]);
        for outline in outlines(&tops, course, time, &scale, panel) {
            canvas.polygon(&outline, (powers.color)(device))?;
        }
    }
    frame(canvas, panel)?;
    canvas.text("W", (panel.left - 8.0, panel.top - 9.0), Anchor::Right, TICK)?;
    key(canvas, panel, powers)
}

/// A power without a unit: tenths where whole watts would not tell.
fn watts(power_w: f64) -> String {
    if power_w < 10.0 && power_w.fract() != 0.0 {
        format!("{power_w:.1}")
    } else {
        format!("{power_w:.0}")
    }
}

/// Names and ratings above the panel, each after a patch of its colour.
fn key<B: DrawingBackend>(canvas: &Canvas<'_, B>, panel: Box2, powers: Powers<'_>) -> Result<(), PlotError> {
    let middle = panel.top - 9.0;
    let mut left = panel.left;
    canvas.text(powers.heading, (left, middle), Anchor::Left, TICK)?;
    left += canvas.text_width(powers.heading, TICK)? + 14.0;
    for (index, device) in powers.devices.iter().enumerate() {
        let text = format!("{}, {} W rated", device.name, watts(device.power_w));
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
        canvas.fill(patch, (powers.color)(index), 1.0)?;
        canvas.text(&text, (left + 14.0, middle), Anchor::Left, TICK)?;
        left += 14.0 + width + 16.0;
    }
    Ok(())
}

/// Sum of all devices' power in each column, W.
fn stacked(course: &Course, devices_w: &[Vec<Option<f64>>]) -> Vec<Option<f64>> {
    let columns = course.room_c.len();
    (0..columns)
        .map(|column| {
            devices_w
                .iter()
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
