//! A few hours of switching: the water of each strategy on one scale, and below it when its heaters draw power.

use plotters::prelude::DrawingBackend;

use super::axes::{self, NAME, SMALL};
use super::canvas::{Anchor, Box2, Canvas};
use super::course::extremes;
use super::figure::CycleOf;
use super::scale::Scale;
use super::temperatures::{frame, points};
use super::{PlotError, ink};
use crate::wording::{Units, restated};

const LEFT: f64 = 56.0;
const RIGHT: f64 = 776.0;
const HEADING: f64 = 20.0;
const WATER: f64 = 96.0;
const POWER: f64 = 22.0;
const BETWEEN: f64 = 6.0;
const AXIS: f64 = 26.0;
/// Room around the water, K.
const MARGIN_K: f64 = 0.05;

fn row() -> f64 {
    HEADING + WATER + BETWEEN + POWER + 10.0
}

pub(super) fn height(all: &[CycleOf]) -> f64 {
    row() * all.len() as f64 + AXIS
}

pub(super) fn draw<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    top: f64,
    all: &[CycleOf],
    units: Units,
) -> Result<(), PlotError> {
    let range = extremes(
        all.iter()
            .filter_map(|one| one.course.water_c.get(one.tank))
            .flatten(),
    );
    let Some((low_c, high_c)) = range else {
        return Err(PlotError::NothingToShow);
    };
    for (number, one) in all.iter().enumerate() {
        let top = top + row() * number as f64 + HEADING;
        let water = Box2 {
            left: LEFT,
            right: RIGHT,
            top,
            bottom: top + WATER,
        };
        let power = Box2 {
            top: water.bottom + BETWEEN,
            bottom: water.bottom + BETWEEN + POWER,
            ..water
        };
        let scale = Scale::new(low_c - MARGIN_K, high_c + MARGIN_K, water.bottom, water.top);
        let band = Box2 {
            top: scale.clamped(one.band_c[1]),
            bottom: scale.clamped(one.band_c[0]),
            ..water
        };
        canvas.fill(band, ink::BAND, 1.0)?;
        axes::temperatures(canvas, water, &scale, 6, units)?;
        let time = Scale::new(one.course.from_ms as f64, one.course.to_ms as f64, LEFT, RIGHT);
        if let Some(columns) = one.course.water_c.get(one.tank) {
            canvas.line(&points(columns, &time, &scale), ink::water(0), 1.5)?;
        }
        canvas.text(
            &restated(&one.strategy, units),
            (LEFT, top - 9.0),
            Anchor::Left,
            NAME,
        )?;
        let shaded = units.range(one.band_c[0], one.band_c[1]);
        let note = format!(
            "water of {}, {}; shaded: {shaded}; below: power of all heaters",
            one.tank_name,
            units.temperature_unit()
        );
        canvas.text(&note, (RIGHT, top - 9.0), Anchor::Right, SMALL)?;
        heaters(canvas, power, one)?;
        if number + 1 == all.len() {
            axes::times(canvas, power, (one.course.from_ms, one.course.to_ms), 10)?;
        }
    }
    Ok(())
}

/// Power of all heaters in each column, as a share of what they are rated.
fn heaters<B: DrawingBackend>(canvas: &Canvas<'_, B>, panel: Box2, one: &CycleOf) -> Result<(), PlotError> {
    let columns = one.course.room_c.len().max(1);
    let width = (panel.right - panel.left) / columns as f64;
    for column in 0..columns {
        let power_w: f64 = one
            .course
            .heater_w
            .iter()
            .filter_map(|heater| heater.get(column).copied().flatten())
            .sum();
        let share = (power_w / one.rated_w.max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
        if share > 0.0 {
            let left = panel.left + width * column as f64;
            let bar = Box2 {
                left,
                right: left + width,
                top: panel.bottom - (panel.bottom - panel.top) * share,
                bottom: panel.bottom,
            };
            canvas.fill(bar, ink::heater(0), 1.0)?;
        }
    }
    frame(canvas, panel)
}
