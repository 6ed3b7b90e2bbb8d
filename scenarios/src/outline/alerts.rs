//! Watches and people in plain lines.

use tepid_sim::quantity::{Kind, print_millis, print_time_of_day};
use tepid_sim::scenario::{ActsBy, DailyHours, Need, Person, ResponseTime, Scenario, Watch};
use tepid_sim::time::{Millis, day_index, time_of_day};

use super::{both, power};
use crate::fields::act::DOES;
use crate::read::act_kind;
use crate::watch_words::rule_words;

/// One line for each watch, and one for each person of whom more is known than the name.
pub(super) fn lines(scenario: &Scenario) -> Vec<String> {
    let watches = scenario.watches.iter().map(|one| watch(scenario, one));
    let known = |one: &&Person| **one != Person::at_hand(one.name.as_str());
    watches
        .chain(scenario.persons.iter().filter(known).map(person))
        .collect()
}

/// "watch too warm: probe main above 27 °C (80.6 °F) for 5 min; its alert needs power; tells keeper, 15 min later sitter; …".
fn watch(scenario: &Scenario, watch: &Watch) -> String {
    let number = |kind, value| {
        if kind == Kind::Power {
            power(value)
        } else {
            both(kind, value)
        }
    };
    let rule = rule_words(
        watch.rule,
        &|probe| format!("probe {}", scenario.probes[probe.0].name),
        &|heater| format!("heater {}", scenario.heaters[heater.0].name),
        &number,
    );
    let mut line = format!("watch {}: {rule}", watch.name);
    if watch.lasting_ms > 0 {
        line += &format!(" for {}", print_millis(watch.lasting_ms));
    }
    let needs: Vec<&str> = watch
        .needs
        .iter()
        .map(|need| need_word(scenario, *need))
        .collect();
    line += &match (needs.as_slice(), watch.battery_ms) {
        ([], _) => "; its alert needs nothing".to_owned(),
        (needs, 0) => format!("; its alert needs {}", needs.join(", ")),
        (needs, battery_ms) => format!(
            "; its alert needs {}, or a battery for {}",
            needs.join(", "),
            print_millis(battery_ms)
        ),
    };
    let between = match watch.passed_on_ms {
        Some(later_ms) => format!(", {} later ", print_millis(later_ms)),
        None => ", ".to_owned(),
    };
    let names = watch
        .reaches
        .iter()
        .map(|person| scenario.persons[person.0].name.as_str());
    line += &format!("; tells {}", names.collect::<Vec<_>>().join(&between));
    for act in &watch.acts {
        let by = match act.by {
            ActsBy::People => "by whoever comes",
            ActsBy::Itself => "by itself",
        };
        line += &format!("; then {} {by}", act.happening.name);
        if act.after_ms > 0 {
            line += &format!(" after {}", print_millis(act.after_ms));
        }
    }
    line
}

fn need_word(scenario: &Scenario, need: Need) -> &str {
    match need {
        Need::Router => "the router",
        Need::Network => "the line out of the house",
        Need::Controller => "the controller",
        Need::Circuit(circuit) => &scenario.circuits[circuit.0].name,
        _ => "power",
    }
}

/// "person keeper: at home 17:30 to 08:00, hears nothing 23:00 to 06:30, takes 10 min (two of three: within a factor of 2)".
fn person(person: &Person) -> String {
    let hours = |hours: DailyHours| {
        format!(
            "{} to {}",
            print_time_of_day(hours.on_ms),
            print_time_of_day(hours.off_ms)
        )
    };
    let mut parts = Vec::new();
    parts.extend(person.at_home.map(|home| format!("at home {}", hours(home))));
    for (left_ms, back_ms) in &person.away {
        parts.push(format!("away {} to {}", moment(*left_ms), moment(*back_ms)));
    }
    parts.extend(
        person
            .quiet
            .map(|quiet| format!("hears nothing {}", hours(quiet))),
    );
    for response in &person.responses {
        let takes = match response.time {
            ResponseTime::Never => "never answers".to_owned(),
            ResponseTime::Lognormal { median_ms, spread } => format!(
                "takes {} (two of three within a factor of {spread})",
                print_millis(median_ms)
            ),
        };
        parts.push(match response.hours {
            Some(of_day) => format!("{takes} {}", hours(of_day)),
            None => takes,
        });
    }
    if let Some(can) = &person.can {
        let words = DOES.iter().filter(|does| can.contains(&act_kind(does)));
        parts.push(format!(
            "can {}",
            words.copied().collect::<Vec<_>>().join(" and ")
        ));
    }
    format!("person {}: {}", person.name, parts.join(", "))
}

/// "day 3 08:00".
fn moment(at_ms: Millis) -> String {
    format!(
        "day {} {}",
        day_index(at_ms) + 1,
        print_time_of_day(time_of_day(at_ms))
    )
}
