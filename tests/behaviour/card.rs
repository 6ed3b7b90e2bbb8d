//! A card tells the hours that runs give, the tests that do no harm, and prints by itself.

use crate::bad_input::{run_in, tepid};
use crate::support::{scenario, scenario_of};
use tepid::card::{CardRequest, card, dates};
use tepid::compare::{CompareRequest, Silent, compare};
use tepid_output::card_html::card_html;
use tepid_output::records::{Card, CardHours, CardTrial, RoomKind};
use tepid_output::table;
use tepid_output::wording::Units;
use tepid_scenarios::fault_set;
use tepid_sim::scenario::Scenario;

fn carded(scenario: &Scenario, strategy: &str, date: Option<&str>) -> Card {
    let strategy = tepid_scenarios::strategy(strategy).expect("a strategy");
    let lives = tepid_scenarios::lives(scenario).expect("lives");
    let request = CardRequest {
        scenario,
        strategy: &strategy,
        lives: &lives,
        date: date.map(|text| dates::day_of(text).expect("a day")),
        seed: 7,
    };
    card(&request).expect("a card")
}

fn trial<'c>(card: &'c Card, part: &str) -> &'c CardTrial {
    let found = card.trials.iter().find(|trial| trial.part == part);
    found.unwrap_or_else(|| panic!("no test of {part}: {:?}", card.trials))
}

/// A tank with a cut-out and a residual-current device that its keeper tests every fortnight.
fn guarded() -> Scenario {
    scenario_of(
        "title = \"<b>Guarded</b> & quiet\"\nduration = \"2 d\"\nwarm_up = \"0 d\"\n\
         [water]\ntarget = \"25 °C\"\nband = [\"24.5 °C\", \"25.5 °C\"]\n\
         [livestock]\nkind = \"reef\"\nsource = \"invented\"\nused_to = \"25 °C\"\nfastest = { per_hour = \"0.5 K\" }\n\
         danger_hot = [[\"28 °C\", \"2 d\"], [\"32 °C\", \"2 h\"]]\ndanger_cold = [[\"22 °C\", \"2 d\"], [\"18 °C\", \"2 h\"]]\n\
         [[tank]]\nname = \"tank\"\nvolume = \"100 L\"\ncover = \"lid\"\n\
         [room]\ntemperature = \"20 °C\"\nhumidity = \"50 %\"\n\
         [[probe]]\nname = \"main\"\nfor = \"control\"\n\
         [[heater]]\nname = \"heater\"\npower = \"150 W\"\nchain = [\"guard\", \"limit\", \"relay\"]\n\
         [[contact]]\nname = \"guard\"\nkind = \"residual-current\"\n\
         [[contact]]\nname = \"limit\"\nkind = \"cut-out\"\nopens_above = \"27 °C\"\nbulb = \"tank\"\n\
         [[contact]]\nname = \"relay\"\nkind = \"relay\"\n\
         [[life]]\nof = \"residual-current\"\nper_year = 0.01\nwelds = \"50 %\"\ntested_every = \"14 d\"\nreplaced_after = \"1 d\"\nfrom = \"invented\"\n",
    )
}

#[test]
fn the_hours_of_a_card_are_those_of_a_comparison_under_the_same_fault() {
    let big = scenario("spare-room-one-big-heater", &[("duration", "3 d")]);
    let told = carded(&big, "on-off", None);
    let hours = told
        .hours
        .iter()
        .find(|hours| hours.what == "relay welded, in a room of 26 °C")
        .expect("the weld");
    let sets = vec![fault_set(&big, "one contact welded").expect("a set")];
    let recipe = tepid_scenarios::strategy("on-off").expect("a strategy").recipe;
    let request = CompareRequest {
        scenarios: &[(big, sets)],
        strategies: &[("on-off".to_owned(), recipe)],
        seed: 7,
        replicates: 1,
    };
    let compared = compare(&request, &Silent).expect("compares");
    let outcome = compared.scenarios[0].rows[0]
        .faults
        .iter()
        .find(|outcome| outcome.room == RoomKind::Warmest && outcome.case == "relay welded")
        .expect("the weld");
    assert!(hours.dose_used_up_h.is_some());
    assert_eq!(hours.dose_used_up_h, outcome.hot_used_up_h);
    let after_h: Vec<Option<f64>> = hours.lines.iter().map(|line| line.after_h).collect();
    assert_eq!(after_h, outcome.hot_reached_h);
    // The most urgent stands first.
    let used_up: Vec<f64> = told
        .hours
        .iter()
        .map(|hours| hours.dose_used_up_h.unwrap_or(f64::INFINITY))
        .collect();
    assert!(used_up.is_sorted(), "{used_up:?}");
}

