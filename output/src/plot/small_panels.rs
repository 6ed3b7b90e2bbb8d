//! Small panels of temperature in rows: where they stand, and what all of them show.

use plotters::prelude::DrawingBackend;

use super::around::WIDTH;
use super::axes::SMALL;
use super::canvas::{Anchor, Box2, Canvas};
use super::course::Course;
use super::scale::Scale;
use super::temperatures::points;
use super::{PlotError, ink};
use crate::labels::spread_apart;
use crate::records::Livestock;
use crate::wording::{Units, trimmed};

/// Free beside the outermost panels, logical pixels.
pub(super) const SIDE: f64 = 12.0;

/// Where panels stand; all lengths in logical pixels.
#[derive(Debug, Clone, Copy)]
pub(super) struct Grid {
    /// Panels in a row.
    pub columns: usize,
    /// Room for the axis at the left.
    pub axis_left: f64,
    /// Room for the temperatures of danger lines.
    pub lines_right: f64,
    /// Between two panels of a row.
    pub gap: f64,
    /// Above a panel.
    pub heading: f64,
    /// A panel's height.
    pub panel: f64,
    /// Below a panel.
    pub axis: f64,
}

impl Grid {
    fn row(&self) -> f64 {
        self.heading + self.panel + self.axis
    }

    /// Of so many panels, with a line of words below them.
    pub(super) fn height(&self, count: usize) -> f64 {
        self.row() * count.div_ceil(self.columns) as f64 + 16.0
    }

    /// The panel of this number, from 0, below `top`.
    pub(super) fn panel(&self, top: f64, number: usize) -> Box2 {
        let width = (WIDTH - 2.0 * SIDE - self.gap * (self.columns - 1) as f64) / self.columns as f64;
        let left = SIDE + (width + self.gap) * (number % self.columns) as f64;
        let top = top + self.row() * (number / self.columns) as f64 + self.heading;
        Box2 {
            left: left + self.axis_left,
            right: left + width - self.lines_right,
            top,
            bottom: top + self.panel,
        }
    }
}

/// The band, shaded.
pub(super) fn band<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    panel: Box2,
    scale: &Scale,
    band_c: [f64; 2],
) -> Result<(), PlotError> {
    let band = Box2 {
        top: scale.clamped(band_c[1]),
        bottom: scale.clamped(band_c[0]),
        ..panel
    };
    canvas.fill(band, ink::BAND, 1.0)
}

/// Danger lines, their temperatures at the right.
pub(super) fn danger_lines<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    panel: Box2,
    scale: &Scale,
    livestock: &Livestock,
    units: Units,
) -> Result<(), PlotError> {
    let lines = livestock.danger_hot.iter().chain(&livestock.danger_cold);
    let mut levels: Vec<(f64, f64)> = Vec::new();
    for line in lines.filter(|line| scale.holds(line.temp_c)) {
        let y = scale.at(line.temp_c);
        canvas.dashed((panel.left, y), (panel.right, y), 4.0, ink::DANGER, 0.75)?;
        levels.push((y, line.temp_c));
    }
    let wanted: Vec<f64> = levels.iter().map(|(y, _)| *y).collect();
    let places = spread_apart(&wanted, 10.5, panel.top + 4.0, panel.bottom - 4.0);
    for ((_, temp_c), place) in levels.iter().zip(places) {
        let at = (panel.right + 4.0, place);
        canvas.text(&trimmed(units.degrees(*temp_c), 1), at, Anchor::Left, SMALL)?;
    }
    Ok(())
}

/// The time of a course across a panel.
pub(super) fn time(course: &Course, panel: Box2) -> Scale {
    Scale::new(
        course.from_ms as f64,
        course.to_ms as f64,
        panel.left,
        panel.right,
    )
}

/// The room, dotted.
pub(super) fn room<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    course: &Course,
    time: &Scale,
    scale: &Scale,
) -> Result<(), PlotError> {
    let room = points(&course.room_c, time, scale);
    for pair in room.windows(2).step_by(3) {
        canvas.line(pair, ink::ROOM, 1.0)?;
    }
    Ok(())
}
