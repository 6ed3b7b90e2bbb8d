//! A scenario written out is the same scenario, and needs no other file.

use tepid_scenarios::{Setting, library, scenario, scenario_text, text_written_out, written_out};
use tepid_sim::scenario::Scenario;

/// All but the short name, which is that of its file.
fn but_its_name(scenario: Scenario) -> Scenario {
    Scenario {
        name: String::new(),
        ..scenario
    }
}

#[test]
fn every_scenario_of_the_library_written_out_is_the_same() {
    for name in library::names() {
        let text = written_out(name, &[]).unwrap_or_else(|report| panic!("{}", report.plain()));
        assert!(!text.contains("base ="), "{text}");
        let again = scenario_text("again.toml", &text).unwrap_or_else(|report| panic!("{}", report.plain()));
        let stated = scenario(name, &[]).expect("of the library");
        assert_eq!(but_its_name(again), but_its_name(stated), "{name}");
    }
}

#[test]
fn changes_and_entries_stand_in_it() {
    let text = "# Mine.\n# Two lines.\nbase = \"spare-room-winter\"\ntitle = \"A \\\"big\\\" one\"\n[set]\n\"heater.left.power\" = \"150 W\"\n";
    let settings = [
        Setting::new("tank.display.cover", "lid"),
        Setting::new("duration", "3 d"),
        Setting::new("title", "\"Mine, changed\""),
    ];
    let fault = "[[fault]]\nwhat = \"outage\"\nwhen = \"10 h\"\nlasts = \"2 h\"\n";
    let written = text_written_out("mine.toml", text, &settings, fault).expect("written out");
    assert!(
        written.starts_with("teaches = \"Mine. Two lines.\"\n"),
        "{written}"
    );
    let read = scenario_text("saved.toml", &written).expect("loads");
    let plain = scenario("spare-room-winter", &[]).expect("of the library");
    assert_eq!(read.title, "Mine, changed");
    assert_eq!(read.heaters[0].power_w, 150.0);
    assert_eq!(read.duration_ms, 3 * 86_400_000);
    assert_ne!(read.tanks[0].cover, plain.tanks[0].cover);
    assert_eq!(read.happenings.len(), plain.happenings.len() + 1);
    // Written out once more it stays as it is.
    let again = text_written_out("saved.toml", &written, &[], "").expect("written out");
    assert_eq!(again, written);
}

#[test]
fn a_scenario_that_needs_another_file_is_refused_with_its_place() {
    let text = written_out("lidded-nano", &[]).expect("written out");
    let room = text.find("\n[room]").expect("a room");
    let with_file = format!("{}\n[room.weather]\nfile = \"weather.csv\"\n", &text[..room]);
    let report = text_written_out("mine.toml", &with_file, &[], "").expect_err("refused");
    let told = report.plain();
    assert!(
        told.contains("this names another file") && told.contains("weather.csv"),
        "{told}"
    );
    let mistaken = text_written_out(
        "mine.toml",
        "title = \"x\"\n[set]\n",
        &[Setting::new("tonk.a.b", "1")],
        "",
    );
    let told = mistaken.expect_err("refused").plain();
    assert!(told.contains("tonk") && told.contains("tank"), "{told}");
}
