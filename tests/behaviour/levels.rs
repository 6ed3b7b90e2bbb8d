//! Water and salt that come and go, and what a falling level does.

use crate::support::{run_with, scenario, strategy, worst};
use tepid_sim::ids::TankId;
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{
    AutomaticChange, Effect, Happening, Lasts, Origin, Scenario, TopOffTemperature, When,
};
use tepid_sim::time::{DAY, HOUR, Millis};
use tepid_sim::trace::{Mark, TraceRow, TraceSink};

fn reef() -> Scenario {
    let mut scenario = scenario("spare-room-winter", &[]);
    scenario.happenings.clear();
    scenario
        .heaters
        .iter_mut()
        .for_each(|heater| heater.exposed_below_m = 0.0);
    scenario
        .pumps
        .iter_mut()
        .for_each(|pump| pump.starves_below_m = 0.0);
    scenario
}

fn fault(name: &str, at_ms: Millis, lasts: Lasts, effect: Effect) -> Happening {
    Happening {
        name: name.to_owned(),
        when: When::At(at_ms),
        lasts,
        effect,
        origin: Origin::Fault,
    }
}

#[test]
fn with_top_off_salinity_stays_and_without_it_rises() {
    let scenario = reef();
    let kept = run_with(&scenario, "on-off", &[]);
    assert_eq!(kept.salinity.lowest_g_per_kg, kept.salinity.highest_g_per_kg);
    let stopped = fault("nobody tops off", 0, Lasts::ToTheEnd, Effect::TopOffStopped);
    let risen = run_with(&scenario, "on-off", &[stopped]);
    // The salt stays while the water goes: S₁ = S₀ m₀/(m₀ − evaporated), within what the shrinking sump changes in evaporation.
    let water_kg: f64 = scenario
        .tanks
        .iter()
        .map(|tank| tank.water_volume_m3() * 1023.0)
        .sum();
    let expected = 35.0 * water_kg / (water_kg - risen.evaporated_kg);
    assert!(
        (risen.salinity.highest_g_per_kg / expected - 1.0).abs() < 0.002,
        "{}",
        risen.salinity.highest_g_per_kg
    );
    assert!(
        risen.heat_balance.error_frac < 1e-9,
        "{:e}",
        risen.heat_balance.error_frac
    );
}

#[test]
fn a_stuck_top_off_dilutes_the_water() {
    let stuck = fault(
        "stuck",
        0,
        Lasts::ToTheEnd,
        Effect::TopOffStuckOn {
            rate_kg_per_s: 5.0 / 86_400.0,
        },
    );
    let scores = run_with(&reef(), "on-off", &[stuck]);
    assert!(scores.salinity.lowest_g_per_kg < 34.5 && scores.salinity.lowest_g_per_kg > 20.0);
    assert!(
        scores.heat_balance.error_frac < 1e-9,
        "{:e}",
        scores.heat_balance.error_frac
    );
}

/// What comes in faster than it evaporates fills up to the brim, and every litre after that runs over.
#[test]
fn what_a_stuck_top_off_brings_beyond_the_brim_runs_over_and_is_told_in_litres() {
    let of = |litres_per_day: f64| {
        let stuck = fault(
            "stuck",
            0,
            Lasts::ToTheEnd,
            Effect::TopOffStuckOn {
                rate_kg_per_s: litres_per_day / 86_400.0,
            },
        );
        let scores = run_with(&reef(), "on-off", &[stuck]);
        scores.levels.iter().map(|level| level.run_over_m3).sum::<f64>()
    };
    assert_eq!(of(0.0), 0.0);
    // Both run over by far, so that the brims are full in both and the day's water differs by what is brought.
    let (much_m3, more_m3) = (of(200.0), of(210.0));
    let days = tepid_sim::time::days(reef().duration_ms);
    assert!(much_m3 > 0.3, "{much_m3} m³");
    let brought_m3 = 0.010 * days;
    // The fuller tank is full a little sooner; water of 1 kg/L within 3 %.
    assert!(
        ((more_m3 - much_m3) / brought_m3 - 1.0).abs() < 0.05,
        "{} m³ of {brought_m3} m³",
        more_m3 - much_m3
    );
}

#[test]
fn a_leak_starves_the_return_pump_and_the_display_cools_alone() {
    let mut scenario = reef();
    scenario
        .pumps
        .iter_mut()
        .for_each(|pump| pump.starves_below_m = 0.08);
    let leak = fault(
        "leak",
        12 * HOUR,
        Lasts::ToTheEnd,
        Effect::Leak {
            tank: TankId(1),
            rate_kg_per_s: 20.0 / 3600.0,
            height_m: 0.02,
        },
    );
    let dry = run_with(&scenario, "on-off", &[leak]);
    let sound = run_with(&scenario, "on-off", &[]);
    assert!(
        worst(&dry).lowest_c < worst(&sound).lowest_c - 1.0,
        "{}",
        worst(&dry).lowest_c
    );
}

