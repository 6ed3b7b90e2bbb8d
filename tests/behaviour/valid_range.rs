//! Water that leaves the temperatures the model is good for is told in every result.

use crate::support::{scenario, strategy};
use tepid::single::single;
use tepid_output::records::Warning;
use tepid_sim::ids::ContactId;
use tepid_sim::run::RunRequest;
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, RoomTemperature, Scenario, When};

/// A reef whose big heater has this power and is welded on, in a room of a temperature.
fn reef(power_w: f64, room_c: f64) -> Scenario {
    let mut scenario = scenario("spare-room-winter", &[]);
    scenario.room.temperature = RoomTemperature::constant(room_c);
    scenario.heaters[0].power_w = power_w;
    scenario.heaters[0].chain.truncate(2);
    scenario
}

fn hot_or_cold(warnings: &[Warning]) -> Vec<&str> {
    let told = warnings.iter().map(|warning| warning.what.as_str());
    told.filter(|what| what.contains(" gets as ")).collect()
}

fn warned(scenario: &Scenario, fault: Effect) -> Vec<String> {
    let recipe = strategy("on-off");
    let faults = [Happening {
        name: "fault".to_owned(),
        when: When::At(0),
        lasts: Lasts::ToTheEnd,
        effect: fault,
        origin: Origin::Fault,
    }];
    let request = RunRequest {
        faults: &faults,
        ..RunRequest::new(scenario, recipe.as_ref(), 7)
    };
    let result = single(&request, None, None);
    hot_or_cold(&result.warnings)
        .into_iter()
        .map(str::to_owned)
        .collect()
}

#[test]
fn a_run_tells_that_its_water_left_the_model_s_range_and_how_far() {
    let hot = warned(&reef(3000.0, 20.0), Effect::ContactWelded(ContactId(1)));
    assert_eq!(hot.len(), 1, "{hot:?}");
    assert!(
        hot[0].starts_with("The water of display gets as hot as "),
        "{hot:?}"
    );
    let cold = warned(&reef(200.0, -15.0), Effect::PowerOut);
    assert_eq!(cold.len(), 1, "{cold:?}");
    assert!(
        cold[0].starts_with("The water of display gets as cold as -"),
        "{cold:?}"
    );
    assert!(warned(&reef(200.0, 20.0), Effect::ContactWelded(ContactId(1))).is_empty());
}

#[test]
fn a_budget_tells_it_too() {
    let told = |scenario: &Scenario| {
        let budget = tepid::budget::budget(scenario).expect("budget");
        hot_or_cold(&budget.warnings).len()
    };
    assert_eq!(told(&reef(3000.0, 20.0)), 1);
    assert_eq!(told(&reef(200.0, -15.0)), 1);
    assert_eq!(told(&reef(200.0, 20.0)), 0);
}
