//! The pictures that compare show the figures of the runs and records they are of.

use tepid::figures;
use tepid_output::plot::{Drawing, Figure};
use tepid_sim::run::{RunRequest, run};
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::{DAY, HOUR};

use super::bad_input::run_in;
use super::support::{scenario, strategy};

fn strategies() -> Vec<(String, Box<dyn StrategyRecipe>)> {
    ["on-off", "lead-lag"]
        .map(|name| (name.to_owned(), strategy(name)))
        .into_iter()
        .collect()
}

#[test]
fn closings_add_up_to_those_of_the_scores_and_duty_to_the_energy() {
    let scenario = scenario("spare-room-winter", &[("duration", "2 d")]);
    let figure = figures::wear(&scenario, &strategies(), 7).expect("runs");
    let Drawing::Wear(all) = &figure.drawing else {
        panic!("no wear");
    };
    for (shown, (_, recipe)) in all.iter().zip(&strategies()) {
        let scores = run(&RunRequest::new(&scenario, recipe.as_ref(), 7), None).expect("runs");
        let contact = scores.contacts.iter().find(|one| one.contact == shown.contact);
        let contact = contact.expect("the contact");
        assert_eq!(
            shown.closings.last(),
            Some(&contact.closings),
            "{}",
            shown.strategy
        );
        assert!(
            scores
                .contacts
                .iter()
                .all(|other| other.closings <= contact.closings)
        );
        assert!(shown.closings.is_sorted());
        let columns = shown.course.room_c.len() as f64;
        let mean_w: f64 = shown.course.heater_w.iter().flatten().flatten().sum::<f64>() / columns;
        let energy_kwh: f64 = scores.heaters.iter().map(|heater| heater.energy_kwh).sum();
        // Columns are of whole milliseconds, 247 s of them: one more or less here and there.
        assert!(
            (mean_w * 48.0 / 1000.0 - energy_kwh).abs() < 1e-4 * energy_kwh,
            "{mean_w} W, {energy_kwh} kWh"
        );
    }
}

#[test]
fn a_cycle_shows_the_hours_asked_for() {
    let scenario = scenario("lidded-nano", &[]);
    let figure = figures::cycle(
        &scenario,
        &[("on-off".to_owned(), strategy("on-off"))],
        7,
        DAY,
        3 * HOUR,
    );
    let figure = figure.expect("runs");
    let Drawing::Cycle(all) = &figure.drawing else {
        panic!("no cycle");
    };
    assert_eq!(
        (all[0].course.from_ms, all[0].course.to_ms),
        (DAY, DAY + 3 * HOUR)
    );
    assert!(all[0].course.water_c[0].iter().flatten().count() > 100);
}

#[test]
fn every_picture_names_what_it_shows_in_itself() {
    let scenario = scenario("spare-room-winter", &[("duration", "1 d")]);
    let drawn = |figure: &Figure| {
        let png = figure.png().expect("a picture");
        assert_eq!(png[1..4], *b"PNG");
        figure.svg().expect("a picture")
    };
    let wear = drawn(&figures::wear(&scenario, &strategies(), 7).expect("runs"));
    for name in [
        "on-off, ",
        "lead-lag, ",
        "closings of the contact",
        "safety certificate",
    ] {
        assert!(wear.contains(name), "{name}");
    }
    let budget = tepid::budget::budget(&scenario).expect("a budget");
    let needed_w = budget.heat_needed_w;
    let heat = drawn(&figures::heat(&scenario, budget));
    assert!(heat.contains(&format!("heaters, {needed_w:.0} W")));
}

#[test]
fn a_picture_that_cannot_be_meant_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    for (arguments, said) in [
        (
            "plot wear lidded-nano --strategy on-off -o out.gif",
            "must end in .svg or .png",
        ),
        (
            "plot budget lidded-nano --strategy on-off -o out.svg",
            "has no strategy",
        ),
        ("plot wear lidded-nano -o out.svg", "at least once"),
        (
            "plot faults lidded-nano --strategy on-off --strategy pi -o out.svg",
            "one strategy",
        ),
        (
            "plot cycle lidded-nano --strategy on-off --from 9d -o out.svg",
            "is over by then",
        ),
        (
            "plot cycle lidded-nano --strategy on-off --for nonsense -o out.svg",
            "such as \"6 h\"",
        ),
    ] {
        let arguments: Vec<&str> = arguments.split(' ').collect();
        let (code, _, error) = run_in(folder.path(), &arguments);
        assert_eq!(code, 2, "{error}");
        assert!(error.contains(said), "{error}");
        assert!(!folder.path().join("out.svg").exists());
    }
}
