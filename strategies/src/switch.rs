//! A switch with a deadband and minimum times: closes past one temperature, opens past another.

use tepid_sim::ids::ProbeId;
use tepid_sim::strategy::{ContactState, Rest};
use tepid_sim::time::Millis;

use crate::control_loop::WithoutReading;
use crate::decision_clock::Tick;

/// When a switch closes and opens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SwitchPoints {
    /// A heating switch closes at or below it, a cooling one at or above it, °C.
    pub(crate) closes_c: f64,
    /// A heating switch opens at or above it, a cooling one at or below it, °C.
    pub(crate) opens_c: f64,
}

impl SwitchPoints {
    /// Of a heating switch, its deadband centred.
    pub(crate) fn heating(centre_c: f64, deadband_k: f64) -> Self {
        Self {
            closes_c: centre_c - deadband_k / 2.0,
            opens_c: centre_c + deadband_k / 2.0,
        }
    }

    fn heats(self) -> bool {
        self.closes_c < self.opens_c
    }

    /// What a reading asks for; `None`: inside the deadband, as it was.
    fn wants(self, temp_c: f64) -> Option<ContactState> {
        let too_cold = ContactState::closed_if(self.heats());
        let too_warm = ContactState::closed_if(!self.heats());
        if temp_c <= self.closes_c.min(self.opens_c) {
            Some(too_cold)
        } else if temp_c >= self.closes_c.max(self.opens_c) {
            Some(too_warm)
        } else {
            None
        }
    }
}

/// What a strategy waits for whose switches all go by this probe.
pub(crate) fn rest<'a>(probe: ProbeId, switches: impl IntoIterator<Item = &'a Switch>) -> Rest {
    let mut rest = Rest {
        probe: Some(probe),
        above_c: f64::NEG_INFINITY,
        below_c: f64::INFINITY,
        until_ms: Millis::MAX,
    };
    for switch in switches {
        let (above_c, below_c) = switch.stays_between_c();
        rest.above_c = rest.above_c.max(above_c);
        rest.below_c = rest.below_c.min(below_c);
    }
    rest
}

/// The memory of one switched output.
#[derive(Debug, Clone)]
pub(crate) struct Switch {
    points: SwitchPoints,
    minimum_on_ms: Millis,
    minimum_off_ms: Millis,
    state: ContactState,
    /// When the state began; `None`: at the start, so no minimum time holds it.
    since_ms: Option<Millis>,
    /// The state began with a reading and every reading since was there.
    seen_throughout: bool,
    /// How long it was last closed and last open, by readings alone.
    last_on_ms: Option<Millis>,
    last_off_ms: Option<Millis>,
}

impl Switch {
    pub(crate) fn new(points: SwitchPoints) -> Self {
        Self {
            points,
            minimum_on_ms: 0,
            minimum_off_ms: 0,
            state: ContactState::Open,
            since_ms: None,
            seen_throughout: false,
            last_on_ms: None,
            last_off_ms: None,
        }
    }

    pub(crate) fn with_minimum_times(mut self, on_ms: Millis, off_ms: Millis) -> Self {
        self.minimum_on_ms = on_ms;
        self.minimum_off_ms = off_ms;
        self
    }

    /// Works by these points from now on.
    pub(crate) fn move_to(&mut self, points: SwitchPoints) {
        self.points = points;
    }

    /// Opens, and the minimum time off begins now.
    pub(crate) fn open_anew(&mut self, now_ms: Millis) {
        self.state = ContactState::Open;
        self.since_ms = Some(now_ms);
        self.seen_throughout = false;
    }

    /// The state from now on.
    pub(crate) fn decide(
        &mut self,
        now_ms: Millis,
        tick: Tick,
        reading_c: Option<f64>,
        without: WithoutReading,
    ) -> ContactState {
        if tick == Tick::Jumped {
            self.seen_throughout = false;
            // A clock set back must not hold a minimum time for as long as it was set back.
            self.since_ms = self.since_ms.map(|since_ms| since_ms.min(now_ms));
        }
        match reading_c {
            Some(temp_c) => self.decide_by(now_ms, temp_c),
            None => self.decide_blind(now_ms, tick, without),
        }
        self.state
    }

    /// The readings between which it stays as it is, both outside, °C.
    fn stays_between_c(&self) -> (f64, f64) {
        let SwitchPoints { closes_c, opens_c } = self.points;
        let next_c = if self.state.is_closed() { opens_c } else { closes_c };
        let changes_above = self.state.is_closed() == self.points.heats();
        if changes_above {
            (f64::NEG_INFINITY, next_c)
        } else {
            (next_c, f64::INFINITY)
        }
    }

    fn decide_by(&mut self, now_ms: Millis, temp_c: f64) {
        let Some(wanted) = self.points.wants(temp_c).filter(|wanted| *wanted != self.state) else {
            return;
        };
        let minimum_ms = if self.state.is_closed() {
            self.minimum_on_ms
        } else {
            self.minimum_off_ms
        };
        if let Some(since_ms) = self.since_ms {
            if now_ms - since_ms < minimum_ms {
                return;
            }
            if self.seen_throughout {
                *self.last_stay_mut() = Some(now_ms - since_ms);
            }
        }
        self.change(now_ms, wanted);
        self.seen_throughout = true;
    }

    fn decide_blind(&mut self, now_ms: Millis, tick: Tick, without: WithoutReading) {
        self.seen_throughout = false;
        match without {
            WithoutReading::Off => self.change(now_ms, ContactState::Open),
            // The power was out: what is held is a contact that fell open.
            WithoutReading::Hold if tick == Tick::Jumped => self.change(now_ms, ContactState::Open),
            WithoutReading::Hold => {}
            WithoutReading::LastDuty => {
                if self.last_on_ms.is_none() || self.last_off_ms.is_none() {
                    self.change(now_ms, ContactState::Open);
                } else if let (Some(since_ms), Some(stay_ms)) = (self.since_ms, *self.last_stay_mut())
                    && now_ms - since_ms >= stay_ms
                {
                    self.change(now_ms, ContactState::closed_if(!self.state.is_closed()));
                }
            }
        }
    }

    fn change(&mut self, now_ms: Millis, state: ContactState) {
        if state != self.state {
            self.state = state;
            self.since_ms = Some(now_ms);
        }
    }

    fn last_stay_mut(&mut self) -> &mut Option<Millis> {
        if self.state.is_closed() {
            &mut self.last_on_ms
        } else {
            &mut self.last_off_ms
        }
    }
}
