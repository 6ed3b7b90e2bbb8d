//! The switched circuit at one instant: contacts, chains, and who decides.
//!
//! When several things hold for a contact: stuck open over welded over its own thermostat over the command.

use crate::ids::{BoxId, ContactId, HeaterId};
use crate::network::{Passage, Vector};
use crate::noise::Stream;
use crate::plant::{Plant, Sensor};
use crate::scenario::{ContactKind, Effect, Happening, Reset, Role, Scenario, SensedAt};
use crate::strategy::ContactState;
use crate::time::{Millis, days};

/// All contacts of a run.
#[derive(Debug, Clone)]
pub(super) struct Chains {
    contacts: Vec<Switch>,
    /// Resolved states, by contact.
    states: Vec<ContactState>,
    heater_chains: Vec<Vec<ContactId>>,
    fan_chains: Vec<Vec<ContactId>>,
    chiller_chains: Vec<Vec<ContactId>>,
    heater_dead: Vec<bool>,
    heater_unplugged: Vec<bool>,
    /// Where the contacts that decide for themselves switch next, kept as they stand: they are asked at every tick.
    edges: Vec<Edge>,
    /// Nothing that bears on contacts or elements changed since the contacts were resolved.
    resolved: bool,
    /// The controller has electricity, and so its contacts take commands.
    controller_on: bool,
    /// All heaters are unplugged or held off.
    unplugged: bool,
    /// What K above the network's reference is in °C.
    reference_c: f64,
}

#[derive(Debug, Clone)]
struct Switch {
    in_box: Option<BoxId>,
    role: Option<Role>,
    commanded: bool,
    takes_commands: bool,
    welded: bool,
    stuck_open: bool,
    /// It chatters and has just parted.
    parted: bool,
    own: Option<OwnSwitch>,
}

/// A contact that senses for itself.
#[derive(Debug, Clone)]
struct OwnSwitch {
    sensor: Sensor,
    /// The heater whose body it feels, if it is built into one.
    heater: Option<usize>,
    /// The room's air, K above the network's reference, while it feels that in place of water.
    in_air_k: Option<f64>,
    /// K above the network's reference, the scale's own error included.
    opens_above_k: f64,
    closes_below_k: f64,
    dial_off_k: f64,
    /// Where somebody set the dial, K above the network's reference.
    set_to_k: Option<f64>,
    manual_reset: bool,
    closed: bool,
}

impl Switch {
    fn is_closed(&self) -> bool {
        if self.stuck_open {
            false
        } else if self.welded {
            true
        } else if self.parted {
            false
        } else if let Some(own) = &self.own {
            own.closed
        } else {
            !self.takes_commands || self.commanded
        }
    }
}

impl OwnSwitch {
    /// Where it switches next. One that waits for a hand switches nowhere.
    fn edge(&self, contact: usize) -> Edge {
        let (a, b, share) = match self.sensor {
            Sensor::Lagging(node) => (node, node, 0.0),
            Sensor::Direct { a, b, share } => (a, b, share),
        };
        let set_up_k = self
            .set_to_k
            .map_or(0.0, |set_to_k| set_to_k - self.opens_above_k);
        let off_k = self.dial_off_k + set_up_k;
        let (rising, limit_k) = if self.closed {
            (1.0, self.opens_above_k + off_k)
        } else if self.manual_reset {
            (-1.0, f64::INFINITY)
        } else {
            (-1.0, -(self.closes_below_k + off_k))
        };
        let Some(air_k) = self.in_air_k else {
            return Edge {
                contact,
                a: a.0,
                b: b.0,
                share,
                rising,
                limit_k,
            };
        };
        // (1 − s) T_air + s T_body passes the limit where T_body passes this one.
        Edge {
            contact,
            a: b.0,
            b: b.0,
            share: 0.0,
            rising,
            limit_k: (limit_k - rising * (1.0 - share) * air_k) / share.max(f64::MIN_POSITIVE),
        }
    }
}

/// A contact switches once `rising` · sensed passes `limit_k`.
#[derive(Debug, Clone, Copy)]
struct Edge {
    contact: usize,
    a: usize,
    b: usize,
    share: f64,
    /// 1: towards warm, −1: towards cold.
    rising: f64,
    limit_k: f64,
}

