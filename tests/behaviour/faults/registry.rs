//! Whatever can happen has a test that says what it does to the world.

use std::path::Path;
use tepid_sim::scenario::Effect;

/// Every effect with the word that files or results have for it, and the tests that state what it does.
macro_rules! tested {
    ($($effect:ident $word:literal: [$($file:literal $test:ident),+ $(,)?],)+) => {
        /// Effect, word, and file and function of each test.
        const TESTED: &[(&str, &str, &[(&str, &str)])] =
            &[$((stringify!($effect), $word, &[$(($file, stringify!($test))),+]),)+];

        /// An effect that is not in the list does not compile.
        const _: fn(&Effect) = |effect| match effect {
            $(Effect::$effect { .. } => (),)+
        };
    };
}

tested! {
    ContactWelded "contact welded": [
        "lessons.rs" a_welded_relay_alone_takes_a_strong_heater_past_the_danger_line,
        "lessons.rs" a_welded_relay_behind_an_independent_cut_out_never_passes_the_danger_line,
        "faults/cooling.rs" a_fan_that_a_weld_keeps_on_cools_the_water_until_the_heater_heats_against_it,
    ],
    ContactStuckOpen "contact stuck open": ["faults/switching.rs" a_contact_that_cannot_close_lets_the_tank_cool_to_the_room],
    ContactChatters "contact chatters": ["faults/switching.rs" a_chattering_contact_wears_by_thousands_and_still_heats_by_half],
    BoxWelded "box welded": ["faults/boxes.rs" an_independent_cut_out_beats_one_in_the_same_box_when_the_box_fails],
    BoxStuckOpen "box stuck open": ["faults/boxes.rs" a_box_that_stays_open_takes_every_heater_whose_relay_it_holds],
    HeaterDead "heater dead": ["lessons.rs" a_dead_heater_leaves_the_tank_to_the_room],
    DialOff "dial off": ["lessons.rs" a_dial_four_kelvin_off_lets_a_weld_four_kelvin_further],
    DialDrifts "dial drifts": ["faults/switching.rs" behind_a_welded_relay_the_water_follows_a_dial_that_drifts],
    DialSet "dial set": ["faults/switching.rs" a_dial_set_to_78_in_celsius_protects_from_nothing],
    ControllerHung "controller hung": [
        "faults/control.rs" a_controller_that_hangs_while_heating_heats_until_something_else_opens,
        "faults/control.rs" a_controller_that_hangs_while_idle_lets_the_tank_cool,
        "faults/control.rs" a_controller_whose_contacts_open_when_it_hangs_trades_a_fast_danger_for_a_slow_one,
        "faults/control.rs" a_pi_controller_that_lost_its_state_must_learn_the_tank_again,
    ],
    PowerOut "outage": [
        "lessons.rs" without_power_nothing_heats_not_even_a_welded_contact,
        "faults/supply.rs" a_battery_lasts_as_long_as_its_energy_over_what_it_feeds,
    ],
    MainsVoltage "mains voltage": [
        "faults/supply.rs" heaters_give_the_square_of_the_mains_voltage,
        "faults/supply.rs" mains_a_tenth_high_heat_by_a_fifth_more_for_a_shorter_time,
    ],
    CircuitTripped "circuit tripped": ["faults/supply.rs" whatever_trips_takes_its_list_and_nothing_else],
    BackupDead "backup dead": ["faults/supply.rs" a_battery_dead_unnoticed_is_missed_when_the_mains_go],
    PumpStopped "pump stopped": [
        "lessons.rs" stopping_the_return_pump_leaves_the_display_to_cool_while_the_sump_heats,
    ],
    ProbeOutOfWater "probe out of the water": ["lessons.rs" a_probe_out_of_the_water_heats_without_end],
    ProbeSilent "probe silent": ["lessons.rs" a_silent_probe_switches_the_heater_off],
    ProbeOffset "probe off": ["faults/probes.rs" a_probe_that_reads_two_kelvin_low_makes_the_tank_two_kelvin_warm],
    ProbeDrifts "probe drifts": ["faults/probes.rs" a_drifting_probe_takes_the_water_along],
    ProbeStuck "probe stuck": ["faults/probes.rs" a_reading_that_froze_below_the_setpoint_never_switches_off],
    ProbeReads "probe reads": [
        "faults/probes.rs" a_reading_of_85_cools_the_tank_and_one_of_0_cooks_it,
        "faults/probes.rs" one_wild_sample_switches_once_and_the_water_hardly_notices,
    ],
    ProbeNoisy "probe noisy": ["faults/probes.rs" a_noise_burst_makes_the_relay_chatter_for_as_long_as_it_lasts],
    ProbeInTank "probe in the wrong tank": ["faults/probes.rs" a_probe_in_a_sump_without_flow_heats_the_display_without_end],
    FanStopped "fan stopped": ["faults/cooling.rs" a_fan_that_stops_lets_the_water_warm_though_its_contact_is_closed],
    ChillerDead "chiller dead": ["faults/cooling.rs" a_dead_chiller_draws_nothing_and_a_blocked_one_draws_as_much_for_less],
    ChillerBlocked "chiller blocked": ["faults/cooling.rs" a_dead_chiller_draws_nothing_and_a_blocked_one_draws_as_much_for_less],
    LightOut "light out": ["faults/lights.rs" a_light_that_stays_dark_leaves_its_heat_to_the_heater],
    LightLeftOn "light left on": ["faults/lights.rs" a_light_left_on_heats_through_the_night],
    Covered "cover": ["faults/switching.rs" a_lid_left_off_costs_heat],
    HeatersUnplugged "heaters unplugged": ["faults/switching.rs" heaters_left_unplugged_are_asked_for_in_vain],
    HeaterUnplugged "heater unplugged": ["faults/switching.rs" an_unplugged_heater_forgotten_for_a_day_is_missed_for_a_day],
    HeatersHeldOff "held off": ["faults/switching.rs" a_feeding_pause_may_hold_the_heaters_off_meanwhile],
    Leak "leak": [
        "levels.rs" a_leak_starves_the_return_pump_and_the_display_cools_alone,
        "levels.rs" a_heater_left_dry_gets_hot_enough_to_crack_its_glass,
    ],
    TopOffStopped "top-off stopped": [
        "faults/water.rs" a_tank_evaporated_below_its_heater_is_heated_no_more_by_a_heater_too_hot_to_touch,
        "levels.rs" with_top_off_salinity_stays_and_without_it_rises,
    ],
    TopOffStuckOn "top-off stuck on": ["levels.rs" a_stuck_top_off_dilutes_the_water],
    WaterChange "water change": ["levels.rs" a_water_change_mixes_temperatures_by_shares],
    RoomDeviceOff "room cooling off": [
        "faults/room.rs" a_room_whose_cooling_fails_warms_to_the_air_outdoors_and_takes_the_water_past_its_setpoint,
        "devices.rs" a_room_whose_heating_fails_takes_the_tank_with_it,
    ],
    RoomDeviceStuckOn "room heating stuck on": [
        "faults/room.rs" a_room_whose_cooling_never_stops_makes_the_heater_work_against_it,
        "faults/room.rs" a_room_whose_heating_never_stops_cooks_the_tank_without_its_heater,
    ],
    RoomShift "room shift": [
        "faults/room.rs" a_heat_wave_warms_the_air_by_what_it_says_for_as_long_as_it_says_and_the_water_lags_behind,
        "faults/room.rs" a_cold_snap_costs_what_the_losses_grow_by_and_more_than_the_heater_has,
    ],
    RoomCooled "cool the room": ["alerts/acts.rs" a_room_is_cooled_bit_by_bit],
    SealedIce "ice": ["alerts/acts.rs" sealed_ice_cools_by_no_more_than_its_rate],
    SidesWrapped "wrap": ["alerts/acts.rs" wrapping_the_sides_lowers_what_they_lose_and_nothing_else],
    BackupStarted "start a generator": ["alerts/acts.rs" a_generator_helps_once_somebody_has_heard_of_the_outage_and_started_it],
    NetworkDown "network down": ["alerts/way.rs" a_dead_line_out_of_the_house_keeps_what_needs_it_and_lets_the_rest_out],
    AlertsMuted "alerts muted": ["alerts/way.rs" a_forgotten_mute_costs_the_tank],
}

#[test]
fn whatever_can_happen_has_a_test_that_says_what_it_does() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/behaviour");
    for (effect, word, tests) in TESTED {
        for (file, test) in *tests {
            let text = std::fs::read_to_string(folder.join(file)).unwrap_or_else(|_| panic!("no {file}"));
            assert!(
                text.contains(&format!("#[test]\nfn {test}() {{")),
                "{effect}: no test {test} in {file}"
            );
            assert!(
                text.contains(word) || text.contains(&format!("Effect::{effect}")),
                "{effect}: {file} knows neither it nor `{word}`"
            );
        }
    }
}
