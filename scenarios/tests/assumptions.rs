//! What a file leaves open is told, in as few lines as it takes.

use tepid_scenarios::{Loaded, load_str};

const SAID: &str = "title = \"Bare\"
duration = \"1 d\"
[water]
salinity = \"35 g/kg\"
target = \"25 °C\"
[room]
temperature = \"20 °C\"
humidity = \"50 %\"
[[tank]]
name = \"display\"
inside = [\"120 cm\", \"50 cm\", \"50 cm\"]
cover = \"open\"
";

fn assumptions(more: &str) -> Vec<String> {
    match load_str("bare.toml", &format!("{SAID}{more}")) {
        Ok(Loaded::Scenario(scenario)) => scenario.assumptions,
        Ok(other) => panic!("{other:?}"),
        Err(report) => panic!("{}", report.plain()),
    }
}

/// The assumptions that `more` adds.
fn added(more: &str) -> Vec<String> {
    let before = assumptions("");
    let told = assumptions(more);
    told.into_iter().filter(|line| !before.contains(line)).collect()
}

#[test]
fn probes_of_which_the_same_is_assumed_share_one_line() {
    let probes = "[[probe]]\nname = \"a\"\n[[probe]]\nname = \"b\"\n[[probe]]\nname = \"c\"\n";
    assert_eq!(
        added(probes),
        ["probes a, b and c: 0.1 K steps, 0.02 K noise, 30 s lag assumed"]
    );
}

#[test]
fn what_a_probe_says_of_itself_is_not_assumed() {
    let probes = "[[probe]]\nname = \"a\"\nnoise = \"0.01 K\"\n[[probe]]\nname = \"b\"\nnoise = \"0.05 K\"\nlag = \"9 s\"\nstep = \"0 K\"\n";
    assert_eq!(added(probes), ["probe a: 0.1 K steps, 30 s lag assumed"]);
}

#[test]
fn the_share_of_a_lamp_that_warms_the_water_is_told_unless_stated() {
    let lamp = "[[light]]\nname = \"lamp\"\npower = \"100 W\"\non = \"8:00\"\noff = \"20:00\"\n";
    assert_eq!(
        added(lamp),
        ["light lamp: 40 % of the power into the water assumed"]
    );
    assert!(added(&format!("{lamp}share_to_water = \"30 %\"\n")).is_empty());
}

#[test]
fn where_a_fan_s_air_and_warmth_go_is_told() {
    let fan = "[[fan]]\nname = \"clip\"\npower = \"5 W\"\nspeed = \"2 m/s\"\nchain = []\n";
    let unswitched = "fan clip: `chain = []`: nothing switches it, it has power all the time";
    assert_eq!(
        added(fan),
        [
            "fan clip: air along 50 cm of water, 100 % of the open surface reached, its own power into the room and not the water assumed",
            unswitched
        ]
    );
    let stated = added(&format!("{fan}length = \"60 cm\"\nreaches = \"80 %\"\n"));
    assert_eq!(
        stated,
        [
            "fan clip: its own power into the room and not the water assumed",
            unswitched
        ]
    );
}

#[test]
fn a_cabinet_without_figures_is_told() {
    assert_eq!(
        added("in_cabinet = true\n"),
        ["tank display: cabinet 2 K warmer than the room, cabinet 20 points damper than the room assumed"]
    );
    let half = added("in_cabinet = { warmer = \"3 K\" }\n");
    assert_eq!(
        half,
        ["tank display: cabinet 20 points damper than the room assumed"]
    );
}

#[test]
fn tanks_of_which_the_same_is_assumed_share_one_line() {
    let twin = "livestock = true\n[[tank]]\nname = \"twin\"\ninside = [\"120 cm\", \"50 cm\", \"50 cm\"]\n";
    let told = assumptions(twin);
    for line in [
        "display and twin: water assumed to stand 45 cm high",
        "display and twin: panes assumed 10 mm thick",
        "tank twin: no cover assumed",
    ] {
        assert!(told.iter().any(|told| told == line), "{line}: {told:?}");
    }
}

#[test]
fn fresh_water_and_a_room_s_humidity_are_told_where_nothing_is_said() {
    let text = SAID
        .replacen("salinity = \"35 g/kg\"\n", "", 1)
        .replacen("humidity = \"50 %\"\n", "", 1);
    let Ok(Loaded::Scenario(scenario)) = load_str("bare.toml", &text) else {
        panic!("a scenario");
    };
    for line in ["fresh water assumed (0 g/kg)", "room: 50 % humidity assumed"] {
        assert!(
            scenario.assumptions.iter().any(|told| told == line),
            "{:?}",
            scenario.assumptions
        );
    }
}

#[test]
fn a_field_that_changes_nothing_beside_the_others_is_told() {
    assert_eq!(
        added("lid = { thickness = \"3 mm\" }\n"),
        ["tank display: `lid` does nothing unless the cover is \"lid\""]
    );
    let text = SAID.replacen(
        "temperature = \"20 °C\"",
        "temperature = { mean = \"20 °C\", warmest = \"15:00\", drift_time = \"6 h\" }",
        1,
    );
    let Ok(Loaded::Scenario(scenario)) = load_str("bare.toml", &text) else {
        panic!("a scenario");
    };
    for line in [
        "room: `warmest` does nothing without `swing`",
        "room: `drift_time` does nothing without `drift`",
    ] {
        assert!(
            scenario.assumptions.iter().any(|told| told == line),
            "{:?}",
            scenario.assumptions
        );
    }
}
