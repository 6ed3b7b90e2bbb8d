//! Who controls: the trait every strategy implements, what it may see and what it may do.
//!
//! A strategy sees [`Readings`] (never the truth) and gives [`Commands`]. It is made by a
//! [`StrategyRecipe`], afresh for every run, from the [`Wiring`]: what a keeper can see of a scenario.

use std::fmt;

use crate::ids::{ContactId, HeaterId, ProbeId};
use crate::scenario::{ContactKind, Effect, ProbePurpose, Restart, Role, Scenario};
use crate::time::Millis;

/// Decides at its own interval.
pub trait Strategy {
    /// Called once every [`StrategyRecipe::interval_ms`] of the run, the warm-up included, while the
    /// controller has power. Commands hold until the next call; a contact that this call leaves out keeps
    /// the state of the last command.
    ///
    /// # Errors
    /// A failure (a script's error, a lost program) ends the run as failed, with its reason.
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure>;

    /// Called before the next decision when the controller starts again after it hung, on the strategy that goes on from
    /// there: with [`Restart::Lost`] that is a fresh one, with [`Restart::Stale`] one in an older state. After an outage
    /// it is not called: the strategy goes on as it was, and the gap shows in [`Readings::now_ms`].
    fn restarted(&mut self, _restart: Restart) {}

    /// Asked right after a decision: what the next one waits for. A run may leave out the decisions that this says would change
    /// nothing, and is many times faster for it; its results are the same to the last bit. `None`, as by default: ask every time.
    fn rests(&self) -> Option<Rest> {
        None
    }

    /// Another one in the very same state, from where both go on by themselves. `None`, as by default: it cannot be doubled, and whoever
    /// wants to know how a run goes on in several ways runs it several times.
    fn twin(&self) -> Option<Box<dyn Strategy>> {
        None
    }

    /// The decisions since the last were left out, up to and including that of `last_ms`.
    fn rested(&mut self, last_ms: Millis) {
        let _ = last_ms;
    }
}

/// What a strategy waits for: a decision before `until_ms` at which the probe reads more than `above_c` and less than `below_c` would
/// command what the last one commanded, and leave the strategy as it is but for the time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rest {
    /// The probe it reads; `None`: none, so that every reading or none will do.
    pub probe: Option<ProbeId>,
    /// °C; −∞: no limit.
    pub above_c: f64,
    /// °C; ∞: no limit.
    pub below_c: f64,
    /// From when on it must be asked, ms.
    pub until_ms: Millis,
}

/// Makes strategies; shared between workers.
pub trait StrategyRecipe: Send + Sync + fmt::Debug {
    /// Name as in the registry or of the file, e.g. `on-off`.
    fn name(&self) -> &str;

    /// One line for people with the parameters in use, e.g. "0.4 K deadband, centred".
    fn settings(&self) -> String;

    /// Control interval, ms, > 0.
    fn interval_ms(&self) -> Millis;

    /// Shortest times that it promises to leave a contact as it is, while its probe reads and the power is on.
    fn minimum_times(&self) -> MinimumTimes {
        MinimumTimes::default()
    }

    /// Whether it commands what acts on the room, and so on every tank in it: then a single one controls all tanks of a scenario. Otherwise,
    /// as by default, each of several water systems has one of its own.
    fn controls_room(&self) -> bool {
        false
    }

    /// Turns names into ids, once per run, and returns a fresh strategy.
    ///
    /// # Errors
    /// [`BindError::DoesNotApply`] if the scenario lacks what the recipe needs by default (no fan);
    /// [`BindError::Unknown`] if it names something that is not there.
    fn bind(&self, wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError>;
}

/// Shortest times that a strategy promises; 0: it promises nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct MinimumTimes {
    /// Shortest time closed, ms.
    pub closed_ms: Millis,
    /// Shortest time open, ms.
    pub open_ms: Millis,
}

/// Why a recipe cannot control a scenario.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BindError {
    /// The scenario lacks a device the recipe needs; the cell reads "does not apply".
    #[error("does not apply: {missing}")]
    DoesNotApply {
        /// What is missing, in words: "no fan".
        missing: String,
    },
    /// The recipe names something the scenario does not have.
    #[error("unknown {what} `{name}`; there are: {}", known.join(", "))]
    Unknown {
        /// Kind of thing: "probe", "contact".
        what: &'static str,
        /// The name asked for.
        name: String,
        /// The names there are.
        known: Vec<String>,
    },
}

/// A strategy failed while running.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("strategy failed: {reason}")]
pub struct StrategyFailure {
    /// Why, in words.
    pub reason: String,
}

