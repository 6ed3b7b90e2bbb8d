//! Solid-state switches beside relays.

use super::{TANK, course_of};
use crate::support::{scenario_of, strategy};
use tepid::compare::{CompareRequest, Silent, compare};
use tepid_output::cautions::{Caution, for_equipment};
use tepid_output::records::Comparison;
use tepid_scenarios::fault_set;

/// The tank whose relay is a solid-state switch.
fn solid() -> String {
    TANK.replace(
        "name = \"relay\"\nkind = \"relay\"",
        "name = \"switch\"\nkind = \"solid state\"",
    )
    .replace("chain = [\"relay\", \"dial\"]", "chain = [\"switch\", \"dial\"]")
}

fn compared(text: &str) -> Comparison {
    let strategies: Vec<_> = ["on-off", "proportional"]
        .into_iter()
        .map(|name| (name.to_owned(), strategy(name)))
        .collect();
    let request = CompareRequest {
        scenarios: &[(scenario_of(text), Vec::new())],
        strategies: &strategies,
        seed: 7,
        replicates: 1,
    };
    compare(&request, &Silent).expect("compares")
}

#[test]
fn closing_a_thousand_times_wears_a_relay_and_not_a_solid_state_switch() {
    let (relay, of_relay) = course_of(TANK, "proportional");
    let (switch, of_switch) = course_of(&solid(), "proportional");
    // The water does not know which of them switches.
    assert_eq!(of_relay.at_h(71.9).display_c, of_switch.at_h(71.9).display_c);
    assert_eq!(relay.contacts[0].closings, switch.contacts[0].closings);
    assert!(relay.contacts[0].wears && !switch.contacts[0].wears);
    // So a comparison holds its closings against a strategy only where something wears.
    let closings = |record: &Comparison| -> Vec<Option<f64>> {
        let rows = record.scenarios[0].rows.iter();
        rows.map(|row| {
            let wear = row.healthy.as_ref().unwrap().contacts.iter();
            wear.filter(|contact| contact.contact != "dial")
                .map(|contact| contact.closings_per_day.worst)
                .next()
        })
        .collect()
    };
    assert!(closings(&compared(TANK))[1].unwrap() > 100.0);
    assert_eq!(closings(&compared(&solid())), [None, None]);
}

#[test]
fn a_solid_state_switch_fails_shorted_and_never_chatters() {
    let names = |text: &str, set: &str| -> Vec<String> {
        let cases = fault_set(&scenario_of(text), set).expect("built in").cases;
        cases.into_iter().map(|case| case.fault.name).collect()
    };
    assert_eq!(names(TANK, "one contact welded"), ["relay welded", "dial welded"]);
    assert_eq!(
        names(&solid(), "one contact welded"),
        ["switch shorted", "dial welded"]
    );
    assert_eq!(
        names(&solid(), "weld behind a weld"),
        ["switch shorted, dial welded long before"]
    );
    assert_eq!(names(TANK, "one contact chattering"), ["relay chatters"]);
    assert!(names(&solid(), "one contact chattering").is_empty());
    // The file's own words lead to the same.
    let shorted = scenario_of(&format!(
        "{}[[fault]]\nwhat = \"contact welded\"\ncontact = \"switch\"\n",
        solid()
    ));
    assert_eq!(shorted.happenings[0].name, "switch shorted");
    for (text, expected) in [
        (
            solid() + "[[fault]]\nwhat = \"contact chatters\"\ncontact = \"switch\"\n",
            "nothing that parts",
        ),
        (
            solid().replace("role = \"heat\"", "rating = { life = \"100000 closings\" }"),
            "does not wear by closing",
        ),
    ] {
        let report = tepid_scenarios::scenario_text("test.toml", &text).unwrap_err();
        assert!(report.plain().contains(expected), "{}", report.plain());
    }
}

#[test]
fn a_solid_state_switch_that_is_off_is_said_to_be_live() {
    let told = |text: &str| -> Vec<Caution> {
        let cautions = for_equipment(&scenario_of(text)).into_iter();
        cautions.map(|one| one.caution).collect()
    };
    assert!(told(&solid()).contains(&Caution::SolidStateLive));
    assert!(!told(TANK).contains(&Caution::SolidStateLive));
}
