//! What electricity costs, and what would save some.

use crate::bad_input::tepid;
use crate::support::{run_with, scenario};
use tepid::size::{running, savings};
use tepid_output::records::RoomKind;
use tepid_sim::scenario::Scenario;

const NIGHTS: &str = "{ from = \"22:00\", to = \"06:00\", electricity = \"0.10 per kWh\" }";

fn nano(settings: &[(&str, &str)]) -> Scenario {
    let priced = ("cost.electricity", "\"0.30 per kWh\"");
    scenario("lidded-nano", &[&[priced], settings].concat())
}

/// A heater that never rests draws alike at all hours: eight of twenty-four are cheap.
#[test]
fn every_hour_is_paid_at_its_own_price() {
    let stuck: &[(&str, &str)] = &[
        ("duration", "2 d"),
        ("heater.heater.power", "1 W"),
        ("light.lamp.power", "0 W"),
    ];
    let flat = run_with(&nano(stuck), "on-off", &[]);
    let by_hours = run_with(&nano(&[stuck, &[("cost.hours", NIGHTS)]].concat()), "on-off", &[]);
    assert_eq!(flat.energy_kwh, by_hours.energy_kwh);
    let mean = (16.0 * 0.30 + 8.0 * 0.10) / 24.0;
    let (flat, by_hours) = (flat.cost.expect("a price"), by_hours.cost.expect("a price"));
    assert!(
        (flat / 0.30 * mean / by_hours - 1.0).abs() < 1e-9,
        "{flat} {by_hours}"
    );
}

/// A lamp that burns by day pays nothing of the night's price.
#[test]
fn who_draws_by_day_gains_nothing_from_cheap_nights() {
    let by_day: &[(&str, &str)] = &[
        ("heater.heater.power", "1 W"),
        ("light.lamp.on", "10:00"),
        ("light.lamp.off", "20:00"),
        ("light.lamp.power", "100 W"),
        ("light.lamp.share_to_water", "0 %"),
    ];
    let cheap = run_with(
        &nano(&[by_day, &[("cost.hours", NIGHTS)]].concat()),
        "on-off",
        &[],
    );
    let dark = run_with(
        &nano(&[by_day, &[("cost.hours", NIGHTS), ("light.lamp.power", "0 W")]].concat()),
        "on-off",
        &[],
    );
    let lamp_kwh = cheap.energy_kwh - dark.energy_kwh;
    let lamp_cost = cheap.cost.expect("a price") - dark.cost.expect("a price");
    assert!(
        (lamp_cost / lamp_kwh - 0.30).abs() < 1e-6,
        "{lamp_cost} {lamp_kwh}"
    );
}

#[test]
fn a_cost_is_told_with_its_prices_and_their_currency() {
    let asked = |command: &[&str]| {
        let set = [
            "cost.electricity=0.30 per kWh",
            "cost.currency=EUR",
            &format!("cost.hours={NIGHTS}"),
        ]
        .map(|set| format!("--set={set}"));
        let arguments: Vec<&str> = command
            .iter()
            .copied()
            .chain(set.iter().map(String::as_str))
            .collect();
        let (code, said, error) = tepid(&[], &arguments);
        assert_eq!(code, 0, "{error}");
        said.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let prices = "0.30 EUR per kWh, 0.10 EUR per kWh from 22:00 to 06:00";
    let run = asked(&["run", "lidded-nano", "--strategy", "on-off"]);
    assert!(run.contains(&format!("EUR, at {prices}")), "{run}");
    let size = asked(&["size", "lidded-nano"]);
    assert!(
        size.contains(&format!("Cost: at {prices}; 0.2333 EUR per kWh in the mean")),
        "{size}"
    );
    assert!(
        size.contains("heating ahead in the cheap hours, once a day, saves at most"),
        "{size}"
    );
}

#[test]
fn hours_that_are_none_are_told_at_their_place() {
    let hours = "{ from = \"22:00\", to = \"22:00\", electricity = \"0.1 per kWh\" }";
    let (code, _, error) = tepid(
        &[],
        &[
            "size",
            "lidded-nano",
            "--set",
            "cost.electricity=0.30 per kWh",
            "--set",
            &format!("cost.hours={hours}"),
        ],
    );
    assert_eq!(code, 2, "{error}");
    assert!(
        error.contains("these hours begin and end at the same time"),
        "{error}"
    );
}

#[test]
fn a_lower_target_saves_its_share_of_the_lift_and_no_more_than_the_band_can_be_heated_ahead() {
    let tank = nano(&[("cost.hours", NIGHTS), ("room.temperature", "20 °C")]);
    let found = savings(&tank).expect("budgets").expect("heated");
    let held = running(&tank, RoomKind::Scenario).expect("a budget");
    assert_eq!(found.rows[0].kwh_per_30_days, 30.0 * held.kwh_per_day);
    let saved = 1.0 - found.rows[1].kwh_per_30_days / found.rows[0].kwh_per_30_days;
    assert!((0.2..0.35).contains(&saved), "{saved}");
    // 40 L by 1 K is some 0.046 kWh; heated ahead once a day at 0.20 less.
    let ahead = found.cheap_hours_per_30_days.expect("two prices");
    assert!(
        (ahead / (30.0 * found.band_stores_kwh * 0.20) - 1.0).abs() < 1e-9,
        "{found:?}"
    );
    assert!((0.04..0.06).contains(&found.band_stores_kwh), "{found:?}");
}
