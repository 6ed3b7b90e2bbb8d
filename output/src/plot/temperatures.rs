//! The upper panel: water, room, band and danger lines, °C left and °F right.

use plotters::prelude::{DrawingBackend, WHITE};

use super::canvas::{Anchor, Box2, Canvas, Lettering, Point};
use super::course::{Course, Extremes};
use super::happenings::{self, Span, draw_spans};
use super::placing::{Occupied, Side};
use super::scale::{Scale, ticks};
use super::sheet::PlotInfo;
use super::{PlotError, ink};
use crate::records::DangerLine;
use crate::wording::{Units, duration};

const TICK: Lettering = Lettering {
    size: 11.0,
    color: ink::TEXT,
    bold: false,
};
const LINE_LABEL: Lettering = Lettering {
    size: 10.5,
    color: ink::DANGER,
    bold: false,
};
const LABEL_SIZE: f64 = 12.0;
/// Height of a label's box, logical pixels.
const LABEL_HEIGHT: f64 = 14.0;
/// Height of the box of a line's label, logical pixels.
const LINE_LABEL_HEIGHT: f64 = 12.0;
/// Half the side of a recorded reading's point, logical pixels.
const DOT: f64 = 1.0;
/// Temperatures beyond the outermost thing shown, °C.
const MARGIN_C: f64 = 0.9;

/// Draws the panel.
pub fn draw<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    panel: Box2,
    time: &Scale,
    course: &Course,
    info: &PlotInfo,
    spans: &[Span],
) -> Result<(), PlotError> {
    let (low_c, high_c) = range_c(course, info);
    let scale = Scale::new(low_c, high_c, panel.bottom, panel.top);
    let band = Box2 {
        top: scale.clamped(info.band_c[1]),
        bottom: scale.clamped(info.band_c[0]),
        ..panel
    };
    canvas.fill(band, ink::BAND, 1.0)?;
    axes(canvas, panel, &scale, low_c, high_c)?;
    draw_spans(canvas, spans, panel)?;
    happenings::draw_ticks(canvas, spans, panel)?;
    let mut occupied = Occupied::default();
    for strike in spans.iter().filter_map(|span| span.strike(panel)) {
        occupied.add(strike);
    }
    let mut lines: Vec<(f64, Side, &DangerLine)> = Vec::new();
    for (all, side) in [(&info.danger_hot, Side::Above), (&info.danger_cold, Side::Below)] {
        for line in all.iter().filter(|line| scale.holds(line.temp_c)) {
            let y = scale.at(line.temp_c);
            canvas.dashed((panel.left, y), (panel.right, y), 4.0, ink::DANGER, 0.75)?;
            occupied.add(Box2 {
                top: y - 1.0,
                bottom: y + 1.0,
                ..panel
            });
            lines.push((y, side, line));
        }
    }
    let curves: Vec<(String, plotters::style::RGBColor, f64, Vec<Point>)> = std::iter::once((
        "room".to_owned(),
        ink::ROOM,
        1.25,
        points(&course.room_c, time, &scale),
    ))
    .chain(course.water_c.iter().enumerate().map(|(tank, water_c)| {
        let name = info
            .tanks
            .get(tank)
            .cloned()
            .unwrap_or_else(|| format!("tank {}", tank + 1));
        (name, ink::water(tank), 1.5, points(water_c, time, &scale))
    }))
    .collect();
    // The room below the water, the first tank on top.
    let (room, water) = curves.split_at(1);
    for (_, color, width, points) in room.iter().chain(water.iter().rev()) {
        canvas.line(points, *color, *width)?;
    }
    let recorded = points(&info.recorded, time, &scale);
    for (x, y) in &recorded {
        let dot = Box2 {
            left: x - DOT,
            right: x + DOT,
            top: y - DOT,
            bottom: y + DOT,
        };
        canvas.fill(dot, ink::RECORDED, 1.0)?;
    }
    for (_, _, _, points) in &curves {
        occupied.add_curve(points.clone());
    }
    if !recorded.is_empty() {
        occupied.add_curve(recorded);
    }
    for (y, side, line) in lines {
        write_on_line(
            canvas,
            panel,
            (y - 1.5, y + 1.5),
            side,
            &meaning(line),
            &mut occupied,
        )?;
    }
    if let Some(text) = happenings::ticked(spans) {
        let ticks_top = panel.bottom - happenings::TICK;
        let levels = (ticks_top - 1.0, panel.bottom);
        write_on_line(canvas, panel, levels, Side::Above, &text, &mut occupied)?;
    }
    let labels = curves.iter().map(|(name, color, _, _)| (name.as_str(), *color));
    let labels = labels.chain((!info.recorded.is_empty()).then_some(("recorded", ink::RECORDED)));
    for (index, (name, color)) in labels.enumerate() {
        let lettering = Lettering {
            size: LABEL_SIZE,
            color,
            bold: true,
        };
        let width = canvas.text_width(name, lettering)? + 6.0;
        if let Some(place) = occupied.place_beside(index, width, LABEL_HEIGHT, panel) {
            write_on_patch(canvas, name, place, lettering)?;
        }
    }
    canvas.text("°C", (panel.left - 8.0, panel.top - 9.0), Anchor::Right, TICK)?;
    canvas.text("°F", (panel.right + 8.0, panel.top - 9.0), Anchor::Left, TICK)
}