impl Edge {
    #[inline]
    fn is_passed(&self, state: &Vector) -> bool {
        self.rising * self.sensed_k(state) > self.limit_k
    }

    #[inline]
    fn sensed_k(&self, state: &Vector) -> f64 {
        state[self.a] + self.share * (state[self.b] - state[self.a])
    }

    /// Whether a tick of a passage may pass it.
    #[inline]
    fn may_be_passed(&self, passage: &Passage<'_>) -> bool {
        let ends_k = [passage.from, passage.to].map(|state| self.rising * self.sensed_k(state));
        ends_k[0].max(ends_k[1]) + self.sensed_k(passage.off_line_k) > self.limit_k
    }
}

/// Whether a contact is closed without a command: one that stands before a thermostat of the room does not take the room's own heating away
/// when the controller is dead, or knows nothing of it.
fn rests_closed(role: Option<Role>) -> bool {
    role.is_some_and(Role::is_of_room)
}

/// The heater in whose chain a contact stands.
fn of_heater(scenario: &Scenario, contact: usize) -> Option<usize> {
    let mut heaters = scenario.heaters.iter();
    heaters.position(|heater| heater.chain.contains(&ContactId(contact)))
}

fn edges(contacts: &[Switch]) -> Vec<Edge> {
    let own = |(index, switch): (usize, &Switch)| switch.own.as_ref().map(|own| own.edge(index));
    contacts.iter().enumerate().filter_map(own).collect()
}

/// What a sensor feels, K above the network's reference.
#[inline]
pub(super) fn sensed_k(sensor: Sensor, state: &Vector) -> f64 {
    match sensor {
        Sensor::Lagging(node) => state[node.0],
        Sensor::Direct { a, b, share } => state[a.0] + share * (state[b.0] - state[a.0]),
    }
}

/// Whether a contact that chatters is open this long after it began: it closes for the first half of every period.
fn is_parted(since_ms: Millis, period_ms: Millis) -> bool {
    since_ms.rem_euclid(period_ms) >= period_ms / 2
}

/// When a contact that chatters next parts or closes, ms since it began.
pub(super) fn next_chatter_ms(since_ms: Millis, period_ms: Millis) -> Millis {
    let begun_ms = since_ms.div_euclid(period_ms) * period_ms;
    if is_parted(since_ms, period_ms) {
        begun_ms + period_ms
    } else {
        begun_ms + period_ms / 2
    }
}

impl Chains {
    pub(super) fn new(scenario: &Scenario, plant: &Plant, seed: u64, replicate: u64) -> Self {
        let reference_c = plant.network.reference_c();
        let contacts: Vec<Switch> = scenario
            .contacts
            .iter()
            .enumerate()
            .map(|(index, contact)| Switch {
                in_box: contact.in_box,
                role: contact.role,
                commanded: rests_closed(contact.role),
                takes_commands: matches!(contact.kind, ContactKind::Relay | ContactKind::SolidState),
                welded: false,
                stuck_open: false,
                parted: false,
                own: contact
                    .own_sensing
                    .zip(plant.own_sensors[index])
                    .map(|(own, sensor)| {
                        let draw = Stream::new(seed, replicate, &contact.name, "dial error").uniform(0);
                        let error_k = own.dial_error_k * (2.0 * draw - 1.0);
                        OwnSwitch {
                            sensor,
                            heater: matches!(own.sensed_at, SensedAt::HeaterBody { .. })
                                .then(|| of_heater(scenario, index))
                                .flatten(),
                            in_air_k: None,
                            opens_above_k: own.opens_above_c + error_k - reference_c,
                            closes_below_k: own.closes_below_c + error_k - reference_c,
                            dial_off_k: 0.0,
                            set_to_k: None,
                            manual_reset: own.reset == Reset::Manual,
                            closed: true,
                        }
                    }),
            })
            .collect();
        Self {
            states: vec![ContactState::Open; contacts.len()],
            edges: edges(&contacts),
            contacts,
            heater_chains: scenario
                .heaters
                .iter()
                .map(|heater| heater.chain.clone())
                .collect(),
            fan_chains: scenario.fans.iter().map(|fan| fan.chain.clone()).collect(),
            chiller_chains: scenario
                .chillers
                .iter()
                .map(|chiller| chiller.chain.clone())
                .collect(),
            heater_dead: vec![false; scenario.heaters.len()],
            heater_unplugged: vec![false; scenario.heaters.len()],
            reference_c,
            resolved: false,
            controller_on: true,
            unplugged: false,
        }
    }

