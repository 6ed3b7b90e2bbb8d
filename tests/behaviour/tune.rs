//! Settings are searched, and what is recommended holds where it was not searched and under every single fault asked about.

use std::sync::LazyLock;

use crate::bad_input::{run_in, tepid};
use crate::support::{scenario, scenario_of};
use tepid::compare::{CompareRequest, Silent, compare};
use tepid::tune::{TuneRequest, Varied, tune};
use tepid_output::records::{ALIKE_STEPS, Shown, Standing, Tuning, TuningUnsupported};
use tepid_output::wording::Units;
use tepid_output::{csv_text, table};
use tepid_scenarios::{Loaded, fault_sets};
use tepid_sim::scenario::{FaultSet, Scenario};
use tepid_strategies::find;

/// The one kind of fault that is asked about where the tests have no time for all.
const ASKED: &str = "one contact welded";

fn short(name: &str) -> Scenario {
    scenario(name, &[("duration", "2 d")])
}

/// All fault sets but [`ASKED`].
fn all_but_welds(scenario: &Scenario) -> Vec<String> {
    let sets = fault_sets(scenario)
        .into_iter()
        .filter(|set| !set.cases.is_empty());
    sets.map(|set| set.name).filter(|name| name != ASKED).collect()
}

fn tuned(scenario: &Scenario, strategy: &str, vary: &[&str], also: &[Scenario], settings: usize) -> Tuning {
    let entry = find(strategy).expect("a strategy");
    let varied: Vec<Varied> = vary
        .iter()
        .map(|text| Varied::named(entry, text).expect("a parameter"))
        .collect();
    let request = TuneRequest {
        scenario,
        entry,
        varied: &varied,
        settings,
        seed: 7,
        replicates: 2,
        held_out: 6,
        also,
        despite: &all_but_welds(scenario),
        no_worse: false,
        folder: None,
    };
    tune(&request, &Silent).expect("a search")
}

static REEF: LazyLock<Tuning> = LazyLock::new(|| {
    let also = [short("lidded-nano")];
    tuned(&short("spare-room-winter"), "pi", &["band", "cycle"], &also, 16)
});

#[test]
fn what_is_recommended_beats_the_defaults_in_weather_that_was_not_searched_and_on_another_tank() {
    let at = REEF.recommended.expect("one is safe");
    assert_ne!(at, 0);
    let [unseen, .., other] = REEF.held_out.as_slice() else {
        panic!("{:?}", REEF.held_out);
    };
    for held in [unseen, other] {
        let steps = held.steps.as_ref().expect("several runs");
        assert_eq!(steps.shown, Shown::Better, "{}: {steps:?}", held.runs);
        assert!(
            held.recommended.closings_per_day < held.defaults.closings_per_day,
            "{held:?}"
        );
    }
}

#[test]
fn what_is_recommended_stays_below_the_dose_in_a_comparison_under_the_same_faults() {
    let scenario = short("spare-room-winter");
    let at = REEF.recommended.expect("one is safe");
    let mut text = "strategy = \"pi\"\n".to_owned();
    for (parameter, value) in REEF.parameters.iter().zip(&REEF.settings[at].values) {
        text += &format!("{} = \"{value}\"\n", parameter.parameter);
    }
    let recipe = match tepid_scenarios::load_str("pi.toml", &text) {
        Ok(Loaded::Strategy(file)) => file.recipe,
        _ => panic!("no strategy:\n{text}"),
    };
    let sets: Vec<FaultSet> = fault_sets(&scenario)
        .into_iter()
        .filter(|set| set.name == ASKED)
        .collect();
    let request = CompareRequest {
        scenarios: &[(scenario, sets)],
        strategies: &[("pi".to_owned(), recipe)],
        seed: 7,
        replicates: 1,
    };
    let compared = compare(&request, &Silent).expect("compares");
    let standing = &compared.scenarios[0].rows[0].standing;
    assert!(
        matches!(standing, Standing::FitToUse | Standing::Best),
        "{standing:?}"
    );
}

