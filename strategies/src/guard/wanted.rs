//! What the inside of a guard wants of each contact, remembered over decisions that leave a contact out.

use tepid_sim::ids::ContactId;
use tepid_sim::strategy::{Command, ContactState};
use tepid_sim::time::Millis;

use crate::decision_clock::{DecisionClock, Tick};

/// What is wanted of every contact from this decision on.
#[derive(Debug, Clone)]
pub struct Wanted {
    courses: Vec<Course>,
    clock: DecisionClock,
    restarted: bool,
}

/// What is wanted of one contact.
#[derive(Debug, Clone, Default)]
pub struct Course {
    state: ContactState,
    closed_since_ms: Option<Millis>,
    /// Delayed commands of this decision, by delay.
    later: Vec<(Millis, ContactState)>,
}

impl Wanted {
    pub(super) fn new(contacts: usize, interval_ms: Millis) -> Self {
        Self {
            courses: vec![Course::default(); contacts],
            clock: DecisionClock::new(interval_ms),
            restarted: true,
        }
    }

    /// Takes up a decision's commands.
    pub(super) fn take(&mut self, now_ms: Millis, commands: &[Command]) {
        let tick = self.clock.tick(now_ms);
        self.restarted = !matches!(tick, Tick::After(_));
        for course in &mut self.courses {
            match tick {
                Tick::After(elapsed_ms) => course.pass(now_ms - elapsed_ms, elapsed_ms),
                // The power was out: every contact fell open.
                Tick::First | Tick::Jumped => *course = Course::default(),
            }
        }
        for command in commands {
            if let Some(course) = self.courses.get_mut(command.contact.0) {
                if command.delay_ms == 0 {
                    course.set(now_ms, command.state);
                } else {
                    course.later.push((command.delay_ms, command.state));
                }
            }
        }
        for course in &mut self.courses {
            course.later.sort_by_key(|(delay_ms, _)| *delay_ms);
        }
    }

    /// What is wanted of a contact.
    #[must_use]
    pub fn of(&self, contact: ContactId) -> &Course {
        &self.courses[contact.0]
    }

    /// Whether this is the first decision, or the first after a gap: every contact was open before it.
    #[must_use]
    pub fn restarted(&self) -> bool {
        self.restarted
    }
}

impl Course {
    /// Delayed commands of the decision at `from_ms` that came true before the next one.
    fn pass(&mut self, from_ms: Millis, elapsed_ms: Millis) {
        let mut later = std::mem::take(&mut self.later);
        for (delay_ms, state) in later.drain(..).filter(|(delay_ms, _)| *delay_ms < elapsed_ms) {
            self.set(from_ms + delay_ms, state);
        }
        self.later = later;
    }

    fn set(&mut self, at_ms: Millis, state: ContactState) {
        if state != self.state {
            self.state = state;
            self.closed_since_ms = state.is_closed().then_some(at_ms);
        }
    }

    /// Whether it should be closed right after this decision.
    #[must_use]
    pub fn is_closed(&self) -> bool {
        self.state.is_closed()
    }

    /// Since when it should be closed, ms; `None`: it should be open.
    #[must_use]
    pub fn closed_since_ms(&self) -> Option<Millis> {
        self.closed_since_ms
    }

    /// After which delay it should first be closed, ms; `None`: not by this decision.
    #[must_use]
    pub fn closes_after_ms(&self) -> Option<Millis> {
        if self.is_closed() {
            return Some(0);
        }
        self.first(ContactState::Closed)
    }

    /// After which delay it should first be open, ms; `None`: not by this decision.
    #[must_use]
    pub fn opens_after_ms(&self) -> Option<Millis> {
        if !self.is_closed() {
            return Some(0);
        }
        self.first(ContactState::Open)
    }

    fn first(&self, wanted: ContactState) -> Option<Millis> {
        let found = self.later.iter().find(|(_, state)| *state == wanted);
        found.map(|(delay_ms, _)| *delay_ms)
    }

    /// The state wanted after a delay.
    pub(super) fn at(&self, delay_ms: Millis) -> ContactState {
        let before = self.later.iter().rev().find(|(at_ms, _)| *at_ms <= delay_ms);
        before.map_or(self.state, |(_, state)| *state)
    }

    pub(super) fn later(&self) -> &[(Millis, ContactState)] {
        &self.later
    }
}