#[test]
fn a_cut_out_is_tested_in_a_cup_and_never_by_heating_the_tank() {
    let told = carded(&guarded(), "on-off", None);
    let limit = trial(&told, "limit");
    assert!(
        limit.how.contains("cup of warm water of 28 °C") && limit.how.contains("never by heating the tank"),
        "{}",
        limit.how
    );
    // A probe that hangs in a cup would have the controller heat without end: the heaters are unplugged before.
    assert!(trial(&told, "probe main").how.starts_with("Heaters unplugged."));
    for trial in &told.trials {
        assert!(!trial.wanted.is_empty() && trial.next.is_none(), "{trial:?}");
    }
    // Only what wears out is replaced while it still passes its tests.
    assert!(trial(&told, "relay").replace.is_some());
    assert_eq!(limit.replace, None);
}

#[test]
fn the_interval_of_a_test_is_the_one_stated_and_its_next_date_follows_from_the_day_of_the_card() {
    let told = carded(&guarded(), "on-off", Some("2026-02-20"));
    let guard = trial(&told, "guard");
    assert_eq!((guard.every_d, guard.stated), (14, true));
    assert_eq!(guard.next.as_deref(), Some("2026-03-06"));
    let relay = trial(&told, "relay");
    assert_eq!((relay.every_d, relay.stated), (90, false));
    assert_eq!(relay.next.as_deref(), Some("2026-05-21"));
}

#[test]
fn settings_are_those_of_the_strategy_file_and_of_the_tank() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = "strategy = \"on-off\"\ndeadband = \"0.7 K\"\n";
    std::fs::write(folder.path().join("mine.toml"), file).expect("a file");
    let (code, out, error) = run_in(
        folder.path(),
        &["card", "garage-outage", "--strategy", "mine.toml"],
    );
    assert_eq!((code, error.as_str()), (0, ""));
    let flat: String = out.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "controller, deadband: 0.7 K",
        "controller, setpoint: 24.5 °C",
        "dial left, opens above: 26.5 °C",
        "too cold: probe main below 23 °C, for 15 min",
        "Your device calls it:",
        "oxygen below half of saturation after",
        "no more than 1.5 K an hour",
        "carbon monoxide",
        "A test ends where the livestock's own band ends",
    ] {
        assert!(flat.contains(part), "`{part}` is not in:\n{out}");
    }
    assert!(out.lines().all(|line| line.chars().count() <= 100));
}

#[test]
fn the_page_needs_nothing_but_itself_and_obeys_no_name() {
    let told = carded(&guarded(), "on-off", None);
    let page = card_html(&told, Units::Metric);
    for part in ["http", "<script", "src=", "@import", "url("] {
        assert!(!page.contains(part), "`{part}`");
    }
    assert!(page.contains("<h1>&lt;b&gt;Guarded&lt;/b&gt; &amp; quiet</h1>"));
    assert!(page.contains("Your device calls it") && page.contains("Signed"));
    // Every part has its own line to sign, and every caution is there.
    assert_eq!(page.matches("class=\"write\"").count(), 3 * told.trials.len());
    let text = table::card(&told, Units::Metric);
    for caution in &told.cautions {
        let words = caution.marked();
        let begin: String = words.chars().take(30).collect();
        assert!(text.contains(&begin), "{begin}");
    }
    let folder = tempfile::tempdir().expect("a folder");
    let (code, out, error) = run_in(
        folder.path(),
        &[
            "card",
            "lidded-nano",
            "--strategy",
            "on-off",
            "--units",
            "us",
            "-o",
            "card.html",
        ],
    );
    assert_eq!((code, out.as_str(), error.as_str()), (0, "", ""));
    let page = std::fs::read_to_string(folder.path().join("card.html")).expect("a page");
    assert!(page.ends_with("</body></html>\n") && page.contains("°F") && !page.contains("°C"));
}

