//! Log and model in one picture.

use tepid_output::plot::{Course, PlotInfo, in_columns};
use tepid_output::records::Fit;
use tepid_output::wording::Units;
use tepid_sim::time::Millis;

use super::{Beside, FitRequest};
use crate::recorded::day_names;

/// Columns that a course is kept at.
const COLUMNS: usize = 700;

/// The picture of a fit: readings as points, the model as a line; no room and no danger lines, so that tenths of a kelvin can be seen.
#[must_use]
pub fn pictured(request: &FitRequest<'_>, fit: &Fit, beside: &[Beside]) -> (Course, PlotInfo) {
    let (log, scenario) = (request.log, request.scenario);
    let ends = log.rows.first().zip(log.rows.last());
    let (from_ms, to_ms) = ends.map_or((0, 1), |(first, last)| (first.at_ms, last.at_ms));
    let thinned =
        |values: &mut dyn Iterator<Item = (Millis, f64)>| in_columns(from_ms, to_ms, COLUMNS, values);
    let water_c = thinned(&mut beside.iter().map(|one| (one.at_ms, one.model_c)));
    let course = Course {
        from_ms,
        to_ms,
        water_c: vec![water_c],
        room_c: Vec::new(),
        heater_w: Vec::new(),
        cooler_w: Vec::new(),
        marks: Vec::new(),
        marks_dropped: 0,
    };
    let subtitle = format!(
        "{}: the model as a line, {} around it",
        log.name,
        Units::Metric.difference(fit.residuals.deviation_k)
    );
    let info = PlotInfo {
        tanks: vec![format!("{}, model", fit.tank)],
        heaters: Vec::new(),
        coolers: Vec::new(),
        danger_hot: Vec::new(),
        danger_cold: Vec::new(),
        recorded: thinned(
            &mut log
                .rows
                .iter()
                .filter_map(|row| row.water_c.map(|temp_c| (row.at_ms, temp_c))),
        ),
        day_names: day_names(log.start_date, from_ms, to_ms),
        ..PlotInfo::new(scenario, subtitle, fit.cautions.clone())
    };
    (course, info)
}
