//! The list of guards, their pages and parameters.

use tepid_sim::scenario::ProbePurpose;
use tepid_sim::strategy::BindError;
use tepid_strategies::guard::{find_guard, guards};
use tepid_strategies::page;
use tepid_strategies::parameter::{ParamDefault, ParamError, ParamKind};
use tepid_strategies::values::Value;

use crate::scripted::guard;
use crate::support::text;
use crate::support::wiring::wiring;

#[test]
fn every_guard_has_its_page_with_every_parameter_on_it() {
    for entry in guards() {
        let parts = page::parts(entry.page);
        let headings: Vec<&str> = parts.iter().map(|part| part.heading).collect();
        assert_eq!(
            headings,
            [
                "Law",
                "Reads",
                "Commands",
                "Memory and reset",
                "Parameters",
                "When the probe is silent",
                "Known weakness",
                "Source"
            ],
            "{}",
            entry.name
        );
        let parameters = parts[4].lines.join("\n");
        for param in entry.params {
            assert!(
                parameters.contains(&format!("`{}`", param.name)),
                "{}: {} is not on its page",
                entry.name,
                param.name
            );
        }
        assert!(!entry.summary.is_empty() && !entry.summary.contains('\n'));
        assert_eq!(find_guard(entry.name).map(|found| found.name), Some(entry.name));
    }
}

#[test]
fn giving_the_defaults_changes_nothing() {
    for entry in guards() {
        let mut values = entry.defaults();
        for param in entry.params {
            let default = match param.default {
                ParamDefault::Number(number) => Value::Number(number),
                ParamDefault::Time(length) => Value::Time(length),
                ParamDefault::Word(word) => text(word),
                ParamDefault::OfScenario(_) => continue,
            };
            values.set(param.name, default).expect("a default may be given");
        }
        let given = (entry.build)(&values).expect("values that fit");
        let left_out = (entry.build)(&entry.defaults()).expect("values that fit");
        assert_eq!(format!("{given:?}"), format!("{left_out:?}"));
        assert_eq!(given.name(), entry.name);
    }
}

#[test]
fn edges_the_wrong_way_round_name_the_one_to_change() {
    for (name, lower, upper) in [
        ("software-limit", "closes_below", "opens_above"),
        ("fan-on-limit", "opens_below", "closes_above"),
        ("probe-voting", "lowest", "highest"),
    ] {
        let entry = find_guard(name).expect("a guard");
        let mut values = entry.defaults();
        values.set(lower, Value::Number(28.0)).expect("may stand");
        values.set(upper, Value::Number(27.0)).expect("may stand");
        let error = (entry.build)(&values).expect_err("refused");
        assert!(matches!(error, ParamError::DoesNotFit { .. }), "{error}");
        assert_eq!(error.param(), lower);
    }
    let entry = find_guard("software-limit").expect("a guard");
    let mut values = entry.defaults();
    values
        .set("closes_below", Value::Number(26.0))
        .expect("may stand");
    let error = (entry.build)(&values).expect_err("a lower edge alone is refused");
    assert_eq!(
        error.to_string(),
        "`closes_below` means nothing without `opens_above`"
    );
}

#[test]
fn guards_bind_or_say_what_is_missing_and_refuse_names_that_are_not_there() {
    let mut nothing = wiring(&[None]);
    for probe in &mut nothing.probes {
        probe.purpose = ProbePurpose::Monitor;
    }
    for entry in guards() {
        match guard(entry.name, &[]).bind(&nothing, 10_000) {
            Err(BindError::DoesNotApply { missing }) => assert!(!missing.is_empty()),
            Err(other) => panic!("{}: {other}", entry.name),
            Ok(_) => panic!("{} binds to nothing", entry.name),
        }
        let full = wiring(&[
            Some(tepid_sim::scenario::Role::Heat),
            Some(tepid_sim::scenario::Role::Cool),
        ]);
        assert!(
            guard(entry.name, &[]).bind(&full, 10_000).is_ok(),
            "{}",
            entry.name
        );
        for param in entry.params {
            let value = match param.kind {
                ParamKind::ProbeName => text("mian"),
                ParamKind::ProbeNames | ParamKind::ContactNames => Value::Names(vec!["mian".to_owned()]),
                _ => continue,
            };
            match guard(entry.name, &[(param.name, value)]).bind(&full, 10_000) {
                Err(BindError::Unknown { name, .. }) => assert_eq!(name, "mian"),
                Err(other) => panic!("{} {}: {other}", entry.name, param.name),
                Ok(_) => panic!("{} {}: bound", entry.name, param.name),
            }
        }
    }
}
