//! Odds, on tanks small enough for few windows.

use crate::bad_input::tepid;
use tepid::compare::Silent;
use tepid::odds::{OddsRequest, odds};
use tepid_output::records::{Odds, StrategyOdds};
use tepid_scenarios::Setting;

fn reckoned(scenario: &str, lives: &str, strategies: &[&str]) -> Odds {
    let text = tepid_scenarios::library::text(scenario).expect("text");
    reckoned_of(&format!("{text}\n{lives}\n"), 20_000, strategies)
}

/// The odds of a scenario's text, with the lives that it states alone.
fn reckoned_of(text: &str, years: u64, strategies: &[&str]) -> Odds {
    let loaded = tepid_scenarios::load_str("test.toml", text);
    let Ok(tepid_scenarios::Loaded::Scenario(scenario)) = loaded else {
        panic!("{loaded:?}");
    };
    let strategies: Vec<_> = strategies
        .iter()
        .map(|name| {
            let file = tepid_scenarios::strategy(name).expect("strategy");
            (file.name, file.recipe)
        })
        .collect();
    let lives = tepid_scenarios::lives(&scenario).expect("lives");
    let request = OddsRequest {
        scenario: &scenario,
        strategies: &strategies,
        // Lives that the test states itself.
        lives: &lives[..scenario.lives.len()],
        years,
        span_years: 10,
        seed: 7,
    };
    odds(&request, &Silent).expect("odds")
}

fn frac(one: &StrategyOdds) -> f64 {
    one.chance.expect("a chance").frac
}

fn moved(one: &StrategyOdds, what: &str, how: &str) -> f64 {
    let found = one
        .moved
        .iter()
        .find(|moved| moved.what == what && moved.how == how);
    found.unwrap_or_else(|| panic!("{what}, {how}")).chance.frac
}

/// A relay that only ever welds, and a dial behind it that may, too.
const RELAY_AND_DIAL: &str = r#"
[[life]]
of       = "relay"
per_year = 0.1
welds    = "100 %"

[[life]]
of       = "thermostat"
per_year = 0.1
welds    = "100 %"
"#;

#[test]
fn a_protection_is_worth_its_tests() {
    let record = reckoned("spare-room-winter", RELAY_AND_DIAL, &["on-off"]);
    let one = &record.strategies[0];
    let tested = |how| moved(one, "everything tested", how);
    assert!(frac(one) > 0.0, "{one:?}");
    assert!(tested("every 30 d") < 0.5 * tested("every year"), "{one:?}");
    assert!(tested("every year") < 0.5 * tested("never"), "{one:?}");
    // Nothing is tested unless the scenario says so, and the draws are the same.
    assert_eq!(tested("never"), frac(one));
    // It takes the dial's failure, unnoticed, before the relay's; or both relays, or whatever else takes two.
    for cause in &one.causes {
        assert!(!cause.broken_before.is_empty(), "{cause:?}");
    }
}

#[test]
fn with_a_third_of_the_life_more_years_are_lost_and_with_three_times_fewer() {
    let record = reckoned("spare-room-winter", RELAY_AND_DIAL, &["on-off"]);
    let one = &record.strategies[0];
    assert!(moved(one, "lives: relay", "a third as long") > frac(one));
    assert!(moved(one, "lives: relay", "three times as long") < frac(one));
    // All welded as stated, and none of what does not weld takes the water past the warm lines.
    assert!(moved(one, "failed contacts that weld", "20 %") != frac(one));
}

#[test]
fn strategies_meet_the_same_draws() {
    let alike = reckoned(
        "lidded-nano",
        "[[life]]\nof = \"heater\"\nper_year = 0.2",
        &["on-off", "pi"],
    );
    let [first, second] = &alike.strategies[..] else {
        panic!("{alike:?}");
    };
    // A dead heater is dead whoever commands it.
    assert_eq!(first.years_lost, second.years_lost);
    assert_eq!(alike.differences[0].more.frac, 0.0);
    assert_eq!(alike.differences[0].more.high_frac, 0.0);
}

/// A tank of 48 L with a heater of 100 W behind a relay of its own, and its probe.
fn tank(name: &str) -> String {
    format!(
        "[[tank]]\nname = \"{name}\"\ninside = [\"60 cm\", \"30 cm\", \"30 cm\"]\nwater_height = \"27 cm\"\nlivestock = true\n\
         [[heater]]\nname = \"heater {name}\"\npower = \"100 W\"\ntank = \"{name}\"\nchain = [\"relay {name}\"]\n\
         [[contact]]\nname = \"relay {name}\"\nkind = \"relay\"\nrole = \"heat\"\n\
         [[probe]]\nname = \"probe {name}\"\ntank = \"{name}\"\n"
    )
}

