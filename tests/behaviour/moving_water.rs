//! Water that goes and comes, over sweeps: every run is finite, closes its heat balance, keeps its salt, and goes the right way.

use crate::support::{run_with, scenario, worst};
use tepid::compare::{CompareRequest, Silent, compare};
use tepid_sim::ids::TankId;
use tepid_sim::run::{RunError, RunRequest, run};
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, Scenario, TopOff, When};
use tepid_sim::scores::Scores;
use tepid_sim::time::{DAY, HOUR, Millis};

/// What the model page asks of the heat balance, of the heat turned over.
const CLOSES_TO: f64 = 1e-9;

const DISPLAY: TankId = TankId(0);
const SUMP: TankId = TankId(1);

/// A display and a sump for two days, with nothing that happens but what a test adds.
fn reef(top_off: bool) -> Scenario {
    let mut scenario = scenario("spare-room-winter", &[]);
    scenario.happenings.clear();
    scenario.duration_ms = 2 * DAY;
    scenario.water.salinity_range_g_per_kg = Some((33.0, 36.0));
    if !top_off {
        scenario.top_off = None;
    }
    scenario
}

fn fault(at_ms: Millis, lasts: Lasts, effect: Effect) -> Happening {
    Happening {
        name: "moves water".to_owned(),
        when: When::At(at_ms),
        lasts,
        effect,
        origin: Origin::Fault,
    }
}

fn leak(tank: TankId, l_per_h: f64, height_m: f64) -> Happening {
    let effect = Effect::Leak {
        tank,
        rate_kg_per_s: l_per_h * 1.023 / 3600.0,
        height_m,
    };
    fault(0, Lasts::ToTheEnd, effect)
}

fn change(tank: TankId, share_frac: f64, at_ms: Millis) -> Happening {
    let effect = Effect::WaterChange {
        tank,
        share_frac,
        temp_c: 24.0,
        salinity_g_per_kg: 35.0,
    };
    fault(at_ms, Lasts::For(HOUR / 2), effect)
}

/// Runs it, and holds it to what every run owes.
#[track_caller]
fn sound(scenario: &Scenario, faults: &[Happening]) -> Scores {
    let scores = run_with(scenario, "on-off", faults);
    let error = scores.heat_balance.error_frac;
    assert!(error < CLOSES_TO, "{error:e}");
    let tank = worst(&scores);
    for value in [
        tank.mean_c,
        tank.lowest_c,
        tank.highest_c,
        tank.end_c,
        scores.energy_kwh,
        scores.evaporated_kg,
        scores.salinity.lowest_g_per_kg,
        scores.salinity.highest_g_per_kg,
    ] {
        assert!(value.is_finite(), "{scores:?}");
    }
    for level in &scores.levels {
        assert!(
            0.0 < level.lowest_m && level.lowest_m <= level.highest_m,
            "{level:?}"
        );
    }
    scores
}

#[test]
fn leaks_of_every_rate_and_height_are_sound_and_the_faster_and_lower_take_more_water() {
    for top_off in [true, false] {
        let scenario = reef(top_off);
        let full_m: f64 = scenario.tanks.iter().map(|tank| tank.water_height_m).sum();
        for tank in [DISPLAY, SUMP] {
            for height_frac in [0.0, 0.02, 0.1, 0.5, 0.9] {
                let height_m = height_frac * scenario.tanks[tank.0].water_height_m;
                let mut before_m = f64::INFINITY;
                for l_per_h in [0.1, 1.0, 5.0, 20.0, 100.0, 1000.0] {
                    let scores = sound(&scenario, &[leak(tank, l_per_h, height_m)]);
                    let left_m: f64 = scores.levels.iter().map(|level| level.lowest_m).sum();
                    // A millimetre and a half: a faster leak stops the pump sooner, and the display keeps a little more.
                    assert!(
                        left_m <= before_m + 0.0015,
                        "{tank:?} {height_m} m {l_per_h} L/h: {left_m} m"
                    );
                    assert!(
                        top_off || left_m < full_m,
                        "{tank:?} {height_m} m {l_per_h} L/h: {left_m} m"
                    );
                    before_m = left_m;
                }
            }
        }
    }
}

