//! Axes of the pictures that compare.

use plotters::prelude::DrawingBackend;
use tepid_sim::time::Millis;

use super::canvas::{Anchor, Box2, Canvas, Lettering};
use super::scale::{Scale, few_time_ticks};
use super::temperatures::frame;
use super::{PlotError, ink};
use crate::wording::{Units, trimmed};

/// Figures at ticks.
pub(super) const TICK: Lettering = Lettering {
    size: 11.0,
    color: ink::TEXT,
    bold: false,
};
/// Headings of panels and names of curves.
pub(super) const NAME: Lettering = Lettering {
    size: 12.0,
    color: ink::TEXT,
    bold: true,
};
/// Smaller words.
pub(super) const SMALL: Lettering = Lettering {
    size: 10.5,
    color: ink::FAINT_TEXT,
    bold: false,
};

/// Grid lines with figures at the left, and the frame.
pub(super) fn upright<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    panel: Box2,
    scale: &Scale,
    wanted: usize,
) -> Result<(), PlotError> {
    for value in scale.ticks(wanted) {
        let y = scale.at(value);
        canvas.line(&[(panel.left, y), (panel.right, y)], ink::GRID, 0.75)?;
        canvas.text(&trimmed(value, 2), (panel.left - 8.0, y), Anchor::Right, TICK)?;
    }
    frame(canvas, panel)
}

/// The same for temperatures, °C, on the reader's scale.
pub(super) fn temperatures<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    panel: Box2,
    scale: &Scale,
    wanted: usize,
    units: Units,
) -> Result<(), PlotError> {
    let (low_c, high_c) = scale.ends();
    let read = Scale::new(
        units.degrees(low_c),
        units.degrees(high_c),
        scale.at(low_c),
        scale.at(high_c),
    );
    upright(canvas, panel, &read, wanted)
}

/// Grid lines with figures below.
pub(super) fn level<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    panel: Box2,
    scale: &Scale,
    wanted: usize,
) -> Result<(), PlotError> {
    for value in scale.ticks(wanted) {
        let x = scale.at(value);
        canvas.line(&[(x, panel.top), (x, panel.bottom)], ink::GRID, 0.75)?;
        canvas.text(&trimmed(value, 2), (x, panel.bottom + 12.0), Anchor::Middle, TICK)?;
    }
    Ok(())
}

/// Instants below a panel; at most so many labels.
pub(super) fn times<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    panel: Box2,
    (from_ms, to_ms): (Millis, Millis),
    most: usize,
) -> Result<(), PlotError> {
    let scale = Scale::new(from_ms as f64, to_ms as f64, panel.left, panel.right);
    for (at_ms, label) in few_time_ticks(from_ms, to_ms, most) {
        let x = scale.at(at_ms as f64);
        canvas.line(&[(x, panel.bottom), (x, panel.bottom + 4.0)], ink::TEXT, 0.75)?;
        if x > panel.right - 12.0 {
            canvas.text(&label, (panel.right, panel.bottom + 13.0), Anchor::Right, TICK)?;
        } else {
            canvas.text(&label, (x, panel.bottom + 13.0), Anchor::Middle, TICK)?;
        }
    }
    Ok(())
}