#[test]
fn a_heater_left_dry_gets_hot_enough_to_crack_its_glass() {
    let mut scenario = reef();
    scenario
        .heaters
        .iter_mut()
        .for_each(|heater| heater.exposed_below_m = 0.15);
    let leak = fault(
        "leak",
        12 * HOUR,
        Lasts::ToTheEnd,
        Effect::Leak {
            tank: TankId(1),
            rate_kg_per_s: 40.0 / 3600.0,
            height_m: 0.02,
        },
    );
    let weld = fault(
        "weld",
        12 * HOUR,
        Lasts::ToTheEnd,
        Effect::ContactWelded(tepid_sim::ids::ContactId(1)),
    );
    let mut without_dial = scenario.clone();
    without_dial.heaters[0].chain.truncate(2);
    let scores = run_with(&without_dial, "on-off", &[leak, weld]);
    // A dry 200 W tube of the usual size ends near 310 to 340 °C in still air: natural convection and radiation of 0.018 m².
    let hottest = scores.heaters[0].hottest_body_c;
    assert!((250.0..420.0).contains(&hottest), "{hottest}");
    assert!(
        scores.heat_balance.error_frac < 1e-9,
        "{:e}",
        scores.heat_balance.error_frac
    );
}

/// Follows the display's water, °C, instant by instant.
#[derive(Default)]
struct Display(Vec<f64>);

impl TraceSink for Display {
    fn row(&mut self, row: &TraceRow<'_>) {
        self.0.push(row.water_c[0]);
    }

    fn mark(&mut self, _mark: &Mark<'_>) {}
}

/// How far a change of 10 % of the display by water 11 K colder takes its temperature below that after a change by water as warm, K, without
/// heaters, which would see the one and not the other.
fn drop_by_change(begins_ms: i64, lasts_ms: i64) -> f64 {
    let mut scenario = reef();
    scenario.duration_ms = DAY;
    let recipe = strategy("on-off");
    let course = |temp_c: f64| {
        let unheated = fault("unplugged", 0, Lasts::ToTheEnd, Effect::HeatersUnplugged);
        let change = fault(
            "water change",
            begins_ms,
            Lasts::For(lasts_ms),
            Effect::WaterChange {
                tank: TankId(0),
                share_frac: 0.1,
                temp_c,
                salinity_g_per_kg: 35.0,
            },
        );
        let faults = [unheated, change];
        let request = RunRequest {
            faults: &faults,
            ..RunRequest::new(&scenario, recipe.as_ref(), 7)
        };
        let mut display = Display::default();
        let scores = run(&request, Some(&mut display)).expect("runs");
        assert!(
            scores.heat_balance.error_frac < 1e-9,
            "{:e}",
            scores.heat_balance.error_frac
        );
        display.0
    };
    let (cold, same) = (course(14.5), course(25.5));
    let apart_k = same.iter().zip(&cold).map(|(same, cold)| same - cold);
    apart_k.fold(0.0, f64::max)
}

#[test]
fn a_water_change_mixes_temperatures_by_shares() {
    // 10 % of the display's water 11 K colder is 1.1 K less there, and less for what flow, rock, sump and glass give back meanwhile.
    let drop = drop_by_change(6 * HOUR, 20 * 60_000);
    assert!((0.5..1.1).contains(&drop), "{drop}");
}

#[test]
fn a_short_water_change_cools_alike_whether_its_minutes_are_odd_or_its_start_is_off_the_minute() {
    // Within a few minutes flow, rock and glass give back little, and the longer the change the more: never less than by the change of 2 min
    // a tenth of it.
    let two_minutes = drop_by_change(6 * HOUR, 2 * 60_000);
    assert!((0.9..1.1).contains(&two_minutes), "{two_minutes}");
    for (begins_ms, lasts_ms) in [
        (6 * HOUR, 60_000),
        (6 * HOUR, 3 * 60_000),
        (6 * HOUR, 5 * 60_000),
        (6 * HOUR + 3 * 60_000, 60_000),
        (6 * HOUR + 20_000, 60_000),
        (6 * HOUR + 20_000, 3 * 60_000),
    ] {
        let drop = drop_by_change(begins_ms, lasts_ms);
        assert!(
            (drop / two_minutes - 1.0).abs() < 0.1,
            "{begins_ms} {lasts_ms}: {drop} beside {two_minutes}"
        );
    }
}

#[test]
fn an_automatic_change_with_colder_water_costs_electricity() {
    let mut scenario = reef();
    let without = run_with(&scenario, "on-off", &[]);
    scenario.automatic_change = Some(AutomaticChange {
        tank: TankId(1),
        rate_m3_per_s: 0.02 / 86_400.0,
        temperature: TopOffTemperature::Fixed { temp_c: 10.5 },
        salinity_g_per_kg: 35.0,
    });
    let with = run_with(&scenario, "on-off", &[]);
    // 20 L a day, 15 K colder, over a week: 140 kg × 4.0 kJ/(kg K) × 15 K = 8.4 MJ = 2.3 kWh.
    let extra_kwh = with.energy_kwh - without.energy_kwh;
    assert!((extra_kwh / 2.33 - 1.0).abs() < 0.1, "{extra_kwh}");
    assert!(
        with.heat_balance.error_frac < 1e-9,
        "{:e}",
        with.heat_balance.error_frac
    );
}
