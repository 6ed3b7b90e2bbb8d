//! Whole courses of several set-ups, side by side on the same scales.

use plotters::prelude::DrawingBackend;

use super::around::shortened_to;
use super::axes::{self, NAME, SMALL, TICK};
use super::canvas::{Anchor, Box2, Canvas, Lettering};
use super::course::extremes;
use super::figure::SetUpOf;
use super::placing::Occupied;
use super::scale::Scale;
use super::small_panels::{Grid, SIDE, band, danger_lines, room, time};
use super::temperatures::points;
use super::{PlotError, ink};
use crate::wording::{Units, restated};

const GRID: Grid = Grid {
    columns: 2,
    axis_left: 28.0,
    lines_right: 30.0,
    gap: 12.0,
    heading: 38.0,
    panel: 150.0,
    axis: 28.0,
};
/// Room around the outermost thing shown, K.
const MARGIN_K: f64 = 0.5;
/// Height of a label's box, logical pixels.
const LABEL: f64 = 14.0;

pub(super) fn height(all: &[SetUpOf]) -> f64 {
    GRID.height(all.len())
}

pub(super) fn draw<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    top: f64,
    all: &[SetUpOf],
    units: Units,
) -> Result<(), PlotError> {
    let (low_c, high_c) = range_c(all);
    for (number, one) in all.iter().enumerate() {
        let panel = GRID.panel(top, number);
        let scale = Scale::new(low_c, high_c, panel.bottom, panel.top);
        heading(canvas, panel, one, units)?;
        self::panel(canvas, panel, &scale, one, units)?;
    }
    let unit = units.temperature_unit();
    let key = format!(
        "{unit}; the band shaded; broken lines: danger lines, named at the right; dotted: the room; upright lines: it breaks, and is whole again."
    );
    canvas.text(&key, (SIDE, top + height(all) - 8.0), Anchor::Left, SMALL)
}

fn heading<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    panel: Box2,
    one: &SetUpOf,
    units: Units,
) -> Result<(), PlotError> {
    let left = panel.left - GRID.axis_left;
    let width = panel.right + GRID.lines_right - left;
    let label = shortened_to(canvas, &restated(&one.label, units), NAME, width)?;
    canvas.text(&label, (left, panel.top - 26.0), Anchor::Left, NAME)?;
    let told = shortened_to(canvas, &restated(&one.told, units), TICK, width)?;
    canvas.text(&told, (left, panel.top - 11.0), Anchor::Left, TICK)
}

fn panel<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    panel: Box2,
    scale: &Scale,
    one: &SetUpOf,
    units: Units,
) -> Result<(), PlotError> {
    band(canvas, panel, scale, one.band_c)?;
    axes::temperatures(canvas, panel, scale, 6, units)?;
    danger_lines(canvas, panel, scale, &one.livestock, units)?;
    let course = &one.course;
    let time = time(course, panel);
    if let Some((from_ms, to_ms)) = one.broken_ms {
        for at_ms in [from_ms, to_ms].into_iter().filter(|at_ms| *at_ms < course.to_ms) {
            let x = time.clamped(at_ms as f64);
            canvas.line(&[(x, panel.top), (x, panel.bottom)], ink::TEXT, 1.0)?;
        }
    }
    room(canvas, course, &time, scale)?;
    let mut occupied = Occupied::default();
    for (place, _) in &one.tanks {
        if let Some(columns) = course.water_c.get(*place) {
            let water = points(columns, &time, scale);
            canvas.line(&water, ink::water(*place), 1.5)?;
            occupied.add_curve(water);
        }
    }
    // One line needs no name.
    for (index, (place, name)) in one.tanks.iter().enumerate().filter(|_| one.tanks.len() > 1) {
        let lettering = Lettering {
            size: 11.5,
            color: ink::water(*place),
            bold: true,
        };
        let width = canvas.text_width(name, lettering)? + 6.0;
        if let Some(place) = occupied.place_beside(index, width, LABEL, panel) {
            let middle = (place.top + place.bottom) / 2.0;
            canvas.text(name, (place.left + 3.0, middle), Anchor::Left, lettering)?;
        }
    }
    axes::times(canvas, panel, (course.from_ms, course.to_ms), 7)
}

/// From the lowest to the highest water and room, and what belongs to it: the band, the mildest lines.
fn range_c(all: &[SetUpOf]) -> (f64, f64) {
    let mut low_c = f64::INFINITY;
    let mut high_c = f64::NEG_INFINITY;
    let mut hold = |temp_c: f64| {
        low_c = low_c.min(temp_c);
        high_c = high_c.max(temp_c);
    };
    for one in all {
        let water = one
            .tanks
            .iter()
            .filter_map(|(place, _)| one.course.water_c.get(*place));
        let shown = water.chain([&one.course.room_c]).flatten();
        if let Some((low_c, high_c)) = extremes(shown) {
            hold(low_c);
            hold(high_c);
        }
        one.band_c.into_iter().for_each(&mut hold);
        let mildest = [&one.livestock.danger_hot, &one.livestock.danger_cold];
        for line in mildest.into_iter().filter_map(|lines| lines.first()) {
            hold(line.temp_c);
        }
    }
    (low_c - MARGIN_K, high_c + MARGIN_K)
}
