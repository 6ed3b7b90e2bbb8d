//! Feed-forward: PI, told of the room's temperature before the water knows of it.
//!
//! # Law
//! u = F + K e + I with F = (s − T_room) / `full_power_at`, held between 0 and 1: what the water would lose, as a share of the
//! heaters' power; K e + I as in `pi`, which is left what F does not know (lamps, pumps, evaporation, heaters weaker than
//! rated). T_room goes through a filter of the first order with the time constant `room_filter`. duty = u held between 0 and 1,
//! as closed time of a cycle in the pulses of `proportional`.
//!
//! # Reads
//! One probe in the water and one in the room's air.
//!
//! # Commands
//! Every heating contact alike: closed now and open after the rest of the on time, given again at each decision.
//!
//! # Memory and reset
//! The integral and the cycle as `pi`, the filtered room. After an outage the room begins at what its probe then reads.
//!
//! # Parameters
//! - `full_power_at`: K, default 12, sensible 5 to 20: how far below the setpoint the room is when full power just holds the
//!   water; `tepid budget` tells it of a tank. Too small answers a cold room with too much, too large with too little;
//!   the integral makes up for either, late.
//! - `room_filter`: default 10 min, sensible 2 min to 1 h: as fast as panes feel the room; short answers every opened door.
//! - `room_probe`: default: the first probe in the room's air.
//! - `band`, `integral_time`, `anti_windup`, `cycle`, `shortest_pulse`: as `pi`.
//! - `setpoint`, `probe`, `contacts`, `interval`, `without_reading`: as for all strategies.
//!
//! # When the probe is silent
//! As `proportional`. While the room's probe alone is silent, what it read last holds; before it read anything F is 0 and
//! this is `pi`.
//!
//! # Known weakness
//! A second probe that can be wrong: one that hangs near a lamp, a window or the heater in the room tells of them. Where the
//! loss to the room is small against what lamps and evaporation do, it knows the smaller part.
//!
//! # Source
//! Feed-forward of a measured disturbance beside PI, textbook matter, from memory. `full_power_at` is a choice: heaters
//! picked to hold a tank in a room 12 K colder, common practice, no source.

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::quantity::{Kind, print_millis};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{BindError, Commands, Readings, Strategy, StrategyFailure, StrategyRecipe, Wiring};
use tepid_sim::time::{DAY, MINUTE, Millis, seconds};

use crate::control_loop::{
    ControlLoop, HEATING_CONTACTS, INTERVAL, PROBE, SETPOINT, WITHOUT_READING, WithoutReading, contacts,
    reading_c,
};
use crate::decision_clock::{DecisionClock, Tick};
use crate::duty_cycle::{CYCLE, DutyCycle, Pulses, SHORTEST_PULSE};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::pi_action::{ANTI_WINDUP, BAND, INTEGRAL_TIME, PiAction, PiTuning};
use crate::registry::Entry;
use crate::values::Values;
use crate::wording::difference_text;

/// Its place in the registry.
pub const ENTRY: Entry = Entry {
    name: "feed-forward",
    summary: "as pi, and answers the room's temperature before the water feels it",
    params: &[
        SETPOINT,
        FULL_POWER_AT,
        ROOM_FILTER,
        BAND,
        INTEGRAL_TIME,
        ANTI_WINDUP,
        CYCLE,
        SHORTEST_PULSE,
        PROBE,
        ROOM_PROBE,
        HEATING_CONTACTS,
        INTERVAL,
        WITHOUT_READING,
    ],
    page: own_page!("feed_forward.rs"),
    build,
};

const FULL_POWER_AT: Param = Param {
    name: "full_power_at",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(12.0),
    range: Some(ParamRange { from: 1.0, to: 100.0 }),
    doc: "how far below the setpoint the room is when full power just holds the water",
    trade: Some("smaller: answers a cold room harder and overshoots; larger: leaves more to the integral"),
};

const ROOM_FILTER: Param = Param {
    name: "room_filter",
    kind: ParamKind::Quantity(Kind::Time),
    default: ParamDefault::Time(10 * MINUTE),
    range: Some(ParamRange {
        from: 0.0,
        to: DAY as f64,
    }),
    doc: "time constant of the filter on the room's temperature",
    trade: Some("longer: not stirred by an opened door, later to answer a cold night"),
};

pub(crate) const ROOM_PROBE: Param = Param {
    name: "room_probe",
    kind: ParamKind::ProbeName,
    default: ParamDefault::OfScenario("the scenario's first probe in the room's air"),
    range: None,
    doc: "the probe it reads the room by",
    trade: None,
};

