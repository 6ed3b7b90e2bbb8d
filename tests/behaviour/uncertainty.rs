//! How far a budget may be off.

use crate::bad_input::tepid;
use crate::support::scenario;
use tepid::budget::budget;
use tepid::uncertainty::{UncertaintyRequest, uncertainty};
use tepid_output::records::Uncertainty;
use tepid_scenarios::uncertainty::{Distribution, Parameter, Uncertain, library, of_text};
use tepid_sim::scenario::{Evaporation, Scenario};

fn one(parameter: Parameter, distribution: Distribution) -> Uncertain {
    Uncertain {
        parameter,
        words: parameter.name().to_owned(),
        distribution,
        source: "a test".to_owned(),
    }
}

#[track_caller]
fn sampled(scenario: &Scenario, uncertain: &[Uncertain], samples: u32) -> Uncertainty {
    uncertainty(&UncertaintyRequest {
        scenario,
        uncertain,
        samples,
        seed: 11,
    })
    .expect("samples")
}

#[test]
fn the_library_says_of_every_parameter_how_uncertain_it_is_and_why() {
    let library = library().unwrap_or_else(|report| panic!("{}", report.plain()));
    assert_eq!(library.len(), 17);
    for (at, one) in library.iter().enumerate() {
        assert!(one.source.len() > 10, "{one:?}");
        assert!(
            library[..at].iter().all(|other| other.parameter != one.parameter),
            "{one:?} twice"
        );
    }
}

#[test]
fn nine_of_ten_losses_lie_between_those_of_the_ends_of_what_is_uncertain() {
    let stated = scenario("lidded-nano", &[("tank.nano.cover", "\"open\"")]);
    let factor = Distribution::Uniform { low: 0.5, high: 1.5 };
    let found = sampled(&stated, &[one(Parameter::Agitation, factor)], 400);
    // The loss rises with agitation, so its quantiles are those of the factor. A sampled quantile of 400 strays by
    // √(0.05 × 0.95/400) = 0.011 of probability (one standard deviation), here the same in the factor; three are allowed.
    for (found_w, middle) in [(found.total_loss_w.p05, 0.55), (found.total_loss_w.p95, 1.45)] {
        let loss_w = |agitation: f64| {
            let mut changed = stated.clone();
            changed.tanks[0].agitation = agitation;
            budget(&changed).expect("budget").total_loss_w
        };
        let found_w = found_w.expect("an end");
        assert!(
            found_w > loss_w(middle - 0.033) && found_w < loss_w(middle + 0.033),
            "{found_w}"
        );
    }
    assert_eq!(found.parameters[0].rank_correlation_loss, 1.0);
}

#[test]
fn what_heaters_really_draw_moves_where_a_stuck_tank_settles_and_not_what_it_loses() {
    let stated = scenario("lidded-nano", &[]);
    let found = sampled(
        &stated,
        &[one(
            Parameter::HeaterRating,
            Distribution::Normal {
                mean: 1.0,
                spread: 0.05,
            },
        )],
        40,
    );
    let loss_w = Some(budget(&stated).expect("budget").total_loss_w);
    assert_eq!((found.total_loss_w.p05, found.total_loss_w.p95), (loss_w, loss_w));
    assert_eq!(found.parameters[0].rank_correlation_loss, 0.0);
    assert!(found.parameters[0].rank_correlation_warmest_end > Some(0.99));
    for room in &found.stuck_on {
        assert!(
            room.end_c.p05 < room.end_c.p50 && room.end_c.p50 < room.end_c.p95,
            "{room:?}"
        );
    }
}

#[test]
fn without_uncertainty_every_sample_is_the_budget_itself() {
    let stated = scenario("spare-room-winter", &[]);
    let found = sampled(&stated, &[], 3);
    let budget = budget(&stated).expect("budget");
    assert_eq!(found.total_loss_w.p50, Some(budget.total_loss_w));
    for (sampled, stuck) in found.stuck_on.iter().zip(&budget.stuck_on) {
        let (sampled_c, stuck_c) = (sampled.end_c.p50.expect("settles"), stuck.end_c.expect("settles"));
        // Settled to 1e-3 K in six hours here, 1e-5 K there, with a time constant of nine hours.
        assert!((sampled_c - stuck_c).abs() < 2e-3, "{sampled_c} {stuck_c}");
        for (sampled, exact) in sampled.hours_to_lines.iter().zip(&stuck.hours_to_lines) {
            match (sampled.after_h.p50, exact.after_h) {
                // Looked at every six minutes.
                (Some(sampled_h), Some(exact_h)) => {
                    assert!(sampled_h >= exact_h - 0.02 && sampled_h < exact_h + 0.12)
                }
                (sampled, exact) => assert_eq!(sampled, exact),
            }
        }
    }
}

#[test]
fn what_a_scenario_does_not_have_is_not_uncertain_in_it() {
    let library = library().expect("library");
    let named = |name: &str| -> Vec<String> {
        let found = sampled(&scenario(name, &[]), &library, 8);
        found
            .parameters
            .into_iter()
            .map(|parameter| parameter.parameter)
            .collect()
    };
    let (reef, nano) = (named("spare-room-winter"), named("lidded-nano"));
    assert!(
        reef.contains(&"open share under a net".to_owned())
            && !reef.contains(&"open share under a lid".to_owned())
    );
    assert!(nano.contains(&"open share under a lid".to_owned()) && !nano.contains(&"cabinet".to_owned()));
}

