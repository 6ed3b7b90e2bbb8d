//! Lives of parts: `[[life]]`, the usual ones, and `life` of a fault.

use tepid_scenarios::{Loaded, Report, library, lives, load_str};
use tepid_sim::ids::ContactId;
use tepid_sim::scenario::{Counted, Effect, Fails, Guard, PartLife, Scenario, When};
use tepid_sim::time::DAY;

fn with(added: &str) -> Result<Scenario, Report> {
    let text = library::text("spare-room-winter").expect("text");
    load_str("test.toml", &format!("{text}\n{added}\n")).map(|loaded| match loaded {
        Loaded::Scenario(scenario) => *scenario,
        other => panic!("{other:?}"),
    })
}

fn lives_with(added: &str) -> Vec<PartLife> {
    let scenario = with(added).unwrap_or_else(|report| panic!("{}", report.plain()));
    lives(&scenario).unwrap_or_else(|report| panic!("{}", report.plain()))
}

fn refusal(added: &str) -> (&'static str, String) {
    let report = with(added).expect_err("a mistake");
    assert_eq!(report.problems.len(), 1, "{}", report.plain());
    (report.problems[0].code, report.plain())
}

#[test]
fn every_usual_life_has_a_source_or_says_that_it_is_an_assumption() {
    let all = lives_with("");
    for kind in [
        "relay",
        "thermostat",
        "heater",
        "probe silent",
        "probe out of the water",
        "pump",
        "mains",
        "residual-current",
        "box",
        "alerts",
    ] {
        assert!(all.iter().any(|one| one.kind == kind), "{kind}");
    }
    for one in &all {
        let says = ["data sheet", "from memory", "an assumption"];
        assert!(
            says.iter().any(|part| one.source.contains(part)),
            "{}: {}",
            one.kind,
            one.source
        );
    }
}

#[test]
fn a_relay_lasts_as_long_as_its_rating_where_one_is_stated() {
    let text = library::text("spare-room-winter").unwrap();
    let rated = text.replacen("life = \"100000 closings\"", "life = \"30000 closings\"", 1);
    let Ok(Loaded::Scenario(scenario)) = load_str("test.toml", &rated) else {
        panic!("it loads");
    };
    let all = lives(&scenario).unwrap();
    let relays: Vec<f64> = all
        .iter()
        .filter(|one| one.kind == "relay")
        .map(|one| one.hazard.life.characteristic)
        .collect();
    assert_eq!(relays, [30_000.0, 100_000.0]);
}

#[test]
fn a_stated_life_takes_the_place_of_the_usual_one_of_that_part_alone() {
    let all = lives_with(
        "[[life]]\nof = \"relay\"\npart = \"relay left\"\nclosings = 5000\nshape = 3\nage = 100\nwelds = \"10 %\"\n\
         tested_every = \"30 d\"\ntest_finds = \"80 %\"\nreplaced_after = \"2 d\"\nfrom = \"my own relays\"",
    );
    let of = |part: &'static str| {
        all.iter()
            .filter(move |one| one.kind == "relay" && one.part == part)
    };
    assert_eq!((of("relay left").count(), of("relay right").count()), (1, 1));
    let left = of("relay left").next().unwrap();
    assert_eq!(left.hazard.life.characteristic, 5000.0);
    assert_eq!((left.hazard.life.shape, left.hazard.age), (3.0, 100.0));
    let Counted::Closings(contact) = left.hazard.counted else {
        panic!("{:?}", left.hazard);
    };
    assert_eq!(
        left.fails,
        Fails::Contacts {
            contacts: vec![contact],
            welds_frac: 0.1
        }
    );
    assert_eq!(left.tested_every_ms, Some(30 * DAY));
    assert_eq!((left.test_finds_frac, left.replaced_after_ms), (0.8, 2 * DAY));
    assert_eq!(left.source, "my own relays");
    assert_eq!(of("relay right").next().unwrap().hazard.life.shape, 2.0);
}

#[test]
fn a_life_is_given_in_one_way() {
    let (code, _) = refusal("[[life]]\nof = \"pump\"\nyears = 5\nper_year = 0.1");
    assert_eq!(code, "life-in-one-way");
    let (code, _) = refusal("[[life]]\nof = \"pump\"");
    assert_eq!(code, "life-in-one-way");
    let (code, _) = refusal("[[life]]\nof = \"pump\"\nper_year = 0.1\nshape = 2");
    assert_eq!(code, "field-not-used");
}

#[test]
fn a_part_that_is_not_there_is_refused_with_the_nearest() {
    let (code, text) = refusal("[[life]]\nof = \"relay\"\npart = \"relay leftt\"\nper_year = 0.1");
    assert_eq!(code, "unknown-name");
    assert!(text.contains("did you mean `relay left`?"), "{text}");
    // A dial is there, but no relay.
    let (code, text) = refusal("[[life]]\nof = \"relay\"\npart = \"dial left\"\nper_year = 0.1");
    assert_eq!(code, "unknown-name");
    assert!(text.contains("relay left, relay right"), "{text}");
    let (code, _) = refusal("[[life]]\nof = \"cut-out\"\nper_year = 0.1");
    assert_eq!(code, "nothing-of-kind");
}