/// From the lowest to the highest thing to show: curves, band, the mildest danger lines, and further lines as far as the
/// next one beyond the water.
fn range_c(course: &Course, info: &PlotInfo) -> (f64, f64) {
    let water = course.water_c.iter().flatten().chain(&info.recorded).flatten();
    let (mut low_c, mut high_c) = (info.band_c[0], info.band_c[1]);
    for extremes in water {
        low_c = low_c.min(extremes.lowest.1);
        high_c = high_c.max(extremes.highest.1);
    }
    if let Some(next) = info.danger_hot.iter().find(|line| line.temp_c > high_c) {
        high_c = next.temp_c;
    }
    if let Some(next) = info.danger_cold.iter().find(|line| line.temp_c < low_c) {
        low_c = next.temp_c;
    }
    for extremes in course.room_c.iter().flatten() {
        low_c = low_c.min(extremes.lowest.1);
        high_c = high_c.max(extremes.highest.1);
    }
    (low_c - MARGIN_C, high_c + MARGIN_C)
}

fn axes<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    panel: Box2,
    scale: &Scale,
    low_c: f64,
    high_c: f64,
) -> Result<(), PlotError> {
    let celsius = scale.ticks(8);
    let decimals = decimals(&celsius);
    for temp_c in celsius {
        let y = scale.at(temp_c);
        canvas.line(&[(panel.left, y), (panel.right, y)], ink::GRID, 0.75)?;
        canvas.text(
            &format!("{temp_c:.decimals$}"),
            (panel.left - 8.0, y),
            Anchor::Right,
            TICK,
        )?;
    }
    let fahrenheit = |temp_c: f64| Units::Us.degrees(temp_c);
    for temp_f in ticks(fahrenheit(low_c), fahrenheit(high_c), 8) {
        let y = Scale::new(fahrenheit(low_c), fahrenheit(high_c), panel.bottom, panel.top).at(temp_f);
        canvas.line(&[(panel.right, y), (panel.right + 4.0, y)], ink::TEXT, 0.75)?;
        canvas.text(
            &format!("{temp_f:.0}"),
            (panel.right + 8.0, y),
            Anchor::Left,
            TICK,
        )?;
    }
    frame(canvas, panel)
}

/// Decimals that all of these need.
fn decimals(ticks: &[f64]) -> usize {
    usize::from(ticks.iter().any(|tick| (tick - tick.round()).abs() > 1e-6))
}

/// The frame of a panel.
pub fn frame<B: DrawingBackend>(canvas: &Canvas<'_, B>, panel: Box2) -> Result<(), PlotError> {
    let corners = [
        (panel.left, panel.top),
        (panel.right, panel.top),
        (panel.right, panel.bottom),
        (panel.left, panel.bottom),
        (panel.left, panel.top),
    ];
    canvas.line(&corners, ink::TEXT, 0.75)
}

/// What a danger line means: "water at 28.5 °C: 3 d at most".
fn meaning(line: &DangerLine) -> String {
    let allowed = line
        .allowed_h
        .map_or_else(|| "not at all".to_owned(), |h| format!("{} at most", duration(h)));
    format!("water at {}: {allowed}", Units::Metric.line(line.temp_c))
}

/// Writes a text above or below a level line where it covers least; without a patch, so that nothing is ever hidden by it.
fn write_on_line<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    panel: Box2,
    levels: (f64, f64),
    side: Side,
    text: &str,
    occupied: &mut Occupied,
) -> Result<(), PlotError> {
    let width = canvas.text_width(text, LINE_LABEL)? + 6.0;
    let inside = Box2 {
        left: panel.left + 2.0,
        right: panel.right - 2.0,
        ..panel
    };
    let place = occupied.place_along(levels, side, width, LINE_LABEL_HEIGHT, inside);
    let middle = (place.top + place.bottom) / 2.0;
    canvas.text(text, (place.left + 3.0, middle), Anchor::Left, LINE_LABEL)
}

/// Writes a text on a pale patch, so that what runs below it does not strike it out.
fn write_on_patch<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    text: &str,
    place: Box2,
    lettering: Lettering,
) -> Result<(), PlotError> {
    canvas.fill(place, WHITE, 0.8)?;
    canvas.text(
        text,
        (place.left + 3.0, (place.top + place.bottom) / 2.0),
        Anchor::Left,
        lettering,
    )
}

/// The extremes of all columns, in order of time.
pub fn points(columns: &[Option<Extremes>], time: &Scale, scale: &Scale) -> Vec<Point> {
    let mut points = Vec::with_capacity(columns.len() * 2);
    for extremes in columns.iter().flatten() {
        let mut pair = [extremes.lowest, extremes.highest];
        pair.sort_by_key(|(at_ms, _)| *at_ms);
        for (at_ms, temp_c) in pair {
            let point = (time.at(at_ms as f64), scale.clamped(temp_c));
            if points.last() != Some(&point) {
                points.push(point);
            }
        }
    }
    points
}
