//! Watches, people and acts in files.

use tepid_scenarios::{Report, scenario_text};
use tepid_sim::ids::{HeaterId, PersonId, ProbeId, TankId};
use tepid_sim::scenario::{
    ActKind, ActsBy, DailyHours, Effect, Lasts, Need, Origin, ResponseTime, Scenario, WatchRule, When,
};
use tepid_sim::time::{DAY, HOUR, MINUTE};

const TANK: &str = r#"
title = "A tank"
duration = "2 d"
[water]
salinity = "35 g/kg"
target = "25.5 °C"
band = ["25 °C", "26 °C"]
[[tank]]
name = "display"
volume = "200 L"
cover = "lid"
[room]
temperature = "21 °C"
[[heater]]
name = "left"
power = "200 W"
chain = ["relay"]
[[heater]]
name = "own"
power = "50 W"
chain = ["dial"]
[[contact]]
name = "relay"
kind = "relay"
role = "heat"
[[contact]]
name = "dial"
kind = "thermostat"
opens_above = "27 °C"
[[probe]]
name = "main"
tank = "display"
[[probe]]
name = "check"
tank = "display"
for = "monitor"
"#;

fn loaded(more: &str) -> Result<Scenario, Report> {
    scenario_text("tank.toml", &format!("{TANK}{more}"))
}

#[track_caller]
fn scenario(more: &str) -> Scenario {
    loaded(more).unwrap_or_else(|report| panic!("{}", report.plain()))
}

/// What people read of a mistake.
#[track_caller]
fn told(more: &str) -> String {
    match loaded(more) {
        Ok(_) => panic!("it loads"),
        Err(report) => report.plain(),
    }
}

#[test]
fn every_rule_is_one_line() {
    let rules = [
        ("probe = \"main\"\nabove = \"27 °C\"", "probe `main` above 27 °C"),
        ("probe = \"main\"\nbelow = \"24 °C\"", "probe `main` below 24 °C"),
        (
            "probe = \"main\"\nfaster = \"1.5 K/h\"",
            "probe `main` faster than 1.5 K an hour",
        ),
        (
            "probe = \"main\"\nother = \"check\"\napart = \"1 K\"",
            "probe `main` and probe `check` more than 1 K apart",
        ),
        (
            "probe = \"main\"\nno_reading = true",
            "probe `main` without a reading",
        ),
        (
            "heater = \"own\"\ndraws_above = \"10 W\"",
            "heater `own` draws above 10 W",
        ),
        (
            "heater = \"own\"\ndraws_below = \"10 W\"",
            "heater `own` draws below 10 W",
        ),
        (
            "heater = \"left\"\ndrawn = \"though not commanded\"",
            "heater `left` draws though not commanded",
        ),
        (
            "heater = \"left\"\ndrawn = \"not though commanded\"",
            "heater `left` draws nothing though commanded",
        ),
        ("no_sign_of_life = true", "no sign of life"),
    ];
    let text: String = rules
        .iter()
        .map(|(rule, _)| format!("[[watch]]\n{rule}\n"))
        .collect();
    let watches = scenario(&text).watches;
    for (watch, (rule, name)) in watches.iter().zip(rules) {
        assert_eq!(watch.name, name, "{rule}");
    }
    assert_eq!(
        watches[2].rule,
        WatchRule::Faster {
            probe: ProbeId(0),
            k_per_h: 1.5,
            over_ms: 30 * MINUTE
        }
    );
    assert_eq!(
        watches[9].needs,
        [Need::Power, Need::Router, Need::Network, Need::Controller]
    );
    assert!(watches[0].needs.is_empty());
}

#[test]
fn names_alone_are_people_at_hand() {
    let scenario = scenario(
        "[[watch]]\nprobe = \"main\"\nabove = \"27 °C\"\nreaches = [\"keeper\", \"sitter\"]\nacts = { after = \"2 h\", does = \"unplug heaters\" }\n",
    );
    assert_eq!(scenario.watches[0].reaches, [PersonId(0), PersonId(1)]);
    assert_eq!(scenario.persons[1].name, "sitter");
    assert_eq!(scenario.persons[1].response_ms(0, 2.0), Some(0));
    let act = &scenario.watches[0].acts[0];
    assert_eq!(
        (act.by, act.after_ms, act.kind),
        (ActsBy::People, 2 * HOUR, ActKind::UnplugHeaters)
    );
    assert_eq!(
        (act.happening.when, act.happening.origin, act.happening.lasts),
        (When::Acted, Origin::Act, Lasts::ToTheEnd)
    );
}

#[test]
fn people_have_hours_days_away_and_response_times() {
    let scenario = scenario(
        r#"
[[person]]
name     = "keeper"
at_home  = { from = "17:30", to = "08:00" }
quiet    = { from = "23:00", to = "07:00" }
response = [{ from = "23:00", to = "07:00", never = true }, { median = "10 min", spread = 2.5 }]
can      = ["unplug heaters", "sealed ice"]
[[person.away]]
from = "day 2 00:00"
to   = "day 2 12:00"
[[person]]
name = "sitter"
"#,
    );
    let keeper = &scenario.persons[0];
    let hours = |on, off| {
        Some(DailyHours {
            on_ms: on,
            off_ms: off,
        })
    };
    assert_eq!(keeper.at_home, hours(17 * HOUR + 30 * MINUTE, 8 * HOUR));
    assert_eq!(keeper.quiet, hours(23 * HOUR, 7 * HOUR));
    assert_eq!(keeper.away, [(DAY, DAY + 12 * HOUR)]);
    assert_eq!(keeper.response_ms(2 * HOUR, 0.0), None);
    assert_eq!(keeper.response_ms(12 * HOUR, 0.0), Some(10 * MINUTE));
    assert_eq!(keeper.response_ms(12 * HOUR, 1.0), Some(25 * MINUTE));
    assert!(keeper.can_do(ActKind::SealedIce) && !keeper.can_do(ActKind::LiftLid));
    assert_eq!(
        scenario.persons[1].responses[0].time,
        ResponseTime::Lognormal {
            median_ms: 10 * MINUTE,
            spread: 2.0
        }
    );
    assert!(
        scenario
            .assumptions
            .iter()
            .any(|line| line.contains("person sitter") && line.contains("no source"))
    );
}

