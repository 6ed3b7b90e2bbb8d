//! What somebody does for one water system and bears on all: cooling the room, starting a generator.

use super::mains::Mains;
use crate::run::RunError;
use crate::run::loops::Loop;
use crate::scenario::{Effect, Happening, Scenario, WaterSystem};
use crate::time::Millis;

/// An act that bears on all systems, by where it stands among the happenings of each.
struct Shared {
    /// Whose watch it is, and where its happening stands there.
    owner: usize,
    at_owner: usize,
    /// Where it stands among those of the whole.
    of_whole: usize,
    /// By system; the owner has it among its own acts.
    elsewhere: Vec<Option<usize>>,
}

/// All acts that bear on all systems.
pub(super) struct SharedActs {
    list: Vec<Shared>,
}

/// The happenings of one system: its own, its faults, acts of others that bear on it, and last its own acts.
pub(super) fn happenings_of(systems: &[WaterSystem], at: usize, faults: &[Happening]) -> Vec<Happening> {
    let own = &systems[at].scenario;
    let of_others = systems.iter().enumerate().filter(|(other, _)| *other != at);
    let of_others = of_others.flat_map(|(_, system)| system.scenario.acts());
    let of_others = of_others.filter(|act| bears_on_all(act.effect));
    let before = own.happenings.iter().chain(faults).chain(of_others);
    before.chain(own.acts()).cloned().collect()
}

impl SharedActs {
    /// Where they stand; `faults` counts each system's faults, `whole` are all happenings of the whole, its acts last.
    pub(super) fn new(scenario: &Scenario, systems: &[WaterSystem], faults: &[usize], whole: usize) -> Self {
        let first_of_whole = whole - scenario.acts().count();
        let first_foreign = |at: usize| systems[at].scenario.happenings.len() + faults[at];
        let shared_of = |at: usize| {
            let acts = systems[at].scenario.acts();
            acts.filter(|act| bears_on_all(act.effect)).count()
        };
        let foreign: Vec<usize> = (0..systems.len())
            .map(|at| {
                (0..systems.len())
                    .filter(|other| *other != at)
                    .map(shared_of)
                    .sum()
            })
            .collect();
        let mut next_foreign: Vec<usize> = (0..systems.len()).map(first_foreign).collect();
        let mut list = Vec::new();
        for (owner, system) in systems.iter().enumerate() {
            for (nth, act) in system.scenario.acts().enumerate() {
                if !bears_on_all(act.effect) {
                    continue;
                }
                let elsewhere = (0..systems.len()).map(|at| {
                    (at != owner).then(|| {
                        next_foreign[at] += 1;
                        next_foreign[at] - 1
                    })
                });
                let same = |one: &&Happening| one.name == act.name && one.effect == act.effect;
                let position = scenario.acts().position(|one| same(&one)).unwrap_or(0);
                list.push(Shared {
                    owner,
                    at_owner: first_foreign(owner) + foreign[owner] + nth,
                    of_whole: first_of_whole + position,
                    elsewhere: elsewhere.collect(),
                });
            }
        }
        Self { list }
    }

    /// Whether there are any.
    pub(super) fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// Lets what somebody did at this instant befall everybody else.
    pub(super) fn spread(
        &self,
        now_ms: Millis,
        loops: &mut [Loop<'_, '_>],
        mains: &mut Mains<'_>,
    ) -> Result<(), RunError> {
        for act in &self.list {
            let done = loops[act.owner].timeline.is_active(act.at_owner);
            if !done || mains.is_under_way(act.of_whole) {
                continue;
            }
            mains.start(act.of_whole, now_ms);
            for (each, at) in loops.iter_mut().zip(&act.elsewhere) {
                if let Some(at) = at {
                    each.timeline.start_now(*at, now_ms);
                    each.turn_happenings(now_ms)?;
                }
            }
        }
        mains.turn(now_ms, loops);
        Ok(())
    }
}

/// Whether an effect is on the room or on the house.
fn bears_on_all(effect: Effect) -> bool {
    matches!(
        effect,
        Effect::RoomCooled { .. }
            | Effect::RoomShift { .. }
            | Effect::RoomDeviceOff(_)
            | Effect::RoomDeviceStuckOn(_)
            | Effect::PowerOut
            | Effect::MainsVoltage { .. }
            | Effect::CircuitTripped(_)
            | Effect::BackupDead(_)
            | Effect::BackupStarted(_)
            | Effect::NetworkDown
            | Effect::AlertsMuted
    )
}
