//! Home tests that tell no figure say what they do tell.

use crate::bad_input::tepid;
use crate::measure::refused;

#[test]
fn a_heater_that_gives_less_than_is_lost_is_refused_with_both_figures() {
    // 12 W/K × 4.9 K in the mean.
    refused(
        &[
            "measure",
            "heating",
            "--room",
            "20 °C",
            "--loss",
            "12 W/K",
            "--power",
            "50 W",
            "0 h = 24.8 °C",
            "1 h = 24.9 °C",
            "2 h = 25 °C",
        ],
        &["12.0 W/K × lift = 59 W is lost, and the heaters give 50 W"],
    );
}

#[test]
fn a_heater_that_is_never_seen_off_adds_nothing_for_a_colder_room_and_one_never_on_tells_no_change_of_nothing()
 {
    let said = |on: &str| {
        let asked = [
            "measure", "duty", "--power", "100 W", "--lift", "4 K", "--looks", "100", "--on", on,
        ];
        let (code, out, error) = tepid(&[], &asked);
        assert_eq!(code, 0, "{error}");
        out
    };
    let always = said("100");
    assert!(
        !always.contains("points to the share") && !always.contains("room known within"),
        "{always}"
    );
    // Wilson for 100 of 100: from 100/(100 + z²) = 96.3 % on.
    assert!(always.contains("24.1 W/K"), "{always}");
    let never = said("0");
    assert!(!never.contains("0.0 W/K"), "{never}");
    assert!(said("50").contains("12.5 points to the share"));
}

#[test]
fn what_a_heater_must_give_is_told_for_the_temperature_at_which_the_test_began() {
    let asked = [
        "measure",
        "cooling",
        "--heat-capacity",
        "750 kJ/K",
        "--room",
        "20 °C",
        "0 h = 26 °C",
        "4 h = 25 °C",
        "8 h = 24.2 °C",
    ];
    let (_, out, _) = tepid(&[], &asked);
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("to hold 26.0 °C, where the test began"), "{out}");
}

#[test]
fn a_value_below_zero_is_refused_in_words() {
    let duty = ["measure", "duty", "--power", "100 W", "--share", "40 %"];
    let below: Vec<&str> = duty.into_iter().chain(["--lift", "-2 K"]).collect();
    refused(&below, &["--lift -2 K: expected more than zero"]);
    refused(
        &["size", "lidded-nano", "--reserve", "-5 %"],
        &["--reserve -5 %: expected 0 % to 100 %"],
    );
    refused(
        &["size", "lidded-nano", "--response", "-8 h"],
        &["--response -8 h"],
    );
}
