//! Settings by a formula, to stand beside those that are found.

use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::run::RunError;
use tepid_sim::scenario::{ProbePurpose, Role, Scenario};
use tepid_sim::scores::DAYS_PER_YEAR_D;
use tepid_sim::time::{DAY, seconds};
use tepid_strategies::Entry;

use super::space::{Axis, Point, default_point};
use crate::budget::{budget, systems_alone};

/// Years that a relay should last. A choice, no source.
const LASTS_YEARS: f64 = 10.0;

/// Closings of a relay where none are stated. Common practice, no source.
const USUAL_CLOSINGS: f64 = 100_000.0;

/// Seconds in a day, s.
const DAY_S: f64 = (DAY / 1000) as f64;

/// A setting by a formula.
pub(super) struct Start {
    pub rule: &'static str,
    pub source: &'static str,
    pub reckoned: String,
    pub point: Point,
}

/// What the formulas need of a tank.
struct Tank {
    /// Heat into the water with every heater on, W.
    power_w: f64,
    heat_capacity_j_per_k: f64,
    slope_w_per_k: f64,
    /// Share of the time that heaters must be on.
    duty_frac: f64,
}

/// The formulas that apply.
pub(super) fn starts(scenario: &Scenario, entry: &Entry, axes: &[Axis]) -> Result<Vec<Start>, RunError> {
    // Of several systems no single capacity and power is that of one loop.
    if !systems_alone(scenario)?.is_empty() {
        return Ok(Vec::new());
    }
    let budget = budget(scenario)?;
    let tank = Tank {
        power_w: budget.heaters_to_water_w,
        heat_capacity_j_per_k: budget.heat_capacity_j_per_k,
        slope_w_per_k: budget.slope_w_per_k,
        duty_frac: budget.heat_needed_w / budget.heaters_to_water_w,
    };
    if !(tank.duty_frac > 0.0 && tank.duty_frac < 1.0) {
        return Ok(Vec::new());
    }
    let axis = |name: &str| axes.iter().position(|axis| axis.param.name == name);
    let mut starts = Vec::new();
    if let Some(deadband) = axis("deadband") {
        starts.push(relay(scenario, axes, deadband, &tank));
    }
    if let (Some(band), Some(integral)) = (axis("band"), axis("integral_time")) {
        starts.push(simc(scenario, entry, axes, (band, integral), &tank));
    }
    Ok(starts)
}

/// The deadband at which the limit cycle of a relay closes it as often as its life allows: starts a day = 86 400 P d (1 − d) / (C w).
fn relay(scenario: &Scenario, axes: &[Axis], deadband: usize, tank: &Tank) -> Start {
    let lives = scenario
        .contacts
        .iter()
        .filter(|contact| contact.role == Some(Role::Heat))
        .filter_map(|contact| contact.life_closings);
    let life = lives.reduce(f64::min);
    let closings_per_day = life.unwrap_or(USUAL_CLOSINGS) / (LASTS_YEARS * DAYS_PER_YEAR_D);
    let swing_w = tank.power_w * tank.duty_frac * (1.0 - tank.duty_frac);
    let width_k = DAY_S * swing_w / (tank.heat_capacity_j_per_k * closings_per_day);
    let mut point = default_point(axes);
    point[deadband] = axes[deadband].nearest(width_k);
    let stated = if life.is_some() {
        "rated"
    } else {
        "common practice, no source"
    };
    Start {
        rule: "limit cycle of a relay",
        source: "first-order tank, no lag: starts a day = 86 400 P d (1 − d) / (C × width); textbook matter, from memory",
        reckoned: format!(
            "{:.0} closings ({stated}) last {LASTS_YEARS:.0} years at {closings_per_day:.1} a day; with {:.0} W on for {:.0} % of the time that takes {:.2} K",
            life.unwrap_or(USUAL_CLOSINGS),
            tank.power_w,
            100.0 * tank.duty_frac,
            width_k
        ),
        point,
    }
}

/// The PI rule for a first-order plant with dead time, as tight as it allows: K = τ / (k (τ_c + θ)), Ti = min(τ, 4 (τ_c + θ)), τ_c = θ.
fn simc(
    scenario: &Scenario,
    entry: &Entry,
    axes: &[Axis],
    (band, integral): (usize, usize),
    tank: &Tank,
) -> Start {
    let probe = scenario
        .probes
        .iter()
        .find(|probe| probe.purpose == ProbePurpose::Control);
    let lag_s = probe.map_or(0.0, |probe| seconds(probe.lag_ms));
    let time_of = |name: &str| entry.defaults().get_time_ms(name).map_or(0.0, seconds);
    // A command holds for its cycle and a reading for its interval: half of each is dead time in the mean.
    let dead_s = lag_s + 0.5 * (time_of("cycle") + time_of("interval"));
    let time_constant_s = tank.heat_capacity_j_per_k / tank.slope_w_per_k;
    let gain_k = tank.power_w / tank.slope_w_per_k;
    let band_k = gain_k * 2.0 * dead_s / time_constant_s;
    let integral_s = time_constant_s.min(8.0 * dead_s);
    let mut point = default_point(axes);
    point[band] = axes[band].nearest(band_k);
    point[integral] = axes[integral].nearest(1000.0 * integral_s);
    Start {
        rule: "SIMC rule for PI",
        source: "Skogestad 2003, J. Process Control 13, 291–309 (from memory), tightest recommended: closed loop as fast as the dead time",
        reckoned: format!(
            "gain {gain_k:.1} K for full duty, time constant {}, dead time {} (probe, half a cycle, half an interval): band {band_k:.2} K, integral time {}",
            time_text(time_constant_s),
            time_text(dead_s),
            time_text(integral_s)
        ),
        point,
    }
}

fn time_text(length_s: f64) -> String {
    print(Kind::Time, (length_s / 60.0).round() * 60.0, System::Metric)
}
