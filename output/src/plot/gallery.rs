//! What faults do, side by side on the same scales.

use plotters::prelude::DrawingBackend;

use super::around::shortened_to;
use super::axes::{self, NAME, SMALL, TICK};
use super::canvas::{Anchor, Box2, Canvas, Lettering};
use super::course::extremes;
use super::figure::{FaultOf, Shared};
use super::scale::Scale;
use super::small_panels::{Grid, SIDE, band, danger_lines, room, time};
use super::temperatures::points;
use super::{PlotError, ink};
use crate::records::RoomKind;
use crate::wording::{Units, duration};

const GRID: Grid = Grid {
    columns: 3,
    axis_left: 26.0,
    lines_right: 26.0,
    gap: 8.0,
    heading: 36.0,
    panel: 110.0,
    axis: 30.0,
};
/// Room around the outermost thing shown, K.
const MARGIN_K: f64 = 0.5;

pub(super) fn height(all: &[FaultOf]) -> f64 {
    GRID.height(all.len())
}

pub(super) fn draw<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    top: f64,
    all: &[FaultOf],
    shared: &Shared,
    units: Units,
) -> Result<(), PlotError> {
    let (low_c, high_c) = range_c(all, shared);
    for (number, one) in all.iter().enumerate() {
        let panel = GRID.panel(top, number);
        let scale = Scale::new(low_c, high_c, panel.bottom, panel.top);
        self::panel(canvas, panel, &scale, one, (shared, units))?;
    }
    let unit = units.temperature_unit();
    let key = format!(
        "{unit}; the band shaded; broken lines: danger lines, named at the right; dotted: the room; upright line: the fault begins."
    );
    let bottom = top + height(all) - 8.0;
    canvas.text(&key, (SIDE, bottom), Anchor::Left, SMALL)
}

fn panel<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    panel: Box2,
    scale: &Scale,
    one: &FaultOf,
    (shared, units): (&Shared, Units),
) -> Result<(), PlotError> {
    let outcome = &one.row.outcome;
    band(canvas, panel, scale, shared.band_c)?;
    axes::temperatures(canvas, panel, scale, 5, units)?;
    danger_lines(canvas, panel, scale, &shared.livestock, units)?;
    let course = &one.course;
    let time = time(course, panel);
    if let Some(began_h) = outcome.began_h {
        let x = time.clamped(began_h * 3_600_000.0);
        canvas.line(&[(x, panel.top), (x, panel.bottom)], ink::TEXT, 1.0)?;
    }
    room(canvas, course, &time, scale)?;
    if let Some(columns) = course.water_c.get(tank(one, shared)) {
        canvas.line(&points(columns, &time, scale), ink::water(0), 1.5)?;
    }
    axes::times(canvas, panel, (course.from_ms, course.to_ms), 4)?;
    let width = panel.right - panel.left + GRID.axis_left + GRID.lines_right;
    let heading = shortened_to(canvas, &outcome.case, Lettering { size: 11.5, ..NAME }, width)?;
    canvas.text(
        &heading,
        (panel.left - GRID.axis_left, panel.top - 25.0),
        Anchor::Left,
        Lettering { size: 11.5, ..NAME },
    )?;
    let told = shortened_to(canvas, &told(one, units), TICK, width)?;
    canvas.text(
        &told,
        (panel.left - GRID.axis_left, panel.top - 10.0),
        Anchor::Left,
        TICK,
    )
}

/// The tank that the fault harms most, else the first.
fn tank(one: &FaultOf, shared: &Shared) -> usize {
    let named = |name: &String| shared.tanks.iter().position(|tank| tank == name);
    one.row.outcome.tank.as_ref().and_then(named).unwrap_or(0)
}

/// "dose used up after 7.4 h, warmest room, to 33.1 °C".
fn told(one: &FaultOf, units: Units) -> String {
    let outcome = &one.row.outcome;
    let room = match outcome.room {
        RoomKind::Scenario => "own room",
        RoomKind::Coldest => "coldest room",
        RoomKind::Warmest => "warmest room",
    };
    let warmer = outcome.hot_dose >= outcome.cold_dose;
    let extreme_c = if warmer { outcome.peak_c } else { outcome.lowest_c };
    let extreme = extreme_c.map_or_else(String::new, |c| format!(", to {}", units.temperature(c)));
    match one.row.exceeds {
        Some(exceeds) => format!("dose gone in {}, {room}{extreme}", duration(exceeds.used_up_h)),
        None => format!("below the dose, {room}{extreme}"),
    }
}

/// From the lowest to the highest water, and what belongs to it: the band, the mildest lines.
fn range_c(all: &[FaultOf], shared: &Shared) -> (f64, f64) {
    let water = all
        .iter()
        .filter_map(|one| one.course.water_c.get(tank(one, shared)))
        .flatten();
    let (mut low_c, mut high_c) = extremes(water).unwrap_or((shared.band_c[0], shared.band_c[1]));
    low_c = low_c.min(shared.band_c[0]);
    high_c = high_c.max(shared.band_c[1]);
    if let Some(mildest) = shared.livestock.danger_hot.first() {
        high_c = high_c.max(mildest.temp_c);
    }
    if let Some(mildest) = shared.livestock.danger_cold.first() {
        low_c = low_c.min(mildest.temp_c);
    }
    (low_c - MARGIN_K, high_c + MARGIN_K)
}