    /// Recomputes what is broken from the set of active happenings, each with the instant it began.
    pub(super) fn apply<'a>(
        &mut self,
        now_ms: Millis,
        active: impl Iterator<Item = (&'a Happening, Millis)>,
    ) {
        self.resolved = false;
        for switch in &mut self.contacts {
            switch.welded = false;
            switch.stuck_open = false;
            switch.parted = false;
            if let Some(own) = &mut switch.own {
                own.dial_off_k = 0.0;
                own.set_to_k = None;
            }
        }
        self.heater_dead.fill(false);
        self.heater_unplugged.fill(false);
        self.unplugged = false;
        for (happening, began_ms) in active {
            match happening.effect {
                Effect::DialOff { contact, by_k } => self.turn_dial(contact, by_k),
                Effect::DialDrifts { contact, k_per_day } => {
                    self.turn_dial(contact, k_per_day * days(now_ms - began_ms));
                }
                Effect::ContactWelded(contact) => self.contacts[contact.0].welded = true,
                Effect::ContactStuckOpen(contact) => self.contacts[contact.0].stuck_open = true,
                Effect::BoxWelded(of) => self.in_box(of).for_each(|switch| switch.welded = true),
                Effect::BoxStuckOpen(of) => self.in_box(of).for_each(|switch| switch.stuck_open = true),
                Effect::ContactChatters { contact, period_ms } => {
                    self.contacts[contact.0].parted |= is_parted(now_ms - began_ms, period_ms);
                }
                Effect::DialSet {
                    contact,
                    opens_above_c,
                } => {
                    if let Some(own) = &mut self.contacts[contact.0].own {
                        own.set_to_k = Some(opens_above_c - self.reference_c);
                    }
                }
                Effect::HeaterDead(heater) => self.heater_dead[heater.0] = true,
                Effect::HeaterUnplugged(heater) => self.heater_unplugged[heater.0] = true,
                Effect::HeatersUnplugged | Effect::HeatersHeldOff => self.unplugged = true,
                _ => {}
            }
        }
        self.edges = edges(&self.contacts);
    }

    fn in_box(&mut self, of: BoxId) -> impl Iterator<Item = &mut Switch> {
        self.contacts
            .iter_mut()
            .filter(move |switch| switch.in_box == Some(of))
    }

    fn turn_dial(&mut self, contact: ContactId, by_k: f64) {
        if let Some(own) = &mut self.contacts[contact.0].own {
            own.dial_off_k += by_k;
        }
    }

    /// Whether the controller has electricity from now on; without, its outputs fall.
    pub(super) fn set_controller_on(&mut self, on: bool) {
        self.controller_on = on;
        if !on {
            self.drop_commands();
        }
    }

    /// What hangs on chains must be looked at again: somebody lost or got electricity.
    pub(super) fn power_changed(&mut self) {
        self.resolved = false;
    }

    /// The controller's outputs fall: every commanded contact opens, but for those of the room, which rest closed.
    pub(super) fn drop_commands(&mut self) {
        self.resolved = false;
        for switch in &mut self.contacts {
            switch.commanded = rests_closed(switch.role);
        }
    }

    /// What thermostats built into heaters feel from now on: the room's air, K above the network's reference, where their heater's body is in
    /// air.
    pub(super) fn set_bodies_in_air(&mut self, in_air: impl Fn(usize) -> bool, air_k: f64) {
        let mut changed = false;
        for own in self.contacts.iter_mut().filter_map(|switch| switch.own.as_mut()) {
            let in_air_k = own.heater.filter(|heater| in_air(*heater)).map(|_| air_k);
            changed |= own.in_air_k != in_air_k;
            own.in_air_k = in_air_k;
        }
        if changed {
            self.edges = edges(&self.contacts);
        }
    }

