//! What broken parts come to: a heater behind an open contact is a dead heater, whatever broke in its chain.
//!
//! Sets of broken parts that come to the same facts share their windows.

use tepid_sim::ids::{ContactId, HeaterId};
use tepid_sim::scenario::{Effect, Happening, Lasts, Origin, Scenario, When};

use super::history::ModeId;
use super::parts::Mode;

/// One thing that is so.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Fact {
    /// This heater draws nothing.
    Dead(HeaterId),
    /// This contact of heaters cannot open, and a heater behind it lives.
    Welded(ContactId),
    /// Any other way to be broken.
    Mode(ModeId),
}

/// Knows which modes come to the same.
#[derive(Debug)]
pub(super) struct Facts {
    effects: Vec<Option<Effect>>,
    left_out: Vec<ModeId>,
    /// For each contact the heaters behind it; `None`: something else is, too, or nothing.
    heaters_behind: Vec<Option<Vec<HeaterId>>>,
}

impl Facts {
    pub(super) fn of(scenario: &Scenario, modes: &[Mode]) -> Self {
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
        Self {
            effects: modes.iter().map(|mode| mode.effect).collect(),
            left_out: Vec::new(),
            heaters_behind: heaters_behind.collect(),
        }
    }

    /// This mode changes nothing.
    pub(super) fn leave_out(&mut self, mode: ModeId) {
        self.left_out.push(mode);
    }

    /// What a set of modes comes to, in order, each once. That no alert gets out is no fact of the water.
    pub(super) fn of_modes(&self, modes: impl Iterator<Item = ModeId>) -> Vec<Fact> {
        let mut facts = Vec::new();
        for mode in modes.filter(|mode| !self.left_out.contains(mode)) {
            match self.effects[mode.0] {
                Some(Effect::HeaterDead(heater)) => facts.push(Fact::Dead(heater)),
                Some(Effect::ContactStuckOpen(contact)) if self.behind(contact).is_some() => {
                    facts.extend(
                        self.behind(contact)
                            .into_iter()
                            .flatten()
                            .copied()
                            .map(Fact::Dead),
                    );
                }
                Some(Effect::ContactWelded(contact)) if self.behind(contact).is_some() => {
                    facts.push(Fact::Welded(contact));
                }
                Some(_) => facts.push(Fact::Mode(mode)),
                None => {}
            }
        }
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

    /// A fact as something that happens, from time zero on.
    pub(super) fn happening(&self, fact: Fact) -> Option<Happening> {
        let effect = match fact {
            Fact::Dead(heater) => Effect::HeaterDead(heater),
            Fact::Welded(contact) => Effect::ContactWelded(contact),
            Fact::Mode(mode) => self.effects[mode.0]?,
        };
        Some(Happening {
            name: "broken".to_owned(),
            when: When::At(0),
            lasts: Lasts::ToTheEnd,
            effect,
            origin: Origin::Fault,
        })
    }

    fn behind(&self, contact: ContactId) -> Option<&Vec<HeaterId>> {
        self.heaters_behind[contact.0].as_ref()
    }
}
