//! Predictive: a simple model of the tank says which duty takes the water to the setpoint in time, and ahead of announced
//! cold water.
//!
//! # Law
//! The model: dT/dt = h u − f, with h what full power alone would warm the water by (K/h, stated), u the duty, and f what the
//! water cools by itself (K/h, estimated). The estimate follows how the reading departs from the model, e = reading − T:
//! dT/dt = h u − f + 2 e/τ, df/dt = −e/τ² with τ = `estimate_over`. At each decision the duty is the steady one that takes the
//! model to its aim within the time it has, u = ((aim − T)/time + f)/h, held between 0 and 1. The aim is the setpoint and the
//! time is `horizon`; but if a change of water is announced within `look_ahead` that will cool the water by Δ (share of all
//! water × how much colder the new water is), the aim is Δ/2 above the setpoint, at most `most_ahead`, and the time is that
//! until the change begins, at least a `cycle`. While the change is under way the aim stays there, with the time of `horizon`;
//! the model starts from each reading, and f is kept.
//! The duty becomes pulses as in `proportional`.
//!
//! # Reads
//! One probe, and what is announced.
//!
//! # Commands
//! Every heating contact alike: closed now and open after the rest of the on time, given again at each decision.
//!
//! # Memory and reset
//! The model's temperature, f, the last duty, the cycle. After a silence or a jump of the clock the model starts from the
//! reading, and f is kept.
//!
//! # Parameters
//! - `full_power_warms`: K/h, default 1, sensible 0.3 to 3: heaters' power over the heat capacity of all water, panes and rock
//!   (400 W on 1.41 MJ/K: 1.0 K/h). Half of the truth answers twice as hard as meant, twice the truth half as hard.
//! - `horizon`: default 30 min, sensible 15 min to 2 h: short holds closer and answers noise.
//! - `estimate_over`: default 1 h, sensible `horizon` to 6 h: short learns the room's changes soon and answers noise.
//! - `look_ahead`: default 2 h; 0 s: it hears of nothing announced. Warmed late, the heaters may be too weak to be in time.
//! - `most_ahead`: K, default 0.5, sensible 0 to 1: how far above the setpoint it may warm ahead.
//! - `cycle`, `shortest_pulse`: as `proportional`.
//! - `setpoint`, `probe`, `contacts`, `interval`, `without_reading`: as for all strategies.
//!
//! # When the probe is silent
//! As `proportional`.
//!
//! # Known weakness
//! It believes what is announced: a change that does not come leaves the water too warm for a while, one that nobody announced
//! meets it unprepared. One mass and one number f stand for all: lamps that go on are noticed only as they warm the water.
//!
//! # Source
//! Receding-horizon control of a first-order model with an observed disturbance (both of its poles at 1/τ), textbook matter,
//! from memory. Half the dip ahead and half after it splits the error evenly; a choice.

use tepid_sim::ids::{ContactId, ProbeId};
use tepid_sim::quantity::{Kind, print_millis};
use tepid_sim::scenario::Role;
use tepid_sim::strategy::{
    Announced, BindError, Commands, Readings, Strategy, StrategyFailure, StrategyRecipe, Wiring,
};
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis, seconds};

use crate::control_loop::{
    ControlLoop, HEATING_CONTACTS, INTERVAL, PROBE, SETPOINT, WITHOUT_READING, WithoutReading, contacts,
    reading_c,
};
use crate::decision_clock::{DecisionClock, Tick};
use crate::duty_cycle::{CYCLE, DutyCycle, Pulses, SHORTEST_PULSE};
use crate::parameter::{Param, ParamDefault, ParamError, ParamKind, ParamRange};
use crate::rate::rate_param;
use crate::registry::Entry;
use crate::values::Values;
use crate::wording::{difference_text, rate_text};

/// Its place in the registry.
pub const ENTRY: Entry = Entry {
    name: "predictive",
    summary: "heats by a simple model of the tank, and ahead of announced cold water",
    params: &[
        SETPOINT,
        FULL_POWER_WARMS,
        HORIZON,
        ESTIMATE_OVER,
        LOOK_AHEAD,
        MOST_AHEAD,
        CYCLE,
        SHORTEST_PULSE,
        PROBE,
        HEATING_CONTACTS,
        INTERVAL,
        WITHOUT_READING,
    ],
    page: own_page!("predictive.rs"),
    build,
};