/// Warm-water fish in a cool room that knows no seasons.
const COOL_ROOM: &str = "title = \"Tanks\"\nduration = \"3 d\"\nwarm_up = \"1 d\"\n\
     [water]\nsalinity = \"0 g/kg\"\ntarget = \"25 °C\"\nband = [\"24.5 °C\", \"25.5 °C\"]\n\
     [livestock]\nkind = \"small fish\"\nsource = \"common practice, no source\"\nused_to = \"25 °C\"\n\
     danger_hot = [[\"29 °C\", \"3 d\"], [\"31 °C\", \"12 h\"], [\"33 °C\", \"1 h\"]]\n\
     danger_cold = [[\"21 °C\", \"1 d\"], [\"19 °C\", \"6 h\"]]\n\
     [room]\ntemperature = \"18 °C\"\nhumidity = \"50 %\"\n\
     year = { coldest = \"18 °C\", warmest = \"18 °C\" }\n";

#[test]
fn each_of_two_water_systems_is_controlled_by_itself() {
    let life = "[[life]]\nof = \"heater\"\nper_year = 0.1\nreplaced_after = \"2 d\"\n";
    let text = format!("{COOL_ROOM}{}{}{life}", tank("a"), tank("b"));
    let record = reckoned_of(&text, 2000, &["on-off"]);
    let one = &record.strategies[0];
    assert_eq!(one.does_not_apply, None);
    let failed: Vec<_> = one.causes.iter().map(|cause| cause.failed.as_deref()).collect();
    for heater in ["heater a dead", "heater b dead"] {
        assert!(failed.contains(&Some(heater)), "{failed:?}");
    }
}

/// A tank whose heater of 300 W boils it with its relay welded, unless a cut-out at 28 °C stands behind the relay; each in a box.
fn guarded_tank(boxes: [&str; 2]) -> String {
    let [of_relay, of_cut_out] = boxes;
    format!(
        "{COOL_ROOM}\
         [[tank]]\nname = \"tank\"\ninside = [\"60 cm\", \"30 cm\", \"30 cm\"]\nwater_height = \"27 cm\"\nlivestock = true\n\
         [[heater]]\nname = \"heater\"\npower = \"300 W\"\ntank = \"tank\"\nchain = [\"cut-out\", \"relay\"]\n\
         [[contact]]\nname = \"relay\"\nkind = \"relay\"\nrole = \"heat\"\nbox = \"{of_relay}\"\n\
         [[contact]]\nname = \"cut-out\"\nkind = \"cut-out\"\nreset = \"automatic\"\nopens_above = \"28 °C\"\nbox = \"{of_cut_out}\"\n\
         [[probe]]\nname = \"probe\"\ntank = \"tank\"\n"
    )
}

/// Share of the time that a part of rate λ a year is dead which is replaced every T years at the latest: (1/T) ∫ (1 − e^(−λt)) dt.
fn dead_frac(rate: f64, every_years: f64) -> f64 {
    1.0 - (1.0 - (-rate * every_years).exp()) / (rate * every_years)
}

#[test]
fn a_cut_out_is_dead_between_its_tests_for_the_share_that_theory_says_and_costs_as_many_tanks() {
    const CUT_OUT: f64 = 0.1;
    const RELAY: f64 = 0.02;
    let mut chances = Vec::new();
    // A history begins with new parts and ends after ten years: untested is tested after ten years.
    for (tested, every_years) in [
        ("tested_every = \"30 d\"", 30.0 / 365.25),
        ("tested_every = \"365 d\"", 365.0 / 365.25),
        ("", 10.0),
    ] {
        let lives = format!(
            "[[life]]\nof = \"relay\"\nper_year = {RELAY}\nwelds = \"100 %\"\n\
             [[life]]\nof = \"cut-out\"\nper_year = {CUT_OUT}\nwelds = \"100 %\"\nreplaced_after = \"0 s\"\n{tested}\n"
        );
        let text = guarded_tank(["controller", "its own"]) + &lives;
        let record = reckoned_of(&text, 400_000, &["on-off"]);
        let one = &record.strategies[0];
        let dead = dead_frac(CUT_OUT, every_years);
        let cut_out = one
            .unnoticed
            .iter()
            .find(|part| part.kind == "cut-out")
            .expect("the cut-out");
        // A loss replaces it before its time: its relay welds within the interval in so many cases at most.
        let sooner = RELAY * every_years;
        assert!(
            cut_out.time.low_frac <= dead && dead * (1.0 - sooner) <= cut_out.time.high_frac,
            "{tested}: {dead} and {:?}",
            cut_out.time
        );
        // A relay that welds while the cut-out is dead is the only way to lose the tank.
        let chance = one.chance.expect("a chance");
        let expected = RELAY * dead;
        assert!(
            chance.low_frac <= expected && expected * (1.0 - sooner) <= chance.high_frac,
            "{tested}: {expected} and {chance:?}"
        );
        for cause in &one.causes {
            let broken = || cause.broken_before.iter().chain(&cause.failed);
            for needed in ["relay welded", "cut-out welded"] {
                assert!(broken().any(|one| one == needed), "{cause:?}");
            }
        }
        chances.push(chance);
    }
    let [monthly, yearly, never] = chances[..] else {
        panic!("{chances:?}");
    };
    assert!(
        monthly.high_frac < yearly.low_frac && yearly.high_frac < never.low_frac,
        "{chances:?}"
    );
}

