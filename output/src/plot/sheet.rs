//! The whole picture: title, two panels over one time axis, cautions.

use plotters::backend::{BitMapBackend, SVGBackend};
use plotters::prelude::{DrawingBackend, IntoDrawingArea, WHITE};
use tepid_sim::scenario::Scenario;

use super::canvas::{Anchor, Box2, Canvas, Lettering, Medium};
use super::course::Course;
use super::happenings::{self, ROW};
use super::scale::{Scale, time_ticks};
use super::{PlotError, font, ink, power, temperatures};
use crate::cautions::Cautioned;
use crate::records::DangerLine;

/// Width of the picture, logical pixels.
const WIDTH: f64 = 800.0;
const LEFT: f64 = 50.0;
const RIGHT: f64 = 46.0;
const TITLE_HEIGHT: f64 = 52.0;
const UPPER_HEIGHT: f64 = 320.0;
const LOWER_HEIGHT: f64 = 96.0;
const GAP: f64 = 26.0;
const AXIS_HEIGHT: f64 = 28.0;
const CAUTION_LINE: f64 = 13.0;
/// Device pixels per logical pixel.
const SVG_SCALE: u32 = 4;
const PNG_SCALE: u32 = 2;

const TITLE: Lettering = Lettering {
    size: 15.0,
    color: ink::TEXT,
    bold: true,
};
const SUBTITLE: Lettering = Lettering {
    size: 12.0,
    color: ink::TEXT,
    bold: false,
};
const TICK: Lettering = Lettering {
    size: 11.0,
    color: ink::TEXT,
    bold: false,
};
const CAUTION: Lettering = Lettering {
    size: 10.0,
    color: ink::FAINT_TEXT,
    bold: false,
};

/// What a plot says beside the curves.
#[derive(Debug, Clone, PartialEq)]
pub struct PlotInfo {
    /// First line: the scenario's title.
    pub title: String,
    /// Second line: strategy, fault, seed.
    pub subtitle: String,
    /// Names of the tanks, in the scenario's order.
    pub tanks: Vec<String>,
    /// Heaters, in the scenario's order.
    pub heaters: Vec<PlottedHeater>,
    /// Lower and upper end of the band, °C.
    pub band_c: [f64; 2],
    /// Danger lines upwards, mildest first.
    pub danger_hot: Vec<DangerLine>,
    /// Danger lines downwards, mildest first.
    pub danger_cold: Vec<DangerLine>,
    /// Cautions that belong to the run.
    pub cautions: Vec<Cautioned>,
}

/// A heater as a plot names it.
#[derive(Debug, Clone, PartialEq)]
pub struct PlottedHeater {
    /// Name.
    pub name: String,
    /// Rated power, W.
    pub power_w: f64,
}

impl PlotInfo {
    /// What a scenario says of itself, with a second line and cautions of the run.
    #[must_use]
    pub fn new(scenario: &Scenario, subtitle: impl Into<String>, cautions: Vec<Cautioned>) -> Self {
        let (low_c, high_c) = scenario.water.band_c;
        let heaters = scenario.heaters.iter();
        Self {
            title: scenario.title.clone(),
            subtitle: subtitle.into(),
            tanks: scenario.tanks.iter().map(|tank| tank.name.clone()).collect(),
            heaters: heaters
                .map(|h| PlottedHeater {
                    name: h.name.clone(),
                    power_w: h.power_w,
                })
                .collect(),
            band_c: [low_c, high_c],
            danger_hot: scenario
                .livestock
                .danger_hot
                .iter()
                .map(DangerLine::from)
                .collect(),
            danger_cold: scenario
                .livestock
                .danger_cold
                .iter()
                .map(DangerLine::from)
                .collect(),
            cautions,
        }
    }
}

/// The course as an SVG document.
///
/// # Errors
/// [`PlotError`] if there is nothing to show or the picture cannot be drawn.
pub fn time_series_svg(course: &Course, info: &PlotInfo) -> Result<String, PlotError> {
    let layout = Layout::new(course, info)?;
    let device = layout.device(SVG_SCALE);
    let mut svg = String::new();
    {
        let area = SVGBackend::with_string(&mut svg, device).into_drawing_area();
        area.fill(&WHITE)
            .map_err(|error| PlotError::Drawing(error.to_string()))?;
        layout.draw(
            &Canvas::new(&area, f64::from(SVG_SCALE), Medium::Vector),
            course,
            info,
        )?;
        area.present()
            .map_err(|error| PlotError::Drawing(error.to_string()))?;
    }
    let fine = format!("width=\"{}\" height=\"{}\"", device.0, device.1);
    let logical = format!("width=\"{WIDTH}\" height=\"{}\"", layout.height);
    // Mitred joints, the default, would show peaks that are not there.
    Ok(svg
        .replacen(&fine, &logical, 1)
        .replace("<polyline ", "<polyline stroke-linejoin=\"round\" "))
}