#[test]
fn a_card_that_cannot_be_written_ends_with_2_and_says_why() {
    for (more, said) in [
        (
            vec!["--strategy", "on-off", "-o", "card.txt"],
            "must end in .html",
        ),
        (
            vec!["--strategy", "on-off", "--date", "2026-02-30"],
            "such as 2026-11-26",
        ),
        (vec!["--strategy", "onoff"], "on-off"),
        (vec!["--strategy", "fan-cooling"], "there apply"),
    ] {
        let all: Vec<&str> = ["card", "lidded-nano"].iter().chain(&more).copied().collect();
        let (code, _, error) = tepid(&[], &all);
        assert_eq!(code, 2, "{more:?}: {error}");
        assert!(error.contains(said), "{error}");
    }
}

/// The garage has an outage of its own on its third day: what that does is not the work of a dead heater or a stopped pump.
#[test]
fn a_card_puts_down_to_a_failure_only_what_would_not_have_come_about_without_it() {
    let told = carded(&scenario("garage-outage", &[]), "on-off", None);
    let lines_after_h = |what: &str| -> Vec<f64> {
        let of = told
            .hours
            .iter()
            .find(|one| one.what.starts_with(what) && !one.oxygen);
        let of = of.unwrap_or_else(|| panic!("{what}: {:?}", told.hours));
        of.lines.iter().filter_map(|line| line.after_h).collect()
    };
    assert!(lines_after_h("pump filter stopped").is_empty());
    let unplugged = lines_after_h("heaters left unplugged");
    assert!(unplugged.len() == 3 && unplugged[0] < 24.0, "{unplugged:?}");
}

#[test]
fn a_card_without_a_stock_says_that_its_hours_are_of_temperature_alone() {
    let unsaid = "oxygen may run out long before them";
    let of = |name: &str| carded(&scenario(name, &[]), "on-off", None);
    let (without, with) = (of("lidded-nano"), of("garage-outage"));
    for told in [
        table::card(&without, Units::Metric),
        card_html(&without, Units::Metric),
    ] {
        assert!(told.replace('\n', " ").contains(unsaid), "{told}");
    }
    assert!(
        !table::card(&with, Units::Metric)
            .replace('\n', " ")
            .contains(unsaid)
    );
}

/// A tank full of fish whose pump and air keep it just above half of saturation in any room.
fn stocked(fish_g: u32) -> Scenario {
    scenario(
        "garage-outage",
        &[
            ("livestock.oxygen", &format!("{{ fish = \"{fish_g} g\" }}")),
            ("room.year", "{ coldest = \"12 °C\", warmest = \"29 °C\" }"),
        ],
    )
}

#[test]
fn oxygen_is_told_of_the_room_in_which_it_runs_out_first() {
    let mut airless = stocked(200);
    airless.air_pumps.clear();
    let told = carded(&airless, "on-off", None);
    let of = |what: &str| -> Vec<&CardHours> {
        let oxygen = told.hours.iter().filter(|one| one.oxygen);
        oxygen.filter(|one| one.what.starts_with(what)).collect()
    };
    // A stopped pump leaves the water to the room, and cold water holds more: the coldest room is where heat is lost first, not breath.
    let pump = of("pump filter stopped");
    assert!(
        pump.len() == 1 && pump[0].what.contains("in a room of 29 °C"),
        "{:?}",
        told.hours
    );
    let outages: Vec<f64> = of("mains out")
        .iter()
        .filter_map(|one| one.dose_used_up_h)
        .collect();
    assert!(outages.len() == 2 && 2.0 * outages[0] < outages[1], "{outages:?}");
    // With the filter at rest it runs out nearly as soon as without any mains.
    let after_h = pump[0].dose_used_up_h.expect("below half");
    assert!(after_h >= outages[0] && after_h < outages[0] + 1.0, "{after_h} h");
}

#[test]
fn oxygen_that_is_short_with_everything_working_is_put_down_to_no_failure() {
    let told = carded(&stocked(3000), "on-off", None);
    let oxygen: Vec<&CardHours> = told.hours.iter().filter(|one| one.oxygen).collect();
    assert!(
        !oxygen.is_empty() && oxygen.iter().all(|one| one.already),
        "{oxygen:?}"
    );
    let text = table::card(&told, Units::Metric);
    assert!(text.contains("already with everything"), "{text}");
    assert!(!text.contains("after 0 min"), "{text}");
    // What the garage's own outage does is no lasting want of air.
    let garage = carded(&scenario("garage-outage", &[]), "on-off", None);
    assert!(garage.hours.iter().all(|one| !one.already), "{:?}", garage.hours);
}
