//! Circuits and backups in plain lines, their loads added up.

use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::scenario::{Backup, Circuit, Load, Scenario, Store};
use tepid_sim::time::seconds;

use super::power;

/// Share of a breaker's rating above which it should not be loaded for hours. Common practice, no source.
const LASTING_FRAC: f64 = 0.8;

/// One line for each circuit and backup, and one for what is on none.
pub(super) fn lines(scenario: &Scenario) -> Vec<String> {
    let mut lines: Vec<String> = scenario
        .circuits
        .iter()
        .map(|one| circuit(scenario, one))
        .collect();
    if !scenario.circuits.is_empty() {
        let free: Vec<String> = scenario
            .loads()
            .filter(|load| *load != Load::TopOff)
            .filter(|load| {
                !scenario
                    .circuits
                    .iter()
                    .any(|circuit| circuit.feeds.contains(load))
            })
            .map(|load| scenario.load_name(load))
            .collect();
        if !free.is_empty() {
            lines.push(format!(
                "on no circuit, so that nothing trips it: {}",
                free.join(", ")
            ));
        }
    }
    lines.extend(scenario.backups.iter().map(|one| backup(scenario, one)));
    lines
}

fn circuit(scenario: &Scenario, circuit: &Circuit) -> String {
    let sum = |wanted: &dyn Fn(Load) -> bool| -> f64 {
        let loads = circuit.feeds.iter().filter(|load| wanted(**load));
        loads.map(|load| scenario.rated_w(*load)).sum()
    };
    let (steady_w, all_w) = (sum(&Scenario::runs_by_itself), sum(&|_| true));
    let all_a = all_w / circuit.voltage_v;
    let amps = |amps: f64| print(Kind::Current, amps, System::Metric);
    let names: Vec<String> = circuit
        .feeds
        .iter()
        .map(|load| scenario.load_name(*load))
        .collect();
    let breaker = match circuit.breaker_a {
        None => "no breaker stated".to_owned(),
        Some(rated_a) if all_a > tepid_sim::run::TRIPS_FROM * rated_a => format!(
            "MORE than its breaker of {} carries: it trips when all is on for some minutes",
            amps(rated_a)
        ),
        Some(rated_a) if all_a > rated_a => format!("ABOVE the rating of its breaker, {}", amps(rated_a)),
        Some(rated_a) if all_a > LASTING_FRAC * rated_a => format!(
            "above {:.0} % of its breaker's {}: too much to last",
            LASTING_FRAC * 100.0,
            amps(rated_a)
        ),
        Some(rated_a) => format!("its breaker is for {}", amps(rated_a)),
    };
    let guard = if circuit.residual_current {
        "residual-current protection"
    } else {
        "NO residual-current protection stated"
    };
    format!(
        "circuit {}: {}; steady {}, all on {}, {} (after an outage too: a cold tank asks for every heater); {breaker}; {guard}",
        circuit.name,
        names.join(", "),
        power(steady_w),
        power(all_w),
        amps(all_a),
    )
}

fn backup(scenario: &Scenario, backup: &Backup) -> String {
    let store = match backup.store {
        Store::Battery { usable_j } => format!("battery, {}", print(Kind::Energy, usable_j, System::Metric)),
        Store::Generator {
            fuel_ms,
            starts_after_ms,
        } => {
            let fuel = print(Kind::Time, seconds(fuel_ms), System::Metric);
            match starts_after_ms {
                Some(after_ms) => {
                    let after = print(Kind::Time, seconds(after_ms), System::Metric);
                    format!("generator, fuel for {fuel}, runs {after} after the mains went")
                }
                None => format!("generator, fuel for {fuel}, once somebody starts it"),
            }
        }
    };
    let mut left_w = backup.limit_w;
    let fed: Vec<String> = backup
        .feeds
        .iter()
        .map(|load| {
            let fits = scenario.rated_w(*load) <= left_w;
            if fits {
                left_w -= scenario.rated_w(*load);
                scenario.load_name(*load)
            } else {
                format!("not {}, too much for it", scenario.load_name(*load))
            }
        })
        .collect();
    format!(
        "backup {}: {store}, at most {}: {}",
        backup.name,
        power(backup.limit_w),
        fed.join(", ")
    )
}
