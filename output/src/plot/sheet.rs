//! The whole picture: title, panels over one time axis, cautions.

use plotters::prelude::DrawingBackend;
use tepid_sim::scenario::Scenario;
use tepid_sim::time::DAY;

use super::around::{self, TITLE_HEIGHT, WIDTH};
use super::canvas::{Anchor, Box2, Canvas, Lettering};
use super::course::{Course, Extremes};
use super::flags::{self, ROW};
use super::happenings;
use super::picture::{self, Picture};
use super::power::Powers;
use super::scale::{Scale, time_ticks};
use super::{PlotError, ink, power, temperatures};
use crate::cautions::Cautioned;
use crate::records::DangerLine;

const LEFT: f64 = 50.0;
const RIGHT: f64 = 46.0;
const UPPER_HEIGHT: f64 = 320.0;
const LOWER_HEIGHT: f64 = 96.0;
/// Fans draw little, and whether they run is all there is to see.
const COOLER_HEIGHT: f64 = 56.0;
const GAP: f64 = 26.0;
const AXIS_HEIGHT: f64 = 28.0;

const TICK: Lettering = Lettering {
    size: 11.0,
    color: ink::TEXT,
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
    pub heaters: Vec<PlottedDevice>,
    /// Fans, then chillers, in the scenario's order.
    pub coolers: Vec<PlottedDevice>,
    /// Lower and upper end of the band, °C.
    pub band_c: [f64; 2],
    /// Danger lines upwards, mildest first.
    pub danger_hot: Vec<DangerLine>,
    /// Danger lines downwards, mildest first.
    pub danger_cold: Vec<DangerLine>,
    /// What a log says of the water, thinned like a course: drawn as points; empty: nothing was recorded.
    pub recorded: Vec<Option<Extremes>>,
    /// Names of the days, from that in which the course begins on; empty: they are numbered.
    pub day_names: Vec<String>,
    /// Cautions that belong to the run.
    pub cautions: Vec<Cautioned>,
}

/// A heater, fan or chiller as a plot names it.
#[derive(Debug, Clone, PartialEq)]
pub struct PlottedDevice {
    /// Name.
    pub name: String,
    /// Rated electrical power, W.
    pub power_w: f64,
}

impl PlotInfo {
    /// What a scenario says of itself, with a second line and cautions of the run.
    #[must_use]
    pub fn new(scenario: &Scenario, subtitle: impl Into<String>, cautions: Vec<Cautioned>) -> Self {
        let (low_c, high_c) = scenario.water.band_c;
        let device = |name: &String, power_w| PlottedDevice {
            name: name.clone(),
            power_w,
        };
        let heaters = scenario.heaters.iter();
        let fans = scenario.fans.iter().map(|fan| device(&fan.name, fan.power_w));
        let chillers = scenario.chillers.iter().map(|chiller| {
            let power_w = chiller.capacity_w / chiller.performance_frac;
            device(&chiller.name, power_w)
        });
        Self {
            title: scenario.title.clone(),
            subtitle: subtitle.into(),
            tanks: scenario.tanks.iter().map(|tank| tank.name.clone()).collect(),
            heaters: heaters
                .map(|heater| device(&heater.name, heater.power_w))
                .collect(),
            coolers: fans.chain(chillers).collect(),
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
            recorded: Vec::new(),
            day_names: Vec::new(),
            cautions,
        }
    }
}

/// The course as an SVG document.
///
/// # Errors
/// [`PlotError`] if there is nothing to show or the picture cannot be drawn.
pub fn time_series_svg(course: &Course, info: &PlotInfo) -> Result<String, PlotError> {
    picture::svg(&Sheet::new(course, info)?)
}

/// The course as a PNG picture, 1600 pixels wide.
///
/// # Errors
/// [`PlotError`] if there is nothing to show or the picture cannot be drawn or encoded.
pub fn time_series_png(course: &Course, info: &PlotInfo) -> Result<Vec<u8>, PlotError> {
    picture::png(&Sheet::new(course, info)?)
}

/// A course with everything said about it.
struct Sheet<'a> {
    layout: Layout,
    course: &'a Course,
    info: &'a PlotInfo,
}

impl<'a> Sheet<'a> {
    fn new(course: &'a Course, info: &'a PlotInfo) -> Result<Self, PlotError> {
        let layout = Layout::new(course, info)?;
        Ok(Self { layout, course, info })
    }
}

