//! Nothing heats during a feeding pause.

use crate::scripted::{CLOSED, Stack, control, guard, set};
use crate::support::wiring::wiring;
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{Announced, AnnouncedKind};
use tepid_sim::time::{Millis, SECOND};
use tepid_strategies::values::Value;

fn event(name: &str, start_s: Millis, end_s: Option<Millis>) -> Announced {
    Announced {
        name: name.to_owned(),
        kind: match name {
            "feeding pause" => AnnouncedKind::PumpStopped,
            "water change" | "water change display" => AnnouncedKind::WaterChange,
            _ => AnnouncedKind::Other,
        },
        start_ms: start_s * SECOND,
        end_ms: end_s.map(|end_s| end_s * SECOND),
        new_water: None,
    }
}

/// Seconds of the first 80 at which the contact is held open.
fn held(given: &[(&str, Value)], announced: Vec<Announced>) -> Vec<usize> {
    let mut stack = Stack::new(&wiring(&[Some(Role::Heat)]), vec![guard("hold-off", given)]);
    let seconds = (0..8).flat_map(|step| {
        let now_ms = stack.now_ms;
        // As a run announces: what is over is announced no more.
        stack.announced = announced
            .iter()
            .filter(|event| event.end_ms.is_none_or(|end_ms| end_ms > now_ms))
            .cloned()
            .collect();
        let close = set(0, 0, CLOSED);
        let commands = if step == 0 { &[close][..] } else { &[] };
        stack.step(&control(25.0), commands).outside
    });
    let open = seconds.enumerate().filter(|(_, states)| !states[0].is_closed());
    open.map(|(second, _)| second).collect()
}

#[test]
fn it_holds_from_the_start_of_the_event_to_its_end_to_the_second() {
    let announced = vec![event("feeding pause", 13, Some(37))];
    assert_eq!(held(&[], announced), (13..37).collect::<Vec<_>>());
}

#[test]
fn it_goes_on_after_the_event_as_long_as_told() {
    let announced = vec![event("water change display", 13, Some(37))];
    let given = [("after", Value::Time(20 * SECOND))];
    assert_eq!(held(&given, announced), (13..57).collect::<Vec<_>>());
}

#[test]
fn it_knows_events_by_the_beginnings_of_their_names() {
    let announced = || vec![event("evening feed", 0, Some(40)), event("outage", 50, Some(70))];
    assert!(held(&[], announced()).is_empty());
    let given = [("events", Value::Names(vec!["evening".to_owned()]))];
    assert_eq!(held(&given, announced()), (0..40).collect::<Vec<_>>());
}

#[test]
fn an_event_with_an_open_end_holds_for_good() {
    let announced = vec![event("water change", 25, None)];
    assert_eq!(held(&[], announced), (25..80).collect::<Vec<_>>());
}

#[test]
fn an_event_is_known_by_what_it_is_whatever_it_is_called() {
    let announced = vec![Announced {
        kind: AnnouncedKind::PumpStopped,
        ..event("evening feed", 13, Some(37))
    }];
    assert_eq!(held(&[], announced), (13..37).collect::<Vec<_>>());
}
