//! A house that cools in an outage is one that can be, and colder than it was.

use crate::bad_input::tepid;

fn falls_to(house: &str) -> (i32, String, String) {
    tepid(
        &[],
        &[
            "size",
            "garage-outage",
            "--outage",
            "12 h",
            "--house-falls-to",
            house,
        ],
    )
}

#[test]
fn a_house_colder_or_warmer_than_a_room_may_be_in_a_file_is_refused() {
    for house in ["-30.1 °C", "-300 °C", "50.1 °C", "1e300 °C"] {
        let (code, out, error) = falls_to(house);
        assert_eq!((code, out.as_str()), (2, ""), "{house}: {error}");
        let said = format!("--house-falls-to {house}: expected -30 to 50 °C");
        assert!(error.contains(&said), "{error}");
    }
}

#[test]
fn what_is_no_temperature_is_refused_with_an_example_of_one() {
    for house in ["12 K", "cold"] {
        let (code, _, error) = falls_to(house);
        assert_eq!(code, 2, "{house}");
        assert!(error.contains("expected a temperature such as"), "{error}");
    }
}

#[test]
fn a_house_that_is_to_get_warmer_is_refused_and_told_how_cold_it_is() {
    let (code, _, error) = falls_to("40 °C");
    assert_eq!(code, 2);
    assert!(error.contains("the coldest room is"), "{error}");
}

#[test]
fn the_coldest_house_that_may_be_is_followed() {
    let (code, out, error) = falls_to("-30 °C");
    assert_eq!(code, 0, "{error}");
    assert!(out.contains("the house falling to -30 °C"), "{out}");
}
