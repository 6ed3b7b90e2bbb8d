//! A strategy of one's own, in Rust, compared with a built-in one on the same weather, noise and faults.
//!
//! "Night setback": on-off with a setpoint that is lower by night. A strategy sees readings and gives commands; a recipe makes a fresh one
//! for every run and turns names into ids once.
//!
//! Run it with `cargo run --example own_strategy`.
#![expect(clippy::print_stdout, reason = "an example shows its result")]

use tepid::compare::{CompareRequest, Silent, compare};
use tepid_output::{table, wording::Units};
use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{
    BindError, Commands, ContactState, Readings, Strategy, StrategyFailure, StrategyRecipe, Wiring,
};
use tepid_sim::time::{HOUR, Millis, SECOND, time_of_day};

/// How much lower the night is.
#[derive(Debug)]
struct NightSetback {
    lower_by_k: f64,
}

impl StrategyRecipe for NightSetback {
    fn name(&self) -> &str {
        "night-setback"
    }

    fn settings(&self) -> String {
        format!("0.4 K deadband, {} K lower from 22:00 to 06:00", self.lower_by_k)
    }

    fn interval_ms(&self) -> Millis {
        10 * SECOND
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        Ok(Box::new(Bound {
            day_c: wiring.target_c,
            night_c: wiring.target_c - self.lower_by_k,
            probe: wiring.control_probe()?,
            contacts: wiring.contacts_with(Role::Heat)?,
        }))
    }
}

/// The strategy, bound to a scenario.
struct Bound {
    day_c: f64,
    night_c: f64,
    probe: ProbeId,
    contacts: Vec<ContactId>,
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let by_night = !(6 * HOUR..22 * HOUR).contains(&time_of_day(seen.now_ms));
        let setpoint_c = if by_night { self.night_c } else { self.day_c };
        // Without a reading nobody knows how warm the water is: off.
        let wanted = match seen.probe_c(self.probe) {
            Some(reading_c) if reading_c <= setpoint_c - 0.2 => Some(ContactState::Closed),
            Some(reading_c) if reading_c < setpoint_c + 0.2 => None,
            Some(_) | None => Some(ContactState::Open),
        };
        if let Some(state) = wanted {
            self.contacts
                .iter()
                .for_each(|contact| commands.set(*contact, state));
        }
        Ok(())
    }
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let scenario = tepid_scenarios::scenario("lidded-nano", &[])?;
    let sets = vec![tepid_scenarios::fault_set(&scenario, "one contact welded")?];
    let scenarios = [(scenario, sets)];
    let own: Box<dyn StrategyRecipe> = Box::new(NightSetback { lower_by_k: 1.0 });
    let strategies = [
        ("on-off".to_owned(), tepid_scenarios::strategy("on-off")?.recipe),
        ("night-setback".to_owned(), own),
    ];
    let request = CompareRequest {
        scenarios: &scenarios,
        strategies: &strategies,
        seed: 7,
        replicates: 1,
    };
    println!(
        "{}",
        table::comparison(&compare(&request, &Silent)?, Units::Metric)
    );
    Ok(())
}
