//! The published correlation for evaporation, by name.

use tepid_scenarios::{Setting, load_str, scenario};
use tepid_sim::scenario::Evaporation;

fn with(settings: &[(&str, &str)]) -> Result<Evaporation, String> {
    let settings: Vec<Setting> = settings
        .iter()
        .map(|(path, value)| Setting::new(path, value))
        .collect();
    scenario("spare-room-winter", &settings)
        .map(|scenario| scenario.water.evaporation)
        .map_err(|report| report.plain())
}

#[test]
fn a_scenario_names_the_correlation_and_shah_is_taken_where_it_names_none() {
    assert_eq!(with(&[]), Ok(Evaporation::Shah));
    assert_eq!(
        with(&[("water.evaporation", "\"vdi 2089\"")]),
        Ok(Evaporation::Vdi2089)
    );
    assert_eq!(
        with(&[
            ("water.evaporation", "\"ashrae pool\""),
            ("water.activity", "0.5")
        ]),
        Ok(Evaporation::AshraePool { activity: 0.5 })
    );
}

#[test]
fn a_pool_without_its_activity_factor_is_refused() {
    let report = with(&[("water.evaporation", "\"ashrae pool\"")]).expect_err("no activity");
    assert!(report.contains("`activity` is missing"), "{report}");
}

#[test]
fn an_activity_factor_with_another_correlation_is_refused() {
    let report = with(&[("water.activity", "0.5")]).expect_err("shah has none");
    assert!(report.contains("`shah` has no activity factor"), "{report}");
}

#[test]
fn agitation_beside_an_activity_factor_is_refused_for_it_would_count_twice() {
    let report = with(&[
        ("water.evaporation", "\"ashrae pool\""),
        ("water.activity", "0.5"),
        ("tank.display.agitation", "1.2"),
    ])
    .expect_err("both are given");
    assert!(report.contains("counts the stirring twice"), "{report}");
}

#[test]
fn a_misspelt_correlation_shows_the_nearest() {
    let text = tepid_scenarios::library::text("spare-room-winter")
        .expect("in the library")
        .replacen("[water]", "[water]\nevaporation = \"vdi 2098\"", 1);
    let report = load_str("my-tank.toml", &text).expect_err("misspelt").plain();
    assert!(report.contains("vdi 2089"), "{report}");
}
