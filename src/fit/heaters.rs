//! The heaters as a log says they were: a strategy that only repeats.

use tepid_sim::ids::ContactId;
use tepid_sim::strategy::{
    BindError, Commands, ContactState, Readings, Strategy, StrategyFailure, StrategyRecipe, Wiring,
};
use tepid_sim::time::{MINUTE, Millis};

/// Repeats on one contact what a log says.
#[derive(Debug, Clone)]
pub(super) struct LoggedHeaters {
    pub contact: ContactId,
    /// From when on which share of their power, in order of time; off before the first.
    pub shares: Vec<(Millis, f64)>,
}

impl StrategyRecipe for LoggedHeaters {
    fn name(&self) -> &str {
        "logged"
    }

    fn settings(&self) -> String {
        "as the log says".to_owned()
    }

    fn interval_ms(&self) -> Millis {
        MINUTE
    }

    fn bind(&self, _: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        Ok(Box::new(self.clone()))
    }
}

impl Strategy for LoggedHeaters {
    fn decide(&mut self, seen: &Readings, commands: &mut Commands) -> Result<(), StrategyFailure> {
        let (from, to) = (seen.now_ms, seen.now_ms + MINUTE);
        let first = self.shares.partition_point(|(at, _)| *at <= from);
        let before = first.checked_sub(1).map_or(0.0, |at| self.shares[at].1);
        let mut piece = (from, before);
        let later = self.shares[first..].iter().take_while(|(at, _)| *at < to);
        for next in later.copied().chain([(to, 0.0)]) {
            self.spell(piece, next.0, from, commands);
            piece = next;
        }
        Ok(())
    }
}

impl LoggedHeaters {
    /// Closed for the share of the time up to `end`, then open.
    fn spell(&self, (begin, share): (Millis, f64), end: Millis, now: Millis, commands: &mut Commands) {
        let closed_ms = (share * (end - begin) as f64).round() as Millis;
        let begins = ContactState::closed_if(closed_ms > 0);
        commands.set_after(self.contact, begin - now, begins);
        if closed_ms > 0 && closed_ms < end - begin {
            commands.set_after(self.contact, begin - now + closed_ms, ContactState::Open);
        }
    }
}
