//! What falling water does to the heater that hangs in it.

use super::{TANK, course_of};

/// The tank with its heater in the sump, hanging in air below 12 cm of water, 300 W without a dial, and a top-off that may stop.
fn evaporating(fault: &str) -> (tepid_sim::scores::Scores, super::Course) {
    let tank = TANK
        .replace("duration = \"3 d\"", "duration = \"6 d\"")
        .replace("cover = \"lid\"", "cover = \"open\"")
        .replace(
            "power = \"300 W\"\ntank = \"display\"\nchain = [\"relay\", \"dial\"]",
            "power = \"300 W\"\ntank = \"sump\"\nexposed_below = \"12 cm\"\nchain = [\"relay\"]",
        )
        .replace(
            "[[contact]]\nname = \"dial\"\nkind = \"thermostat\"\nopens_above = \"29 °C\"\n",
            "",
        );
    course_of(&format!("{tank}[top_off]\ntank = \"sump\"\n{fault}"), "on-off")
}

const STOPPED: &str = "[[fault]]\nwhat = \"top-off stopped\"\nwhen = \"0 h\"\n";

#[test]
fn a_tank_evaporated_below_its_heater_is_heated_no_more_by_a_heater_too_hot_to_touch() {
    let (_, kept) = evaporating("");
    let (scores, course) = evaporating(STOPPED);
    assert!(kept.0.iter().all(|row| (row.sump_m - 0.20).abs() < 0.005));
    // The sump alone gives all that evaporates: it falls, day by day, until the heater hangs in air.
    assert!(course.at_h(48.0).sump_m < course.at_h(24.0).sump_m - 0.005);
    let bare = course
        .0
        .iter()
        .position(|row| row.sump_m < 0.12)
        .expect("falls below the heater");
    let (wet, dry) = course.0.split_at(bare);
    let bare_h = dry[0].at_ms as f64 / 3.6e6;
    assert!((48.0..130.0).contains(&bare_h), "{bare_h}");
    // In water its body stays a few dozen kelvin above it; in air it passes 150 °C within half an hour of heating.
    let hottest = |rows: &[super::Row]| rows.iter().map(|row| row.heater_body_c).fold(0.0, f64::max);
    assert!(hottest(wet) < 80.0, "{}", hottest(wet));
    assert!(hottest(dry) > 150.0, "{}", hottest(dry));
    // What it gives the air is lost to the water, which falls although the heater never rests.
    let after = course.between_h(bare_h + 6.0, 144.0);
    assert!(after.into_iter().all(|row| row.heater_w == 300.0));
    assert!(
        scores.tanks[0].end_c < kept.at_h(143.0).display_c - 1.0,
        "{}",
        scores.tanks[0].end_c
    );
}
