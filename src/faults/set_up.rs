//! A scenario, as it stands or changed, in all rooms with nothing broken.

use tepid_output::records::RoomKind;
use tepid_sim::run::{RunError, RunRequest, run};
use tepid_sim::scenario::Scenario;
use tepid_sim::scores::{Scores, TankScores};
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::hours;

use crate::exposure::{HORIZON_MS, Healthy};
use crate::rooms;

/// Share of the time inside the band that a change may cost, 0..=1: what nobody would see on a thermometer.
const BAND_LOST_FRAC: f64 = 0.01;

/// A scenario and its unbroken runs.
pub(super) struct SetUp {
    pub(super) scenario: Scenario,
    rooms: Vec<Placed>,
}

struct Placed {
    room: RoomKind,
    scenario: Scenario,
    scores: Scores,
}

impl SetUp {
    pub(super) fn new(scenario: Scenario, recipe: &dyn StrategyRecipe, seed: u64) -> Result<Self, RunError> {
        let placed = |room: RoomKind| {
            let scenario = rooms::in_room(&scenario, room);
            let mut request = RunRequest::new(&scenario, recipe, seed);
            if room != RoomKind::Scenario {
                // A constant room is looked at for as long as a fault in it.
                request.end_ms = request.end_ms.max(HORIZON_MS);
            }
            let scores = run(&request, None)?;
            Ok(Placed {
                room,
                scenario,
                scores,
            })
        };
        let rooms = rooms::ROOMS
            .into_iter()
            .map(placed)
            .collect::<Result<_, RunError>>()?;
        Ok(Self { scenario, rooms })
    }

    /// The unbroken runs beside which faults are judged.
    pub(super) fn healthy<'a>(&'a self, recipe: &'a dyn StrategyRecipe, seed: u64) -> Vec<Healthy<'a>> {
        let healthy = |placed: &'a Placed| {
            let request = RunRequest::new(&placed.scenario, recipe, seed);
            Healthy::new(&request, placed.room, &placed.scores)
        };
        self.rooms.iter().map(healthy).collect()
    }

    /// Scores in the scenario's own room.
    pub(super) fn own(&self) -> Option<&Scores> {
        self.rooms.first().map(|placed| &placed.scores)
    }

    /// The scenario constant at the year's coldest.
    pub(super) fn coldest(&self) -> Option<&Scenario> {
        let coldest = self.rooms.iter().find(|placed| placed.room == RoomKind::Coldest);
        coldest.map(|placed| &placed.scenario)
    }

    /// Share of the time inside the band in the scenario's own room, of the tank that is outside longest.
    pub(super) fn inside_band_frac(&self) -> Option<f64> {
        let scores = self.own()?;
        let outside_h = |tank: &TankScores| tank.above_band_h + tank.below_band_h;
        let longest_h = scores.tanks.iter().map(outside_h).reduce(f64::max)?;
        Some(1.0 - longest_h / hours(scores.scored_ms))
    }

    /// Why it keeps the unbroken tank worse than another, if it does.
    pub(super) fn keeps_worse_than(&self, other: &Self) -> Option<String> {
        let past = |placed: &Placed| {
            let tanks = &placed.scores.tanks;
            tanks
                .iter()
                .any(|tank| tank.hot.used_up_ms.is_some() || tank.cold.used_up_ms.is_some())
        };
        let mut both = self.rooms.iter().zip(&other.rooms);
        if let Some((lost, _)) = both.find(|(this, other)| past(this) && !past(other)) {
            let room = match lost.room {
                RoomKind::Scenario => "the scenario's own room",
                RoomKind::Coldest => "the room constant at the year's coldest",
                RoomKind::Warmest => "the room constant at the year's warmest",
            };
            return Some(format!("past the dose with nothing broken in {room}"));
        }
        let (inside, before) = (self.inside_band_frac()?, other.inside_band_frac()?);
        (inside < before - BAND_LOST_FRAC).then(|| {
            format!(
                "with nothing broken inside the band {:.0} % of the time instead of {:.0} %",
                100.0 * inside,
                100.0 * before
            )
        })
    }
}
