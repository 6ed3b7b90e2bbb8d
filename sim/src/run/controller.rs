//! The controller: the box that runs the strategy. It may hang, and come back in another state.
//!
//! Not every strategy can be doubled. Where a fault will bring one back in the state that it had saved some time before it stopped, a second one is
//! made at the start, sees the same readings up to that instant, and waits.

use crate::scenario::{Effect, Happening, Outputs, Restart, When};
use crate::strategy::{
    BindError, Commands, Readings, Rest, Strategy, StrategyFailure, StrategyRecipe, Wiring,
};
use crate::time::Millis;

/// The controller of one run.
pub(super) struct Controller<'a> {
    recipe: &'a dyn StrategyRecipe,
    wiring: Wiring,
    strategy: Box<dyn Strategy>,
    saved: Option<Saved>,
    hung: Option<(Outputs, Restart)>,
    may_rest: bool,
    waits_for: Option<Rest>,
    /// The last decision left out since it was asked, ms.
    rested_ms: Option<Millis>,
}

/// A strategy that stays behind.
struct Saved {
    strategy: Box<dyn Strategy>,
    /// It sees what happens before this instant.
    until_ms: Millis,
    /// Where its commands go.
    nowhere: Commands,
}

impl<'a> Controller<'a> {
    pub(super) fn new(
        recipe: &'a dyn StrategyRecipe,
        wiring: Wiring,
        happenings: &[Happening],
    ) -> Result<Self, BindError> {
        let saved = match saved_until_ms(happenings) {
            Some(until_ms) => Some(Saved {
                strategy: recipe.bind(&wiring)?,
                until_ms,
                nowhere: Commands::default(),
            }),
            None => None,
        };
        Ok(Self {
            recipe,
            strategy: recipe.bind(&wiring)?,
            wiring,
            saved,
            hung: None,
            may_rest: false,
            waits_for: None,
            rested_ms: None,
        })
    }

    /// Recomputes what it does from the set of active happenings. Of several that make it hang the one that drops its outputs counts.
    ///
    /// # Errors
    /// It cannot be started anew.
    pub(super) fn apply<'h>(&mut self, active: impl Iterator<Item = &'h Happening>) -> Result<(), BindError> {
        let mut hung = None;
        for happening in active {
            if let Effect::ControllerHung { outputs, restart } = happening.effect
                && !matches!(hung, Some((Outputs::Drop, _)))
            {
                hung = Some((outputs, restart));
            }
        }
        if let (Some((_, restart)), None) = (self.hung, hung) {
            match restart {
                Restart::Kept => {}
                Restart::Lost => {
                    self.strategy = self.recipe.bind(&self.wiring)?;
                    self.rested_ms = None;
                }
                Restart::Stale(_) => {
                    if let Some(saved) = self.saved.take() {
                        self.strategy = saved.strategy;
                    }
                }
            }
            self.strategy.restarted(restart);
        }
        self.hung = hung;
        Ok(())
    }

    /// What its contacts do while it hangs; `None`: it does not hang.
    pub(super) fn hung(&self) -> Option<Outputs> {
        self.hung.map(|(outputs, _)| outputs)
    }

    /// Lets it rest, or asks it at every decision.
    pub(super) fn resting(mut self, may_rest: bool) -> Self {
        // One that stays behind must see everything.
        self.may_rest = may_rest && self.saved.is_none();
        self
    }

    /// What it waits for; `None`: it must be asked.
    #[inline]
    pub(super) fn waits_for(&self) -> Option<Rest> {
        self.waits_for
    }

    /// A decision is left out.
    #[inline]
    pub(super) fn rest(&mut self, now_ms: Millis) {
        self.rested_ms = Some(now_ms);
    }

    /// Something happened: it must be asked.
    pub(super) fn wake(&mut self) {
        self.waits_for = None;
    }

    /// Another one in the same state; `None` where its strategy cannot be doubled.
    pub(super) fn twin(&self) -> Option<Self> {
        if self.saved.is_some() {
            return None;
        }
        Some(Self {
            recipe: self.recipe,
            wiring: self.wiring.clone(),
            strategy: self.strategy.twin()?,
            saved: None,
            hung: self.hung,
            may_rest: self.may_rest,
            waits_for: self.waits_for,
            rested_ms: self.rested_ms,
        })
    }

    /// Asks it for commands.
    pub(super) fn decide(
        &mut self,
        readings: &Readings,
        commands: &mut Commands,
    ) -> Result<(), StrategyFailure> {
        if let Some(saved) = &mut self.saved
            && readings.now_ms < saved.until_ms
        {
            saved.nowhere.clear();
            saved.strategy.decide(readings, &mut saved.nowhere)?;
        }
        if let Some(last_ms) = self.rested_ms.take() {
            self.strategy.rested(last_ms);
        }
        self.strategy.decide(readings, commands)?;
        self.waits_for = if self.may_rest {
            self.strategy.rests()
        } else {
            None
        };
        Ok(())
    }
}

/// Up to when the state that somebody will come back with is kept up: that long before the first such fault.
fn saved_until_ms(happenings: &[Happening]) -> Option<Millis> {
    let stale = happenings
        .iter()
        .filter_map(|happening| match (happening.effect, happening.when) {
            (
                Effect::ControllerHung {
                    restart: Restart::Stale(age_ms),
                    ..
                },
                When::At(at_ms),
            ) => Some(at_ms - age_ms),
            _ => None,
        });
    stale.min()
}
