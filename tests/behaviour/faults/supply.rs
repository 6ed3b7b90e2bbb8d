//! Circuits, breakers, backups, the mains.

use super::{Course, TANK, course_of};
use tepid_sim::scores::Scores;

/// The tank with a second heater behind a relay of its own, circuits, and a fault.
fn wired(supply: &str, fault: &str) -> (Scores, Course) {
    let second = "[[heater]]\nname = \"second\"\npower = \"300 W\"\ntank = \"display\"\nchain = [\"relay 2\"]\n\
                  [[contact]]\nname = \"relay 2\"\nkind = \"relay\"\nrole = \"heat\"\n";
    course_of(&format!("{TANK}{second}{supply}{fault}"), "on-off")
}

fn circuit(name: &str, breaker: &str, feeds: &str) -> String {
    format!("[[circuit]]\nname = \"{name}\"\nbreaker = \"{breaker}\"\nfeeds = [{feeds}]\n")
}

const TRIPS_A: &str = "[[fault]]\nwhat = \"circuit tripped\"\ncircuit = \"A\"\nwhen = \"24 h\"\n";

#[test]
fn whatever_trips_takes_its_list_and_nothing_else() {
    let supply =
        circuit("A", "16 A", "\"main\", \"return\"") + &circuit("B", "16 A", "\"second\", \"controller\"");
    let (_, course) = wired(&supply, TRIPS_A);
    assert!(course.between_h(25.0, 72.0).all(|row| row.heater_w == 0.0));
    // The other heater holds the tank alone.
    assert!(course.0.last().unwrap().display_c > 25.0);
    // Without the return pump the sump goes its own way.
    assert!(course.at_h(70.0).display_c - course.at_h(70.0).sump_c > 2.0);
}

#[test]
fn heaters_split_over_two_circuits_turn_a_total_loss_into_a_half_one() {
    let together = circuit("A", "16 A", "\"main\", \"second\", \"return\"");
    let split = circuit("A", "16 A", "\"main\", \"return\"") + &circuit("B", "16 A", "\"second\"");
    let (lost, _) = wired(&together, TRIPS_A);
    let (held, _) = wired(&split, TRIPS_A);
    assert!(lost.tanks[0].lowest_c < 22.0, "{}", lost.tanks[0].lowest_c);
    assert!(held.tanks[0].lowest_c > 24.9, "{}", held.tanks[0].lowest_c);
}

#[test]
fn a_controller_that_loses_its_circuit_drops_its_relays_though_the_heaters_have_power() {
    let supply = circuit("A", "16 A", "\"controller\"");
    let (scores, course) = wired(&supply, TRIPS_A);
    assert!(
        course
            .between_h(25.0, 72.0)
            .all(|row| !row.relay_closed && row.heater_w == 0.0)
    );
    assert!(scores.tanks[0].end_c < 22.0);
}

/// Both heaters welded on from the start, with a release that is cold: 600 W at 230 V and the pump's 10 W.
fn overload(breaker: &str) -> Scores {
    let welds = "[[fault]]\nwhat = \"contact welded\"\ncontact = \"relay\"\nwhen = \"0 h\"\n\
                 [[fault]]\nwhat = \"dial set\"\ncontact = \"dial\"\nto = \"78 °C\"\nwhen = \"0 h\"\n\
                 [[fault]]\nwhat = \"contact welded\"\ncontact = \"relay 2\"\nwhen = \"0 h\"\n";
    let second = "[[heater]]\nname = \"second\"\npower = \"300 W\"\ntank = \"display\"\nchain = [\"relay 2\"]\n\
                  [[contact]]\nname = \"relay 2\"\nkind = \"relay\"\nrole = \"heat\"\n";
    let supply = circuit("A", breaker, "\"main\", \"second\", \"return\"");
    let tank = TANK.replace("warm_up = \"12 h\"", "warm_up = \"0 s\"");
    course_of(&format!("{tank}{second}{supply}{welds}"), "on-off").0
}

#[test]
fn a_breaker_meets_the_conventional_currents() {
    // IEC 60898-1, from memory: 1.13 times the rating never trips, 1.45 times trips within an hour, 2.55 times between 1 s and 60 s.
    let amps = 610.0 / 230.0;
    let tripped_h = |times: f64| {
        let scores = overload(&format!("{:.4} A", amps / times));
        let peak = scores.circuits[0].highest_a.unwrap();
        assert!((peak - amps).abs() < 1e-6, "{peak}");
        scores.circuits[0].tripped_ms
    };
    assert_eq!(tripped_h(1.13), None);
    let at_1_45 = tripped_h(1.45).unwrap();
    assert!(at_1_45 > 0 && at_1_45 < 3_600_000, "{at_1_45}");
    let at_2_55 = tripped_h(2.55).unwrap();
    assert!((1_000..60_000).contains(&at_2_55), "{at_2_55}");
}

