//! The fitted scenario as a file: a variant of the one that was fitted, with intervals as comments.

use tepid_output::records::{Fit, FitParameter, FitParameterKind as Kind};
use tepid_scenarios::Setting;
use tepid_sim::scenario::Scenario;

/// What the file is a variant of.
#[derive(Debug, Clone, Copy)]
pub struct WrittenFrom<'a> {
    /// Name in the library, or path from the folder that the file goes to.
    pub base: &'a str,
    /// Changes by path that the fit started with.
    pub settings: &'a [Setting],
    /// The scenario as it was fitted.
    pub scenario: &'a Scenario,
}

/// The file's text.
#[must_use]
pub fn written(fit: &Fit, from: &WrittenFrom<'_>) -> String {
    let scenario = from.scenario;
    let mut text = format!(
        "# {}, fitted to {}: {} readings over {:.1} h, {:.2} K around the model.\n\
         # A comment behind a value says in which interval it lies with 95 %, or why it is what it was.\n",
        one_line(&scenario.title),
        one_line(&fit.log),
        fit.readings,
        fit.span_h,
        fit.residuals.deviation_k
    );
    for warning in fit.reservations.iter().chain(&fit.warnings) {
        text += &format!("# {}\n", one_line(warning));
    }
    text += &format!(
        "\nbase  = {}\ntitle = {}\n\n[set]\n",
        quoted(from.base),
        quoted(&format!("{}, fitted", scenario.title))
    );
    for setting in from.settings {
        if let Some((path, value)) = setting.text.split_once('=') {
            text += &format!("{} = {}\n", quoted(path), quoted(value));
        }
    }
    for parameter in &fit.parameters {
        for line in lines(parameter, fit, scenario) {
            text += &format!(
                "{} = {}  # {}\n",
                quoted(&line.path),
                quoted(&line.value),
                line.comment
            );
        }
    }
    text
}

/// A value of the file.
struct Line {
    path: String,
    value: String,
    /// In which interval it lies, in the value's own unit, or why it is what it was.
    comment: String,
}

/// The lines of a parameter; none where it stays as the base has it.
fn lines(parameter: &FitParameter, fit: &Fit, scenario: &Scenario) -> Vec<Line> {
    let line = |path: String, shown: &dyn Fn(f64) -> String| Line {
        path,
        value: shown(parameter.value),
        comment: comment(parameter, shown),
    };
    let percent = |path: &str| vec![line(path.to_owned(), &|value| format!("{:.2} %", 100.0 * value))];
    // The parameter is a share of this.
    let watts = |path: String, whole_w: f64| line(path, &|value| format!("{:.1} W", whole_w * value));
    let found = parameter.interval.is_some();
    match parameter.what {
        Kind::LossesFrac => percent("fitted.losses"),
        Kind::CapacityFrac if found => percent("fitted.capacity"),
        Kind::RoomOffsetK if found => {
            vec![line("fitted.room_offset".to_owned(), &|value| {
                format!("{value:.3} K")
            })]
        }
        Kind::HeaterPowerFrac => {
            let share = fit.tank_found.heaters_w / fit.tank_found.stated_heaters_w.max(f64::MIN_POSITIVE);
            let changed = scenario.heaters.iter().filter(|_| (share - 1.0).abs() > 1e-9);
            changed
                .map(|heater| {
                    let whole_w = heater.power_w * share / parameter.value;
                    watts(format!("heater.{}.power", heater.name), whole_w)
                })
                .collect()
        }
        Kind::PumpHeatFrac if found => scenario
            .pumps
            .iter()
            .map(|pump| watts(format!("pump.{}.power", pump.name), pump.power_w))
            .collect(),
        Kind::ProbeLagS if found => scenario
            .probes
            .iter()
            .find(|probe| probe.tank.is_some())
            .map(|probe| {
                line(format!("probe.{}.lag", probe.name), &|value| {
                    format!("{value:.0} s")
                })
            })
            .into_iter()
            .collect(),
        _ => Vec::new(),
    }
}

fn comment(parameter: &FitParameter, shown: &dyn Fn(f64) -> String) -> String {
    match (parameter.interval, &parameter.held) {
        (Some([low, high]), _) => format!("{} to {}", shown(low), shown(high)),
        (None, Some(why)) => one_line(why),
        (None, None) => "held".to_owned(),
    }
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A TOML text.
fn quoted(text: &str) -> String {
    format!(
        "\"{}\"",
        one_line(text).replace('\\', "\\\\").replace('"', "\\\"")
    )
}