#[test]
fn settings_on_the_front_are_beaten_by_none_and_every_value_can_be_set() {
    let front: Vec<_> = REEF.settings.iter().filter(|setting| setting.pareto).collect();
    assert!(front.len() > 2 && front.len() < REEF.settings.len());
    for (at, setting) in REEF.settings.iter().enumerate().skip(1) {
        assert!(setting.values[0].ends_with(" K"), "{at}: {:?}", setting.values);
        let band_k: f64 = setting.values[0].trim_end_matches(" K").parse().expect("kelvin");
        assert!((10.0 * band_k - (10.0 * band_k).round()).abs() < 1e-9, "{band_k}");
    }
    let at = REEF.recommended.expect("one is safe");
    let steps = |at: usize| REEF.settings[at].merits.steps;
    let unsafe_ones: Vec<usize> = REEF.safety.iter().map(|tried| tried.setting).collect();
    let better = (0..REEF.settings.len()).filter(|other| steps(*other) < steps(at));
    assert!(
        better.clone().all(|other| unsafe_ones.contains(&other)),
        "passed over without a reason"
    );
}

#[test]
fn where_one_fault_takes_every_setting_past_the_dose_none_is_recommended_and_the_fault_is_named() {
    let big = short("spare-room-one-big-heater");
    let found = tuned(&big, "on-off", &["deadband"], &[], 6);
    assert_eq!(found.recommended, None);
    assert!(!found.safety.is_empty());
    for tried in &found.safety {
        assert!(
            tried
                .past
                .iter()
                .any(|fault| fault.case == "relay welded" && fault.hot),
            "{tried:?}"
        );
    }
    assert!(found.held_out.is_empty() && found.near.is_empty());
    let mut arguments = vec!["tune", "spare-room-one-big-heater", "--strategy", "on-off"];
    let despite = all_but_welds(&big);
    for set in &despite {
        arguments.extend(["--despite", set]);
    }
    arguments.extend([
        "--vary",
        "deadband",
        "--settings",
        "4",
        "--replicates",
        "1",
        "--set",
        "duration=2 d",
    ]);
    let (code, out, error) = tepid(&[], &arguments);
    assert_eq!(code, 1, "{error}");
    assert!(
        out.contains("No setting is recommended") && out.contains("relay welded, too warm"),
        "{out}"
    );
    assert!(out.contains("--despite 'one contact welded'"), "{out}");
    // Asked not to hold against a setting what no setting mends, it recommends one and says so.
    arguments.push("--no-worse");
    let (code, out, error) = tepid(&[], &arguments);
    assert_eq!(code, 0, "{error}");
    assert!(out.contains("It is not safe, and nor are the defaults"), "{out}");
    assert!(out.lines().all(|line| line.chars().count() <= 100));
}

#[test]
fn a_setting_that_cooks_with_nothing_broken_is_not_recommended() {
    let found = tuned(&short("lidded-nano"), "timer", &["duty=5 %..100 %"], &[], 10);
    let at = found.recommended.expect("one is safe");
    let percent = |at: usize| -> f64 {
        let value = &found.settings[at].values[0];
        value.trim_end_matches(" %").parse().expect("percent")
    };
    assert!(found.settings.len() > 4);
    assert!(percent(at) < 60.0, "{}", percent(at));
    let tried = found
        .safety
        .iter()
        .find(|tried| tried.setting == at)
        .expect("tried");
    assert!(tried.past.is_empty());
}

