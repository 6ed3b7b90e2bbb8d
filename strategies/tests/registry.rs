//! The registry: names, tables of parameters, and the values they take.

use tepid_sim::quantity::{Kind, parse, parse_millis, parse_time_of_day};
use tepid_sim::time::{HOUR, MINUTE, SECOND};
use tepid_strategies::parameter::{Param, ParamDefault, ParamError, ParamKind};
use tepid_strategies::values::Value;
use tepid_strategies::{Entry, find, registry};

fn all_params() -> impl Iterator<Item = (&'static Entry, &'static Param)> {
    registry()
        .iter()
        .flat_map(|entry| entry.params.iter().map(move |param| (entry, param)))
}

fn default_value(param: &Param) -> Option<Value> {
    match param.default {
        ParamDefault::Number(number) => Some(Value::Number(number)),
        ParamDefault::Time(length) => Some(Value::Time(length)),
        ParamDefault::Word(word) => Some(Value::Text(word.to_owned())),
        ParamDefault::OfScenario(_) => None,
    }
}

#[test]
fn names_are_unique_and_found() {
    for entry in registry() {
        assert_eq!(
            registry().iter().filter(|other| other.name == entry.name).count(),
            1,
            "{}",
            entry.name
        );
        assert_eq!(find(entry.name).map(|found| found.name), Some(entry.name));
        assert!(
            !entry.summary.is_empty() && !entry.summary.contains('\n'),
            "{}",
            entry.name
        );
        for param in entry.params {
            let namesakes = entry
                .params
                .iter()
                .filter(|other| other.name == param.name)
                .count();
            assert_eq!(namesakes, 1, "{} {}", entry.name, param.name);
            assert!(!param.doc.is_empty() && !param.doc.contains('\n'));
            assert_eq!(entry.param(param.name), Some(param));
        }
    }
    assert!(find("onoff").is_none());
}

/// Where a quantity stands says what it is for; how much of it is a choice, and a choice has a price.
#[test]
fn every_quantity_that_may_be_set_tells_what_it_trades() {
    let of_guards = tepid_strategies::guard::guards()
        .iter()
        .flat_map(|guard| guard.params.iter().map(|param| (guard.name, param)));
    let of_strategies = all_params().map(|(entry, param)| (entry.name, param));
    for (of, param) in of_strategies.chain(of_guards) {
        if matches!(param.kind, ParamKind::Quantity(_)) {
            let trade = param.trade.unwrap_or_default();
            let both_sides = [", ", "; ", " and "]
                .iter()
                .any(|between| trade.contains(between));
            assert!(both_sides, "{of}: {}: `{trade}`", param.name);
        }
    }
}

#[test]
fn every_default_may_be_given() {
    for (entry, param) in all_params() {
        if let Some(value) = default_value(param) {
            assert_eq!(param.check(&value), Ok(()), "{} {}", entry.name, param.name);
        }
    }
}

#[test]
fn giving_the_defaults_changes_nothing() {
    for entry in registry() {
        let mut values = entry.defaults();
        for param in entry.params {
            if let Some(value) = default_value(param) {
                values.set(param.name, value).unwrap();
            }
        }
        let given = (entry.build)(&values).unwrap();
        let left_out = (entry.build)(&entry.defaults()).unwrap();
        assert_eq!(format!("{given:?}"), format!("{left_out:?}"));
        assert_eq!(given.name(), entry.name);
        assert!(given.interval_ms() > 0);
    }
}

#[test]
fn the_text_of_a_default_reads_back_as_the_default() {
    for (entry, param) in all_params() {
        let text = param.default_text();
        match (param.kind, param.default) {
            (ParamKind::Quantity(Kind::Time), ParamDefault::Time(length)) => {
                assert_eq!(parse_millis(&text), Ok(length), "{} {}", entry.name, param.name);
            }
            (ParamKind::TimeOfDay, ParamDefault::Time(time)) => {
                assert_eq!(
                    parse_time_of_day(&text),
                    Ok(time),
                    "{} {}",
                    entry.name,
                    param.name
                );
            }
            (ParamKind::Quantity(kind), ParamDefault::Number(number)) => {
                assert_eq!(parse(kind, &text), Ok(number), "{} {}", entry.name, param.name);
            }
            (ParamKind::Choice(words), ParamDefault::Word(word)) => assert!(words.contains(&word)),
            (_, ParamDefault::OfScenario(_)) => {}
            (kind, default) => panic!("{} {}: {default:?} for {kind:?}", entry.name, param.name),
        }
    }
}

