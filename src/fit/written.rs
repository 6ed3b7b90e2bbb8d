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
    for warning in &fit.warnings {
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
        let comment = comment(parameter);
        for (path, value) in lines(parameter, fit, scenario) {
            text += &format!("{} = {}  # {comment}\n", quoted(&path), quoted(&value));
        }
    }
    text
}

/// Paths and values of a parameter; none where it stays as the base has it.
fn lines(parameter: &FitParameter, fit: &Fit, scenario: &Scenario) -> Vec<(String, String)> {
    let percent = |path: &str| vec![(path.to_owned(), format!("{:.2} %", 100.0 * parameter.value))];
    let found = parameter.interval.is_some();
    match parameter.what {
        Kind::LossesFrac => percent("fitted.losses"),
        Kind::CapacityFrac if found => percent("fitted.capacity"),
        Kind::RoomOffsetK if found => {
            vec![(
                "fitted.room_offset".to_owned(),
                format!("{:.3} K", parameter.value),
            )]
        }
        Kind::HeaterPowerFrac => {
            let share = fit.tank_found.heaters_w / fit.tank_found.stated_heaters_w.max(f64::MIN_POSITIVE);
            let changed = scenario.heaters.iter().filter(|_| (share - 1.0).abs() > 1e-9);
            changed
                .map(|heater| {
                    (
                        format!("heater.{}.power", heater.name),
                        format!("{:.1} W", heater.power_w * share),
                    )
                })
                .collect()
        }
        Kind::PumpHeatFrac if found => scenario
            .pumps
            .iter()
            .map(|pump| {
                (
                    format!("pump.{}.power", pump.name),
                    format!("{:.1} W", pump.power_w * parameter.value),
                )
            })
            .collect(),
        Kind::ProbeLagS if found => scenario
            .probes
            .iter()
            .find(|probe| probe.tank.is_some())
            .map(|probe| {
                (
                    format!("probe.{}.lag", probe.name),
                    format!("{:.0} s", parameter.value),
                )
            })
            .into_iter()
            .collect(),
        _ => Vec::new(),
    }
}

fn comment(parameter: &FitParameter) -> String {
    let shown = |value: f64| match parameter.what {
        Kind::RoomOffsetK => format!("{value:.2} K"),
        Kind::ProbeLagS => format!("{value:.0} s"),
        _ => format!("{:.1} %", 100.0 * value),
    };
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