const FULL_POWER_WARMS: Param = rate_param(
    "full_power_warms",
    1.0,
    "how fast full power would warm water that loses nothing",
)
.trading("set too high it heats too little and lags; too low it heats too much and overshoots");

const HORIZON: Param = time_param(
    "horizon",
    30 * MINUTE,
    MINUTE,
    "time in which the model is to be at the setpoint",
)
.trading("shorter: answers harder; longer: calmer");

const ESTIMATE_OVER: Param = time_param(
    "estimate_over",
    HOUR,
    MINUTE,
    "time over which it learns what the water loses",
)
.trading("longer: not misled by noise; shorter: learns a new room sooner");

const LOOK_AHEAD: Param = time_param(
    "look_ahead",
    2 * HOUR,
    0,
    "how long before announced cold water it warms; 0 s: never",
)
.trading("longer: gentler warming ahead, more heat lost meanwhile");

const fn time_param(name: &'static str, default_ms: Millis, from_ms: Millis, doc: &'static str) -> Param {
    Param {
        name,
        kind: ParamKind::Quantity(Kind::Time),
        default: ParamDefault::Time(default_ms),
        range: Some(ParamRange {
            from: from_ms as f64,
            to: DAY as f64,
        }),
        doc,
        trade: None,
    }
}

const MOST_AHEAD: Param = Param {
    name: "most_ahead",
    kind: ParamKind::Quantity(Kind::TemperatureDifference),
    default: ParamDefault::Number(0.5),
    range: Some(ParamRange { from: 0.0, to: 3.0 }),
    doc: "how far above the setpoint it may warm ahead of cold water",
    trade: Some("larger: less of a drop after cold water, more warmth before it"),
};

#[derive(Debug, Clone)]
struct Predictive {
    control: ControlLoop,
    contacts: Option<Vec<String>>,
    model: Model,
    horizon_ms: Millis,
    look_ahead_ms: Millis,
    most_ahead_k: f64,
    pulses: Pulses,
}

fn build(values: &Values) -> Result<Box<dyn StrategyRecipe>, ParamError> {
    Ok(Box::new(Predictive {
        control: ControlLoop::from_values(values)?,
        contacts: values.given_names(HEATING_CONTACTS.name).map(<[String]>::to_vec),
        model: Model {
            warms_k_per_s: values.get_number(FULL_POWER_WARMS.name)?,
            estimate_over_s: seconds(values.get_time_ms(ESTIMATE_OVER.name)?),
            temp_c: None,
            falls_k_per_s: 0.0,
        },
        horizon_ms: values.get_time_ms(HORIZON.name)?,
        look_ahead_ms: values.get_time_ms(LOOK_AHEAD.name)?,
        most_ahead_k: values.get_number(MOST_AHEAD.name)?,
        pulses: Pulses::from_values(values)?,
    }))
}

impl StrategyRecipe for Predictive {
    fn name(&self) -> &str {
        ENTRY.name
    }

    fn settings(&self) -> String {
        format!(
            "full power warms {}, at {} in {}, up to {} ahead of cold water from {} before, {}{}",
            rate_text(self.model.warms_k_per_s),
            self.control.setpoint_text(),
            print_millis(self.horizon_ms),
            difference_text(self.most_ahead_k),
            print_millis(self.look_ahead_ms),
            self.pulses.settings_text(),
            self.control.settings_text()
        )
    }

    fn interval_ms(&self) -> Millis {
        self.control.interval_ms
    }

    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        Ok(Box::new(Bound {
            probe: self.control.probe(wiring)?,
            contacts: contacts(wiring, Role::Heat, self.contacts.as_deref())?,
            without: self.control.without_reading,
            setpoint_c: self.control.setpoint_c(wiring),
            horizon_ms: self.horizon_ms,
            cycle_ms: self.pulses.cycle_ms,
            look_ahead_ms: self.look_ahead_ms,
            most_ahead_k: self.most_ahead_k,
            model: self.model,
            duty_frac: 0.0,
            clock: DecisionClock::new(self.control.interval_ms),
            output: DutyCycle::new(self.pulses, self.control.interval_ms),
        }))
    }
}

