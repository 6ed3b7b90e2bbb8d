//! Moments by their date, where day 1 has one, and closings counted from a moment on.

use tepid_scenarios::{library, scenario_text};
use tepid_sim::ids::ContactId;
use tepid_sim::scenario::{Scenario, When};
use tepid_sim::time::{DAY, HOUR, MINUTE};

/// The spare room, without a calendar or with one.
fn spare_room(start_date: &str, more: &str) -> String {
    let text = library::text("spare-room-winter").expect("a library scenario");
    let undated: String = text
        .lines()
        .filter(|line| !line.starts_with("start_date"))
        .map(|line| format!("{line}\n"))
        .collect();
    let dated = undated.replacen("\nduration", &format!("\n{start_date}\nduration"), 1);
    dated + more
}

#[track_caller]
fn load(text: &str) -> Scenario {
    scenario_text("test.toml", text).unwrap_or_else(|report| panic!("{}", report.plain()))
}

const STARTS: &str = "start_date = \"2027-01-11\"";

#[test]
fn a_date_is_the_day_of_the_run_it_falls_on() {
    for written in [
        "\"2027-01-14 08:00\"",
        "\"2027-01-14T08:00\"",
        "2027-01-14T08:00:00",
        "\"day 4 08:00\"",
    ] {
        let event = format!("[[event]]\nwhat = \"outage\"\nat = {written}\nlasts = \"2 h\"\n");
        let scenario = load(&spare_room(STARTS, &event));
        assert_eq!(
            scenario.happenings.last().unwrap().when,
            When::At(3 * DAY + 8 * HOUR),
            "{written}"
        );
    }
    let fault = "[[fault]]\nwhat = \"outage\"\nwhen = \"2027-01-12\"\n";
    let scenario = load(&spare_room(STARTS, fault));
    assert_eq!(scenario.happenings.last().unwrap().when, When::At(DAY));
    // Over a leap day and the end of a year.
    let year_end = "start_date = \"2027-12-31\"";
    let event = "[[event]]\nwhat = \"outage\"\nat = \"2028-03-01 00:30\"\nlasts = \"2 h\"\n";
    let scenario = load(&spare_room(year_end, event));
    assert_eq!(
        scenario.happenings.last().unwrap().when,
        When::At((1 + 31 + 29) * DAY + HOUR / 2)
    );
}

#[test]
fn somebody_is_away_from_one_date_to_another() {
    let person =
        "[[person]]\nname = \"neighbour\"\naway = { from = \"2027-01-13 08:00\", to = \"2027-01-15\" }\n";
    let scenario = load(&spare_room(STARTS, person));
    assert_eq!(
        scenario.persons.last().unwrap().away,
        [(2 * DAY + 8 * HOUR, 4 * DAY)]
    );
}

#[test]
fn a_date_without_a_calendar_before_it_or_that_does_not_exist_is_a_mistake() {
    let event = |at: &str| format!("[[event]]\nwhat = \"outage\"\nat = \"{at}\"\nlasts = \"2 h\"\n");
    for (start, at, expected) in [
        ("", "2027-01-14 08:00", "nothing says on which date day 1 is"),
        (STARTS, "2027-01-10", "is before day 1, 2027-01-11"),
        (STARTS, "2027-02-30", "with a `start_date` a date such as"),
    ] {
        let report = scenario_text("test.toml", &spare_room(start, &event(at))).unwrap_err();
        assert!(report.plain().contains(expected), "{}", report.plain());
    }
}

#[test]
fn a_closing_may_be_counted_from_a_moment_on() {
    let at = |when: &str| {
        let fault =
            format!("[[fault]]\nwhat = \"contact welded\"\ncontact = \"relay left\"\nwhen = \"{when}\"\n");
        load(&spare_room(STARTS, &fault)).happenings.last().unwrap().when
    };
    let contact = ContactId(1);
    let closing = |nth, from_ms| When::Closing {
        contact,
        nth,
        from_ms,
    };
    assert_eq!(at("closing 2 of relay left"), closing(2, 0));
    assert_eq!(at("closing 1 of relay left after 30 h"), closing(1, 30 * HOUR));
    assert_eq!(
        at("closing 1 of relay left after day 2 18:30"),
        closing(1, DAY + 18 * HOUR + 30 * MINUTE)
    );
    assert_eq!(
        at("closing 1 of relay left after 2027-01-14"),
        closing(1, 3 * DAY)
    );
    assert_eq!(
        at("opening 1 of relay left after 30 h"),
        When::Opening {
            contact,
            nth: 1,
            from_ms: 30 * HOUR
        }
    );
    let wrong = spare_room(
        STARTS,
        "[[fault]]\nwhat = \"contact welded\"\ncontact = \"relay left\"\nwhen = \"closing 1 of relay left after lunch\"\n",
    );
    assert!(
        scenario_text("test.toml", &wrong)
            .unwrap_err()
            .plain()
            .contains("after 24 h")
    );
}
