//! Heat and fan: heaters below, fan above, and a dead zone between in which neither works.
//!
//! # Law
//! With setpoint s, dead zone z and deadband d: heating contacts close at or below s − z/2 − d and open at or
//! above s − z/2; cooling contacts close at or above s + z/2 + d and open at or below s + z/2. As z > 0, no reading
//! has both closed. After one side has worked the other stays open for `lockout`, whatever the reading says.
//!
//! # Reads
//! One probe.
//!
//! # Commands
//! Every heating contact alike and every cooling contact alike, at each decision.
//!
//! # Memory and reset
//! The commanded states, which side worked last, and until when each did; kept over a power outage.
//!
//! # Parameters
//! - `deadband`: K, default 0.3, sensible 0.1 to 1: of each side.
//! - `dead_zone`: K, default 0.2, sensible 0.1 to 1: wide keeps heat that was just paid for from being blown away,
//!   narrow holds closer.
//! - `lockout`: default 5 min, sensible 5 min to 1 h: as long as heater bodies and probe need to tell the whole of what was
//!   done; long lets the water run off further when a door is opened on a warm room.
//! - `heating_contacts`, `cooling_contacts`: default: all of the role.
//! - `setpoint`, `probe`, `interval`, `without_reading`: as for all strategies.
//!
//! # When the probe is silent
//! As `on-off`; `last duty` goes on with the side that worked last and opens the other, so that they do not fight
//! blindly.
//!
//! # Known weakness
//! The lag of heaters and probe can carry the water across a narrow dead zone, and then both work in turns, each after its
//! lockout. A welded heater contact is fought by the fan, which hides it.
//!
//! # Source
//! Common practice, no source; nor for the defaults.

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::quantity::{Kind, print_millis};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{
    BindError, Commands, ContactState, Readings, Rest, Strategy, StrategyFailure, StrategyRecipe, Wiring,
};
use tepid_sim::time::{DAY, MINUTE, Millis};

use crate::control_loop::{
    ControlLoop, INTERVAL, PROBE, SETPOINT, WITHOUT_READING, WithoutReading, contacts, contacts_param,
    reading_c,
};
use crate::decision_clock::{DecisionClock, Tick};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::registry::Entry;
use crate::switch::{Switch, SwitchPoints, rest};
use crate::values::Values;
use crate::wording::difference_text;

/// Its place in the registry.
pub const ENTRY: Entry = Entry {
    name: "heat-and-fan",
    summary: "heats below and blows above, with a zone between in which neither works",
    params: &[
        SETPOINT,
        DEADBAND,
        DEAD_ZONE,
        LOCKOUT,
        PROBE,
        HEATING_CONTACTS,
        COOLING_CONTACTS,
        INTERVAL,
        WITHOUT_READING,
    ],
    page: own_page!("heat_and_fan.rs"),
    build,
};

const DEADBAND: Param = Param {
    name: "deadband",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(0.3),
    range: Some(ParamRange { from: 0.01, to: 5.0 }),
    doc: "full width between closing and opening, of each side",
    trade: Some("wider: fewer closings and a wider swing"),
};

const DEAD_ZONE: Param = Param {
    name: "dead_zone",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(0.2),
    range: Some(ParamRange { from: 0.01, to: 5.0 }),
    doc: "between where the heaters open and where the fan opens, centred on the setpoint",
    trade: Some(
        "wider: heaters and fan never fight, and the water wanders further; narrower: both may work against each other",
    ),
};

const LOCKOUT: Param = Param {
    name: "lockout",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(5 * MINUTE),
    range: Some(ParamRange {
        from: 0.0,
        to: DAY as f64,
    }),
    doc: "shortest time between the work of one side and of the other",
    trade: Some("longer: no fight after an overshoot, a later answer to a sudden change"),
};

const HEATING_CONTACTS: Param = contacts_param(
    "heating_contacts",
    "all contacts that heat",
    "what it switches to heat",
);

const COOLING_CONTACTS: Param = contacts_param(
    "cooling_contacts",
    "all contacts that cool",
    "what it switches to cool",
);