#[test]
fn a_breaker_trips_when_the_closed_form_says_so() {
    // A cold release under L times its rating, squared: t = τ ln(L/(L − 1.69)), τ 120 s.
    let scores = overload(&format!("{:.6} A", 610.0 / 230.0 / 2.55));
    let load = 2.55_f64 * 2.55;
    let seconds = 120.0 * (load / (load - 1.69)).ln();
    let tripped_s = scores.circuits[0].tripped_ms.unwrap() as f64 / 1e3;
    assert!((tripped_s - seconds).abs() < 0.005, "{tripped_s} {seconds}");
}

#[test]
fn a_breaker_that_carries_each_load_trips_when_everything_restarts_cold() {
    let outage = "[[fault]]\nwhat = \"outage\"\nwhen = \"24 h\"\nlasts = \"8 h\"\n";
    let feeds = "\"main\", \"second\", \"return\"";
    // The strategy switches both heaters together only after the outage has let the tank cool.
    let staggered = |fault: &str| {
        let second = "[[heater]]\nname = \"second\"\npower = \"300 W\"\ntank = \"display\"\nchain = [\"relay 2\"]\n\
                      [[contact]]\nname = \"relay 2\"\nkind = \"relay\"\nrole = \"heat\"\n";
        course_of(
            &format!("{TANK}{second}{}{fault}", circuit("A", "1.6 A", feeds)),
            "staggered-pair",
        )
        .0
    };
    assert_eq!(staggered("").circuits[0].tripped_ms, None);
    let after = staggered(outage);
    let tripped_h = after.circuits[0].tripped_ms.unwrap() as f64 / 3.6e6;
    assert!(tripped_h > 32.0 && tripped_h < 33.0, "{tripped_h}");
    assert!(after.tanks[0].end_c < 22.0);
}

#[test]
fn heaters_give_the_square_of_the_mains_voltage() {
    let fault = "[[fault]]\nwhat = \"mains voltage\"\nof_nominal = \"90 %\"\nwhen = \"24 h\"\n";
    let (_, course) = wired("", fault);
    let on: Vec<f64> = course
        .between_h(25.0, 72.0)
        .map(|row| row.heater_w)
        .filter(|watts| *watts > 0.0)
        .collect();
    assert!(!on.is_empty());
    assert!(on.iter().all(|watts| (watts - 243.0).abs() < 1e-9));
}

const OUTAGE: &str = "[[fault]]\nwhat = \"outage\"\nwhen = \"24 h\"\nlasts = \"12 h\"\n";

#[test]
fn a_battery_lasts_as_long_as_its_energy_over_what_it_feeds() {
    // 200 Wh at 10 W of pump, 5 W of controller and 5 W of its own: 10 h.
    let backup = "[[backup]]\nname = \"battery\"\nenergy = \"200 Wh\"\nlimit = \"100 W\"\nidle = \"5 W\"\n\
                  feeds = [\"return\", \"controller\", \"main\"]\n";
    let (scores, course) = course_of(&format!("{TANK}{backup}{OUTAGE}"), "on-off");
    let ran_out_h = scores.backups[0].ran_out_ms.unwrap() as f64 / 3.6e6;
    assert!((ran_out_h - 34.0).abs() < 1e-4, "{ran_out_h}");
    // The heater of 300 W does not fit under the limit of 100 W.
    assert!(course.between_h(24.1, 36.0).all(|row| row.heater_w == 0.0));
}

#[test]
fn a_backup_feeds_the_most_important_first() {
    let backup = |feeds: &str| {
        format!("[[backup]]\nname = \"battery\"\nenergy = \"5 kWh\"\nlimit = \"310 W\"\nfeeds = [{feeds}]\n")
    };
    let heated = |feeds: &str| {
        let (_, course) = course_of(&format!("{TANK}{}{OUTAGE}", backup(feeds)), "on-off");
        course.between_h(25.0, 36.0).any(|row| row.heater_w > 0.0)
    };
    assert!(heated("\"main\", \"controller\""));
    // Pump and controller first leave 295 W, too little for the heater.
    assert!(!heated("\"return\", \"controller\", \"main\""));
    // A heater without its controller has no relay that closes.
    assert!(!heated("\"main\""));
}