/// The course as a PNG picture, 1600 pixels wide.
///
/// # Errors
/// [`PlotError`] if there is nothing to show or the picture cannot be drawn or encoded.
pub fn time_series_png(course: &Course, info: &PlotInfo) -> Result<Vec<u8>, PlotError> {
    let layout = Layout::new(course, info)?;
    let (width, height) = layout.device(PNG_SCALE);
    let mut pixels = vec![0; width as usize * height as usize * 3];
    {
        let area = BitMapBackend::with_buffer(&mut pixels, (width, height)).into_drawing_area();
        area.fill(&WHITE)
            .map_err(|error| PlotError::Drawing(error.to_string()))?;
        layout.draw(
            &Canvas::new(&area, f64::from(PNG_SCALE), Medium::Raster),
            course,
            info,
        )?;
        area.present()
            .map_err(|error| PlotError::Drawing(error.to_string()))?;
    }
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, width, height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&pixels)?;
    writer.finish()?;
    Ok(file)
}

/// Where everything stands; measured before anything is drawn.
struct Layout {
    height: f64,
    upper: Box2,
    lower: Box2,
    time: Scale,
    spans: Vec<happenings::Span>,
    names: Vec<happenings::Name>,
    cautions: Vec<String>,
}

impl Layout {
    fn new(course: &Course, info: &PlotInfo) -> Result<Self, PlotError> {
        if course.water_c.iter().flatten().flatten().next().is_none() {
            return Err(PlotError::NothingToShow);
        }
        font::ensure_registered()?;
        let mut nowhere = String::new();
        let area = SVGBackend::with_string(&mut nowhere, (1, 1)).into_drawing_area();
        let canvas = Canvas::new(&area, 1.0, Medium::Vector);
        let frame = Box2 {
            left: LEFT,
            right: WIDTH - RIGHT,
            top: 0.0,
            bottom: 0.0,
        };
        let time = Scale::new(
            course.from_ms as f64,
            course.to_ms as f64,
            frame.left,
            frame.right,
        );
        let spans = happenings::spans(course, &time);
        let names = happenings::names(
            &canvas,
            &spans,
            Box2 {
                left: frame.left + 24.0,
                ..frame
            },
        )?;
        let rows = names.iter().map(|name| name.row + 1).max().unwrap_or(0);
        let top = TITLE_HEIGHT + ROW * (rows.max(1)) as f64;
        let upper = Box2 {
            top,
            bottom: top + UPPER_HEIGHT,
            ..frame
        };
        let lower_top = upper.bottom + GAP;
        let lower = Box2 {
            top: lower_top,
            bottom: lower_top + LOWER_HEIGHT,
            ..frame
        };
        let mut cautions = Vec::new();
        for one in &info.cautions {
            cautions.extend(lines(&canvas, &one.text, WIDTH - 2.0 * 12.0)?);
        }
        let height = lower.bottom + AXIS_HEIGHT + CAUTION_LINE * cautions.len() as f64 + 8.0;
        Ok(Self {
            height: height.ceil(),
            upper,
            lower,
            time,
            spans,
            names,
            cautions,
        })
    }

    fn device(&self, scale: u32) -> (u32, u32) {
        (WIDTH as u32 * scale, self.height as u32 * scale)
    }

    fn draw<B: DrawingBackend>(
        &self,
        canvas: &Canvas<'_, B>,
        course: &Course,
        info: &PlotInfo,
    ) -> Result<(), PlotError> {
        let title = shortened(canvas, &info.title, TITLE)?;
        canvas.text(&title, (12.0, 17.0), Anchor::Left, TITLE)?;
        let subtitle = shortened(canvas, &info.subtitle, SUBTITLE)?;
        canvas.text(&subtitle, (12.0, 37.0), Anchor::Left, SUBTITLE)?;
        temperatures::draw(canvas, self.upper, &self.time, course, info, &self.spans)?;
        happenings::draw_names(canvas, &self.names, self.upper)?;
        power::draw(canvas, self.lower, &self.time, course, info, &self.spans)?;
        for (at_ms, label) in time_ticks(course.from_ms, course.to_ms) {
            let x = self.time.at(at_ms as f64);
            for panel in [self.upper, self.lower] {
                canvas.line(&[(x, panel.bottom), (x, panel.bottom + 4.0)], ink::TEXT, 0.75)?;
            }
            canvas.text(&label, (x, self.lower.bottom + 14.0), Anchor::Middle, TICK)?;
        }
        for (index, line) in self.cautions.iter().enumerate() {
            let middle = self.lower.bottom + AXIS_HEIGHT + CAUTION_LINE * (index as f64 + 0.5);
            canvas.text(line, (12.0, middle), Anchor::Left, CAUTION)?;
        }
        Ok(())
    }
}

/// The text, cut to the width of the picture.
fn shortened<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    text: &str,
    lettering: Lettering,
) -> Result<String, PlotError> {
    let mut kept = text.to_owned();
    while canvas.text_width(&kept, lettering)? > WIDTH - 2.0 * 12.0 {
        kept = kept.trim_end_matches('…').to_owned();
        if kept.pop().is_none() {
            break;
        }
        kept.push('…');
    }
    Ok(kept)
}

/// The text in lines of at most so many pixels.
fn lines<B: DrawingBackend>(
    canvas: &Canvas<'_, B>,
    text: &str,
    width: f64,
) -> Result<Vec<String>, PlotError> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let longer = lines.last().map(|line| format!("{line} {word}"));
        match (longer, lines.last_mut()) {
            (Some(longer), Some(last)) if canvas.text_width(&longer, CAUTION)? <= width => *last = longer,
            _ => lines.push(word.to_owned()),
        }
    }
    Ok(lines)
}