#[test]
fn the_lowest_temperature_moves_smoothly_with_the_height_of_a_hole() {
    // The sump holds the heater. Without marks at which pumps starve and heaters hang dry, less water only loses a little more: no step.
    let mut scenario = reef(false);
    scenario
        .pumps
        .iter_mut()
        .for_each(|pump| pump.starves_below_m = 0.0);
    scenario
        .heaters
        .iter_mut()
        .for_each(|heater| heater.exposed_below_m = 0.0);
    let lowest_c = |height_m: f64| worst(&sound(&scenario, &[leak(SUMP, 5.0, height_m)])).lowest_c;
    let lowest: Vec<f64> = (3..12).map(|step| lowest_c(0.02 * f64::from(step))).collect();
    for pair in lowest.windows(2) {
        assert!((pair[0] - pair[1]).abs() < 0.05, "{lowest:?}");
    }
}

#[test]
fn water_changes_of_every_share_are_sound_and_leave_level_and_salinity() {
    let scenario = reef(true);
    for tank in [DISPLAY, SUMP] {
        for share in [0.05, 0.5, 0.9, 0.95, 0.999] {
            let scores = sound(&scenario, &[change(tank, share, 6 * HOUR)]);
            let salinity = &scores.salinity;
            // What evaporates within half an hour is all that moves it.
            assert!(
                (salinity.lowest_g_per_kg - 35.0).abs() < 0.05,
                "{share}: {salinity:?}"
            );
            assert!(
                (salinity.highest_g_per_kg - 35.0).abs() < 1.5 * share.powi(8) + 0.05,
                "{share}: {salinity:?}"
            );
        }
    }
}

#[test]
fn two_changes_at_a_time_put_back_what_they_took() {
    let scenario = reef(true);
    let changes = [
        change(SUMP, 0.9, 6 * HOUR),
        change(SUMP, 0.9, 6 * HOUR + HOUR / 12),
    ];
    let scores = sound(&scenario, &changes);
    let sump = &scores.levels[SUMP.0];
    assert!(sump.lowest_m < 0.2 * sump.full_m, "{sump:?}");
    assert!(sump.highest_m < 1.001 * sump.full_m, "{sump:?}");
}

#[test]
fn salt_leaves_only_with_water_that_leaves() {
    // Nobody tops off, so that nothing dilutes. Both tanks run dry, and are filled again with water of 35 g/kg.
    let scenario = reef(false);
    let drained = Happening {
        lasts: Lasts::For(5 * HOUR),
        ..leak(DISPLAY, 100.0, 0.0)
    };
    let before = sound(&scenario, std::slice::from_ref(&drained));
    let after = sound(&scenario, &[drained, change(DISPLAY, 0.95, 6 * HOUR)]);
    for scores in [before, after] {
        assert!(scores.salinity.lowest_g_per_kg > 34.99, "{:?}", scores.salinity);
    }
}

#[test]
fn a_stuck_top_off_of_every_rate_is_sound_and_the_faster_dilutes_more() {
    let scenario = reef(true);
    let mut before_g_per_kg = 35.0;
    for l_per_h in [0.05, 0.5, 5.0, 50.0, 500.0, 5000.0] {
        let rate_kg_per_s = l_per_h / 3600.0;
        let stuck = fault(HOUR, Lasts::ToTheEnd, Effect::TopOffStuckOn { rate_kg_per_s });
        let scores = sound(&scenario, &[stuck]);
        let lowest = scores.salinity.lowest_g_per_kg;
        assert!(
            (0.0..=before_g_per_kg + 1e-9).contains(&lowest),
            "{l_per_h}: {lowest}"
        );
        for (level, tank) in scores.levels.iter().zip(&scenario.tanks) {
            assert!(level.highest_m <= tank.height_m + 1e-9, "{level:?}");
        }
        before_g_per_kg = lowest;
    }
    assert!(before_g_per_kg < 1.0, "{before_g_per_kg}");
}

#[test]
fn stocked_water_that_no_pump_joins_to_the_sump_keeps_its_salt_while_the_sump_is_flushed() {
    // The hole keeps the sump below what its pump draws, so that the display stands alone while fresh water runs through the sump.
    let scenario = reef(true);
    let scores = sound(&scenario, &[leak(SUMP, 500.0, 0.0)]);
    assert!(scores.salinity.lowest_g_per_kg > 30.0, "{:?}", scores.salinity);
}