#[test]
fn a_generator_holds_the_tank_from_its_start_until_its_fuel_is_gone() {
    let backup = "[[backup]]\nname = \"generator\"\nfuel = \"6 h\"\nstarts_after = \"1 h\"\nlimit = \"2 kW\"\n\
                  feeds = [\"main\", \"return\", \"controller\"]\n";
    let (scores, course) = course_of(&format!("{TANK}{backup}{OUTAGE}"), "on-off");
    assert!(course.between_h(24.1, 24.9).all(|row| row.heater_w == 0.0));
    assert!(course.between_h(25.1, 30.9).any(|row| row.heater_w > 0.0));
    assert!(course.between_h(31.1, 35.9).all(|row| row.heater_w == 0.0));
    assert_eq!(scores.backups[0].ran_out_ms, Some(31 * 3_600_000));
}

#[test]
fn a_battery_dead_unnoticed_is_missed_when_the_mains_go() {
    let backup = "[[backup]]\nname = \"battery\"\nenergy = \"5 kWh\"\nlimit = \"1 kW\"\n\
                  feeds = [\"main\", \"return\", \"controller\"]\n";
    let dead = "[[fault]]\nwhat = \"backup dead\"\nwhen = \"0 h\"\n";
    let (held, fed) = course_of(&format!("{TANK}{backup}{OUTAGE}"), "on-off");
    let (lost, unfed) = course_of(&format!("{TANK}{backup}{OUTAGE}{dead}"), "on-off");
    // Until the mains go nobody can tell the two apart.
    let up_to_outage = |course: &Course| -> Vec<(i64, f64)> {
        let rows = course.between_h(0.0, 24.0);
        rows.map(|row| (row.at_ms, row.display_c)).collect()
    };
    assert_eq!(up_to_outage(&fed), up_to_outage(&unfed));
    // In the outage one heats as ever and one not at all; afterwards both do.
    assert!(fed.between_h(24.0, 36.0).any(|row| row.heater_w > 0.0));
    assert!(
        unfed
            .between_h(24.0, 36.0)
            .all(|row| row.heater_w == 0.0 && !row.relay_closed)
    );
    assert!(unfed.between_h(36.01, 37.0).all(|row| row.heater_w == 300.0));
    assert!(held.tanks[0].lowest_c > 24.9);
    assert!(lost.tanks[0].lowest_c < 23.5, "{}", lost.tanks[0].lowest_c);
}

#[test]
fn mains_a_tenth_high_heat_by_a_fifth_more_for_a_shorter_time() {
    let high = "[[fault]]\nwhat = \"mains voltage\"\nof_nominal = \"110 %\"\nwhen = \"24 h\"\n";
    let (_, healthy) = course_of(TANK, "on-off");
    let (_, course) = course_of(&format!("{TANK}{high}"), "on-off");
    let watts = |course: &Course, from, to| -> Vec<f64> {
        let on = course.between_h(from, to).map(|row| row.heater_w);
        on.filter(|watts| *watts > 0.0).collect()
    };
    // 300 W · 1.1² = 363 W, from the hour of the fault on.
    assert!(
        watts(&course, 0.0, 23.9)
            .iter()
            .all(|watts| (watts - 300.0).abs() < 1e-9)
    );
    assert!(
        watts(&course, 24.1, 72.0)
            .iter()
            .all(|watts| (watts - 363.0).abs() < 1e-9)
    );
    let on_frac = |course: &Course| course.mean_h(36.0, 72.0, |row| f64::from(row.heater_w > 0.0));
    let mean_w = |course: &Course| course.mean_h(36.0, 72.0, |row| row.heater_w);
    // The tank needs what it needs: the same watts in the mean, in 1/1.21 of the time.
    assert!((mean_w(&course) / mean_w(&healthy) - 1.0).abs() < 0.03);
    let shorter = on_frac(&course) / on_frac(&healthy);
    assert!((shorter - 1.0 / 1.21).abs() < 0.03, "{shorter}");
    // Full on for good it would end warmer by a fifth of what it is above the room: that is where it harms.
    let weld = "[[fault]]\nwhat = \"contact welded\"\ncontact = \"relay\"\nwhen = \"0 h\"\n\
                [[fault]]\nwhat = \"dial set\"\ncontact = \"dial\"\nto = \"78 °C\"\nwhen = \"0 h\"\n";
    let (welded, _) = course_of(&format!("{TANK}{weld}"), "on-off");
    let (both, _) = course_of(&format!("{TANK}{weld}{high}"), "on-off");
    assert!(both.tanks[0].end_c > welded.tanks[0].end_c + 0.7);
}
