//! What faults do, side by side on the same scales.

use plotters::prelude::DrawingBackend;

use super::around::WIDTH;
use super::axes::{self, NAME, SMALL, TICK};
use super::canvas::{Anchor, Box2, Canvas, Lettering};
use super::course::{Course, extremes};
use super::figure::{FaultOf, Shared};
use super::scale::Scale;
use super::temperatures::points;
use super::{PlotError, ink};
use crate::labels::spread_apart;
use crate::records::RoomKind;
use crate::wording::{Units, duration, trimmed};

const COLUMNS: usize = 3;
const SIDE: f64 = 12.0;
const AXIS_LEFT: f64 = 26.0;
/// Room for the temperatures of danger lines.
const LINES_RIGHT: f64 = 26.0;
const GAP: f64 = 8.0;
const HEADING: f64 = 36.0;
const PANEL: f64 = 110.0;
const AXIS: f64 = 30.0;
/// Room around the outermost thing shown, K.
const MARGIN_K: f64 = 0.5;

fn row() -> f64 {
    HEADING + PANEL + AXIS
}

pub(super) fn height(all: &[FaultOf]) -> f64 {
    row() * all.len().div_ceil(COLUMNS) as f64 + 16.0
}

pub(super) fn draw<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    top: f64,
    all: &[FaultOf],
    shared: &Shared,
) -> Result<(), PlotError> {
    let (low_c, high_c) = range_c(all, shared);
    let width = (WIDTH - 2.0 * SIDE - GAP * (COLUMNS - 1) as f64) / COLUMNS as f64;
    for (number, one) in all.iter().enumerate() {
        let left = SIDE + (width + GAP) * (number % COLUMNS) as f64;
        let top = top + row() * (number / COLUMNS) as f64 + HEADING;
        let panel = Box2 {
            left: left + AXIS_LEFT,
            right: left + width - LINES_RIGHT,
            top,
            bottom: top + PANEL,
        };
        let scale = Scale::new(low_c, high_c, panel.bottom, panel.top);
        self::panel(canvas, panel, &scale, one, shared)?;
    }
    let key = "°C; the band shaded; broken lines: danger lines, named at the right; dotted: the room; upright line: the fault begins.";
    let bottom = top + height(all) - 8.0;
    canvas.text(key, (SIDE, bottom), Anchor::Left, SMALL)
}

fn panel<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    panel: Box2,
    scale: &Scale,
    one: &FaultOf,
    shared: &Shared,
) -> Result<(), PlotError> {
    let outcome = &one.row.outcome;
    let band = Box2 {
        top: scale.clamped(shared.band_c[1]),
        bottom: scale.clamped(shared.band_c[0]),
        ..panel
    };
    canvas.fill(band, ink::BAND, 1.0)?;
    axes::upright(canvas, panel, scale, 5)?;
    let all = shared
        .livestock
        .danger_hot
        .iter()
        .chain(&shared.livestock.danger_cold);
    let mut levels: Vec<(f64, f64)> = Vec::new();
    for line in all.filter(|line| scale.holds(line.temp_c)) {
        let y = scale.at(line.temp_c);
        canvas.dashed((panel.left, y), (panel.right, y), 4.0, ink::DANGER, 0.75)?;
        levels.push((y, line.temp_c));
    }
    let wanted: Vec<f64> = levels.iter().map(|(y, _)| *y).collect();
    let places = spread_apart(&wanted, 10.5, panel.top + 4.0, panel.bottom - 4.0);
    for ((_, temp_c), place) in levels.iter().zip(places) {
        canvas.text(
            &trimmed(*temp_c, 1),
            (panel.right + 4.0, place),
            Anchor::Left,
            SMALL,
        )?;
    }
    let course = &one.course;
    let time = Scale::new(
        course.from_ms as f64,
        course.to_ms as f64,
        panel.left,
        panel.right,
    );
    if let Some(began_h) = outcome.began_h {
        let x = time.clamped(began_h * 3_600_000.0);
        canvas.line(&[(x, panel.top), (x, panel.bottom)], ink::TEXT, 1.0)?;
    }
    dotted(canvas, course, &time, scale)?;
    if let Some(columns) = course.water_c.get(tank(one, shared)) {
        canvas.line(&points(columns, &time, scale), ink::water(0), 1.5)?;
    }
    axes::times(canvas, panel, (course.from_ms, course.to_ms), 4)?;
    let width = panel.right - panel.left + AXIS_LEFT + LINES_RIGHT;
    let heading = fitted(canvas, &outcome.case, Lettering { size: 11.5, ..NAME }, width)?;
    canvas.text(
        &heading,
        (panel.left - AXIS_LEFT, panel.top - 25.0),
        Anchor::Left,
        Lettering { size: 11.5, ..NAME },
    )?;
    let told = fitted(canvas, &told(one), TICK, width)?;
    canvas.text(
        &told,
        (panel.left - AXIS_LEFT, panel.top - 10.0),
        Anchor::Left,
        TICK,
    )
}

/// The room in a constant room is one level line; else its course.
fn dotted<B: DrawingBackend>(
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

/// The tank that the fault harms most, else the first.
fn tank(one: &FaultOf, shared: &Shared) -> usize {
    let named = |name: &String| shared.tanks.iter().position(|tank| tank == name);
    one.row.outcome.tank.as_ref().and_then(named).unwrap_or(0)
}

/// "dose used up after 7.4 h, warmest room, to 33.1 °C".
fn told(one: &FaultOf) -> String {
    let outcome = &one.row.outcome;
    let room = match outcome.room {
        RoomKind::Scenario => "own room",
        RoomKind::Coldest => "coldest room",
        RoomKind::Warmest => "warmest room",
    };
    let warmer = outcome.hot_dose >= outcome.cold_dose;
    let extreme_c = if warmer { outcome.peak_c } else { outcome.lowest_c };
    let extreme = extreme_c.map_or_else(String::new, |c| format!(", to {}", Units::Metric.temperature(c)));
    match one.row.exceeds {
        Some(exceeds) => format!("dose gone in {}, {room}{extreme}", duration(exceeds.used_up_h)),
        None => format!("below the dose, {room}{extreme}"),
    }
}

fn fitted<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    text: &str,
    lettering: Lettering,
    width: f64,
) -> Result<String, PlotError> {
    super::around::shortened_to(canvas, text, lettering, width)
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