#[test]
fn every_documented_parameter_is_in_the_table_and_the_page_names_every_parameter_of_its_own() {
    let pages = [
        ("heater-dial", include_str!("../src/heater_dial.rs")),
        ("timer", include_str!("../src/timer.rs")),
        ("on-off", include_str!("../src/on_off.rs")),
        ("proportional", include_str!("../src/proportional.rs")),
        ("pi", include_str!("../src/pi.rs")),
        ("pid", include_str!("../src/pid.rs")),
        ("feed-forward", include_str!("../src/feed_forward.rs")),
        ("predictive", include_str!("../src/predictive.rs")),
        ("staggered-pair", include_str!("../src/staggered_pair.rs")),
        ("lead-lag", include_str!("../src/lead_lag.rs")),
        ("set-back", include_str!("../src/set_back.rs")),
        ("warm-back", include_str!("../src/warm_back.rs")),
        ("fan-cooling", include_str!("../src/fan_cooling.rs")),
        ("fan-stages", include_str!("../src/fan_stages.rs")),
        ("chiller", include_str!("../src/chiller.rs")),
        ("heat-and-fan", include_str!("../src/heat_and_fan.rs")),
        ("room-first", include_str!("../src/room_first.rs")),
    ];
    assert_eq!(
        pages.map(|(name, _)| name).to_vec(),
        registry().iter().map(|e| e.name).collect::<Vec<_>>()
    );
    for (name, source) in pages {
        let (_, after) = source.split_once("//! # Parameters").unwrap();
        let (section, _) = after.split_once("//! #").unwrap();
        for param in find(name).unwrap().params {
            assert!(
                section.contains(&format!("`{}`", param.name)),
                "{name}: {} is not on its page",
                param.name
            );
        }
    }
}

#[test]
fn a_value_of_another_kind_is_refused_with_what_is_expected() {
    let mut values = find("on-off").unwrap().defaults();
    for (param, value) in [
        ("deadband", Value::Time(SECOND)),
        ("deadband", Value::Text("0.4".to_owned())),
        ("interval", Value::Number(10.0)),
        ("probe", Value::Number(1.0)),
        ("contacts", Value::Text("relay".to_owned())),
        ("without_reading", Value::Names(vec![])),
    ] {
        let error = values.set(param, value).unwrap_err();
        assert!(matches!(error, ParamError::WrongKind { .. }), "{error}");
        assert_eq!(error.param(), param);
    }
}

#[test]
fn a_value_out_of_range_is_refused_with_the_range() {
    let mut values = find("on-off").unwrap().defaults();
    for number in [0.0, -0.4, 6.0, f64::NAN, f64::INFINITY] {
        let error = values.set("deadband", Value::Number(number)).unwrap_err();
        assert!(error.to_string().contains("0.01 K to 5 K"), "{error}");
    }
    for length in [0, -SECOND, 2 * HOUR] {
        let error = values.set("interval", Value::Time(length)).unwrap_err();
        assert!(error.to_string().contains("1 s to 1 h"), "{error}");
    }
    values.set("deadband", Value::Number(5.0)).unwrap();
    values.set("interval", Value::Time(HOUR)).unwrap();
}

#[test]
fn wrong_words_lists_and_names_are_refused() {
    let mut values = find("on-off").unwrap().defaults();
    let word = values
        .set("position", Value::Text("under".to_owned()))
        .unwrap_err();
    assert_eq!(
        word.to_string(),
        "`position` is `under`, but may be centred, below"
    );
    assert!(matches!(
        values.set("deadbnd", Value::Number(1.0)),
        Err(ParamError::NoSuchParameter { .. })
    ));
    let twice = vec!["a".to_owned(), "b".to_owned(), "a".to_owned()];
    assert_eq!(
        values
            .set("contacts", Value::Names(twice))
            .unwrap_err()
            .to_string(),
        "`contacts` names `a` twice"
    );
    assert!(values.set("contacts", Value::Names(vec![])).is_err());
}

#[test]
fn values_that_do_not_fit_together_name_the_one_to_change() {
    let pi = find("pi").unwrap();
    let mut values = pi.defaults();
    values.set("interval", Value::Time(HOUR)).unwrap();
    values.set("integral_time", Value::Time(30 * MINUTE)).unwrap();
    assert_eq!((pi.build)(&values).unwrap_err().param(), "integral_time");
    let pair = find("staggered-pair").unwrap();
    let mut values = pair.defaults();
    values
        .set("contacts", Value::Names(vec!["left".to_owned()]))
        .unwrap();
    assert_eq!((pair.build)(&values).unwrap_err().param(), "contacts");
}

#[test]
fn settings_say_in_one_line_what_is_in_use() {
    let settings = |name: &str, given: &[(&str, Value)]| {
        let entry = find(name).unwrap();
        let mut values = entry.defaults();
        for (param, value) in given {
            values.set(param, value.clone()).unwrap();
        }
        (entry.build)(&values).unwrap().settings()
    };
    assert_eq!(settings("on-off", &[]), "0.4 K deadband, centred on the target");
    let given = [
        ("deadband", Value::Number(5.0 / 9.0)),
        ("setpoint", Value::Number(25.5)),
        ("position", Value::Text("below".to_owned())),
        ("minimum_off", Value::Time(3 * MINUTE)),
        ("interval", Value::Time(MINUTE)),
        ("without_reading", Value::Text("last duty".to_owned())),
    ];
    assert_eq!(
        settings("on-off", &given),
        "0.56 K deadband, below 25.5 °C, at least 3 min off, decides every 1 min, last duty without a reading"
    );
    assert_eq!(
        settings("pi", &[("anti_windup", Value::Text("none".to_owned()))]),
        "0.5 K band at the target, 2 h integral time, 5 min cycle, no anti-windup"
    );
}
