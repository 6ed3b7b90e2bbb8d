//! Set-back: on-off around a setpoint that is lower by night and moves between the two no faster than allowed.
//!
//! # Law
//! The setpoint is s by day and s − `drop` by night. From `night_from` on it falls at `ramp`, from `night_to` on it rises at
//! `ramp`, so that by day it is below s by max(0, what it had fallen − `ramp` × time since `night_to`). Around it works a switch
//! with a deadband as in `on-off`, centred.
//!
//! # Reads
//! One probe and the clock.
//!
//! # Commands
//! Every heating contact alike, at each decision.
//!
//! # Memory and reset
//! The commanded state; kept over a power outage. The setpoint follows from the time of day alone.
//!
//! # Parameters
//! - `drop`: K, default 1, sensible 0.5 to 2: saves electricity in proportion to itself and asks as much of the animals.
//! - `ramp`: K/h, default 0.25, sensible 0.1 to 0.5: slow is gentle; night and day must each be long enough for the whole `drop`.
//! - `night_from`, `night_to`: default 22:00 and 08:00.
//! - `deadband`: K, default 0.4: as `on-off`.
//! - `setpoint`: by day; `probe`, `contacts`, `interval`, `without_reading`: as for all strategies.
//!
//! # When the probe is silent
//! As `on-off`.
//!
//! # Known weakness
//! The ramp binds the setpoint, not the water: water falls as fast as the room takes its heat, and rises as fast as the
//! heaters can within the deadband. A tank that holds its heat through the night saves next to nothing. The colder water of
//! the morning is that much nearer to danger if something fails then.
//!
//! # Source
//! Night set-back with limited rate, common practice of heating, no source; nor for the defaults.

use tepid_sim::quantity::{Kind, print_millis};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{
    BindError, Commands, Readings, Rest, Strategy, StrategyFailure, StrategyRecipe, Wiring,
};
use tepid_sim::time::{DAY, Millis, seconds};

use crate::control_loop::{
    ControlLoop, HEATING_CONTACTS, INTERVAL, PROBE, SETPOINT, WITHOUT_READING, contacts,
};
use crate::night::{NIGHT_FROM, NIGHT_TO, Night};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::rate::rate_param;
use crate::registry::Entry;
use crate::switch::{Switch, SwitchPoints};
use crate::thermostat::Thermostat;
use crate::values::Values;
use crate::wording::{difference_text, rate_text};

/// Its place in the registry.
pub const ENTRY: Entry = Entry {
    name: "set-back",
    summary: "on-off around a setpoint that is lower by night and moves there slowly",
    params: &[
        SETPOINT,
        DROP,
        RAMP,
        NIGHT_FROM,
        NIGHT_TO,
        DEADBAND,
        PROBE,
        HEATING_CONTACTS,
        INTERVAL,
        WITHOUT_READING,
    ],
    page: own_page!("set_back.rs"),
    build,
};

const DROP: Param = Param {
    name: "drop",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(1.0),
    range: Some(ParamRange { from: 0.0, to: 10.0 }),
    doc: "how much lower the setpoint is by night",
    trade: Some(
        "larger: less heat by night, more change for the animals and a heavier morning for the heaters",
    ),
};

const RAMP: Param = rate_param("ramp", 0.25, "how fast the setpoint moves")
    .trading("faster: more of the night at the lower temperature, a steeper change");

const DEADBAND: Param = Param {
    name: "deadband",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(0.4),
    range: Some(ParamRange { from: 0.01, to: 5.0 }),
    doc: "full width between closing and opening, centred on the moving setpoint",
    trade: Some("wider: fewer closings and a wider swing"),
};

#[derive(Debug, Clone)]
struct SetBack {
    control: ControlLoop,
    contacts: Option<Vec<String>>,
    course: Course,
    night: Night,
    deadband_k: f64,
}

