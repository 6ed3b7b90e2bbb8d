//! Carries out commands as a run does: in order, delayed ones at their time, pending ones dropped at the next
//! decision.

use tepid_sim::ids::ProbeId;
use tepid_sim::strategy::{
    Announced, Command, Commands, ContactState, Readings, Strategy, StrategyRecipe, Wiring,
};
use tepid_sim::time::Millis;

/// A strategy on a bench.
pub struct Bench {
    strategy: Box<dyn Strategy>,
    control: ProbeId,
    room: Option<ProbeId>,
    interval_ms: Millis,
    /// What the probe in the room's air reads, if there is one.
    pub room_c: Option<f64>,
    /// What is announced.
    pub announced: Vec<Announced>,
    pub now_ms: Millis,
    /// State of each contact now.
    pub states: Vec<ContactState>,
    /// How often each contact closed so far.
    pub closings: Vec<u32>,
    /// How long each contact was closed so far, ms.
    pub closed_ms: Vec<Millis>,
    /// What the last decision commanded.
    pub commands: Commands,
}

impl Bench {
    pub fn new(recipe: &dyn StrategyRecipe, wiring: &Wiring) -> Self {
        let contacts = wiring.contacts.len();
        Self {
            strategy: recipe.bind(wiring).expect("a strategy that applies"),
            control: wiring.control_probe().expect("a control probe"),
            room: wiring.room_probe().ok(),
            room_c: None,
            announced: Vec::new(),
            interval_ms: recipe.interval_ms(),
            now_ms: 0,
            states: vec![ContactState::Open; contacts],
            closings: vec![0; contacts],
            closed_ms: vec![0; contacts],
            commands: Commands::default(),
        }
    }

    /// One decision by this reading of the control probe, then time up to the next one; `pass` sees each stretch
    /// between two switching instants, with its length in ms.
    pub fn step(&mut self, reading_c: Option<f64>, mut pass: impl FnMut(Millis, &[ContactState])) {
        let last = self.control.0.max(self.room.map_or(0, |room| room.0));
        let mut probes_c = vec![None; last + 1];
        probes_c[self.control.0] = reading_c;
        if let Some(room) = self.room {
            probes_c[room.0] = self.room_c;
        }
        let seen = Readings {
            now_ms: self.now_ms,
            probes_c,
            drawn_w: Vec::new(),
            announced: self.announced.clone(),
        };
        self.commands.clear();
        self.strategy
            .decide(&seen, &mut self.commands)
            .expect("a decision");
        let mut due: Vec<Command> = self
            .commands
            .list()
            .iter()
            .copied()
            .filter(|c| c.delay_ms < self.interval_ms)
            .collect();
        due.sort_by_key(|command| command.delay_ms);
        let mut at_ms = 0;
        for command in due {
            self.pass_to(&mut at_ms, command.delay_ms, &mut pass);
            let state = &mut self.states[command.contact.0];
            if command.state.is_closed() && !state.is_closed() {
                self.closings[command.contact.0] += 1;
            }
            *state = command.state;
        }
        self.pass_to(&mut at_ms, self.interval_ms, &mut pass);
        self.now_ms += self.interval_ms;
    }

    /// As often as fits into `length_ms`, with the same reading.
    pub fn run(&mut self, length_ms: Millis, reading_c: Option<f64>) {
        let until_ms = self.now_ms + length_ms;
        while self.now_ms < until_ms {
            self.step(reading_c, |_, _| {});
        }
    }

    /// Power out for `length_ms`: no decisions, contacts open, pending commands dropped.
    pub fn outage(&mut self, length_ms: Millis) {
        self.now_ms += length_ms;
        self.states.fill(ContactState::Open);
    }

    fn pass_to(&mut self, at_ms: &mut Millis, to_ms: Millis, pass: &mut impl FnMut(Millis, &[ContactState])) {
        let length_ms = to_ms - *at_ms;
        if length_ms > 0 {
            pass(length_ms, &self.states);
            for (closed_ms, state) in self.closed_ms.iter_mut().zip(&self.states) {
                *closed_ms += if state.is_closed() { length_ms } else { 0 };
            }
            *at_ms = to_ms;
        }
    }
}