    /// A strategy's command; contacts that take none ignore it.
    pub(super) fn command(&mut self, contact: ContactId, state: ContactState) {
        if let Some(switch) = self.contacts.get_mut(contact.0)
            && switch.takes_commands
        {
            let closes = if self.controller_on {
                state.is_closed()
            } else {
                rests_closed(switch.role)
            };
            self.resolved &= switch.commanded == closes;
            switch.commanded = closes;
        }
    }

    /// Whether a contact that senses for itself switches in this state.
    #[inline]
    pub(super) fn crossed(&self, state: &Vector) -> bool {
        self.edges.iter().any(|edge| edge.is_passed(state))
    }

    /// Whether a contact that senses for itself may switch at a tick of a passage.
    #[inline]
    pub(super) fn may_cross(&self, passage: &Passage<'_>) -> bool {
        self.edges.iter().any(|edge| edge.may_be_passed(passage))
    }

    /// Lets the contacts that sense for themselves act on this state.
    #[inline]
    pub(super) fn sense(&mut self, state: &Vector) {
        for edge in &mut self.edges {
            if edge.is_passed(state)
                && let Some(own) = &mut self.contacts[edge.contact].own
            {
                own.closed = !own.closed;
                *edge = own.edge(edge.contact);
                self.resolved = false;
            }
        }
    }

    /// Fills `changes` with the contacts that will change when they are resolved, with whether they close.
    pub(super) fn pending_changes(&self, changes: &mut Vec<(ContactId, bool)>) {
        changes.clear();
        for (index, (switch, state)) in self.contacts.iter().zip(&self.states).enumerate() {
            let closed = switch.is_closed();
            if closed != state.is_closed() {
                changes.push((ContactId(index), closed));
            }
        }
    }

    /// Whether contacts and elements are as they were when contacts were last resolved.
    #[inline]
    pub(super) fn is_resolved(&self) -> bool {
        self.resolved
    }

    /// Resolves these contacts.
    pub(super) fn carry_out(&mut self, changes: &[(ContactId, bool)]) {
        self.resolved = true;
        for (contact, closed) in changes {
            self.states[contact.0] = ContactState::closed_if(*closed);
        }
    }

    /// Resolved states, by contact.
    pub(super) fn states(&self) -> &[ContactState] {
        &self.states
    }

    /// Whether current would flow through a heater that has electricity.
    pub(super) fn heater_on(&self, heater: HeaterId) -> bool {
        !self.unplugged
            && !self.heater_dead[heater.0]
            && !self.heater_unplugged[heater.0]
            && self.closed(&self.heater_chains[heater.0])
    }

    /// Whether the commanded contacts of a heater's chain should all be closed; `None`: it has none.
    pub(super) fn heater_commanded(&self, heater: HeaterId) -> Option<bool> {
        let switches = self.heater_chains[heater.0]
            .iter()
            .map(|contact| &self.contacts[contact.0]);
        switches
            .filter(|switch| switch.takes_commands)
            .map(|switch| switch.commanded)
            .reduce(|all, one| all && one)
    }

    /// Whether the chain of a fan is closed.
    pub(super) fn fan_on(&self, fan: usize) -> bool {
        self.closed(&self.fan_chains[fan])
    }

    /// Whether a chiller is asked to run.
    pub(super) fn chiller_on(&self, chiller: usize) -> bool {
        self.closed(&self.chiller_chains[chiller])
    }

    /// Whether no contact keeps the room's heating off.
    pub(super) fn room_heating_on(&self) -> bool {
        self.all_closed(Role::HeatRoom)
    }

    /// Whether no contact keeps the room's cooling off.
    pub(super) fn room_cooling_on(&self) -> bool {
        self.all_closed(Role::CoolRoom)
    }

    fn all_closed(&self, role: Role) -> bool {
        let mut contacts = self.contacts.iter().zip(&self.states);
        contacts.all(|(switch, state)| switch.role != Some(role) || state.is_closed())
    }

    fn closed(&self, chain: &[ContactId]) -> bool {
        chain.iter().all(|contact| self.states[contact.0].is_closed())
    }
}
