use tepid_sim::scenario::{ContactKind, Role};
use tepid_sim::strategy::BindError;
use tepid_sim::time::HOUR;
use tepid_strategies::values::Value;

use crate::support::bench::Bench;
use crate::support::recipe;
use crate::support::wiring::wiring;

/// Two heaters, a dial behind the first alone.
fn one_with_a_dial() -> tepid_sim::strategy::Wiring {
    let mut wiring = wiring(&[None, Some(Role::Heat), Some(Role::Heat)]);
    wiring.heaters[1].chain.remove(0);
    wiring
}

#[test]
fn contacts_stay_closed_whatever_the_water_does() {
    let mut bench = Bench::new(&*recipe("heater-dial", &[]), &wiring(&[None, Some(Role::Heat)]));
    for reading_c in [Some(10.0), Some(25.5), Some(40.0), None] {
        bench.run(HOUR, reading_c);
    }
    bench.outage(HOUR);
    bench.run(HOUR, None);
    assert_eq!(bench.closed_ms, [0, 5 * HOUR]);
}

#[test]
fn a_heater_without_a_dial_is_left_off() {
    let mut bench = Bench::new(&*recipe("heater-dial", &[]), &one_with_a_dial());
    bench.run(HOUR, Some(20.0));
    assert_eq!(bench.closed_ms, [0, HOUR, 0]);
}

#[test]
fn naming_a_heater_without_a_dial_is_refused() {
    let named = recipe(
        "heater-dial",
        &[("contacts", Value::Names(vec!["contact 2".to_owned()]))],
    );
    match named.bind(&one_with_a_dial()).err() {
        Some(BindError::Unknown { name, known, .. }) => {
            assert_eq!(
                (name.as_str(), known),
                ("contact 2", vec!["contact 1".to_owned()])
            );
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn heaters_without_dials_cannot_be_left_to_them() {
    let mut bare = wiring(&[None, Some(Role::Heat)]);
    bare.contacts[0].kind = ContactKind::CutOut;
    assert_eq!(
        recipe("heater-dial", &[]).bind(&bare).err(),
        Some(BindError::DoesNotApply {
            missing: "no heater with a dial of its own".to_owned()
        })
    );
}