/// What a keeper can see of a scenario: names, places, roles, ratings.
#[derive(Debug, Clone, PartialEq)]
pub struct Wiring {
    /// The scenario's target, °C: the default setpoint.
    pub target_c: f64,
    /// The scenario's band, °C.
    pub band_c: (f64, f64),
    /// Probes, by [`ProbeId`].
    pub probes: Vec<WiredProbe>,
    /// Contacts, by [`ContactId`]; only those with a role take commands.
    pub contacts: Vec<WiredContact>,
    /// Heaters, by [`HeaterId`].
    pub heaters: Vec<WiredHeater>,
}

/// A probe as a keeper sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct WiredProbe {
    /// Name.
    pub name: String,
    /// Name of the tank it hangs in; `None`: it hangs in the room's air.
    pub tank: Option<String>,
    /// What it is for.
    pub purpose: ProbePurpose,
}

/// A contact as a keeper sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct WiredContact {
    /// Name.
    pub name: String,
    /// Kind.
    pub kind: ContactKind,
    /// What it is for; `None`: takes no commands.
    pub role: Option<Role>,
    /// Rated power of all heaters and fans behind it, W.
    pub power_w: f64,
    /// It feeds a chiller and nothing else.
    pub only_chillers: bool,
}

/// A heater as a keeper sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct WiredHeater {
    /// Name.
    pub name: String,
    /// Name of its tank.
    pub tank: String,
    /// Rated power, W.
    pub power_w: f64,
    /// Its chain, mains first.
    pub chain: Vec<ContactId>,
}

impl Wiring {
    /// The first probe marked for control.
    ///
    /// # Errors
    /// [`BindError::DoesNotApply`] if there is none.
    pub fn control_probe(&self) -> Result<ProbeId, BindError> {
        self.probes
            .iter()
            .position(|probe| probe.purpose == ProbePurpose::Control)
            .map(ProbeId)
            .ok_or_else(|| BindError::DoesNotApply {
                missing: "no control probe".to_owned(),
            })
    }

    /// The first probe in the room's air.
    ///
    /// # Errors
    /// [`BindError::DoesNotApply`] if there is none.
    pub fn room_probe(&self) -> Result<ProbeId, BindError> {
        self.probes
            .iter()
            .position(|probe| probe.tank.is_none())
            .map(ProbeId)
            .ok_or_else(|| BindError::DoesNotApply {
                missing: "no probe in the room's air".to_owned(),
            })
    }

    /// The probe of that name.
    ///
    /// # Errors
    /// [`BindError::Unknown`].
    pub fn probe(&self, name: &str) -> Result<ProbeId, BindError> {
        self.probes
            .iter()
            .position(|probe| probe.name == name)
            .map(ProbeId)
            .ok_or_else(|| BindError::Unknown {
                what: "probe",
                name: name.to_owned(),
                known: self.probes.iter().map(|probe| probe.name.clone()).collect(),
            })
    }

    /// The contact of that name.
    ///
    /// # Errors
    /// [`BindError::Unknown`] with the names of the contacts that take commands.
    pub fn contact(&self, name: &str) -> Result<ContactId, BindError> {
        self.contacts
            .iter()
            .position(|contact| contact.name == name && contact.role.is_some())
            .map(ContactId)
            .ok_or_else(|| BindError::Unknown {
                what: "contact",
                name: name.to_owned(),
                known: self
                    .contacts
                    .iter()
                    .filter(|c| c.role.is_some())
                    .map(|c| c.name.clone())
                    .collect(),
            })
    }

    /// All contacts with this role, in file order.
    ///
    /// # Errors
    /// [`BindError::DoesNotApply`] if there is none ("nothing that heats", "nothing that cools").
    pub fn contacts_with(&self, role: Role) -> Result<Vec<ContactId>, BindError> {
        let found: Vec<ContactId> = (0..self.contacts.len())
            .map(ContactId)
            .filter(|contact| self.contacts[contact.0].role == Some(role))
            .collect();
        if found.is_empty() {
            let missing = match role {
                Role::Heat => "no commanded contact that heats",
                Role::Cool => "no commanded contact that cools",
                Role::HeatRoom => "no contact of the room's heating",
                Role::CoolRoom => "no contact of the room's cooling",
            };
            return Err(BindError::DoesNotApply {
                missing: missing.to_owned(),
            });
        }
        Ok(found)
    }
}

/// What a strategy sees at one decision.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// Now, ms; 0 = 00:00 of day 1.
    pub now_ms: Millis,
    /// One reading per probe, °C, by [`ProbeId`]; `None`: no reading.
    pub probes_c: Vec<Option<f64>>,
    /// Power drawn by each heater now, W, by [`HeaterId`], as a current sensor sees it.
    pub drawn_w: Vec<f64>,
    /// Announced events under way now or within the next day, soonest first.
    pub announced: Vec<Announced>,
}

