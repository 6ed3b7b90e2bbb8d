//! What an error advises can be done as it stands: forms the loader takes, names that are there.

use tepid_scenarios::{Loaded, Problem, fault_sets, library, load_str};

const TANK: &str = "title = \"Two tanks\"
duration = \"1 d\"

[water]
salinity = \"35 g/kg\"
target = \"25 °C\"
band = [\"24 °C\", \"26 °C\"]

[room]
temperature = \"20 °C\"
humidity = \"50 %\"

[[tank]]
name = \"big\"
inside = [\"120 cm\", \"50 cm\", \"50 cm\"]
cover = \"open\"
livestock = true

[[tank]]
name = \"small\"
inside = [\"60 cm\", \"40 cm\", \"40 cm\"]
cover = \"open\"

[[flow]]
from = \"big\"
to = \"small\"
rate = \"500 L/h\"

[[flow]]
from = \"small\"
to = \"big\"
rate = \"500 L/h\"

[[contact]]
name = \"relay\"
kind = \"relay\"

[[heater]]
name = \"heater\"
tank = \"small\"
power = \"300 W\"
chain = [\"relay\"]

[[heater]]
name = \"left\"
tank = \"small\"
power = \"300 W\"
chain = [\"relay\"]
";

/// The one mistake of the two tanks with one text replaced by another.
#[track_caller]
fn mistake(from: &str, to: &str) -> Problem {
    assert!(TANK.contains(from), "{from}");
    let report = load_str("mine.toml", &TANK.replacen(from, to, 1)).expect_err("it does not load");
    assert_eq!(report.problems.len(), 1, "{}", report.plain());
    report.problems.into_iter().next().expect("one")
}

/// The text loads once the line with the mistake is replaced by the fix.
#[track_caller]
fn the_fix_loads(from: &str, to: &str) -> String {
    let fix = mistake(from, to).fix.expect("a fix");
    let text = TANK.replacen(from, &fix, 1);
    if let Err(report) = load_str("mine.toml", &text) {
        panic!("{fix}: {}", report.plain());
    }
    fix
}

#[test]
fn a_specific_gravity_without_its_temperatures_is_shown_as_a_file_writes_it() {
    for written in [
        "1.025",
        "\"1.025\"",
        "\"1.025 sg\"",
        "\"sg 1.025\"",
        "\"SG 1.025 at 25 °C\"",
    ] {
        let fix = the_fix_loads("salinity = \"35 g/kg\"", &format!("salinity = {written}"));
        assert_eq!(fix, "salinity = \"sg 1.025 at 25/25 °C\"", "{written}");
    }
    let fix = the_fix_loads("salinity = \"35 g/kg\"", "salinity = 33");
    assert_eq!(fix, "salinity = \"33 g/kg\"");
}

#[test]
fn a_bare_number_is_advised_in_the_first_unit_in_which_the_field_takes_it() {
    let fix = |to: &str| mistake("target = \"25 °C\"", to).fix.expect("a fix");
    assert_eq!(fix("target = 26"), "target = \"26 °C\"");
    assert_eq!(fix("target = 78"), "target = \"78 °F\"");
    assert_eq!(fix("target = \"78\""), "target = \"78 °F\"");
}

#[test]
fn an_unknown_unit_of_salinity_shows_every_form() {
    let expected = mistake("\"35 g/kg\"", "\"35 psu\"").expected.expect("expected");
    for form in ["g/kg", "ppt", "‰", "sg 1.025 at 25/25 °C"] {
        assert!(expected.contains(form), "{form}: {expected}");
    }
}

#[test]
fn an_unknown_unit_shows_the_units_of_its_kind_and_the_bounds_of_the_field() {
    let expected = mistake("power = \"300 W\"", "power = \"300 watz\"")
        .expected
        .expect("expected");
    for part in ["W", "kW", "BTU/h", "at most 20 kW"] {
        assert!(expected.contains(part), "{part}: {expected}");
    }
}

#[test]
fn a_tank_that_must_be_named_is_suggested_by_a_name_that_is_there() {
    assert_eq!(the_fix_loads("tank = \"small\"", ""), "tank = \"big\"");
    assert_eq!(the_fix_loads("from = \"big\"", "from = 1"), "from = \"big\"");
}

/// A thermostat in two chains feels nobody's warmth: the tank its bulb might hang in is one of the file.
#[test]
fn a_bulb_is_suggested_in_a_tank_that_is_there() {
    let thermostat = "kind = \"thermostat\"\nopens_above = \"27 °C\"\n";
    let fix = mistake("kind = \"relay\"\n", thermostat).fix.expect("a fix");
    assert_eq!(fix, "bulb = \"big\"");
}

#[test]
fn a_fault_names_what_it_strikes_without_doubled_words() {
    let Ok(Loaded::Scenario(scenario)) = load_str("mine.toml", TANK) else {
        panic!("a scenario");
    };
    let dead: Vec<String> = fault_sets(&scenario)
        .into_iter()
        .filter(|set| set.name == "one heater dead")
        .flat_map(|set| set.cases)
        .map(|case| case.fault.name)
        .collect();
    assert_eq!(dead, ["heater dead", "heater left dead"]);
}

/// Sixteen temperatures: one tank, one heater and fourteen probes that lag.
#[test]
fn a_probe_past_what_can_be_simulated_is_refused_where_it_stands() {
    let with_probes = |count: usize, lag: &str| {
        let one_tank = library::text("lidded-nano").expect("text");
        let probe = |at: usize| format!("\n[[probe]]\nname = \"more {at}\"\nlag = \"{lag}\"\n");
        let text = one_tank.to_owned() + &(0..count).map(probe).collect::<String>();
        load_str("mine.toml", &text)
    };
    let taken = |count: usize| with_probes(count, "30 s").is_ok();
    let most = (0..20).take_while(|count| taken(*count)).count() - 1;
    let Ok(Loaded::Scenario(fullest)) = with_probes(most, "30 s") else {
        panic!("a scenario");
    };
    assert_eq!(tepid_sim::plant::PlantSize::of(&fullest).nodes, 16);
    let report = with_probes(most + 1, "30 s").expect_err("one too many");
    assert_eq!(report.problems.len(), 1, "{}", report.plain());
    let problem = &report.problems[0];
    assert_eq!(problem.place.text(), "[[probe]]");
    let last_line = problem.place.source.text.lines().count() - 2;
    assert_eq!(problem.place.line_and_column().0, last_line);
    assert!(
        problem.message.contains("17") && problem.message.contains("16"),
        "{}",
        problem.message
    );
    // Without lag a probe is no temperature of its own, but it can still hang in air.
    let report = with_probes(40, "0 s").expect_err("too many");
    assert!(report.problems[0].message.contains("32"), "{}", report.plain());
}

#[test]
fn one_word_of_a_field_is_enough_to_find_it() {
    let problem = mistake("cover = \"open\"", "hight = \"40 cm\"\ncover = \"open\"");
    assert_eq!(problem.nearest.as_deref(), Some("water_height"));
}

#[test]
fn an_empty_name_is_called_empty() {
    assert_eq!(
        mistake("title = \"Two tanks\"", "title = \" \"").message,
        "`title` is empty"
    );
}

/// The one mistake of a changed tank.
#[track_caller]
fn only_mistake(text: &str) -> Problem {
    let Err(report) = load_str("tank.toml", text) else {
        panic!("it loads")
    };
    let [only] = report.problems.as_slice() else {
        panic!("{}", report.plain())
    };
    only.clone()
}

#[test]
fn a_bare_number_is_advised_in_the_unit_of_the_field_s_own_example() {
    let probe = "\n[[probe]]\nname = \"main\"\ntank = \"big\"\nlag = 30\n";
    let mistake = only_mistake(&format!("{TANK}{probe}"));
    assert_eq!(mistake.fix.as_deref(), Some("lag = \"30 s\""));
}

#[test]
fn a_quantity_with_a_sign_too_many_keeps_its_number_and_unit() {
    let sized = TANK.replacen(
        "inside = [\"60 cm\", \"40 cm\", \"40 cm\"]",
        "volume = \"-75 gal\"",
        1,
    );
    let mistake = only_mistake(&sized);
    assert_eq!(mistake.fix.as_deref(), Some("volume = \"75 gal\""));
}

#[test]
fn a_room_s_temperature_is_no_difference_and_a_few_degrees_are_one() {
    let swinging = |swing: &str| {
        TANK.replacen(
            "temperature = \"20 °C\"",
            &format!("temperature = {{ mean = \"20 °C\", swing = \"{swing}\" }}"),
            1,
        )
    };
    for absolute in ["20 °C", "16 °C", "68 °F"] {
        let mistake = only_mistake(&swinging(absolute));
        assert_eq!(mistake.code, "temperature-for-difference", "{absolute}");
    }
    for difference in ["3 °C", "12 °C", "5 °F", "20 K"] {
        assert!(
            load_str("tank.toml", &swinging(difference)).is_ok(),
            "{difference}"
        );
    }
}

#[test]
fn a_name_that_stands_twice_is_one_mistake_whatever_refers_to_the_missing_one() {
    let twice = TANK.replacen("name = \"small\"", "name = \"big\"", 1);
    assert_eq!(only_mistake(&twice).code, "duplicate-name");
}

#[test]
fn a_field_under_another_word_is_found() {
    let fault = "\n[[fault]]\nwhat = \"outage\"\nat = \"24 h\"\n";
    let mistake = only_mistake(&format!("{TANK}{fault}"));
    assert_eq!(mistake.nearest.as_deref(), Some("when"));
    let fault = "\n[[fault]]\neffect = \"outage\"\n";
    let mistake = only_mistake(&format!("{TANK}{fault}"));
    assert_eq!(mistake.nearest.as_deref(), Some("what"));
}
