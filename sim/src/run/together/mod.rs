//! Several water systems in one room and on its circuits: each goes by itself to the next whole minute, where they meet.
//!
//! # Equation
//! Each system is a run of its own. At every whole minute the room is given the sum of what all systems give it, and the circuits and backups
//! of the house see what all systems draw; what trips or runs out takes its list in every system.
//!
//! # Units
//! As in a run of one system.
//!
//! # Source
//! Balances of the room (`room.rs`) and of the circuits (`supply.rs`).
//!
//! # Valid for
//! Rooms and breakers slow against a minute: a current that comes and goes within one is seen at its end.
//!
//! # Left out
//! Nothing else joins two systems: neither probes nor happenings that wait for another system's contact.
//!
//! # Checked by
//! `tests/behaviour/many_tanks.rs`.

mod acts;
mod course;
mod mains;
mod scores;

use super::controller::Controller;
use super::loops::{Loop, is_asked};
use super::timeline::NEVER;
use super::{Enough, RunError, RunRequest};
use crate::plant::Plant;
use crate::room::RoomGain;
use crate::scenario::{ContactKind, Happening, Scenario, WaterSystem};
use crate::scores::Scores;
use crate::strategy::{BindError, Commands, Readings, Strategy, StrategyFailure, StrategyRecipe, Wiring};
use crate::time::{MINUTE, Millis};
use crate::trace::TraceSink;
use acts::{SharedActs, happenings_of};
use course::Course;
use mains::Mains;

/// Runs the systems of a scenario, each under a strategy of its own made by the same recipe.
pub(super) fn run(
    request: &RunRequest<'_>,
    systems: &[WaterSystem],
    happenings: Vec<Happening>,
    mut trace: Option<&mut dyn TraceSink>,
    mut enough: Option<Enough<'_>>,
) -> Result<Scores, RunError> {
    let start_ms = -request.scenario.warm_up_ms;
    let nobody = Nobody {
        interval_ms: request.recipe.interval_ms(),
    };
    let some_obey = systems.iter().any(|system| obeys(&system.scenario));
    let faults = systems
        .iter()
        .map(|system| {
            let own = request.faults.iter().map(|fault| system.members.happening(fault));
            own.filter_map(Result::transpose).collect::<Result<Vec<_>, _>>()
        })
        .collect::<Result<Vec<_>, _>>()?;
    let requests: Vec<RunRequest<'_>> = systems
        .iter()
        .zip(&faults)
        .map(|(system, faults)| RunRequest {
            scenario: &system.scenario,
            recipe: if some_obey && !obeys(&system.scenario) {
                &nobody
            } else {
                request.recipe
            },
            faults,
            ..*request
        })
        .collect();
    let plants = requests
        .iter()
        .map(|request| Plant::compile(request.scenario, request.faults))
        .collect::<Result<Vec<_>, _>>()?;
    let course = Course::new(request.scenario, systems);
    let mut relays: Vec<_> = course.relays().collect();
    let mut loops = Vec::with_capacity(systems.len());
    for (at, ((request, plant), relay)) in requests.iter().zip(&plants).zip(&mut relays).enumerate() {
        let own = happenings_of(systems, at, request.faults);
        let controller = Controller::new(request.recipe, Wiring::of(request.scenario), &own)
            .map_err(|error| naming_tank(error, request.scenario))?;
        let relay = trace.is_some().then_some(relay as &mut dyn TraceSink);
        loops.push(Loop::new(request, plant, own, controller, relay));
    }
    let counts: Vec<usize> = faults.iter().map(Vec::len).collect();
    let acts = SharedActs::new(request.scenario, systems, &counts, happenings.len());
    let mut mains = Mains::new(request.scenario, systems, happenings, start_ms);
    mains.lead(&mut loops);
    for each in &mut loops {
        each.begin()?;
    }
    let mut now_ms = start_ms;
    loop {
        mains.turn(now_ms, &mut loops);
        settle(now_ms, &mut loops, &mut mains, &acts)?;
        mains.draw(now_ms, &loops);
        if let Some(trace) = trace.as_deref_mut() {
            for each in &mut loops {
                each.show_row(now_ms);
            }
            course.show(trace);
        }
        if now_ms >= request.end_ms {
            break;
        }
        if let Some(enough) = enough.as_deref_mut()
            && is_asked(now_ms, request.judged_from_ms)
        {
            let parts = loops.iter().map(|each| each.glance(now_ms)).collect();
            if enough(&scores::glance(request.scenario, systems, parts)) {
                break;
            }
        }
        let minute_ms = (now_ms.div_euclid(MINUTE) + 1) * MINUTE;
        let mut stop_ms = minute_ms.min(request.end_ms).min(mains.next_ms());
        if !acts.is_empty() {
            let due = loops.iter().filter_map(|each| each.people.next_ms());
            stop_ms = stop_ms.min(due.min().unwrap_or(NEVER));
        }
        let stop_ms = stop_ms.max(now_ms + 1);
        for each in &mut loops {
            each.travel(now_ms, stop_ms)?;
        }
        now_ms = stop_ms;
    }
    let parts: Vec<Scores> = loops
        .into_iter()
        .map(|each| each.finish(now_ms))
        .collect::<Result<_, _>>()?;
    Ok(scores::combined(request.scenario, systems, parts, mains.supply()))
}