impl Readings {
    /// The reading of a probe, °C.
    #[must_use]
    pub fn probe_c(&self, probe: ProbeId) -> Option<f64> {
        self.probes_c.get(probe.0).copied().flatten()
    }

    /// Power drawn by a heater, W.
    #[must_use]
    pub fn heater_w(&self, heater: HeaterId) -> f64 {
        self.drawn_w.get(heater.0).copied().unwrap_or(0.0)
    }
}

/// An event that was announced.
#[derive(Debug, Clone, PartialEq)]
pub struct Announced {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: AnnouncedKind,
    /// Start, ms.
    pub start_ms: Millis,
    /// End, ms; `None`: open end.
    pub end_ms: Option<Millis>,
    /// A change of water, if it is one.
    pub new_water: Option<NewWater>,
}

/// What an announced event is, as far as a controller minds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AnnouncedKind {
    /// Pumps stand still: a feeding pause.
    PumpStopped,
    /// Water is changed.
    WaterChange,
    /// Anything else.
    Other,
}

impl AnnouncedKind {
    /// What an event with this effect is.
    #[must_use]
    pub fn of(effect: Effect) -> Self {
        match effect {
            Effect::PumpStopped(_) => Self::PumpStopped,
            Effect::WaterChange { .. } => Self::WaterChange,
            _ => Self::Other,
        }
    }

    /// The word for it: "pump stopped", "water change", "other".
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::PumpStopped => "pump stopped",
            Self::WaterChange => "water change",
            Self::Other => "other",
        }
    }
}

/// What a keeper knows of a change of water before it comes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NewWater {
    /// Share of all water that is replaced, 0..1.
    pub share_frac: f64,
    /// Temperature of the new water, °C.
    pub temp_c: f64,
}

impl NewWater {
    /// What an event of the scenario brings, if it changes water.
    #[must_use]
    pub fn of(scenario: &Scenario, effect: Effect) -> Option<Self> {
        let Effect::WaterChange {
            tank,
            share_frac,
            temp_c,
            ..
        } = effect
        else {
            return None;
        };
        let all_m3: f64 = scenario.tanks.iter().map(|tank| tank.water_volume_m3()).sum();
        Some(Self {
            share_frac: share_frac * scenario.tanks[tank.0].water_volume_m3() / all_m3,
            temp_c,
        })
    }

    /// How much colder it leaves water of this temperature, K, once all is mixed; negative: warmer.
    #[must_use]
    pub fn cools_by_k(self, water_c: f64) -> f64 {
        self.share_frac * (water_c - self.temp_c)
    }
}

/// State of a contact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ContactState {
    /// No current.
    #[default]
    Open,
    /// Current flows.
    Closed,
}

impl ContactState {
    /// `Closed` if `closed`, else `Open`.
    #[must_use]
    pub fn closed_if(closed: bool) -> Self {
        if closed { Self::Closed } else { Self::Open }
    }

    /// Whether it is closed.
    #[must_use]
    pub fn is_closed(self) -> bool {
        self == Self::Closed
    }
}

/// One command.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Command {
    /// The contact.
    pub contact: ContactId,
    /// Delay from the decision on, ms, ≥ 0.
    pub delay_ms: Millis,
    /// The state from then on.
    pub state: ContactState,
}

/// What a strategy does at one decision.
#[derive(Debug, Clone, Default)]
pub struct Commands {
    list: Vec<Command>,
    alerts: Vec<String>,
}

impl Commands {
    /// Sets a contact now.
    pub fn set(&mut self, contact: ContactId, state: ContactState) {
        self.set_after(contact, 0, state);
    }

    /// Sets a contact after a delay, ms; dropped if the next decision comes first. The run splits its tick there, so
    /// a duty is exact at any control interval.
    pub fn set_after(&mut self, contact: ContactId, delay_ms: Millis, state: ContactState) {
        self.list.push(Command {
            contact,
            delay_ms: delay_ms.max(0),
            state,
        });
    }

    /// Raises an alert.
    pub fn raise(&mut self, alert: &str) {
        self.alerts.push(alert.to_owned());
    }

    /// The commands, in the order given.
    #[must_use]
    pub fn list(&self) -> &[Command] {
        &self.list
    }

    /// The alerts, in the order given.
    #[must_use]
    pub fn alerts(&self) -> &[String] {
        &self.alerts
    }

    /// Forgets everything; the run calls this before each decision.
    pub fn clear(&mut self) {
        self.list.clear();
        self.alerts.clear();
    }
}
