//! A strategy that commands what a test says, guards around it, and the contacts that obey, as a run obeys.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex};

use tepid_sim::ids::ContactId;
use tepid_sim::strategy::{
    Announced, BindError, Command, Commands, ContactState, Readings, Strategy, StrategyFailure,
    StrategyRecipe, Wiring,
};
use tepid_sim::time::{Millis, SECOND};
use tepid_strategies::guard::{GuardRecipe, Guarded, find_guard};
use tepid_strategies::values::Value;

/// Time between two decisions.
pub const INTERVAL_MS: Millis = 10 * SECOND;

pub const CLOSED: ContactState = ContactState::Closed;
pub const OPEN: ContactState = ContactState::Open;

/// The guard of that name with these values given.
pub fn guard(name: &str, given: &[(&str, Value)]) -> Box<dyn GuardRecipe> {
    let entry = find_guard(name).expect("a guard of that name");
    let mut values = entry.defaults();
    for (param, value) in given {
        values.set(param, value.clone()).expect("a value that may stand");
    }
    (entry.build)(&values).expect("values that fit together")
}

/// What the strategy inside was shown and what it will command, shared with the test.
#[derive(Debug, Default)]
struct Script {
    next: VecDeque<Vec<Command>>,
    seen: Option<Readings>,
}

#[derive(Debug, Clone, Default)]
struct Scripted(Arc<Mutex<Script>>);

impl StrategyRecipe for Scripted {
    fn name(&self) -> &str {
        "scripted"
    }
    fn settings(&self) -> String {
        "what the test says".to_owned()
    }
    fn interval_ms(&self) -> Millis {
        INTERVAL_MS
    }
    fn bind(&self, _: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        Ok(Box::new(self.clone()))
    }
}

impl Strategy for Scripted {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let mut script = self.0.lock().expect("one thread");
        script.seen = Some(seen.clone());
        for command in script.next.pop_front().unwrap_or_default() {
            commands.set_after(command.contact, command.delay_ms, command.state);
        }
        Ok(())
    }
}

/// Contacts that obey one stream of commands, as a run has them obey.
#[derive(Debug, Clone)]
pub struct Contacts {
    states: Vec<ContactState>,
    pending: Vec<Command>,
}

impl Contacts {
    fn new(count: usize) -> Self {
        Self {
            states: vec![OPEN; count],
            pending: Vec::new(),
        }
    }

    /// States in every second from this decision to the next one.
    fn obey(&mut self, commands: &[Command]) -> Vec<Vec<ContactState>> {
        self.pending.clear();
        for command in commands {
            if command.delay_ms == 0 {
                self.states[command.contact.0] = command.state;
            } else {
                self.pending.push(*command);
            }
        }
        (0..INTERVAL_MS / SECOND)
            .map(|second| {
                let states = &mut self.states;
                self.pending.retain(|command| {
                    let due = command.delay_ms <= second * SECOND;
                    if due {
                        states[command.contact.0] = command.state;
                    }
                    !due
                });
                states.clone()
            })
            .collect()
    }
}

/// A scripted strategy with guards around it.
pub struct Stack {
    script: Scripted,
    strategy: Box<dyn Strategy>,
    pub now_ms: Millis,
    /// What the strategy alone would do, and what the stack does.
    inside: Contacts,
    outside: Contacts,
    /// Alerts of all decisions.
    pub alerts: Vec<String>,
    pub announced: Vec<Announced>,
    /// What the last decision commanded.
    pub commands: Vec<Command>,
}

/// States in every second of a decision: of the strategy alone, and with its guards.
pub struct Seconds {
    pub inside: Vec<Vec<ContactState>>,
    pub outside: Vec<Vec<ContactState>>,
}

impl Stack {
    pub fn new(wiring: &Wiring, guards: Vec<Box<dyn GuardRecipe>>) -> Self {
        let script = Scripted::default();
        let strategy = Guarded::new(Box::new(script.clone()), guards)
            .bind(wiring)
            .expect("guards that apply");
        Self {
            script,
            strategy,
            now_ms: 0,
            inside: Contacts::new(wiring.contacts.len()),
            outside: Contacts::new(wiring.contacts.len()),
            alerts: Vec::new(),
            announced: Vec::new(),
            commands: Vec::new(),
        }
    }

    /// One decision by these readings, with these commands inside, and the time up to the next one.
    pub fn step(&mut self, probes_c: &[Option<f64>], inside: &[Command]) -> Seconds {
        self.script
            .0
            .lock()
            .expect("one thread")
            .next
            .push_back(inside.to_vec());
        let seen = Readings {
            now_ms: self.now_ms,
            probes_c: probes_c.to_vec(),
            drawn_w: Vec::new(),
            announced: self.announced.clone(),
        };
        let mut commands = Commands::default();
        self.strategy.decide(&seen, &mut commands).expect("a decision");
        self.alerts.extend_from_slice(commands.alerts());
        self.commands = commands.list().to_vec();
        self.now_ms += INTERVAL_MS;
        Seconds {
            inside: self.inside.obey(inside),
            outside: self.outside.obey(commands.list()),
        }
    }

    /// What the strategy inside saw of a probe at the last decision.
    pub fn shown_c(&self, probe: usize) -> Option<f64> {
        let script = self.script.0.lock().expect("one thread");
        script.seen.as_ref().expect("a decision").probes_c[probe]
    }

    /// Power out: no decisions, every contact open.
    pub fn outage(&mut self, length_ms: Millis) {
        self.now_ms += length_ms;
        for contacts in [&mut self.inside, &mut self.outside] {
            contacts.states.fill(OPEN);
            contacts.pending.clear();
        }
    }
}

/// A command.
pub fn set(contact: usize, delay_ms: Millis, state: ContactState) -> Command {
    Command {
        contact: ContactId(contact),
        delay_ms,
        state,
    }
}

/// Readings of the wiring's two probes: monitor, control.
pub fn control(temp_c: f64) -> [Option<f64>; 2] {
    [None, Some(temp_c)]
}
