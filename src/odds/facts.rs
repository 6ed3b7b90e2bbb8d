//! What broken parts come to: a heater behind an open contact is a dead heater, whatever broke in its chain.
//!
//! Sets of broken parts that come to the same facts share their windows.

use tepid_sim::ids::{ContactId, HeaterId};
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, Scenario, When};

/// One thing that is so.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Fact {
    /// This heater draws nothing.
    Dead(HeaterId),
    /// This contact of heaters cannot open, and a heater behind it lives.
    Welded(ContactId),
    /// Any other effect, by its position in the list of all.
    Other(usize),
}

/// Knows which effects come to the same.
#[derive(Debug)]
pub(super) struct Facts {
    /// All effects that failures have, each once.
    effects: Vec<Effect>,
    left_out: Vec<Effect>,
    /// For each contact the heaters behind it; `None`: something else is, too, or nothing.
    heaters_behind: Vec<Option<Vec<HeaterId>>>,
}

impl Facts {
    pub(super) fn of(scenario: &Scenario, effects: impl Iterator<Item = Effect>) -> Self {
        let cooler_chains = || {
            let fans = scenario.fans.iter().map(|fan| &fan.chain);
            fans.chain(scenario.chillers.iter().map(|chiller| &chiller.chain))
        };
        let heaters_behind = (0..scenario.contacts.len()).map(ContactId).map(|contact| {
            let heaters = scenario.heaters.iter().enumerate();
            let behind: Vec<HeaterId> = heaters
                .filter(|(_, heater)| heater.chain.contains(&contact))
                .map(|(at, _)| HeaterId(at))
                .collect();
            let only_heaters = !cooler_chains().any(|chain| chain.contains(&contact));
            (only_heaters && !behind.is_empty()).then_some(behind)
        });
        let mut each_once: Vec<Effect> = Vec::new();
        for effect in effects {
            if !each_once.contains(&effect) {
                each_once.push(effect);
            }
        }
        Self {
            effects: each_once,
            left_out: Vec::new(),
            heaters_behind: heaters_behind.collect(),
        }
    }

    /// All effects that failures have.
    pub(super) fn effects(&self) -> &[Effect] {
        &self.effects
    }

    /// This effect changes nothing.
    pub(super) fn leave_out(&mut self, effect: Effect) {
        self.left_out.push(effect);
    }

    /// What an effect comes to by itself.
    pub(super) fn of_effect(&self, effect: Effect) -> Vec<Fact> {
        if self.left_out.contains(&effect) {
            return Vec::new();
        }
        match effect {
            Effect::HeaterDead(heater) => vec![Fact::Dead(heater)],
            Effect::ContactStuckOpen(contact) if self.behind(contact).is_some() => {
                let behind = self.behind(contact).into_iter().flatten();
                behind.copied().map(Fact::Dead).collect()
            }
            Effect::ContactWelded(contact) if self.behind(contact).is_some() => {
                vec![Fact::Welded(contact)]
            }
            _ => {
                let position = self.effects.iter().position(|known| *known == effect);
                position.map(Fact::Other).into_iter().collect()
            }
        }
    }

    /// What facts come to together, in order, each once.
    pub(super) fn together(&self, mut facts: Vec<Fact>) -> Vec<Fact> {
        facts.sort_unstable();
        facts.dedup();
        let dead: Vec<Fact> = facts.clone();
        facts.retain(|fact| match fact {
            Fact::Welded(contact) => {
                let mut behind = self.behind(*contact).into_iter().flatten();
                behind.any(|heater| !dead.contains(&Fact::Dead(*heater)))
            }
            _ => true,
        });
        facts
    }

    /// The effect of a fact.
    pub(super) fn effect(&self, fact: Fact) -> Effect {
        match fact {
            Fact::Dead(heater) => Effect::HeaterDead(heater),
            Fact::Welded(contact) => Effect::ContactWelded(contact),
            Fact::Other(position) => self.effects[position],
        }
    }

    fn behind(&self, contact: ContactId) -> Option<&Vec<HeaterId>> {
        self.heaters_behind[contact.0].as_ref()
    }
}

/// An effect as something that happens, from time zero on.
pub(super) fn happening(effect: Effect, name: &str) -> Happening {
    Happening {
        name: name.to_owned(),
        when: When::At(0),
        lasts: Lasts::ToTheEnd,
        effect,
        origin: Origin::Fault,
    }
}
