use tepid_sim::scenario::Role;
use tepid_sim::strategy::BindError;
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis};
use tepid_strategies::values::Value;

use crate::first_order_tank::FirstOrderTank;
use crate::support::bench::Bench;
use crate::support::recipe;
use crate::support::wiring::{TARGET_C, wiring};

const COOL: Option<Role> = Some(Role::Cool);

/// A fan and a chiller.
const FAN_AND_CHILLER: &[Option<Role>] = &[COOL, COOL];

#[test]
fn the_deadband_lies_mostly_above() {
    let mut bench = Bench::new(&*recipe("chiller", &[]), &wiring(FAN_AND_CHILLER));
    bench.run(HOUR, Some(TARGET_C));
    for (reading_c, closed) in [
        (26.09, false),
        (26.11, true),
        (25.51, true),
        (25.31, true),
        (25.29, false),
    ] {
        bench.step(Some(reading_c), |_, _| {});
        assert_eq!(bench.states[1].is_closed(), closed, "at {reading_c} °C");
        assert!(!bench.states[0].is_closed(), "the fan stands");
    }
}

/// All stretches in which the chiller was off between two runs, ms.
fn rests_ms(
    bench: &mut Bench,
    length_ms: Millis,
    mut reading_c: impl FnMut(Millis) -> Option<f64>,
) -> Vec<Millis> {
    let (mut rests_ms, mut off_ms) = (Vec::new(), None);
    let until_ms = bench.now_ms + length_ms;
    while bench.now_ms < until_ms {
        let reading_c = reading_c(bench.now_ms);
        bench.step(reading_c, |stretch_ms, states| {
            if !states[1].is_closed() {
                off_ms = off_ms.map(|off_ms: Millis| off_ms + stretch_ms);
            } else if let Some(off_ms) = off_ms.replace(0).filter(|off_ms| *off_ms > 0) {
                rests_ms.push(off_ms);
            }
        });
    }
    rests_ms
}

#[test]
fn a_chiller_never_restarts_within_its_rest() {
    for without in ["off", "hold", "last duty"] {
        let given = [("without_reading", Value::Text(without.to_owned()))];
        let mut bench = Bench::new(&*recipe("chiller", &given), &wiring(FAN_AND_CHILLER));
        let mut step = 0_u32;
        let rests_ms = rests_ms(&mut bench, 3 * DAY, |_| {
            step += 1;
            let restless = step.wrapping_mul(2_654_435_761) % 3001;
            (step % 97 > 10).then_some(TARGET_C + f64::from(restless) / 1000.0 - 1.5)
        });
        assert!(rests_ms.len() > 100, "{without}: {} rests", rests_ms.len());
        assert!(rests_ms.iter().all(|rest_ms| *rest_ms >= 5 * MINUTE), "{without}");
    }
}

#[test]
fn without_a_rest_it_restarts_at_once() {
    let given = [("rest", Value::Time(0))];
    let mut bench = Bench::new(&*recipe("chiller", &given), &wiring(FAN_AND_CHILLER));
    bench.run(MINUTE, Some(TARGET_C + 1.0));
    bench.step(Some(TARGET_C - 1.0), |_, _| {});
    bench.step(Some(TARGET_C + 1.0), |_, _| {});
    assert_eq!(bench.closings[1], 2);
}

#[test]
fn it_rests_after_an_outage_however_short() {
    let mut bench = Bench::new(&*recipe("chiller", &[]), &wiring(FAN_AND_CHILLER));
    bench.run(HOUR, Some(TARGET_C + 1.0));
    assert!(bench.states[1].is_closed());
    bench.outage(20_000);
    let closed_ms = bench.closed_ms[1];
    bench.run(5 * MINUTE, Some(TARGET_C + 1.0));
    assert_eq!(bench.closed_ms[1], closed_ms);
    bench.run(MINUTE, Some(TARGET_C + 1.0));
    assert_eq!(bench.closed_ms[1], closed_ms + MINUTE);
}

#[test]
fn a_chiller_holds_a_tank_in_a_warm_room() {
    let mut tank = FirstOrderTank::at(TARGET_C, &[0.0, -400.0]);
    tank.room_c = 30.0;
    let mut bench = Bench::new(&*recipe("chiller", &[]), &wiring(FAN_AND_CHILLER));
    tank.run(&mut bench, 5 * DAY, |_, temp_c| {
        // The edges, and what 200 W move the water past them in 10 s.
        assert!((25.3 - 0.003..26.1 + 0.003).contains(&temp_c), "{temp_c} °C");
    });
}

#[test]
fn a_fan_is_no_chiller() {
    let refused = recipe("chiller", &[])
        .bind(&wiring(&[Some(Role::Heat), COOL]))
        .err();
    assert_eq!(
        refused,
        Some(BindError::DoesNotApply {
            missing: "no commanded contact of a chiller".to_owned()
        })
    );
}

#[test]
fn stages_follow_each_other_and_the_chiller_is_the_last() {
    let mut swapped = wiring(FAN_AND_CHILLER);
    for contact in &mut swapped.contacts {
        contact.only_chillers = !contact.only_chillers;
    }
    for (wiring, fan, chiller) in [(wiring(FAN_AND_CHILLER), 0, 1), (swapped, 1, 0)] {
        let mut bench = Bench::new(&*recipe("fan-stages", &[]), &wiring);
        bench.run(HOUR, Some(TARGET_C));
        for (reading_c, closed) in [
            (25.79, [false, false]),
            (25.81, [true, false]),
            (26.29, [true, false]),
            (26.31, [true, true]),
            (26.01, [true, true]),
            (25.99, [true, false]),
            (25.51, [true, false]),
            (25.49, [false, false]),
        ] {
            bench.step(Some(reading_c), |_, _| {});
            assert_eq!(
                [bench.states[fan].is_closed(), bench.states[chiller].is_closed()],
                closed,
                "at {reading_c} °C"
            );
        }
    }
}

#[test]
fn the_last_stage_rests_and_the_fan_does_not() {
    let mut bench = Bench::new(&*recipe("fan-stages", &[]), &wiring(FAN_AND_CHILLER));
    bench.run(HOUR, Some(TARGET_C + 1.0));
    bench.run(MINUTE, Some(TARGET_C));
    let closed_ms = bench.closed_ms.clone();
    bench.run(4 * MINUTE, Some(TARGET_C + 1.0));
    assert_eq!(bench.closed_ms, [closed_ms[0] + 4 * MINUTE, closed_ms[1]]);
    bench.run(MINUTE, Some(TARGET_C + 1.0));
    assert_eq!(bench.closed_ms[1], closed_ms[1] + MINUTE);
}

#[test]
fn one_fan_makes_no_stages() {
    let refused = recipe("fan-stages", &[])
        .bind(&wiring(&[Some(Role::Heat), COOL]))
        .err();
    assert_eq!(
        refused,
        Some(BindError::DoesNotApply {
            missing: "only one contact that cools".to_owned()
        })
    );
}