#[test]
fn a_search_is_the_same_on_any_number_of_threads_and_after_a_stop() {
    let folder = tempfile::tempdir().expect("a folder");
    let scenario = short("lidded-nano");
    let despite = all_but_welds(&scenario);
    let mut arguments = vec![
        "tune",
        "lidded-nano",
        "--strategy",
        "on-off",
        "--set",
        "duration=1 d",
    ];
    for set in &despite {
        arguments.extend(["--despite", set]);
    }
    arguments.extend([
        "--vary",
        "deadband=0.1 K..1 K",
        "--settings",
        "8",
        "--held-out",
        "4",
        "--no-worse",
        "--format",
        "json",
    ]);
    let with = |more: &[&str]| {
        let all: Vec<&str> = arguments.iter().chain(more).copied().collect();
        let (code, out, error) = run_in(folder.path(), &all);
        assert_eq!(code, 0, "{error}");
        out
    };
    let one = with(&["--threads", "1"]);
    assert_eq!(one, with(&["--threads", "3", "--results", "kept"]));
    let journal = folder.path().join("kept/journal");
    let whole = std::fs::read(&journal).expect("a journal");
    // As if the program had died half-way through, in the midst of a run's frame.
    std::fs::write(&journal, &whole[..whole.len() / 2]).expect("cut");
    assert_eq!(one, with(&["--results", "kept"]));
    assert_eq!(whole, std::fs::read(&journal).expect("a journal"));
    // Another search does not take these runs for its own.
    let all: Vec<&str> = arguments
        .iter()
        .chain(&["--results", "kept", "--seed", "8"])
        .copied()
        .collect();
    let (code, _, error) = run_in(folder.path(), &all);
    assert_eq!(code, 3);
    assert!(error.contains("another study"), "{error}");
    let tuning: Tuning = serde_json::from_str(&one).expect("a tuning");
    let csv = csv_text::tuning(&tuning).expect("csv");
    assert_eq!(csv.lines().count(), 1 + tuning.settings.len());
    assert!(
        csv.starts_with("deadband,origin,outside_band_h_per_day,"),
        "{csv}"
    );
}

/// 96 L under a lid with one heater of this power, two danger lines on each side.
fn plain_tank(power_w: u32) -> Scenario {
    scenario_of(&format!(
        "title = \"96 L\"\nduration = \"2 d\"\n\
         [water]\nsalinity = \"0 g/kg\"\ntarget = \"25 °C\"\nband = [\"24.5 °C\", \"25.5 °C\"]\n\
         [livestock]\nkind = \"fish\"\nsource = \"invented\"\nused_to = \"25 °C\"\n\
         danger_hot = [[\"30 °C\", \"12 h\"], [\"34 °C\", \"2 h\"]]\ndanger_cold = [[\"20 °C\", \"12 h\"], [\"17 °C\", \"2 h\"]]\n\
         [[tank]]\nname = \"tank\"\ninside = [\"80 cm\", \"35 cm\", \"40 cm\"]\nwater_height = \"34.3 cm\"\n\
         cover = \"lid\"\nlivestock = true\n\
         [room]\ntemperature = \"20 °C\"\nhumidity = \"50 %\"\nyear = {{ coldest = \"16 °C\", warmest = \"27 °C\" }}\n\
         [[heater]]\nname = \"heater\"\npower = \"{power_w} W\"\nchain = [\"relay\"]\n\
         [[contact]]\nname = \"relay\"\nkind = \"relay\"\nrole = \"heat\"\n\
         [[probe]]\nname = \"main\"\nfor = \"control\"\n"
    ))
}

/// A search of on-off there in which welds are forgiven: the heater is too strong for any dial.
fn forgiven(power_w: u32, vary: &[&str], settings: usize) -> (Tuning, String) {
    let scenario = plain_tank(power_w);
    let entry = find("on-off").expect("a strategy");
    let varied: Vec<Varied> = vary
        .iter()
        .map(|text| Varied::named(entry, text).expect("a parameter"))
        .collect();
    let request = TuneRequest {
        scenario: &scenario,
        entry,
        varied: &varied,
        settings,
        seed: 7,
        replicates: 2,
        held_out: 6,
        also: &[],
        despite: &all_but_welds(&scenario),
        no_worse: true,
        folder: None,
    };
    let found = tune(&request, &Silent).expect("a search");
    let told = table::tuning(&found, Units::Metric);
    let flat = told.split_whitespace().collect::<Vec<_>>().join(" ");
    (found, flat)
}

