//! What people see for typical mistakes.

use insta::assert_snapshot;
use tepid_scenarios::{Report, Setting, library, load_bytes, load_file, load_str, scenario};

fn report(name: &str, text: &str) -> Report {
    match load_str(name, text) {
        Ok(_) => panic!("{name} loads"),
        Err(report) => report,
    }
}

/// A scenario of the library with one text replaced by another.
fn changed(from: &str, to: &str) -> String {
    let text = library::text("spare-room-winter").expect("it is in the library");
    assert!(text.contains(from), "{from}");
    text.replacen(from, to, 1)
}

fn changed_report(from: &str, to: &str) -> String {
    report("my-tank.toml", &changed(from, to)).plain()
}

#[test]
fn five_mistakes_in_one_file_are_five_mistakes_in_one_report() {
    let text = changed("target   = \"25.5 °C\"", "target   = \"25.5 K\"")
        .replacen("power = \"200 W\"", "power = \"200 Wt\"", 1)
        .replacen("water_height = \"45 cm\"", "water_hight = \"45 cm\"", 1)
        .replacen("rock         = \"30 kg\"", "rock         = 30", 1)
        .replacen("tank  = \"display\"", "tank  = \"displey\"", 1);
    let report = report("my-tank.toml", &text);
    assert_eq!(report.problems.len(), 5);
    assert_snapshot!(report.plain());
    assert_snapshot!("five_mistakes_as_json", format!("{:#}", report.json()));
}

#[test]
fn a_quantity_without_a_unit_shows_the_fix() {
    assert_snapshot!(changed_report("\"120 W\"", "120"));
    assert_snapshot!("a_text_without_a_unit", changed_report("\"120 W\"", "\"120\""));
}

#[test]
fn an_unquoted_quantity_shows_the_fix() {
    assert_snapshot!(changed_report("rock         = \"30 kg\"", "rock         = 30 kg"));
}

#[test]
fn a_unit_of_the_wrong_kind_is_named() {
    assert_snapshot!(changed_report("rate = \"1500 L/h\"", "rate = \"1500 L\""));
}

#[test]
fn a_temperature_where_a_difference_belongs_is_named() {
    assert_snapshot!(changed_report("swing      = \"2 K\"", "swing      = \"72 °F\""));
    assert_snapshot!(
        "a_deadband_that_is_a_temperature",
        report("narrow.toml", "strategy = \"on-off\"\ndeadband = \"25 °C\"\n").plain()
    );
}

#[test]
fn a_chain_that_names_no_contact_is_refused() {
    assert_snapshot!(changed_report(
        "\"relay left\", \"dial left\"]",
        "\"relais left\", \"cut-out\"]"
    ));
}

#[test]
fn a_probe_in_a_tank_that_is_not_there_is_refused() {
    assert_snapshot!(changed_report(
        "tank  = \"sump\"\nfor   = \"control\"",
        "tank  = \"barrel\"\nfor   = \"control\""
    ));
}

#[test]
fn duplicate_names_are_refused() {
    assert_snapshot!(changed_report("name  = \"right\"", "name  = \"left\""));
}

#[test]
fn nonsense_quantities_are_refused() {
    for (from, to) in [
        ("duration = \"7 d\"", "duration = \"0 s\""),
        ("duration = \"7 d\"", "duration = \"-7 d\""),
        ("duration = \"7 d\"", "duration = \"7 years\""),
        ("duration = \"7 d\"", "duration = \"1e300 d\""),
        (
            "inside       = [\"120 cm\", \"50 cm\", \"50 cm\"]",
            "volume = \"-300 L\"",
        ),
        (
            "inside       = [\"120 cm\", \"50 cm\", \"50 cm\"]",
            "inside = [\"120 cm\", \"50 cm\"]",
        ),
        ("water_height = \"45 cm\"", "water_height = \"65 cm\""),
        ("rock         = \"30 kg\"", "rock         = \"3000 kg\""),
        ("power = \"200 W\"", "power = inf"),
        ("power = \"200 W\"", "power = nan"),
        ("power = \"200 W\"", "power = \"inf W\""),
        ("power = \"200 W\"", "power = \"0 W\""),
        ("power = \"200 W\"", "power = true"),
        (
            "band     = [\"25.0 °C\", \"26.0 °C\"]",
            "band = [\"26.0 °C\", \"27.0 °C\"]",
        ),
        ("[\"30 °C\", \"12 h\"]", "[\"28 °C\", \"12 h\"]"),
        (
            "opens_above = \"27.5 °C\"",
            "opens_above = \"27.5 °C\"\ncloses_below = \"28 °C\"",
        ),
        ("daily = \"18:30\"", "daily = \"25:30\""),
        ("above   = \"27 °C\"", "above   = \"27 °C\"\nbelow = \"20 °C\""),
    ] {
        let text = changed(from, to);
        let report = report("my-tank.toml", &text);
        assert_eq!(report.problems.len(), 1, "{to}: {}", report.plain());
        let line = report.problems[0].place.line_and_column().0;
        let wanted = text
            .lines()
            .position(|line| to.lines().next().is_some_and(|first| line.contains(first)));
        let near = wanted.is_some_and(|wanted| line.abs_diff(wanted + 1) <= 2);
        assert!(near, "{to}: {}", report.plain());
    }
}