/// The tank as one mass, and what is known of it.
#[derive(Debug, Clone, Copy)]
struct Model {
    warms_k_per_s: f64,
    estimate_over_s: f64,
    /// `None`: it starts from the next reading.
    temp_c: Option<f64>,
    falls_k_per_s: f64,
}

impl Model {
    /// Moves it on over `elapsed_s` at this duty and corrects it by the reading; the temperature now, °C.
    fn follow(&mut self, read_c: f64, duty_frac: f64, elapsed_s: f64) -> f64 {
        let temp_c = match self.temp_c {
            None => read_c,
            Some(temp_c) => {
                let off_k = read_c - temp_c;
                let slope_k_per_s =
                    self.warms_k_per_s * duty_frac - self.falls_k_per_s + 2.0 * off_k / self.estimate_over_s;
                self.falls_k_per_s -= off_k * elapsed_s / (self.estimate_over_s * self.estimate_over_s);
                temp_c + slope_k_per_s * elapsed_s
            }
        };
        self.temp_c = Some(temp_c);
        temp_c
    }

    /// The steady duty that takes it from one temperature to another in this time.
    fn duty_frac(&self, from_c: f64, to_c: f64, time_s: f64) -> f64 {
        (((to_c - from_c) / time_s + self.falls_k_per_s) / self.warms_k_per_s).clamp(0.0, 1.0)
    }
}

#[derive(Clone)]
struct Bound {
    probe: ProbeId,
    contacts: Vec<ContactId>,
    without: WithoutReading,
    setpoint_c: f64,
    horizon_ms: Millis,
    cycle_ms: Millis,
    look_ahead_ms: Millis,
    most_ahead_k: f64,
    model: Model,
    /// The last duty.
    duty_frac: f64,
    clock: DecisionClock,
    output: DutyCycle,
}

impl Bound {
    /// Where the water is to be, °C, and in what time, ms.
    fn aim(&self, now_ms: Millis, announced: &[Announced]) -> (f64, Millis) {
        for event in announced {
            let left_ms = event.start_ms - now_ms;
            let dip_k = event.new_water.map_or(0.0, |new| new.cools_by_k(self.setpoint_c));
            if dip_k > 0.0 && left_ms <= self.look_ahead_ms && (left_ms > 0 || is_under_way(event, now_ms)) {
                let aim_c = self.setpoint_c + self.most_ahead_k.min(dip_k / 2.0);
                let time_ms = if left_ms > 0 {
                    left_ms.max(self.cycle_ms)
                } else {
                    self.horizon_ms
                };
                return (aim_c, time_ms);
            }
        }
        (self.setpoint_c, self.horizon_ms)
    }
}

/// Whether an event changes water now.
fn is_under_way(event: &Announced, now_ms: Millis) -> bool {
    event.new_water.is_some()
        && event.start_ms <= now_ms
        && event.end_ms.is_none_or(|end_ms| now_ms <= end_ms)
}

impl Strategy for Bound {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let now_ms = seen.now_ms;
        let tick = self.clock.tick(now_ms);
        let changing = seen.announced.iter().any(|event| is_under_way(event, now_ms));
        let elapsed_s = match tick {
            Tick::After(elapsed_ms) if !changing => seconds(elapsed_ms),
            _ => {
                self.model.temp_c = None;
                0.0
            }
        };
        match reading_c(seen, self.probe) {
            Some(read_c) => {
                let temp_c = self.model.follow(read_c, self.duty_frac, elapsed_s);
                let (aim_c, time_ms) = self.aim(now_ms, &seen.announced);
                self.duty_frac = self.model.duty_frac(temp_c, aim_c, seconds(time_ms));
                self.output
                    .drive(now_ms, tick, self.duty_frac, &self.contacts, commands);
            }
            None => {
                self.model.temp_c = None;
                self.output
                    .drive_blind(now_ms, tick, self.without, &self.contacts, commands);
            }
        }
        Ok(())
    }

    fn twin(&self) -> Option<Box<dyn Strategy>> {
        Some(Box::new(self.clone()))
    }
}