#[test]
fn a_state_that_is_no_number_is_an_error_with_instant_and_node() {
    let mut scenario = reef(true);
    scenario.pumps[0].power_w = 1e300;
    let recipe = tepid_scenarios::strategy("on-off").unwrap().recipe;
    let error = run(&RunRequest::new(&scenario, recipe.as_ref(), 7), None).unwrap_err();
    let RunError::NotFinite { at_ms, node } = &error else {
        panic!("{error}")
    };
    assert!(*at_ms <= scenario.duration_ms && !node.is_empty());
    assert!(error.to_string().contains("no number at"), "{error}");
}

#[test]
fn a_comparison_shows_a_run_that_ended_in_no_number_as_failed() {
    let mut scenario = reef(true);
    scenario.pumps[0].power_w = 1e300;
    let strategies = [(
        "on-off".to_owned(),
        tepid_scenarios::strategy("on-off").unwrap().recipe,
    )];
    let compared = compare(
        &CompareRequest {
            scenarios: &[(scenario, Vec::new())],
            strategies: &strategies,
            seed: 7,
            replicates: 1,
        },
        &Silent,
    )
    .unwrap();
    let failures = &compared.scenarios[0].rows[0].failures;
    assert!(
        failures.len() == 1 && failures[0].contains("is no number at"),
        "{failures:?}"
    );
}

#[test]
fn a_reservoir_that_runs_empty_lets_the_level_fall_and_one_that_does_not_holds_it() {
    let top_off = |reservoir_kg| TopOff {
        reservoir_kg,
        ..reef(true).top_off.unwrap()
    };
    let with = |reservoir_kg| {
        let mut scenario = reef(true);
        scenario.top_off = Some(top_off(reservoir_kg));
        sound(&scenario, &[])
    };
    let (endless, large, small) = (with(None), with(Some(1000.0)), with(Some(2.0)));
    assert!((large.salinity.highest_g_per_kg - endless.salinity.highest_g_per_kg).abs() < 1e-3);
    let (a, b) = (worst(&large).mean_c, worst(&endless).mean_c);
    assert!((a - b).abs() < 0.005, "{a} {b}");
    let short_kg = small.evaporated_kg - 2.0;
    let water_kg: f64 = reef(true)
        .tanks
        .iter()
        .map(|tank| tank.water_volume_m3() * 1023.0)
        .sum();
    let expected = 35.0 * water_kg / (water_kg - short_kg);
    assert!(short_kg > 1.0, "{short_kg}");
    assert!(
        (small.salinity.highest_g_per_kg / expected - 1.0).abs() < 2e-3,
        "{:?} {expected}",
        small.salinity
    );
    assert!(small.levels[SUMP.0].lowest_m < 0.99 * small.levels[SUMP.0].full_m);
}

#[test]
fn a_pump_that_stands_dry_leaves_the_water_still_for_as_long_as_the_run_says() {
    use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, When};
    let mut scenario = crate::support::scenario("spare-room-winter", &[("top_off", "none")]);
    scenario.pumps.truncate(1);
    let leak = Happening {
        name: "leak in sump".to_owned(),
        when: When::At(24 * tepid_sim::time::HOUR),
        lasts: Lasts::ToTheEnd,
        effect: Effect::Leak {
            tank: tepid_sim::ids::TankId(1),
            rate_kg_per_s: 0.01,
            height_m: 0.0,
        },
        origin: Origin::Fault,
    };
    let scores = crate::support::run_with(&scenario, "on-off", &[leak]);
    // 60 L run out within two hours; from then on nothing flows through the display to the end of day 7.
    let still_h = scores.levels[0].longest_still_ms as f64 / 3.6e6;
    assert!((141.5..144.0).contains(&still_h), "{still_h}");
    let warnings = tepid::mixing::still_in_run(&scenario, &[], &scores);
    assert!(
        warnings
            .iter()
            .any(|warning| warning.what.contains("water of display stands still"))
    );
}
