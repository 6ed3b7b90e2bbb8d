//! Axes, band and danger lines of the charts.

use std::fmt::Write;

use maud::{Markup, html};

use crate::labels::spread_apart;
use crate::plot::{Scale, few_time_ticks, ticks};
use crate::records::{DangerLine, Livestock};
use crate::wording::{Units, duration};

/// The frame of a chart, in pixels of its own coordinates.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

impl Frame {
    /// The rectangle's outline.
    pub fn outline(&self) -> Markup {
        html! {
            rect.axis x=(px(self.left)) y=(px(self.top)) width=(px(self.right - self.left)) height=(px(self.bottom - self.top)) {}
        }
    }

    /// Pixels of values upwards.
    pub fn upwards(&self, low: f64, high: f64) -> Scale {
        Scale::new(low, high, self.bottom, self.top)
    }

    /// Pixels of values to the right.
    pub fn rightwards(&self, low: f64, high: f64) -> Scale {
        Scale::new(low, high, self.left, self.right)
    }
}

/// A coordinate, to a tenth of a pixel.
pub(super) fn px(value: f64) -> String {
    let text = format!("{value:.1}");
    let short = text.strip_suffix(".0").unwrap_or(&text);
    if short == "-0" {
        "0".to_owned()
    } else {
        short.to_owned()
    }
}

/// A path through points; empty without any.
pub(super) fn path(points: &[(f64, f64)]) -> String {
    let mut path = String::new();
    for (index, (x, y)) in points.iter().enumerate() {
        let letter = if index == 0 { 'M' } else { 'L' };
        // Writing to a string cannot fail.
        let _ = write!(path, "{letter}{} {}", px(*x), px(*y));
    }
    path
}

/// Where a scale of °C has a figure, °C, and which, round in the reader's unit.
pub(super) fn temperature_ticks(scale: &Scale, units: Units) -> Vec<(f64, String)> {
    let (low_c, high_c) = scale.ends();
    ticks(units.degrees(low_c), units.degrees(high_c), 6)
        .into_iter()
        .map(|degrees| (units.celsius(degrees), trimmed(degrees)))
        .collect()
}

/// A temperature axis: band shaded, ticks with figures, the unit on top.
pub(super) fn temperature_axis(frame: &Frame, scale: &Scale, band_c: [f64; 2], units: Units) -> Markup {
    let (top, bottom) = (scale.clamped(band_c[1]), scale.clamped(band_c[0]));
    html! {
        rect.band x=(px(frame.left)) y=(px(top)) width=(px(frame.right - frame.left)) height=(px(bottom - top)) {}
        @for (temp_c, figure) in temperature_ticks(scale, units) {
            @let y = px(scale.at(temp_c));
            line.grid x1=(px(frame.left)) x2=(px(frame.right)) y1=(y) y2=(y) {}
            text x=(px(frame.left - 5.0)) y=(y) dy="0.35em" text-anchor="end" { (figure) }
        }
        text.faint x=(px(frame.left - 5.0)) y=(px(frame.top - 6.0)) text-anchor="end" { (units.temperature_unit()) }
    }
}

/// Danger lines within a temperature axis.
pub(super) fn danger_lines(frame: &Frame, scale: &Scale, livestock: &Livestock) -> Markup {
    html! {
        @for line in shown_lines(scale, livestock) {
            @let y = px(scale.at(line.temp_c));
            line.line x1=(px(frame.left)) x2=(px(frame.right)) y1=(y) y2=(y) {}
        }
    }
}

/// What each of these lines means, above it; below it where there is no room above. Drawn over the curves.
pub(super) fn danger_labels(frame: &Frame, scale: &Scale, livestock: &Livestock, units: Units) -> Markup {
    let shown = shown_lines(scale, livestock);
    let wanted: Vec<f64> = shown
        .iter()
        .map(|line| {
            let y = scale.at(line.temp_c);
            if y - 12.0 < frame.top { y + 11.0 } else { y - 3.0 }
        })
        .collect();
    let placed = spread_apart(&wanted, 11.0, frame.top + 9.0, frame.bottom - 2.0);
    html! {
        @for (line, label_y) in shown.iter().zip(placed) {
            text.over x=(px(frame.right - 4.0)) y=(px(label_y)) text-anchor="end" { (danger_label(line, units)) }
        }
    }
}

fn shown_lines<'a>(scale: &Scale, livestock: &'a Livestock) -> Vec<&'a DangerLine> {
    let all = livestock.danger_hot.iter().chain(&livestock.danger_cold);
    all.filter(|line| scale.holds(line.temp_c)).collect()
}

/// "28.5 °C: 3 d at most".
fn danger_label(line: &DangerLine, units: Units) -> String {
    let allowed = line
        .allowed_h
        .map_or_else(|| "not at all".to_owned(), |h| format!("{} at most", duration(h)));
    format!("{}: {allowed}", units.line(line.temp_c))
}

/// A time axis below a frame.
pub(super) fn time_axis(frame: &Frame, from_ms: i64, to_ms: i64, most: usize) -> Markup {
    let scale = frame.rightwards(from_ms as f64, to_ms as f64);
    html! {
        @for (at_ms, label) in &few_time_ticks(from_ms, to_ms, most) {
            @let x = px(scale.at(*at_ms as f64));
            line.axis x1=(x) x2=(x) y1=(px(frame.bottom)) y2=(px(frame.bottom + 4.0)) {}
            @let near_end = frame.right - scale.at(*at_ms as f64) < 14.0;
            text x=(x) y=(px(frame.bottom + 15.0)) text-anchor=(if near_end { "end" } else { "middle" }) { (label) }
        }
    }
}

/// Where a scale has a figure, and which.
pub(super) fn value_ticks(scale: &Scale) -> Vec<(f64, String)> {
    let ticks = scale.ticks(6).into_iter();
    ticks.map(|value| (value, trimmed(value))).collect()
}

/// A value axis below a frame with its figures and its name.
pub(super) fn axis_below(frame: &Frame, scale: &Scale, ticks: &[(f64, String)], name: &str) -> Markup {
    html! {
        @for (value, figure) in ticks {
            @let x = px(scale.at(*value));
            line.grid x1=(x) x2=(x) y1=(px(frame.top)) y2=(px(frame.bottom)) {}
            text x=(x) y=(px(frame.bottom + 14.0)) text-anchor="middle" { (figure) }
        }
        text.faint x=(px((frame.left + frame.right) / 2.0)) y=(px(frame.bottom + 30.0)) text-anchor="middle" { (name) }
    }
}

/// A value axis left of a frame with its name on top.
pub(super) fn axis_beside(frame: &Frame, scale: &Scale, name: &str) -> Markup {
    html! {
        @for (value, figure) in value_ticks(scale) {
            @let y = px(scale.at(value));
            line.grid x1=(px(frame.left)) x2=(px(frame.right)) y1=(y) y2=(y) {}
            text x=(px(frame.left - 5.0)) y=(y) dy="0.35em" text-anchor="end" { (figure) }
        }
        text.faint x=(px(frame.left - 30.0)) y=(px(frame.top - 8.0)) { (name) }
    }
}

/// A figure of an axis: no zeros behind the point that say nothing.
pub(super) fn trimmed(value: f64) -> String {
    crate::wording::trimmed(value, 2)
}