#[test]
fn a_deadband_of_zero_is_refused() {
    assert_snapshot!(report("narrow.toml", "strategy = \"on-off\"\ndeadband = \"0 K\"\n").plain());
}

#[test]
fn an_unknown_strategy_shows_the_nearest() {
    assert_snapshot!(report("mine.toml", "strategy = \"onoff\"\n").plain());
}

#[test]
fn a_change_by_path_is_underlined_in_the_change() {
    let settings = [
        Setting::new("heater.lefd.power", "400 W"),
        Setting::new("heater.left.power", "400 °C"),
    ];
    let report = scenario("spare-room-winter", &settings).unwrap_err();
    assert_snapshot!(report.plain());
}

#[test]
fn a_variant_s_mistakes_are_underlined_in_the_variant() {
    let text = "base = \"spare-room-winter\"\nname = \"one big heater\"\n\n[set]\n\"heater.left.powr\" = \"400 W\"\nroom.temperature.swing = \"12\"\n";
    assert_snapshot!(report("big.toml", text).plain());
}

#[test]
fn what_cannot_be_removed_is_underlined_in_the_variant() {
    let text = "base = \"spare-room-winter\"\nremove = [\"heater.rigth\", \"heatr.right\", \"tank\", \"tank.display.lid\", \"room.humidity.relative\", \"cost.\"]\n";
    assert_snapshot!(report("small.toml", text).plain());
}

/// What still refers to a thing that was taken away is a mistake of the whole.
#[test]
fn a_contact_that_a_chain_needs_cannot_be_removed_silently() {
    let report = report(
        "small.toml",
        "base = \"spare-room-winter\"\nremove = [\"contact.dial right\"]\n",
    );
    assert_eq!(report.problems.len(), 1, "{}", report.plain());
    assert_eq!(report.problems[0].code, "unknown-name");
}

#[test]
fn an_empty_file_is_a_mistake() {
    assert_snapshot!(report("empty.toml", "").plain());
    assert_eq!(report("blank.toml", "\n  \n# nothing\n").problems.len(), 1);
}

#[test]
fn bytes_that_are_no_text_are_a_mistake() {
    let error = load_bytes("photo.toml", &[0x89, 0x50, 0x4e, 0x47, 0xff, 0x00]).unwrap_err();
    assert_snapshot!(error.plain());
    assert!(load_bytes("zero.toml", b"title = \"a\0\"").is_err());
}

#[test]
fn a_missing_file_a_folder_and_a_file_of_10_mb_are_mistakes() {
    let folder = std::env::temp_dir().join(format!("tepid-errors-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let big = folder.join("big.toml");
    std::fs::write(&big, vec![b'#'; 10_000_000]).unwrap();
    for path in [folder.join("nowhere.toml"), folder.clone(), big] {
        let report = load_file(&path).unwrap_err();
        assert_eq!(report.problems.len(), 1);
        assert!(
            report.plain().contains(&*path.to_string_lossy()),
            "{}",
            report.plain()
        );
    }
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn windows_line_ends_tabs_and_a_byte_order_mark_change_nothing() {
    let text = library::text("spare-room-winter").expect("it is in the library");
    let plain = load_str("a", text).unwrap();
    let odd = format!("\u{feff}{}", text.replace('\n', "\r\n").replace(" = ", "\t=\t"));
    let other = load_str("a", &odd).unwrap();
    assert_eq!(format!("{plain:?}"), format!("{other:?}"));
}

#[test]
fn wide_characters_and_tabs_are_underlined_at_their_width() {
    assert_snapshot!(changed_report(
        "pane         = { material = \"glass\", thickness = \"12 mm\"",
        "pane\t= { material = \"ガラス\",\tthickness = \"12 mn\""
    ));
}

#[test]
fn the_coloured_rendering_shows_the_same_mistakes() {
    let report = report("my-tank.toml", &changed("\"120 W\"", "\"120 Wt\""));
    let coloured = report.coloured();
    assert!(coloured.contains("`power`: `Wt` is not a unit"), "{coloured}");
    assert!(coloured.contains("did you mean `W`?"), "{coloured}");
    assert!(coloured.contains("my-tank.toml"), "{coloured}");
}