#[derive(Debug, Clone)]
struct FeedForward {
    control: ControlLoop,
    contacts: Option<Vec<String>>,
    room_probe: Option<String>,
    full_power_at_k: f64,
    room_filter_ms: Millis,
    tuning: PiTuning,
    pulses: Pulses,
}

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    let control = ControlLoop::from_values(values)?;
    Ok(Box::new(FeedForward {
        tuning: PiTuning::from_values(values, control.interval_ms)?,
        control,
        contacts: values.given_names(HEATING_CONTACTS.name).map(<[String]>::to_vec),
        room_probe: values.given_name(ROOM_PROBE.name).map(str::to_owned),
        full_power_at_k: values.get_number(FULL_POWER_AT.name)?,
        room_filter_ms: values.get_time_ms(ROOM_FILTER.name)?,
        pulses: Pulses::from_values(values)?,
    }))
}

impl StrategyRecipe for FeedForward {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        let mut text = format!(
            "full power for a room {} below {}, {} room filter, {} band, {}, {}{}",
            difference_text(self.full_power_at_k),
            self.control.setpoint_text(),
            print_millis(self.room_filter_ms),
            self.tuning.band_text(),
            self.tuning.integral_text(),
            self.pulses.settings_text(),
            self.tuning.windup_text()
        );
        if let Some(probe) = &self.room_probe {
            text += &format!(", room by `{probe}`");
        }
        text + &self.control.settings_text()
    }

    fn interval_ms(&self) -> Millis {
        self.control.interval_ms
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        let room_probe = match &self.room_probe {
            Some(name) => wiring.probe(name)?,
            None => wiring.room_probe()?,
        };
        Ok(Box::new(Bound {
            probe: self.control.probe(wiring)?,
            room_probe,
            contacts: contacts(wiring, Role::Heat, self.contacts.as_deref())?,
            without: self.control.without_reading,
            setpoint_c: self.control.setpoint_c(wiring),
            full_power_at_k: self.full_power_at_k,
            room_filter_s: seconds(self.room_filter_ms),
            room_c: None,
            action: PiAction::new(self.tuning),
            clock: DecisionClock::new(self.control.interval_ms),
            output: DutyCycle::new(self.pulses, self.control.interval_ms),
        }))
    }
}

#[derive(Clone)]
struct Bound {
    probe: ProbeId,
    room_probe: ProbeId,
    contacts: Vec<ContactId>,
    without: WithoutReading,
    setpoint_c: f64,
    full_power_at_k: f64,
    room_filter_s: f64,
    /// The room through its filter, °C; `None`: it was never read, or not since the last gap.
    room_c: Option<f64>,
    action: PiAction,
    clock: DecisionClock,
    output: DutyCycle,
}

impl Bound {
    /// The filtered room after `elapsed_s` more.
    fn follow_room(&mut self, read_c: Option<f64>, elapsed_s: f64) {
        let Some(read_c) = read_c else { return };
        let room_c = self.room_c.unwrap_or(read_c);
        self.room_c = Some(if elapsed_s > 0.0 {
            room_c + (read_c - room_c) * elapsed_s / (self.room_filter_s + elapsed_s)
        } else {
            room_c
        });
    }

    fn forward_frac(&self) -> f64 {
        self.room_c.map_or(0.0, |room_c| {
            ((self.setpoint_c - room_c) / self.full_power_at_k).clamp(0.0, 1.0)
        })
    }
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let now_ms = seen.now_ms;
        let tick = self.clock.tick(now_ms);
        let room_read_c = reading_c(seen, self.room_probe);
        let elapsed_s = match tick {
            Tick::After(elapsed_ms) => seconds(elapsed_ms),
            Tick::First | Tick::Jumped => {
                // What it last read is better than nothing where it is silent now.
                self.room_c = room_read_c.or(self.room_c);
                0.0
            }
        };
        self.follow_room(room_read_c, elapsed_s);
        match reading_c(seen, self.probe) {
            Some(temp_c) => {
                let forward_frac = self.forward_frac();
                let duty_frac = self
                    .action
                    .duty_frac(self.setpoint_c - temp_c, forward_frac, elapsed_s, 1.0);
                self.output
                    .drive(now_ms, tick, duty_frac, &self.contacts, commands);
            }
            None => self
                .output
                .drive_blind(now_ms, tick, self.without, &self.contacts, commands),
        }
        Ok(())
    }

    fn twin(&self) -> Option<Box<dyn Strategy>> {
        Some(Box::new(self.clone()))
    }
}