impl Picture for Sheet<'_> {
    fn size(&self) -> (u32, u32) {
        (WIDTH as u32, self.layout.height as u32)
    }

    fn draw<B: DrawingBackend>(&self, canvas: &Canvas<'_, B>) -> Result<(), PlotError> {
        self.layout.draw(canvas, self.course, self.info)
    }
}

/// Where everything stands; measured before anything is drawn.
struct Layout {
    height: f64,
    upper: Box2,
    /// Heater power, where there is a heater.
    heating: Option<Box2>,
    /// Power of fans and chillers, where there are any.
    cooling: Option<Box2>,
    time: Scale,
    spans: Vec<happenings::Span>,
    flags: Vec<flags::Flag>,
    cautions: Vec<String>,
}

impl Layout {
    fn new(course: &Course, info: &PlotInfo) -> Result<Self, PlotError> {
        if course.water_c.iter().flatten().flatten().next().is_none() {
            return Err(PlotError::NothingToShow);
        }
        picture::measured(|canvas| Self::measured(canvas, course, info))
    }

    fn measured<B: DrawingBackend>(
        canvas: &Canvas<'_, B>,
        course: &Course,
        info: &PlotInfo,
    ) -> Result<Self, PlotError> {
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
        let flags = flags::flags(canvas, &spans, frame)?;
        let rows = flags.iter().map(|flag| flag.row + 1).max().unwrap_or(0);
        let top = TITLE_HEIGHT + ROW * (rows.max(1)) as f64;
        let upper = Box2 {
            top,
            bottom: top + UPPER_HEIGHT,
            ..frame
        };
        let mut bottom = upper.bottom;
        let mut below = |height: f64| {
            let top = bottom + GAP;
            bottom = top + height;
            Box2 { top, bottom, ..frame }
        };
        let heating = (!info.heaters.is_empty()).then(|| below(LOWER_HEIGHT));
        let cooling = (!info.coolers.is_empty()).then(|| below(COOLER_HEIGHT));
        let cautions = around::caution_lines(canvas, &info.cautions)?;
        let height = bottom + AXIS_HEIGHT + around::CAUTION_LINE * cautions.len() as f64 + 8.0;
        Ok(Self {
            height: height.ceil(),
            upper,
            heating,
            cooling,
            time,
            spans,
            flags,
            cautions,
        })
    }

    /// Lower edge of the lowest panel.
    fn bottom(&self) -> f64 {
        self.cooling.or(self.heating).unwrap_or(self.upper).bottom
    }

    fn draw<B: DrawingBackend>(
        &self,
        canvas: &Canvas<'_, B>,
        course: &Course,
        info: &PlotInfo,
    ) -> Result<(), PlotError> {
        around::title(canvas, &info.title, &info.subtitle)?;
        temperatures::draw(canvas, self.upper, &self.time, course, info, &self.spans)?;
        flags::draw_flags(canvas, &self.flags, self.upper)?;
        let heaters = Powers {
            heading: "heater power",
            devices: &info.heaters,
            power_w: &course.heater_w,
            color: ink::heater,
        };
        let coolers = Powers {
            heading: "electricity for cooling",
            devices: &info.coolers,
            power_w: &course.cooler_w,
            color: ink::cooler,
        };
        let mut panels = vec![self.upper];
        for (panel, powers) in [(self.heating, heaters), (self.cooling, coolers)] {
            if let Some(panel) = panel {
                power::draw(canvas, panel, &self.time, course, powers, &self.spans)?;
                panels.push(panel);
            }
        }
        let lowest = self.bottom();
        let first_day = course.from_ms.div_euclid(DAY);
        for (at_ms, label) in time_ticks(course.from_ms, course.to_ms) {
            let x = self.time.at(at_ms as f64);
            let midnight = (at_ms.rem_euclid(DAY) == 0).then(|| at_ms / DAY - first_day);
            let name = midnight.and_then(|day| info.day_names.get(usize::try_from(day).ok()?));
            let label = name.cloned().unwrap_or(label);
            for panel in &panels {
                canvas.line(&[(x, panel.bottom), (x, panel.bottom + 4.0)], ink::TEXT, 0.75)?;
            }
            canvas.text(&label, (x, lowest + 14.0), Anchor::Middle, TICK)?;
        }
        around::cautions(canvas, &self.cautions, lowest + AXIS_HEIGHT)?;
        Ok(())
    }
}
