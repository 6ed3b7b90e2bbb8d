//! What to set on a tank: the controller, dials and cut-outs, alerts.

use tepid_output::records::CardSetting;
use tepid_scenarios::{StrategyFile, watch_in_words};
use tepid_sim::quantity::{Kind, System, print, print_millis};
use tepid_sim::scenario::{ContactKind, Reset, Role, Scenario};
use tepid_strategies::parameter::ParamKind;

/// Everything that has a value.
pub(super) fn settings(scenario: &Scenario, strategy: &StrategyFile) -> Vec<CardSetting> {
    let mut all = controller(scenario, strategy);
    all.extend(own_sensing(scenario));
    all.extend(alerts(scenario));
    all
}

/// The strategy's parameters but for names of the scenario's parts; what it takes from the scenario too.
fn controller(scenario: &Scenario, strategy: &StrategyFile) -> Vec<CardSetting> {
    let figures = strategy.parameters.iter().filter(|param| {
        matches!(
            param.kind,
            ParamKind::Quantity(_) | ParamKind::TimeOfDay | ParamKind::Choice(_)
        )
    });
    figures
        .filter_map(|param| {
            let of_scenario = (param.name == "setpoint").then(|| temperature(scenario.water.target_c));
            Some(CardSetting {
                at: "controller".to_owned(),
                what: param.name.replace('_', " "),
                value: strategy.values.text(param.name).or(of_scenario)?,
                protects: param.doc.to_owned(),
            })
        })
        .collect()
}

/// Contacts that sense for themselves.
fn own_sensing(scenario: &Scenario) -> Vec<CardSetting> {
    let contacts = scenario.contacts.iter().enumerate();
    contacts
        .filter_map(|(at, contact)| {
            let sensing = contact.own_sensing?;
            let guards = scenario.contacts.iter().enumerate().any(|(other, before)| {
                other != at && before.role == Some(Role::Heat) && share_a_chain(scenario, at, other)
            });
            let protects = match (contact.kind, guards) {
                (ContactKind::CutOut, _) => "whatever before it stays on: it opens by a bulb of its own",
                (_, true) => {
                    "a relay before it that welds: it opens by itself, as far as its scale can be trusted"
                }
                (_, false) => "it is what switches this heater",
            };
            let reset = match sensing.reset {
                Reset::Automatic => String::new(),
                Reset::Manual => ", reset by hand".to_owned(),
            };
            Some(CardSetting {
                at: contact.name.clone(),
                what: "opens above".to_owned(),
                value: format!("{}{reset}", temperature(sensing.opens_above_c)),
                protects: protects.to_owned(),
            })
        })
        .collect()
}

fn share_a_chain(scenario: &Scenario, one: usize, other: usize) -> bool {
    let stands = |chain: &[tepid_sim::ids::ContactId], at: usize| chain.iter().any(|contact| contact.0 == at);
    scenario
        .chains()
        .any(|(_, chain)| stands(chain, one) && stands(chain, other))
}

fn alerts(scenario: &Scenario) -> Vec<CardSetting> {
    let watches = scenario.watches.iter();
    watches
        .map(|watch| CardSetting {
            at: "alert".to_owned(),
            what: watch.name.clone(),
            value: if watch.lasting_ms > 0 {
                format!(
                    "{}, for {}",
                    watch_in_words(scenario, watch),
                    print_millis(watch.lasting_ms)
                )
            } else {
                watch_in_words(scenario, watch)
            },
            protects: format!(
                "a fault that nobody notices; it reaches {}",
                reached(scenario, watch)
            ),
        })
        .collect()
}

fn reached(scenario: &Scenario, watch: &tepid_sim::scenario::Watch) -> String {
    let names: Vec<&str> = watch
        .reaches
        .iter()
        .map(|person| scenario.persons[person.0].name.as_str())
        .collect();
    if names.is_empty() {
        "nobody that is stated".to_owned()
    } else {
        tepid_output::wording::enumerated(&names)
    }
}

fn temperature(temp_c: f64) -> String {
    print(Kind::Temperature, temp_c, System::Metric)
}
