//! `copies` and `spread` of a tank.

use tepid_scenarios::scenario_text;
use tepid_sim::ids::{HeaterId, TankId};
use tepid_sim::scenario::{Effect, Load, Scenario};

/// A tank with all that may belong to one; `tank` joins its table.
fn text(tank: &str, rest: &str) -> String {
    format!(
        "title = \"Rack\"\nduration = \"1 d\"\n\
         [water]\nsalinity = \"0 g/kg\"\ntarget = \"25 °C\"\nband = [\"24.5 °C\", \"25.5 °C\"]\n\
         [room]\ntemperature = \"20 °C\"\n\
         [[tank]]\nname = \"rack\"\ninside = [\"60 cm\", \"30 cm\", \"30 cm\"]\n{tank}\
         [[pump]]\nname = \"filter\"\npower = \"5 W\"\n\
         [[light]]\nname = \"lamp\"\npower = \"10 W\"\non = \"10:00\"\noff = \"20:00\"\n\
         [[heater]]\nname = \"heater\"\npower = \"100 W\"\nchain = [\"guard\", \"relay\", \"dial\"]\n\
         [[contact]]\nname = \"guard\"\nkind = \"residual-current\"\n\
         [[contact]]\nname = \"relay\"\nkind = \"relay\"\n\
         [[contact]]\nname = \"dial\"\nkind = \"thermostat\"\nopens_above = \"27 °C\"\n\
         [[probe]]\nname = \"main\"\n\
         [[watch]]\nname = \"too warm\"\nprobe = \"main\"\nabove = \"28 °C\"\n{rest}"
    )
}

#[track_caller]
fn read(tank: &str, rest: &str) -> Scenario {
    scenario_text("rack.toml", &text(tank, rest)).unwrap_or_else(|report| panic!("{}", report.plain()))
}

#[track_caller]
fn mistakes(tank: &str, rest: &str) -> String {
    scenario_text("rack.toml", &text(tank, rest))
        .expect_err("a mistake")
        .plain()
}

fn names<T>(list: &[T], name: impl Fn(&T) -> &String) -> Vec<String> {
    list.iter().map(|one| name(one).clone()).collect()
}

#[test]
fn a_copied_tank_takes_all_that_belongs_to_it_along() {
    let rack = read("copies = 3\n", "");
    assert_eq!(
        names(&rack.tanks, |tank| &tank.name),
        ["rack 1", "rack 2", "rack 3"]
    );
    assert_eq!(
        names(&rack.pumps, |pump| &pump.name),
        ["filter 1", "filter 2", "filter 3"]
    );
    assert_eq!(
        names(&rack.lights, |light| &light.name),
        ["lamp 1", "lamp 2", "lamp 3"]
    );
    assert_eq!(
        names(&rack.heaters, |heater| &heater.name),
        ["heater 1", "heater 2", "heater 3"]
    );
    assert_eq!(
        names(&rack.probes, |probe| &probe.name),
        ["main 1", "main 2", "main 3"]
    );
    assert_eq!(
        names(&rack.watches, |watch| &watch.name),
        ["too warm 1", "too warm 2", "too warm 3"]
    );
    assert_eq!(rack.contacts.len(), 9);
    for (at, heater) in rack.heaters.iter().enumerate() {
        assert_eq!(heater.tank, TankId(at));
        let chain: Vec<&str> = heater
            .chain
            .iter()
            .map(|id| rack.contacts[id.0].name.as_str())
            .collect();
        let number = at + 1;
        assert_eq!(
            chain,
            [
                format!("guard {number}"),
                format!("relay {number}"),
                format!("dial {number}")
            ]
        );
    }
    // The only tank has livestock unless stated otherwise, and so has each of its copies.
    assert!(rack.tanks.iter().all(|tank| tank.livestock));
    assert_eq!(rack.system_tanks().len(), 3);
}

#[test]
fn one_copy_is_the_tank_itself() {
    assert_eq!(read("copies = 1\n", ""), read("", ""));
}

#[test]
fn copies_differ_in_length_by_no_more_than_the_spread_and_always_alike() {
    let rack = read("copies = 8\nspread = \"5 %\"\n", "");
    let lengths: Vec<f64> = rack.tanks.iter().map(|tank| tank.length_m).collect();
    assert!(
        lengths.iter().all(|length_m| (0.57..=0.63).contains(length_m)),
        "{lengths:?}"
    );
    let shortest = lengths.iter().copied().fold(f64::INFINITY, f64::min);
    let longest = lengths.iter().copied().fold(0.0, f64::max);
    assert!(longest - shortest > 0.02, "{lengths:?}");
    assert_eq!(rack, read("copies = 8\nspread = \"5 %\"\n", ""));
    // A copy is what it is however many there are.
    assert_eq!(
        rack.tanks[..4],
        read("copies = 4\nspread = \"5 %\"\n", "").tanks[..]
    );
}

