//! "Night setback": on-off with a setpoint that is lower by night, as a crate of its own would have it.
//!
//! A strategy sees readings and gives commands; a recipe makes a fresh one for every run and turns names into ids once. The [`ENTRY`] gives
//! it a name and parameters with units, bounds and a line each, as every built-in strategy has them.

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::quantity::{Kind, System, print};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{
    BindError, Commands, ContactState, Readings, Strategy, StrategyFailure, StrategyRecipe, Wiring,
};
use tepid_sim::time::{HOUR, Millis, SECOND, time_of_day};
use tepid_strategies::Entry;
use tepid_strategies::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use tepid_strategies::values::Values;

/// Name, parameters and how it is made.
pub const ENTRY: Entry = Entry {
    name: "night-setback",
    summary: "on-off, colder by night",
    params: &[LOWER_BY],
    page: include_str!("lib.rs"),
    build,
};

const LOWER_BY: Param = Param {
    name: "lower_by",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(1.0),
    range: Some(ParamRange { from: 0.0, to: 3.0 }),
    doc: "how much lower the setpoint is from 22:00 to 06:00",
    trade: Some("larger: less heat by night, more change for the animals"),
};

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    Ok(Box::new(NightSetback {
        lower_by_k: values.get_number(LOWER_BY.name)?,
    }))
}

/// How much lower the night is.
#[derive(Debug)]
struct NightSetback {
    lower_by_k: f64,
}

impl StrategyRecipe for NightSetback {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        let lower_by = print(Kind::TemperatureDifference, self.lower_by_k, System::Metric);
        format!("0.4 K deadband, {lower_by} lower from 22:00 to 06:00")
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
