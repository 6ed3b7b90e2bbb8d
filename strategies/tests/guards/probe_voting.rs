//! Probes that outvote one another.

use crate::scripted::{Stack, guard};
use crate::support::wiring::wiring;
use tepid_sim::ids::ProbeId;
use tepid_sim::scenario::{ProbePurpose, Role};
use tepid_sim::strategy::{BindError, WiredProbe, Wiring};

/// Probe 0 is a monitor, probe 1 controls, `more` further ones hang beside them.
fn probes(more: usize) -> Wiring {
    let mut wiring = wiring(&[Some(Role::Heat)]);
    for index in 0..more {
        wiring.probes.push(WiredProbe {
            name: format!("more {index}"),
            tank: Some("sump".to_owned()),
            purpose: ProbePurpose::Monitor,
        });
    }
    wiring
}

fn voting(more: usize) -> Stack {
    Stack::new(&probes(more), vec![guard("probe-voting", &[])])
}

/// What the strategy is shown of probe 1 by these readings, after a first decision at which all agreed.
fn shown(readings: &[Option<f64>]) -> (Option<f64>, Vec<String>) {
    let mut stack = voting(readings.len() - 2);
    stack.step(&vec![Some(25.5); readings.len()], &[]);
    assert_eq!(stack.shown_c(1), Some(25.5));
    stack.step(readings, &[]);
    (stack.shown_c(1), stack.alerts)
}

#[test]
fn three_that_agree_leave_the_reading_as_it_is() {
    assert_eq!(shown(&[Some(25.0), Some(25.3), Some(25.4)]), (Some(25.3), vec![]));
}

#[test]
fn of_three_the_median_takes_the_place_of_one_that_is_off_or_silent() {
    assert_eq!(shown(&[Some(26.0), Some(24.0), Some(26.1)]).0, Some(26.0));
    assert_eq!(shown(&[Some(26.0), Some(85.0), Some(26.1)]).0, Some(26.05));
    assert_eq!(shown(&[Some(26.0), Some(0.0), Some(26.1)]).0, Some(26.05));
    assert_eq!(shown(&[Some(26.0), None, Some(26.1)]).0, Some(26.05));
    assert_eq!(shown(&[Some(26.0), Some(f64::NAN), Some(26.1)]).0, Some(26.05));
    assert_eq!(shown(&[Some(26.0), None, Some(26.1)]).1.len(), 1);
}

#[test]
fn others_that_are_wrong_do_not_move_a_good_reading() {
    assert_eq!(shown(&[Some(85.0), Some(25.6), Some(25.5)]), (Some(25.6), vec![]));
    assert_eq!(shown(&[None, Some(25.6), Some(25.5)]), (Some(25.6), vec![]));
    assert_eq!(
        shown(&[Some(20.0), Some(25.6), Some(25.5), Some(31.0)]).0,
        Some(25.6)
    );
}

#[test]
fn two_that_disagree_and_one_alone_are_no_reading() {
    assert_eq!(shown(&[Some(27.0), Some(25.6)]).0, None);
    assert_eq!(shown(&[None, Some(25.6)]).0, None);
    assert_eq!(shown(&[None, Some(25.6), None]).0, None);
    assert_eq!(shown(&[None, None, None]).0, None);
    assert_eq!(shown(&[Some(26.0), Some(25.6)]), (Some(25.6), vec![]));
}

#[test]
fn a_reading_that_jumps_is_left_out_once() {
    let mut stack = voting(0);
    stack.step(&[Some(25.5), Some(25.5)], &[]);
    stack.step(&[Some(28.0), Some(28.0)], &[]);
    assert_eq!(stack.shown_c(1), None, "both jumped by more than 2 K");
    stack.step(&[Some(28.0), Some(28.0)], &[]);
    assert_eq!(stack.shown_c(1), Some(28.0));
    assert_eq!(stack.alerts.len(), 1);
}

#[test]
fn a_guard_before_it_sees_what_was_agreed_and_one_after_it_what_was_read() {
    let wiring = probes(1);
    let limit = || guard("software-limit", &[]);
    let wrong = [Some(25.5), Some(30.0), Some(25.5)];
    for (guards, closed) in [
        (vec![limit(), guard("probe-voting", &[])], true),
        (vec![guard("probe-voting", &[]), limit()], false),
    ] {
        let mut stack = Stack::new(&wiring, guards);
        let close = crate::scripted::set(0, 0, crate::scripted::CLOSED);
        assert_eq!(stack.step(&wrong, &[close]).outside[0][0].is_closed(), closed);
    }
}

#[test]
fn one_probe_cannot_vote() {
    let mut alone = wiring(&[Some(Role::Heat)]);
    alone.probes[0].tank = Some("display".to_owned());
    match guard("probe-voting", &[]).bind(&alone, 10_000) {
        Err(BindError::DoesNotApply { missing }) => assert_eq!(missing, "no second probe in `sump`"),
        Err(other) => panic!("{other}"),
        Ok(_) => panic!("bound"),
    }
    assert_eq!(alone.control_probe(), Ok(ProbeId(1)));
}