#[test]
fn a_circuit_feeds_all_copies_or_those_it_names_and_a_fault_strikes_the_one_it_names() {
    let feeds = |feeds: &str| {
        let rack = read(
            "copies = 4\n",
            &format!("[[circuit]]\nname = \"wall\"\nfeeds = [{feeds}]\n"),
        );
        rack.circuits[0].feeds.clone()
    };
    let heaters = |which: &[usize]| {
        which
            .iter()
            .map(|at| Load::Heater(HeaterId(*at)))
            .collect::<Vec<_>>()
    };
    assert_eq!(feeds("\"heater\""), heaters(&[0, 1, 2, 3]));
    assert_eq!(feeds("\"heater heater\""), heaters(&[0, 1, 2, 3]));
    assert_eq!(feeds("\"heater 2\", \"heater 4\""), heaters(&[1, 3]));
    let dead = "[[fault]]\nwhat = \"heater dead\"\nheater = \"heater 3\"\nwhen = \"2 h\"\n";
    let rack = read("copies = 4\n", dead);
    assert_eq!(rack.happenings[0].effect, Effect::HeaterDead(HeaterId(2)));
    let unclear = mistakes("copies = 4\n", &dead.replace("heater 3", "heater"));
    assert!(
        unclear.contains("heater 1, heater 2, heater 3, heater 4"),
        "{unclear}"
    );
}

#[test]
fn copies_over_one_sump_are_one_water_system() {
    let sump = "[[tank]]\nname = \"sump\"\nvolume = \"100 L\"\n\
                [[flow]]\nfrom = \"rack\"\nto = \"sump\"\nrate = \"200 L/h\"\npump = \"return\"\n\
                [[pump]]\nname = \"return\"\npower = \"20 W\"\ntank = \"sump\"\n";
    // Of several tanks none is the only one: what hangs in the rack says so.
    let text = text("copies = 3\nlivestock = true\n", sump)
        .replace("power = \"5 W\"\n", "power = \"5 W\"\ntank = \"rack\"\n")
        .replace("power = \"10 W\"\n", "power = \"10 W\"\ntank = \"rack\"\n")
        .replace("power = \"100 W\"\n", "power = \"100 W\"\ntank = \"sump\"\n")
        .replace("[[probe]]\n", "[[probe]]\ntank = \"sump\"\n");
    let rack = scenario_text("rack.toml", &text).unwrap_or_else(|report| panic!("{}", report.plain()));
    assert_eq!(
        names(&rack.tanks, |tank| &tank.name),
        ["rack 1", "rack 2", "rack 3", "sump"]
    );
    let from: Vec<TankId> = rack.flows.iter().map(|flow| flow.from).collect();
    assert_eq!(from, [TankId(0), TankId(1), TankId(2)]);
    assert!(rack.flows.iter().all(|flow| flow.to == TankId(3)));
    assert_eq!(
        names(&rack.pumps, |pump| &pump.name),
        ["filter 1", "filter 2", "filter 3", "return"]
    );
    // Heater, its contacts and the probe stand in the sump, of which there is one.
    assert_eq!(
        (rack.heaters.len(), rack.contacts.len(), rack.probes.len()),
        (1, 3, 1)
    );
    assert_eq!(rack.system_tanks().len(), 1);
}

#[test]
fn a_mistake_in_what_is_copied_is_told_once_where_it_stands() {
    let report = scenario_text(
        "rack.toml",
        &text("copies = 6\n", "").replace("\"100 W\"", "\"100 V\""),
    )
    .expect_err("a mistake");
    assert_eq!(report.problems.len(), 1, "{}", report.plain());
    assert_eq!(report.problems[0].place.text(), "V");
    let unknown = scenario_text(
        "rack.toml",
        &text("copies = 6\n", "").replace("\"guard\", \"relay\"", "\"guard\", \"relais\""),
    )
    .expect_err("a mistake");
    assert_eq!(unknown.problems.len(), 1, "{}", unknown.plain());
}

#[test]
fn copies_and_spread_keep_within_their_limits() {
    assert!(mistakes("copies = 0\n", "").contains("`copies`"));
    assert!(mistakes("copies = 65\n", "").contains("`copies`"));
    assert!(mistakes("copies = \"3\"\n", "").contains("a whole number"));
    assert!(mistakes("copies = 3\nspread = \"30 %\"\n", "").contains("at most 20 %"));
    assert!(mistakes("spread = \"5 %\"\n", "").contains("`spread` needs `copies`"));
}

#[test]
fn what_belongs_to_two_water_systems_at_once_is_refused_where_it_stands() {
    let wrong = "[[fault]]\nname = \"mixed up\"\nwhat = \"probe in the wrong tank\"\nprobe = \"main 1\"\ntank = \"rack 2\"\nwhen = \"2 h\"\n";
    let told = mistakes("copies = 2\n", wrong);
    assert!(
        told.contains("`mixed up` belongs to two water systems at once"),
        "{told}"
    );
}

#[test]
fn a_system_too_large_is_told_with_its_tank() {
    let rocks: String = (0..20)
        .map(|at| format!("[[probe]]\nname = \"extra {at}\"\nfor = \"monitor\"\ntank = \"rack 2\"\n"))
        .collect();
    let told = mistakes("copies = 2\n", &rocks);
    assert!(told.contains("the water system of tank `rack 2` has"), "{told}");
}

#[test]
fn a_probe_for_the_room_hangs_in_no_tank_and_is_not_copied() {
    let room = "[[probe]]\nname = \"room\"\nfor = \"room\"\n";
    let rack = read("copies = 3\n", room);
    assert_eq!(
        names(&rack.probes, |probe| &probe.name),
        ["main 1", "main 2", "main 3", "room"]
    );
    let tanks: Vec<Option<TankId>> = rack.probes.iter().map(|probe| probe.tank).collect();
    assert_eq!(tanks, [Some(TankId(0)), Some(TankId(1)), Some(TankId(2)), None]);
    let both = mistakes("", &format!("{room}tank = \"rack\"\n"));
    assert!(
        both.contains("a probe for the room hangs in its air, not in a tank"),
        "{both}"
    );
}