#[derive(Debug, Clone)]
struct HeatAndFan {
    control: ControlLoop,
    heating_contacts: Option<Vec<String>>,
    cooling_contacts: Option<Vec<String>>,
    deadband_k: f64,
    dead_zone_k: f64,
    lockout_ms: Millis,
}

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    Ok(Box::new(HeatAndFan {
        control: ControlLoop::from_values(values)?,
        heating_contacts: values.given_names(HEATING_CONTACTS.name).map(<[String]>::to_vec),
        cooling_contacts: values.given_names(COOLING_CONTACTS.name).map(<[String]>::to_vec),
        deadband_k: values.get_number(DEADBAND.name)?,
        dead_zone_k: values.get_number(DEAD_ZONE.name)?,
        lockout_ms: values.get_time_ms(LOCKOUT.name)?,
    }))
}

impl StrategyRecipe for HeatAndFan {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        format!(
            "{} deadband each, {} dead zone centred on {}, {} lockout{}",
            difference_text(self.deadband_k),
            difference_text(self.dead_zone_k),
            self.control.setpoint_text(),
            print_millis(self.lockout_ms),
            self.control.settings_text()
        )
    }

    fn interval_ms(&self) -> Millis {
        self.control.interval_ms
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        let probe = self.control.probe(wiring)?;
        let setpoint_c = self.control.setpoint_c(wiring);
        let side = |role, names: &Option<Vec<String>>, outwards| {
            let opens_c = setpoint_c + outwards * self.dead_zone_k / 2.0;
            let points = SwitchPoints {
                closes_c: opens_c + outwards * self.deadband_k,
                opens_c,
            };
            Ok(Side {
                contacts: contacts(wiring, role, names.as_deref())?,
                switch: Switch::new(points),
            })
        };
        Ok(Box::new(Bound {
            probe,
            without: self.control.without_reading,
            clock: DecisionClock::new(self.control.interval_ms),
            heating: side(Role::Heat, &self.heating_contacts, -1.0)?,
            cooling: side(Role::Cool, &self.cooling_contacts, 1.0)?,
            lockout_ms: self.lockout_ms,
            worked_last: None,
            works: false,
            waits: false,
        }))
    }
}

#[derive(Clone)]
struct Bound {
    probe: ProbeId,
    without: WithoutReading,
    clock: DecisionClock,
    heating: Side,
    cooling: Side,
    lockout_ms: Millis,
    /// Which side was closed last, and when.
    worked_last: Option<(Role, Millis)>,
    /// What the last decision left: a side closed, or one that waits out the lockout.
    works: bool,
    waits: bool,
}

#[derive(Clone)]
struct Side {
    contacts: Vec<ContactId>,
    switch: Switch,
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let now_ms = seen.now_ms;
        let tick = self.clock.tick(now_ms);
        if let (Tick::Jumped, Some((_, worked_ms))) = (tick, &mut self.worked_last) {
            // A clock set back must not hold the lockout for as long as it was set back.
            *worked_ms = now_ms.min(*worked_ms);
        }
        let reading_c = reading_c(seen, self.probe);
        (self.works, self.waits) = (false, false);
        for (role, side) in [(Role::Heat, &mut self.heating), (Role::Cool, &mut self.cooling)] {
            let without = match (self.without, self.worked_last) {
                (WithoutReading::LastDuty, Some((last, _))) if last == role => WithoutReading::LastDuty,
                (WithoutReading::LastDuty, _) => WithoutReading::Off,
                (without, _) => without,
            };
            let locked_out = self
                .worked_last
                .is_some_and(|(last, worked_ms)| last != role && now_ms - worked_ms < self.lockout_ms);
            let wanted = side.switch.decide(now_ms, tick, reading_c, without);
            let state = ContactState::closed_if(wanted.is_closed() && !locked_out);
            self.waits |= wanted != state;
            if state.is_closed() {
                self.works = true;
                self.worked_last = Some((role, now_ms));
            }
            for contact in &side.contacts {
                commands.set(*contact, state);
            }
        }
        Ok(())
    }

    fn rests(&self) -> Option<Rest> {
        // The end of a lockout closes a contact at any reading.
        (!self.waits).then(|| rest(self.probe, [&self.heating.switch, &self.cooling.switch]))
    }

    fn rested(&mut self, last_ms: Millis) {
        self.clock.rested(last_ms);
        if let (true, Some((_, worked_ms))) = (self.works, &mut self.worked_last) {
            *worked_ms = last_ms;
        }
    }

    fn twin(&self) -> Option<Box<dyn Strategy>> {
        Some(Box::new(self.clone()))
    }
}