/// Whether a recipe can control every system in which something obeys; where nothing does, every system.
pub(super) fn binds(systems: &[WaterSystem], recipe: &dyn StrategyRecipe) -> Result<(), BindError> {
    let some_obey = systems.iter().any(|system| obeys(&system.scenario));
    for system in systems
        .iter()
        .filter(|system| !some_obey || obeys(&system.scenario))
    {
        recipe
            .bind(&Wiring::of(&system.scenario))
            .map_err(|error| naming_tank(error, &system.scenario))?;
    }
    Ok(())
}

/// Settles an instant in every system; what people do for one and bears on all befalls the others; then the room, where it answers, is moved
/// by what all of them give it.
fn settle(
    now_ms: Millis,
    loops: &mut [Loop<'_, '_>],
    mains: &mut Mains<'_>,
    acts: &SharedActs,
) -> Result<(), RunError> {
    let mut given: Option<RoomGain> = None;
    for each in loops.iter_mut() {
        if let Some(gain) = each.settle_instant(now_ms)? {
            *given.get_or_insert_default() += gain;
        }
    }
    acts.spread(now_ms, loops, mains)?;
    if let Some(gain) = given {
        // A contact of the room's heating belongs to one of them, the air to all.
        let heating_closed = loops.iter().all(|each| each.chains.room_heating_on());
        let cooling_closed = loops.iter().all(|each| each.chains.room_cooling_on());
        for each in loops {
            each.surroundings.set_chains(heating_closed, cooling_closed);
            each.surroundings.step(now_ms, gain);
        }
    }
    Ok(())
}

/// Whether there is a contact that obeys a strategy.
fn obeys(scenario: &Scenario) -> bool {
    let commanded = |kind| matches!(kind, ContactKind::Relay | ContactKind::SolidState);
    let mut contacts = scenario.contacts.iter();
    contacts.any(|contact| contact.role.is_some() && commanded(contact.kind))
}

/// Says in which system something is missing.
fn naming_tank(error: BindError, scenario: &Scenario) -> BindError {
    match (error, scenario.tanks.first()) {
        (BindError::DoesNotApply { missing }, Some(tank)) => BindError::DoesNotApply {
            missing: format!("{missing} in the water system of {}", tank.name),
        },
        (error, _) => error,
    }
}

/// Controls a system in which nothing obeys.
#[derive(Debug)]
struct Nobody {
    interval_ms: Millis,
}

impl StrategyRecipe for Nobody {
    fn name(&self) -> &'static str {
        "nobody"
    }

    fn settings(&self) -> String {
        "nothing obeys".to_owned()
    }

    fn interval_ms(&self) -> Millis {
        self.interval_ms
    }

    fn bind(&self, _wiring: &Wiring) -> Result<Box<dyn Strategy>, BindError> {
        Ok(Box::new(Silent))
    }
}

struct Silent;

impl Strategy for Silent {
    fn decide(&mut self, _seen: &Readings, _commands: &mut Commands) -> Result<(), StrategyFailure> {
        Ok(())
    }
}