#[test]
fn every_act_is_one_word_with_its_own_figures() {
    let acts = [
        ("does = \"unplug heaters\"", Effect::HeatersUnplugged),
        (
            "does = \"unplug heater\", heater = \"own\"",
            Effect::HeaterUnplugged(HeaterId(1)),
        ),
        (
            "does = \"sealed ice\"",
            Effect::SealedIce {
                tank: TankId(0),
                k_per_h: 0.5,
            },
        ),
        (
            "does = \"wrap the sides\", wrap = \"0.5 m² K/W\"",
            Effect::SidesWrapped {
                tank: TankId(0),
                extra_m2_k_per_w: 0.5,
            },
        ),
        (
            "does = \"lift the lid\"",
            Effect::Covered {
                tank: TankId(0),
                cover: tepid_sim::scenario::Cover::Open,
            },
        ),
        (
            "does = \"cool the room\", by = \"3 K\"",
            Effect::RoomCooled {
                by_k: 3.0,
                k_per_h: 2.0,
            },
        ),
    ];
    let list: Vec<String> = acts
        .iter()
        .map(|(act, _)| format!("{{ after = \"1 h\", {act} }}"))
        .collect();
    let text = format!(
        "[[watch]]\nprobe = \"main\"\nabove = \"27 °C\"\nacts = [{}]\n",
        list.join(", ")
    );
    let scenario = scenario(&text);
    let read: Vec<Effect> = scenario.acts().map(|act| act.effect).collect();
    assert_eq!(read, acts.map(|(_, effect)| effect));
}

#[test]
fn mistakes_of_watches_and_people_say_what_is_wrong_and_what_to_write() {
    let watch = "[[watch]]\nprobe = \"main\"\nabove = \"27 °C\"\n";
    let keeper = "[[person]]\nname = \"keeper\"\n";
    for (text, parts) in [
        (
            "[[watch]]\nprobe = \"main\"\n".to_owned(),
            &["exactly one rule", "`no_sign_of_life`"][..],
        ),
        (format!("{watch}below = \"20 °C\"\n"), &["exactly one rule"]),
        (
            format!("{watch}heater = \"left\"\n"),
            &["`heater` means nothing for `above`"],
        ),
        (
            "[[watch]]\nabove = \"27 °C\"\n".to_owned(),
            &["has no `probe`", "main, check"],
        ),
        (
            "[[watch]]\nprobe = \"main\"\nother = \"main\"\napart = \"1 K\"\n".to_owned(),
            &["cannot disagree with itself"],
        ),
        (
            "[[watch]]\nheater = \"own\"\ndrawn = \"though not commanded\"\n".to_owned(),
            &["heater `own` takes no commands", "draws_above"],
        ),
        (
            "[[watch]]\nprobe = \"main\"\nfaster = \"1 K\"\n".to_owned(),
            &["K/h"],
        ),
        (
            format!("{watch}needs = [\"ruter\"]\n"),
            &["cannot need `ruter`", "did you mean `router`"],
        ),
        (
            format!(
                "{watch}acts = {{ after = \"1 h\", does = \"start a generator\" }}\n[[backup]]\nname = \"battery\"\nenergy = \"1 kWh\"\nlimit = \"100 W\"\nfeeds = [\"router\"]\n"
            ),
            &["a battery, which nobody starts"],
        ),
        (
            format!("{watch}reaches = [\"keper\"]\n{keeper}"),
            &["names no person", "keeper"],
        ),
        (
            format!("{watch}acts = {{ does = \"unplug heaters\" }}\n"),
            &["has no `after`"],
        ),
        (
            format!("{watch}acts = {{ after = \"1 h\", does = \"sealed ice\", who = \"itself\" }}\n"),
            &["does not happen by itself"],
        ),
        (
            format!("{watch}acts = {{ after = \"1 h\", does = \"cool the room\" }}\n"),
            &["has no `by`"],
        ),
        (
            format!("{watch}acts = {{ after = \"1 h\", does = \"unplug heaters\", tank = \"display\" }}\n"),
            &["`tank` means nothing for `unplug heaters`"],
        ),
        (
            format!("{keeper}quiet = {{ from = \"07:00\", to = \"07:00\" }}\n"),
            &["begin and end at the same time"],
        ),
        (
            format!("{keeper}away = {{ from = \"day 3 00:00\", to = \"day 2 00:00\" }}\n"),
            &["back before leaving"],
        ),
        (
            format!("{keeper}response = {{ spread = 2 }}\n"),
            &["has no `median`"],
        ),
        (
            format!("{keeper}response = {{ median = \"1 h\", spread = 0.5 }}\n"),
            &["at least 1"],
        ),
        (
            "[[watch]]\nno_sign_of_life = true\nneeds = []\n".to_owned(),
            &["always gives a sign of life"],
        ),
    ] {
        let said = told(&text);
        for part in parts {
            assert!(said.contains(part), "{text}\n{said}");
        }
        assert!(said.contains("tank.toml:"), "{said}");
    }
}
