//! Room first: the room's heating warms all tanks at once, and the tanks' heaters give what is left to give.
//!
//! # Law
//! The coldest water says how warm the room shall be: T_wanted = s + `room_gain` (s − T_coldest), held between `room_least` and `room_most`,
//! with the setpoint s. The room's heating may run (its contact closes) when the room reads at or below T_wanted − `room_deadband`/2 and may not at
//! or above T_wanted + `room_deadband`/2; cooling, where there is a contact of it, may at or above T_wanted + `cools_above` +
//! `room_deadband` and may not at or below T_wanted + `cools_above`. The heaters of each tank go on and off by a probe in that tank around
//! s − `trim_below`, as `on-off` with its `deadband`.
//!
//! # Reads
//! One probe in the room's air; for each heating contact the first control probe of the tank it heats, or else the scenario's first.
//!
//! # Commands
//! The contacts of the room's heating and cooling, and every heating contact by its own tank, at each decision. One strategy controls all tanks of
//! the room.
//!
//! # Memory and reset
//! The commanded states and since when; kept over a power outage.
//!
//! # Parameters
//! - `trim_below`: K, default 0.5, sensible 0.3 to 1: small lets heaters take work from the room, large lets the water go further before they help.
//! - `room_gain`: K of room for a K of water, default 4, sensible 2 to 8: small leaves the water further off where it wants a room of another
//!   temperature than its own, large lets the room swing.
//! - `room_least`, `room_most`: default 16 and 28 °C: what the people in it bear.
//! - `room_deadband`: K, default 0.5, sensible 0.3 to 1.
//! - `cools_above`: K, default 1, sensible 0.5 to 2: a zone in which the room is neither heated nor cooled.
//! - `room_probe`, `room_heaters`, `room_coolers`: default: the first probe in the room's air, all contacts of its heating and all of its cooling.
//! - `probe`: default: in each tank its own.
//! - `deadband`, `setpoint`, `contacts`, `interval`, `without_reading`: as for all strategies.
//!
//! # When the probe is silent
//! A tank's heaters do as `on-off`. While the room's probe or all probes in the water are silent, heating and cooling may run: their own
//! thermostats decide, as they do without a controller.
//!
//! # Known weakness
//! The room's own thermostat stays the limit: set too low it never lets the room get as warm as is wanted, set too high a welded contact
//! warms every tank at once. A room warms all tanks alike, so that one with little loss gets too warm while another wants heat. The room is slow: a
//! cold water change is the heaters' work.
//!
//! # Source
//! Cascade control, textbook matter, from memory: the outer loop asks the inner one for a temperature. That rooms with many tanks are heated as
//! rooms is common practice, no source; nor for the defaults.

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::quantity::Kind;
use tepid_sim::scenario::{ProbePurpose, Role};
use tepid_sim::strategy::{
    BindError, Commands, ContactState, Readings, Strategy, StrategyFailure, StrategyRecipe, WiredProbe,
    Wiring,
};
use tepid_sim::time::Millis;

use crate::control_loop::{
    ControlLoop, HEATING_CONTACTS, INTERVAL, SETPOINT, WITHOUT_READING, WithoutReading, contacts,
    contacts_param, reading_c,
};
use crate::decision_clock::{DecisionClock, Tick};
use crate::feed_forward::ROOM_PROBE;
use crate::on_off::DEADBAND;
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::registry::Entry;
use crate::switch::{Switch, SwitchPoints};
use crate::values::Values;
use crate::wording::{difference_text, temperature_text};

/// Its place in the registry.
pub const ENTRY: Entry = Entry {
    name: "room-first",
    summary: "warms the room for all tanks, and lets their heaters give what is left to give",
    params: &[
        SETPOINT,
        TRIM_BELOW,
        DEADBAND,
        ROOM_GAIN,
        ROOM_LEAST,
        ROOM_MOST,
        ROOM_DEADBAND,
        COOLS_ABOVE,
        PROBE,
        ROOM_PROBE,
        ROOM_HEATERS,
        ROOM_COOLERS,
        HEATING_CONTACTS,
        INTERVAL,
        WITHOUT_READING,
    ],
    page: own_page!("room_first.rs"),
    build,
};

const fn difference(name: &'static str, default_k: f64, (from, to): (f64, f64), doc: &'static str) -> Param {
    Param {
        name,
        kind: ParamKind::Quantity(Kind::TemperatureDifference),
        default: ParamDefault::Number(default_k),
        range: Some(ParamRange { from, to }),
        doc,
        trade: None,
    }
}