#[test]
fn the_budget_shows_its_own_correlation_first_and_what_others_say() {
    let stated = scenario("spare-room-winter", &[("tank.display.agitation", "1.4")]);
    let found = budget(&stated).expect("budget");
    assert!(found.by_correlation[0].own && found.by_correlation[0].total_loss_w == found.total_loss_w);
    assert_eq!(found.by_correlation.iter().filter(|row| row.own).count(), 1);
    assert!(found.by_correlation.len() >= 4);
    // What stirs the surface is in the activity factor: agitation does not multiply it again.
    let mut calm = stated.clone();
    calm.tanks.iter_mut().for_each(|tank| tank.agitation = 1.0);
    calm.water.evaporation = Evaporation::AshraePool { activity: 0.5 };
    let pool = found
        .by_correlation
        .iter()
        .find(|row| row.correlation.contains("activity 0.5"))
        .expect("pool");
    assert_eq!(pool.total_loss_w, budget(&calm).expect("budget").total_loss_w);
}

#[test]
fn the_command_tells_the_range_in_words_first() {
    let (code, out, error) = tepid(
        &[],
        &["budget", "lidded-nano", "--uncertainty", "--samples", "50"],
    );
    assert_eq!(code, 0, "{error}");
    let words = out.find("in nine of ten cases").expect("words");
    assert!(words < out.find("Heat goes out by").expect("table"), "{out}");
    assert!(
        out.lines().all(|line| line.chars().count() <= 100),
        "a line is wider than 100 columns"
    );
    let (code, out, _) = tepid(&[], &["budget", "lidded-nano", "--format", "json"]);
    assert_eq!(code, 0);
    let record: serde_json::Value = serde_json::from_str(&out).expect("json");
    assert!(record["uncertainty"].is_null(), "not asked for, so not told");
    assert_eq!(tepid(&[], &["budget", "lidded-nano", "--samples", "20"]).0, 2);
    assert_eq!(
        tepid(&[], &["budget", "lidded-nano", "--uncertainty", "--samples", "0"]).0,
        2
    );
}

#[test]
fn mistakes_in_a_file_of_distributions_are_all_told() {
    let text = "[[uncertain]]\nparameter = \"agitation\"\nwords = \"stirred\"\ndistribution = \"triangular\"\nunit = \"K\"\nlow = 1.0\n\
                likely = 3.0\nhigh = 2.0\nfrom = \"a test\"\n[[uncertain]]\nparameter = \"agitatoin\"\nwords = \"stirred\"\n\
                distribution = \"normal\"\nunit = \"factor\"\nmean = 1.0\nfrom = \"a test\"\n";
    let report = of_text("mine.toml", text).expect_err("mistakes").plain();
    for part in [
        "make no distribution",
        "unit = \"factor\"",
        "agitatoin",
        "`spread` is missing",
    ] {
        assert!(report.contains(part), "`{part}` is not in:\n{report}");
    }
}

/// The same tank, its inside stated or only the volume that the usual proportions give the same inside.
#[test]
fn a_tank_stated_by_its_volume_alone_loses_less_surely_than_by_its_dimensions() {
    let inside = "inside       = [\"120 cm\", \"50 cm\", \"50 cm\"]\nwater_height = \"45 cm\"\n";
    let base = tepid_scenarios::library::text("spare-room-winter").expect("text");
    assert!(base.contains(inside), "{base}");
    let of = |size: &str| {
        tepid_scenarios::scenario_text("mine", &base.replacen(inside, size, 1))
            .unwrap_or_else(|report| panic!("{}", report.plain()))
    };
    let (measured, guessed) = (of(inside), of("volume = \"300 L\"\n"));
    let loss_w = |scenario: &Scenario| budget(scenario).expect("budget").total_loss_w;
    assert!(
        (loss_w(&measured) / loss_w(&guessed) - 1.0).abs() < 1e-6,
        "the same tank"
    );
    let library = library().unwrap_or_else(|report| panic!("{}", report.plain()));
    let (known, assumed) = (
        sampled(&measured, &library, 500),
        sampled(&guessed, &library, 500),
    );
    let width_w = |found: &Uncertainty| {
        found.total_loss_w.p95.expect("an end") - found.total_loss_w.p05.expect("an end")
    };
    // Independent unknowns add about as squares, so an interval several times as wide grows by little.
    assert!(
        width_w(&assumed) > 1.02 * width_w(&known),
        "{} {}",
        width_w(&assumed),
        width_w(&known)
    );
    for parameter in ["assumed height", "assumed length"] {
        let among = |found: &Uncertainty| found.parameters.iter().any(|one| one.parameter == parameter);
        assert!(among(&assumed) && !among(&known), "{parameter}");
    }
    let proportions: Vec<Uncertain> = library
        .into_iter()
        .filter(|one| matches!(one.parameter, Parameter::AssumedHeight | Parameter::AssumedLength))
        .collect();
    assert!(
        width_w(&sampled(&measured, &proportions, 100)) == 0.0,
        "dimensions are known"
    );
    assert!(width_w(&sampled(&guessed, &proportions, 100)) > 0.05 * loss_w(&guessed));
}