/// How far the setpoint is lowered over a day.
#[derive(Debug, Clone, Copy)]
struct Course {
    drop_k: f64,
    ramp_k_per_s: f64,
}

impl Course {
    /// Up to when it is lowered as far as it is now, ms; now, while it moves.
    fn steady_until_ms(self, night: Night, now_ms: Millis) -> Millis {
        let since_ms = night.since_it_began_ms(now_ms);
        let (there_k, ends_ms) = if since_ms < night.length_ms {
            (self.drop_k, night.length_ms)
        } else {
            (0.0, DAY)
        };
        if self.lowered_k(night, now_ms) == there_k {
            now_ms + ends_ms - since_ms
        } else {
            now_ms
        }
    }

    /// How far it is lowered now, K.
    fn lowered_k(self, night: Night, now_ms: Millis) -> f64 {
        let since_ms = night.since_it_began_ms(now_ms);
        if since_ms < night.length_ms {
            self.drop_k.min(self.ramp_k_per_s * seconds(since_ms))
        } else {
            (self.drop_k - self.ramp_k_per_s * seconds(since_ms - night.length_ms)).max(0.0)
        }
    }
}

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    let night = Night::from_values(values)?;
    let course = Course {
        drop_k: values.get_number(DROP.name)?,
        ramp_k_per_s: values.get_number(RAMP.name)?,
    };
    let shorter_ms = night.length_ms.min(DAY - night.length_ms);
    if course.ramp_k_per_s * seconds(shorter_ms) < course.drop_k {
        return Err(ParamError::DoesNotFit {
            param: RAMP.name,
            wrong: format!(
                "is {}, too slow for a `drop` of {} in {}, the shorter of night and day",
                rate_text(course.ramp_k_per_s),
                difference_text(course.drop_k),
                print_millis(shorter_ms)
            ),
        });
    }
    Ok(Box::new(SetBack {
        control: ControlLoop::from_values(values)?,
        contacts: values.given_names(HEATING_CONTACTS.name).map(<[String]>::to_vec),
        course,
        night,
        deadband_k: values.get_number(DEADBAND.name)?,
    }))
}

impl StrategyRecipe for SetBack {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        format!(
            "{} deadband, centred on {}, {} lower from {}, at {}{}",
            difference_text(self.deadband_k),
            self.control.setpoint_text(),
            difference_text(self.course.drop_k),
            self.night.text(),
            rate_text(self.course.ramp_k_per_s),
            self.control.settings_text()
        )
    }

    fn interval_ms(&self) -> Millis {
        self.control.interval_ms
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        let by_day_c = self.control.setpoint_c(wiring);
        let contacts = contacts(wiring, Role::Heat, self.contacts.as_deref())?;
        let switch = Switch::new(SwitchPoints::heating(by_day_c, self.deadband_k));
        Ok(Box::new(Bound {
            thermostat: Thermostat::new(&self.control, wiring, contacts, switch)?,
            by_day_c,
            course: self.course,
            night: self.night,
            deadband_k: self.deadband_k,
        }))
    }
}

#[derive(Clone)]
struct Bound {
    thermostat: Thermostat,
    by_day_c: f64,
    course: Course,
    night: Night,
    deadband_k: f64,
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let setpoint_c = self.by_day_c - self.course.lowered_k(self.night, seen.now_ms);
        self.thermostat
            .move_to(SwitchPoints::heating(setpoint_c, self.deadband_k));
        self.thermostat.decide(seen, commands)
    }

    fn rests(&self) -> Option<Rest> {
        let last_ms = self.thermostat.last_ms()?;
        Some(Rest {
            until_ms: self.course.steady_until_ms(self.night, last_ms),
            ..self.thermostat.rests()?
        })
    }

    fn rested(&mut self, last_ms: Millis) {
        self.thermostat.rested(last_ms);
    }

    fn twin(&self) -> Option<Box<dyn Strategy>> {
        Some(Box::new(self.clone()))
    }
}