const TRIM_BELOW: Param = difference(
    "trim_below",
    0.5,
    (0.0, 5.0),
    "how far below the setpoint the tanks' heaters hold the water",
)
.trading("larger: the tanks' heaters rest and the room carries all; smaller: both work");
const ROOM_DEADBAND: Param = difference(
    "room_deadband",
    0.5,
    (0.05, 5.0),
    "full width between where the room's heating may run and where it may not; the same for its cooling",
)
.trading("wider: fewer starts of the room's heating and cooling, a room that wanders further");
const COOLS_ABOVE: Param = difference(
    "cools_above",
    1.0,
    (0.1, 10.0),
    "how far above the wanted room its cooling stops",
)
.trading("larger: less cooling paid for, warmer water on hot days");
const ROOM_GAIN: Param = Param {
    name: "room_gain",
    kind: ParamKind::Quantity(Kind::Number),
    default: ParamDefault::Number(4.0),
    range: Some(ParamRange { from: 0.0, to: 50.0 }),
    doc: "K that the room is to be warmer for each K that the coldest water is too cold",
    trade: Some("larger: the coldest tank is helped harder and the others are warmed with it"),
};
const ROOM_LEAST: Param = Param {
    name: "room_least",
    kind: ParamKind::Quantity(Kind::Temperature),
    default: ParamDefault::Number(16.0),
    range: Some(ParamRange { from: 0.0, to: 45.0 }),
    doc: "the coldest room it asks for",
    trade: Some("higher: heat for the room even when no tank asks, less for each tank to give"),
};
const ROOM_MOST: Param = Param {
    name: "room_most",
    default: ParamDefault::Number(28.0),
    doc: "the warmest room it asks for",
    trade: Some("higher: bears a colder tank, a hotter room for people"),
    ..ROOM_LEAST
};
const PROBE: Param = Param {
    name: "probe",
    kind: ParamKind::ProbeName,
    default: ParamDefault::OfScenario("the first control probe in each tank"),
    range: None,
    doc: "one probe by which all tanks are heated",
    trade: None,
};
const ROOM_HEATERS: Param = contacts_param(
    "room_heaters",
    "all contacts of the room's heating",
    "contacts by which it lets the room be heated",
);
const ROOM_COOLERS: Param = contacts_param(
    "room_coolers",
    "all contacts of the room's cooling",
    "contacts by which it lets the room be cooled",
);

#[derive(Debug, Clone)]
struct RoomFirst {
    control: ControlLoop,
    deadband_k: f64,
    trim_below_k: f64,
    room: RoomWanted,
    room_deadband_k: f64,
    cools_above_k: f64,
    room_probe: Option<String>,
    room_heaters: Option<Vec<String>>,
    room_coolers: Option<Vec<String>>,
    contacts: Option<Vec<String>>,
}

/// How warm the room shall be.
#[derive(Debug, Clone, Copy)]
struct RoomWanted {
    gain: f64,
    least_c: f64,
    most_c: f64,
}

impl RoomWanted {
    fn temp_c(self, setpoint_c: f64, coldest_c: f64) -> f64 {
        let wanted_c = setpoint_c + self.gain * (setpoint_c - coldest_c);
        wanted_c.max(self.least_c).min(self.most_c)
    }
}

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    let room = RoomWanted {
        gain: values.get_number(ROOM_GAIN.name)?,
        least_c: values.get_number(ROOM_LEAST.name)?,
        most_c: values.get_number(ROOM_MOST.name)?,
    };
    if room.least_c >= room.most_c {
        return Err(ParamError::DoesNotFit {
            param: ROOM_MOST.name,
            wrong: format!(
                "is {}, not above `room_least`, {}",
                temperature_text(room.most_c),
                temperature_text(room.least_c)
            ),
        });
    }
    let names = |param: &Param| values.given_names(param.name).map(<[String]>::to_vec);
    Ok(Box::new(RoomFirst {
        control: ControlLoop::from_values(values)?,
        deadband_k: values.get_number(DEADBAND.name)?,
        trim_below_k: values.get_number(TRIM_BELOW.name)?,
        room,
        room_deadband_k: values.get_number(ROOM_DEADBAND.name)?,
        cools_above_k: values.get_number(COOLS_ABOVE.name)?,
        room_probe: values.given_name(ROOM_PROBE.name).map(str::to_owned),
        room_heaters: names(&ROOM_HEATERS),
        room_coolers: names(&ROOM_COOLERS),
        contacts: names(&HEATING_CONTACTS),
    }))
}

