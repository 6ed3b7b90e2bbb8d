//! What an alert is worth: a relay welds at midnight, and the keeper takes ever longer to come; told to people, muted, and with a watch that acts by itself.
//!
//! Run it with `cargo run --example alerts`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

use tepid::alerts::by_response;
use tepid_output::cautions::for_equipment;
use tepid_scenarios::Setting;
use tepid_sim::ids::ContactId;
use tepid_sim::run::RunRequest;
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, When};
use tepid_sim::time::{DAY, HOUR};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let weld = Happening {
        name: "relay left welded".to_owned(),
        when: When::At(DAY),
        lasts: Lasts::ToTheEnd,
        effect: Effect::ContactWelded(ContactId(1)),
        origin: Origin::Fault,
    };
    let people = "{ does = \"unplug heaters\" }";
    let itself = "{ who = \"itself\", does = \"unplug heaters\" }";
    let ways = [
        ("alert to people", people, false),
        ("the same, but muted", people, true),
        ("acting by itself", itself, false),
    ];
    let recipe = tepid_scenarios::strategy("on-off")?.recipe;
    let responses_ms = [0, HOUR / 2, HOUR, 2 * HOUR, 4 * HOUR, 8 * HOUR, 16 * HOUR];
    let mut curves = Vec::new();
    for (_, acts, muted) in ways {
        let settings = [
            Setting::new("heater.left.power", "500 W"),
            Setting::new("contact.dial left.opens_above", "36 °C"),
            Setting::new("room.temperature.points", "[[\"0 h\", \"24 °C\"]]"),
            Setting::new("watch.too warm.acts", acts),
        ];
        let mut scenario = tepid_scenarios::scenario("spare-room-winter", &settings)?;
        for person in &mut scenario.persons {
            person.quiet = None;
            person.at_home = None;
        }
        let mut faults = vec![weld.clone()];
        if muted {
            faults.push(Happening {
                name: "alerts muted".to_owned(),
                effect: Effect::AlertsMuted,
                ..weld.clone()
            });
        }
        let request = RunRequest {
            faults: &faults,
            ..RunRequest::new(&scenario, recipe.as_ref(), 7)
        };
        curves.push(by_response(&request, &responses_ms)?);
    }
    print!("people take");
    for (way, ..) in ways {
        print!("  {way:>22}");
    }
    println!();
    for (row, worth) in curves[0].iter().enumerate() {
        let takes = worth
            .response_h
            .map_or("for ever".to_owned(), |takes_h| format!("{takes_h:.1} h"));
        print!("{takes:>11}");
        for curve in &curves {
            let end = format!(
                "{:.1} °C, {:.1} doses",
                curve[row].highest_c, curve[row].dose_used
            );
            print!("  {end:>22}");
        }
        println!();
    }
    println!("\nBefore anybody acts:");
    let scenario = tepid_scenarios::scenario("spare-room-winter", &[])?;
    for caution in for_equipment(&scenario) {
        println!("- {}", caution.text);
    }
    Ok(())
}