#[test]
fn only_contacts_close_and_only_contacts_weld() {
    let (code, text) = refusal("[[life]]\nof = \"heater\"\nclosings = 1000");
    assert_eq!(code, "no-closings");
    assert!(text.contains("`per_year` or `years`"), "{text}");
    let (code, _) = refusal("[[life]]\nof = \"heater\"\nyears = 5\nwelds = \"50 %\"");
    assert_eq!(code, "field-not-used");
}

#[test]
fn a_box_takes_all_its_contacts_with_it() {
    let all = lives_with("[[life]]\nof = \"box\"\npart = \"controller\"\nper_year = 0.01\nwelds = \"90 %\"");
    let of_box: Vec<&PartLife> = all.iter().filter(|one| one.kind == "box").collect();
    let [one] = of_box[..] else {
        panic!("{of_box:?}");
    };
    let scenario = with("").unwrap();
    let relay = |name: &str| ContactId(scenario.contacts.iter().position(|one| one.name == name).unwrap());
    let contacts = vec![relay("relay left"), relay("relay right")];
    assert_eq!(
        one.fails,
        Fails::Contacts {
            contacts,
            welds_frac: 0.9
        }
    );
    let (code, text) = refusal("[[life]]\nof = \"box\"\npart = \"controler\"\nper_year = 0.01");
    assert_eq!(code, "unknown-name");
    assert!(text.contains("did you mean `controller`?"), "{text}");
}

#[test]
fn a_guard_trips_for_nothing_or_cannot_trip_whether_contact_or_of_a_circuit() {
    let circuit =
        "[[circuit]]\nname = \"wall\"\nvoltage = \"230 V\"\nbreaker = \"10 A\"\nfeeds = [\"heater left\"]\n";
    let all = lives_with(circuit);
    let of = |kind: &'static str| all.iter().filter(move |one| one.kind == kind);
    // The circuit's breaker by two lives: trips for nothing, cannot trip.
    let shares: Vec<f64> = of("breaker")
        .map(|one| match one.fails {
            Fails::Guard {
                guard: Guard::Circuit(_),
                cannot_trip_frac,
            } => cannot_trip_frac,
            _ => panic!("{one:?}"),
        })
        .collect();
    assert_eq!(shares, [0.0, 1.0]);
    // The residual-current device of the library's scenario stands in the heaters' chains.
    assert!(of("residual-current").all(|one| matches!(
        one.fails,
        Fails::Guard {
            guard: Guard::Contact(_),
            ..
        }
    )));
    assert_eq!(of("residual-current").count(), 2);
    let (code, _) = refusal("[[life]]\nof = \"breaker\"\nper_year = 0.1");
    assert_eq!(code, "nothing-of-kind");
    let (code, _) = refusal("[[life]]\nof = \"residual-current\"\nclosings = 1000");
    assert_eq!(code, "no-closings");
}

#[test]
fn a_battery_has_a_life() {
    let backup =
        "[[backup]]\nname = \"battery\"\nenergy = \"100 Wh\"\nlimit = \"100 W\"\nfeeds = [\"pump return\"]\n";
    let life = "[[life]]\nof = \"backup\"\npart = \"battery\"\nyears = 4\ntested_every = \"30 d\"\n";
    let all = lives_with(&format!("{backup}{life}"));
    let of_backup: Vec<&PartLife> = all.iter().filter(|one| one.kind == "backup").collect();
    let [one] = of_backup[..] else {
        panic!("{of_backup:?}");
    };
    assert!(matches!(one.fails, Fails::By(Effect::BackupDead(_))), "{one:?}");
    assert_eq!(one.tested_every_ms, Some(30 * DAY));
    let (code, _) = refusal(life);
    assert_eq!(code, "nothing-of-kind");
}

#[test]
fn a_fault_may_strike_when_a_life_is_over() {
    let scenario = with(
        "[[fault]]\nwhat = \"contact welded\"\ncontact = \"relay left\"\nlife = { closings = 20000, shape = 2, age = 5000 }",
    )
    .unwrap();
    let fault = scenario.happenings.last().unwrap();
    let When::Hazard(hazard) = fault.when else {
        panic!("{:?}", fault.when);
    };
    let left = scenario.contacts.iter().position(|one| one.name == "relay left");
    assert_eq!(hazard.counted, Counted::Closings(ContactId(left.unwrap())));
    assert_eq!(
        (hazard.life.characteristic, hazard.life.shape, hazard.age),
        (20_000.0, 2.0, 5000.0)
    );
}

#[test]
fn a_fault_has_a_time_or_a_life_and_only_contacts_count_closings() {
    let (code, _) = refusal("[[fault]]\nwhat = \"outage\"\nwhen = \"24 h\"\nlife = { per_year = 1 }");
    assert_eq!(code, "when-and-life");
    let (code, _) = refusal("[[fault]]\nwhat = \"outage\"\nlife = { closings = 100 }");
    assert_eq!(code, "no-closings");
}