impl StrategyRecipe for RoomFirst {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        format!(
            "room {} K for each K of the coldest water below {}, {} to {}; heaters {} below, {} deadband{}",
            self.room.gain,
            self.control.setpoint_text(),
            temperature_text(self.room.least_c),
            temperature_text(self.room.most_c),
            difference_text(self.trim_below_k),
            difference_text(self.deadband_k),
            self.control.settings_text()
        )
    }

    fn interval_ms(&self) -> Millis {
        self.control.interval_ms
    }

    fn controls_room(&self) -> bool {
        true
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        let room_probe = match &self.room_probe {
            Some(name) => wiring.probe(name)?,
            None => wiring.room_probe()?,
        };
        let setpoint_c = self.control.setpoint_c(wiring);
        let trim = SwitchPoints::heating(setpoint_c - self.trim_below_k, self.deadband_k);
        let heating = contacts(wiring, Role::HeatRoom, self.room_heaters.as_deref())?;
        let cooling = match contacts(wiring, Role::CoolRoom, self.room_coolers.as_deref()) {
            // Few rooms with tanks are cooled.
            Err(BindError::DoesNotApply { .. }) => Vec::new(),
            found => found?,
        };
        // Named or not, there must be a probe to control by.
        let named = self.control.probe(wiring)?;
        let tanks = contacts(wiring, Role::Heat, self.contacts.as_deref())?
            .into_iter()
            .map(|contact| {
                let own = probe_of(wiring, contact).filter(|_| !self.control.names_probe());
                Ok(Trimmed {
                    contact,
                    probe: own.unwrap_or(named),
                    switch: Switch::new(trim),
                })
            })
            .collect::<Result<_, BindError>>()?;
        // Where it switches is worked out at each decision.
        let switch = Switch::new(SwitchPoints::heating(setpoint_c, self.room_deadband_k));
        Ok(Box::new(Bound {
            setpoint_c,
            room: self.room,
            room_deadband_k: self.room_deadband_k,
            cools_above_k: self.cools_above_k,
            room_probe,
            without: self.control.without_reading,
            clock: DecisionClock::new(self.control.interval_ms),
            heating: RoomSide {
                contacts: heating,
                switch: switch.clone(),
            },
            cooling: RoomSide {
                contacts: cooling,
                switch,
            },
            tanks,
        }))
    }
}

/// The first control probe in the tank that a contact heats.
fn probe_of(wiring: &Wiring, contact: ContactId) -> Option<ProbeId> {
    let mut heaters = wiring.heaters.iter();
    let heated = heaters.find(|heater| heater.chain.contains(&contact))?;
    let controls = |probe: &WiredProbe| {
        probe.purpose == ProbePurpose::Control && probe.tank.as_ref() == Some(&heated.tank)
    };
    wiring.probes.iter().position(controls).map(ProbeId)
}

#[derive(Clone)]
struct Bound {
    setpoint_c: f64,
    room: RoomWanted,
    room_deadband_k: f64,
    cools_above_k: f64,
    room_probe: ProbeId,
    without: WithoutReading,
    clock: DecisionClock,
    heating: RoomSide,
    cooling: RoomSide,
    tanks: Vec<Trimmed>,
}

/// Heating or cooling of the room.
#[derive(Clone)]
struct RoomSide {
    contacts: Vec<ContactId>,
    switch: Switch,
}

/// A contact that heats a tank.
#[derive(Clone)]
struct Trimmed {
    contact: ContactId,
    probe: ProbeId,
    switch: Switch,
}

impl RoomSide {
    fn decide(
        &mut self,
        now_ms: Millis,
        tick: Tick,
        by: Option<(f64, SwitchPoints)>,
        commands: &mut Commands,
    ) {
        let state = match by {
            Some((room_c, points)) => {
                self.switch.move_to(points);
                self.switch
                    .decide(now_ms, tick, Some(room_c), WithoutReading::Off)
            }
            None => ContactState::Closed,
        };
        for contact in &self.contacts {
            commands.set(*contact, state);
        }
    }
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let now_ms = seen.now_ms;
        let tick = self.clock.tick(now_ms);
        let waters_c = self.tanks.iter().filter_map(|tank| reading_c(seen, tank.probe));
        let coldest_c = waters_c.reduce(f64::min);
        let by = reading_c(seen, self.room_probe).zip(coldest_c);
        let wanted = by.map(|(room_c, coldest_c)| (room_c, self.room.temp_c(self.setpoint_c, coldest_c)));
        let heats = |(room_c, wanted_c)| (room_c, SwitchPoints::heating(wanted_c, self.room_deadband_k));
        let cools = |(room_c, wanted_c)| {
            let opens_c = wanted_c + self.cools_above_k;
            let closes_c = opens_c + self.room_deadband_k;
            (room_c, SwitchPoints { closes_c, opens_c })
        };
        self.heating.decide(now_ms, tick, wanted.map(heats), commands);
        self.cooling.decide(now_ms, tick, wanted.map(cools), commands);
        for tank in &mut self.tanks {
            let reading_c = reading_c(seen, tank.probe);
            let state = tank.switch.decide(now_ms, tick, reading_c, self.without);
            commands.set(tank.contact, state);
        }
        Ok(())
    }

    fn twin(&self) -> Option<Box<dyn Strategy>> {
        Some(Box::new(self.clone()))
    }
}