#[test]
fn a_cut_out_in_a_box_of_its_own_is_worth_more_than_one_in_the_relays() {
    let lives = "[[life]]\nof = \"box\"\nper_year = 0.02\nwelds = \"100 %\"\n";
    let with = |boxes| reckoned_of(&(guarded_tank(boxes) + lives), 20_000, &["on-off"]);
    let (shared, own) = (
        with(["controller", "controller"]),
        with(["controller", "its own"]),
    );
    let of = |record: &Odds| record.strategies[0].chance.expect("a chance");
    assert!(
        of(&own).high_frac < 0.5 * of(&shared).low_frac,
        "{:?} {:?}",
        of(&own),
        of(&shared)
    );
    // With one box the tank is lost whenever the box is.
    let box_fails = 1.0 - (-0.02_f64).exp();
    assert!(of(&shared).low_frac <= box_fails && box_fails <= of(&shared).high_frac);
    let causes = &shared.strategies[0].causes;
    assert_eq!(
        causes[0].failed.as_deref(),
        Some("all contacts in box controller welded")
    );
    assert!(causes[0].broken_before.is_empty());
}

#[test]
fn a_guard_that_cannot_trip_is_told_though_it_loses_no_tank() {
    let lives = "[[life]]\nof = \"residual-current\"\nper_year = 0.1\nwelds = \"100 %\"\ntested_every = \"182.5 d\"\n\
                 replaced_after = \"0 s\"\n";
    let record = reckoned("spare-room-winter", lives, &["on-off"]);
    let one = &record.strategies[0];
    assert_eq!(frac(one), 0.0);
    let told = &one.unnoticed[0];
    let dead = dead_frac(0.1, 182.5 / 365.25);
    assert!(
        told.time.low_frac <= dead && dead <= told.time.high_frac,
        "{dead} and {told:?}"
    );
    // Tripped for nothing it takes both heaters in winter.
    let trips = lives
        .replace("\"100 %\"", "\"0 %\"")
        .replace("\"0 s\"", "\"3 d\"");
    let record = reckoned("spare-room-winter", &trips, &["on-off"]);
    let one = &record.strategies[0];
    assert_eq!(
        one.causes[0].failed.as_deref(),
        Some("residual-current tripped for nothing")
    );
}

#[test]
fn a_dead_battery_shows_in_an_outage_and_a_tested_one_bears_it() {
    let battery = "[[backup]]\nname = \"battery\"\nenergy = \"10 kWh\"\nlimit = \"500 W\"\nfeeds = [\"heater a\", \"controller\"]\n";
    let lives = |tested: &str| {
        format!(
            "[[life]]\nof = \"mains\"\nper_year = 0.2\nreplaced_after = \"2 d\"\n\
             [[life]]\nof = \"backup\"\nper_year = 0.2\n{tested}\n"
        )
    };
    let with = |tested: &str| {
        let text = format!("{COOL_ROOM}{}{battery}{}", tank("a"), lives(tested));
        reckoned_of(&text, 20_000, &["on-off"])
    };
    let (untested, tested) = (with(""), with("tested_every = \"30 d\""));
    assert!(frac(&tested.strategies[0]) < 0.3 * frac(&untested.strategies[0]));
    let cause = &untested.strategies[0].causes[0];
    assert_eq!(cause.failed.as_deref(), Some("outage"));
    assert_eq!(cause.broken_before, ["backup battery dead"]);
}

#[test]
fn without_lives_nothing_fails() {
    let record = reckoned("lidded-nano", "", &["on-off"]);
    let chance = record.strategies[0].chance.expect("a chance");
    assert_eq!(chance.frac, 0.0);
    // Wilson's bound of none of 20 000: z²/(n + z²).
    assert!((chance.high_frac - 1.92e-4).abs() < 1e-6, "{chance:?}");
}

#[test]
fn a_strategy_that_does_not_apply_says_what_it_would_need() {
    let record = reckoned("lidded-nano", "", &["fan-cooling"]);
    assert!(record.strategies[0].does_not_apply.is_some());
    assert_eq!(record.strategies[0].chance, None);
}