#[test]
fn the_defaults_are_kept_where_another_setting_is_alike_or_not_shown_to_be_better() {
    for (power_w, why, said) in [
        (
            180,
            TuningUnsupported::Alike,
            "less than 0.2 of a step counts as alike",
        ),
        (
            260,
            TuningUnsupported::NotShown,
            "runs that the search has not seen do not show it",
        ),
    ] {
        let (found, told) = forgiven(power_w, &["deadband=0.2 K..0.4 K"], 4);
        let passed = found.passed_over.unwrap_or_else(|| panic!("{power_w} W: {told}"));
        assert_eq!((found.recommended, passed.why), (Some(0), why));
        let gained = found.settings[0].merits.steps - found.settings[passed.setting].merits.steps;
        assert!(gained > 0.0, "{gained}");
        assert_eq!(gained < ALIKE_STEPS, why == TuningUnsupported::Alike, "{gained}");
        assert!(
            told.contains("Keep the defaults: deadband 0.4 K.") && told.contains(said),
            "{told}"
        );
    }
}

#[test]
fn a_value_at_the_edge_of_the_search_or_as_fine_as_the_probe_shows_is_told_as_such_and_so_is_what_wears() {
    let (found, told) = forgiven(75, &["deadband=0.1 K..0.4 K", "minimum_off=0 s..20 min"], 12);
    assert_ne!(found.recommended, Some(0));
    for part in [
        "deadband 0.1 K is no more than one step of the probe's display (0.1 K)",
        "minimum_off 20 min is the largest value that was searched",
        "contacts wear out 1.7 times as fast",
    ] {
        assert!(told.contains(part), "`{part}` is not in:\n{told}");
    }
}

#[test]
fn what_was_left_out_is_told_also_where_nothing_is_recommended() {
    let big = short("spare-room-one-big-heater");
    let found = tuned(&big, "on-off", &["deadband"], &[], 4);
    assert_eq!(found.recommended, None);
    let told = table::tuning(&found, Units::Metric);
    let flat = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("past the dose by a single fault, leaving out") && flat.contains("pump stopped"),
        "{flat}"
    );
}

#[cfg(unix)]
#[test]
fn a_search_that_is_interrupted_says_how_to_go_on() {
    use std::process::{Command, Stdio};
    for (kept, said) in [
        (&["--results", "kept"][..], "goes on from there, in kept"),
        (&[], "with --results DIR the same command would go on"),
    ] {
        let folder = tempfile::tempdir().expect("a folder");
        let mut child = Command::new(env!("CARGO_BIN_EXE_tepid"))
            .current_dir(folder.path())
            .args([
                "tune",
                "lidded-nano",
                "--strategy",
                "on-off",
                "--settings",
                "2000",
                "--replicates",
                "50",
            ])
            .args(kept)
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .expect("starts");
        std::thread::sleep(std::time::Duration::from_secs(2));
        let signalled = Command::new("kill")
            .args(["-INT", &child.id().to_string()])
            .status();
        assert!(signalled.expect("kill").success());
        let status = child.wait().expect("ends");
        let mut error = String::new();
        std::io::Read::read_to_string(&mut child.stderr.take().expect("stderr"), &mut error).expect("text");
        assert_eq!(status.code(), Some(3), "{error}");
        assert!(error.contains("interrupted") && error.contains(said), "{error}");
    }
}

#[test]
fn what_cannot_be_searched_ends_with_2_and_says_what_can() {
    for (more, said) in [
        (vec!["--strategy", "onoff"], "did you mean `on-off`"),
        (
            vec!["--strategy", "on-off", "--vary", "deadbnd"],
            "did you mean `deadband`",
        ),
        (vec!["--strategy", "on-off", "--vary", "deadband=1 K"], "FROM..TO"),
        (vec!["--strategy", "heater-dial"], "expected 1 to 6"),
        (
            vec!["--strategy", "on-off", "--despite", "meteor"],
            "expected one of",
        ),
        (vec!["--strategy", "on-off", "--plot", "x.gif"], ".svg or .png"),
    ] {
        let all: Vec<&str> = ["tune", "lidded-nano"].iter().chain(&more).copied().collect();
        let (code, _, error) = tepid(&[], &all);
        assert_eq!(code, 2, "{more:?}: {error}");
        assert!(error.contains(said), "{error}");
    }
}