#[test]
fn the_command_says_it_in_plain_words_within_100_columns() {
    let arguments = ["odds", "lidded-nano", "--strategy", "on-off", "--years", "1000"];
    let (code, out, error) = tepid(&[], &arguments);
    assert_eq!(code, 0, "{error}");
    for part in [
        "on-off: about 1 in ",
        " uses up the dose; most o",
        "How the answer moves",
        "an assumption",
        "Odds compare set-ups and promise nothing",
    ] {
        assert!(out.contains(part), "`{part}` is not in:\n{out}");
    }
    for line in out.lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
}

#[test]
fn odds_as_json_are_versioned_and_as_csv_have_a_line_for_each_figure() {
    let with = |format| {
        let arguments = [
            "odds",
            "lidded-nano",
            "--strategy",
            "on-off",
            "--years",
            "200",
            "--format",
            format,
        ];
        let (code, out, error) = tepid(&[], &arguments);
        assert_eq!(code, 0, "{error}");
        out
    };
    let record: serde_json::Value = serde_json::from_str(&with("json")).expect("json");
    assert_eq!(
        (&record["format"], &record["version"]),
        (&"tepid-odds".into(), &1.into())
    );
    assert_eq!(record["years"], 200);
    assert!(with("csv").contains("strategies"));
}

#[test]
fn a_strategy_is_asked_for() {
    let (code, _, error) = tepid(&[], &["odds", "lidded-nano"]);
    assert_eq!(code, 2, "{error}");
    assert!(error.contains("--strategy"), "{error}");
}

#[test]
fn a_fault_by_hazard_strikes_a_run_at_the_time_drawn_for_its_seed() {
    let changes = [Setting::new("duration", "30 d")];
    let mut scenario = tepid_scenarios::scenario("lidded-nano", &changes).expect("scenario");
    let text = "[[fault]]\nwhat = \"heater dead\"\nlife = { per_year = 60 }";
    let base = tepid_scenarios::library::text("lidded-nano").expect("text");
    let Ok(tepid_scenarios::Loaded::Scenario(with)) =
        tepid_scenarios::load_str("test.toml", &format!("{base}\n{text}\n"))
    else {
        panic!("it loads");
    };
    scenario.happenings = with.happenings.clone();
    let strategy = tepid_scenarios::strategy("on-off").expect("strategy");
    let energy_kwh: Vec<f64> = (0..6)
        .map(|replicate| {
            let request = tepid_sim::run::RunRequest {
                replicate,
                ..tepid_sim::run::RunRequest::new(&scenario, strategy.recipe.as_ref(), 7)
            };
            tepid_sim::run::run(&request, None).expect("scores").heaters[0].energy_kwh
        })
        .collect();
    // Six days in the mean: the heater dies at other times in other replicates, and heats until then.
    let most = energy_kwh.iter().copied().fold(0.0, f64::max);
    let least = energy_kwh.iter().copied().fold(f64::INFINITY, f64::min);
    assert!(most > 2.0 * least, "{energy_kwh:?}");
}

/// A controller that hangs with its contacts held cooks as a welded relay does, where it hangs while it heats.
#[test]
fn a_hung_controller_is_among_what_uses_up_a_dose_and_one_that_opens_is_not_among_what_cooks() {
    let life = |part: &str| {
        format!(
            "[[life]]\nof = \"controller hung\"\npart = \"controller hung, contacts {part}\"\nper_year = 0.2\n"
        )
    };
    let too_warm_by = |part: &str| -> Vec<Option<String>> {
        let record = reckoned("lidded-nano", &life(part), &["on-off"]);
        let causes = record.strategies[0].causes.iter().filter(|cause| cause.too_warm);
        causes.map(|cause| cause.failed.clone()).collect()
    };
    let held = Some("controller hung, contacts hold".to_owned());
    assert_eq!(too_warm_by("hold"), [held]);
    assert_eq!(too_warm_by("open"), []);
}

#[test]
fn water_on_the_floor_is_noticed_and_so_a_top_off_that_runs_on_does_not_stay_unnoticed() {
    // Three centimetres to the brim of the lidded tank; in walls 60 cm higher the same top-off runs over nothing.
    let life = "[[life]]\nof = \"top-off stuck on\"\nper_year = 0.5\nreplaced_after = \"2 h\"\n";
    let text = tepid_scenarios::library::text("lidded-nano").expect("text");
    let of = |text: &str| {
        let record = reckoned_of(&format!("{text}\n{life}\n"), 2_000, &["on-off"]);
        record.strategies[0].unnoticed.len()
    };
    assert_eq!(of(text), 0);
    let low = text.replacen("\"32 cm\", \"35 cm\"]", "\"32 cm\", \"95 cm\"]", 1);
    assert_ne!(low, text, "the height stands otherwise in the file");
    assert_eq!(of(&low), 1);
}
