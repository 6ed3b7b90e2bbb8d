//! A scenario with so many equal heaters in place of its own, and what one of them that fails does to the water.

use tepid_output::records::{BeyondLines, Livestock, RoomKind, SizeFate};
use tepid_scenarios::usual_body;
use tepid_sim::ids::{ContactId, HeaterId, TankId};
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{
    Contact, ContactKind, Effect, FaultCase, Happening, Heater, HeaterKind, Lasts, Origin, OwnSensing, Reset,
    Role, Scenario, SensedAt, When,
};
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::{HOUR, Millis};
use tepid_strategies::heater_dial;

use super::{RATINGS_W, SizeError};
use crate::exposure::{Healthy, outcome};
use crate::rooms;

/// Half of the deadband of each heater's own thermostat, K. A choice: on-off's default.
pub(super) const HALF_DEADBAND_K: f64 = 0.2;

/// Weather is constant here, and probes there are none: nothing is drawn that the seed could change.
pub(super) const SEED: u64 = 1;

/// Equal heaters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Heaters {
    pub count: u32,
    pub each_w: f64,
}

impl Heaters {
    /// Some heater, for what does not hang on how many there are and how strong.
    pub const SOME: Self = Self {
        count: 1,
        each_w: RATINGS_W[0],
    };
}

/// How one of them fails, and so in which room it is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Failing {
    /// On for good, in the warmest room.
    StuckOn,
    /// Without power, in the coldest room.
    Dead,
}

impl Failing {
    pub(super) fn room(self) -> RoomKind {
        match self {
            Self::StuckOn => RoomKind::Warmest,
            Self::Dead => RoomKind::Coldest,
        }
    }

    /// The contact that welds is the thermostat of the first heater: the last contacts are the thermostats.
    pub(super) fn happening(self, scenario: &Scenario) -> Happening {
        let (name, effect) = match self {
            Self::StuckOn => {
                let first = scenario.contacts.len().saturating_sub(scenario.heaters.len());
                ("one heater stuck on", Effect::ContactWelded(ContactId(first)))
            }
            Self::Dead => ("one heater dead", Effect::HeaterDead(HeaterId(0))),
        };
        Happening {
            name: name.to_owned(),
            when: When::WorstPhase,
            lasts: Lasts::ToTheEnd,
            effect,
            origin: Origin::Fault,
        }
    }
}

/// Where heaters hang: the tank with most of the scenario's heating power, or the one with most water if it has no heater.
pub(super) fn heated_tank(scenario: &Scenario) -> TankId {
    let heating_w = |tank: usize| -> f64 {
        let here = scenario.heaters.iter().filter(|heater| heater.tank.0 == tank);
        here.map(|heater| heater.power_w).sum()
    };
    let key = |tank: usize| (heating_w(tank), scenario.tanks[tank].water_volume_m3());
    let by_key = |a: &usize, b: &usize| {
        let ((a_w, a_m3), (b_w, b_m3)) = (key(*a), key(*b));
        a_w.total_cmp(&b_w).then(a_m3.total_cmp(&b_m3))
    };
    TankId((0..scenario.tanks.len()).max_by(by_key).unwrap_or(0))
}

/// The tank whose water the heaters' thermostats sense: the first with livestock.
pub(super) fn sensed_tank(scenario: &Scenario) -> TankId {
    let stocked = scenario.tanks.iter().position(|tank| tank.livestock);
    stocked.map_or_else(|| heated_tank(scenario), TankId)
}

/// The scenario with these heaters, each behind a thermostat of its own, and with nothing in it that happens or helps.
pub(super) fn equipped(scenario: &Scenario, heaters: Heaters) -> Scenario {
    let (tank, sensed) = (heated_tank(scenario), sensed_tank(scenario));
    let target_c = scenario.water.target_c;
    let mut equipped = scenario.clone();
    equipped.heaters.clear();
    equipped.happenings.clear();
    equipped.fault_sets.clear();
    equipped.circuits.clear();
    equipped.backups.clear();
    equipped.watches.clear();
    equipped.persons.clear();
    equipped.probes.clear();
    equipped.lives.clear();
    for contact in &mut equipped.contacts {
        contact.role = None;
    }
    let plug = ContactId(equipped.contacts.len());
    let contact = |name: String| Contact {
        name,
        kind: ContactKind::Relay,
        in_box: None,
        role: None,
        life_closings: None,
        own_sensing: None,
    };
    equipped.contacts.push(Contact {
        role: Some(Role::Heat),
        ..contact("plug of the heaters to buy".to_owned())
    });
    for number in 1..=heaters.count {
        let thermostat = ContactId(equipped.contacts.len());
        equipped.contacts.push(Contact {
            kind: ContactKind::Thermostat,
            own_sensing: Some(OwnSensing {
                opens_above_c: target_c + HALF_DEADBAND_K,
                closes_below_c: target_c - HALF_DEADBAND_K,
                sensed_at: SensedAt::Bulb {
                    tank: sensed,
                    lag_ms: 0,
                },
                reset: Reset::Automatic,
                dial_error_k: 0.0,
            }),
            ..contact(format!("thermostat of heater {number} to buy"))
        });
        equipped.heaters.push(Heater {
            name: format!("heater {number} to buy"),
            power_w: heaters.each_w,
            tank,
            chain: vec![plug, thermostat],
            body: usual_body(heaters.each_w),
            kind: HeaterKind::Immersed,
            exposed_below_m: 0.0,
        });
    }
    equipped
}

/// What one of these heaters that fails at the worst instant does to the water, on the side on which the failure harms it.
pub(super) fn fate(
    scenario: &Scenario,
    heaters: Heaters,
    failing: Failing,
    response_h: f64,
) -> Result<SizeFate, SizeError> {
    followed(scenario, heaters, failing, response_h, true)
}

/// What the water in the warmest room does at the same time with nothing broken.
pub(super) fn unbroken(scenario: &Scenario, response_h: f64) -> Result<SizeFate, SizeError> {
    followed(scenario, Heaters::SOME, Failing::StuckOn, response_h, false)
}

fn followed(
    scenario: &Scenario,
    heaters: Heaters,
    failing: Failing,
    response_h: f64,
    broken: bool,
) -> Result<SizeFate, SizeError> {
    let placed = rooms::in_room(&equipped(scenario, heaters), failing.room());
    let recipe = (heater_dial::ENTRY.build)(&heater_dial::ENTRY.defaults())?;
    let recipe: &dyn StrategyRecipe = recipe.as_ref();
    let request = RunRequest::new(&placed, recipe, SEED);
    let scores = run(&request, None)?;
    let healthy = Healthy::new(&request, failing.room(), &scores);
    let happening = failing.happening(&placed);
    let told = outcome(&healthy, "one heater fails", &FaultCase::from(happening.clone()));
    if let Some(reason) = told.failure {
        return Err(SizeError::Failed(reason));
    }
    let at_h = |at_h: f64| (at_h * HOUR as f64).round() as Millis;
    let began_ms = told.began_h.map_or(0, at_h);
    let faults = if broken {
        vec![Happening {
            when: When::At(began_ms),
            ..happening
        }]
    } else {
        Vec::new()
    };
    let until_help = run(
        &healthy.request(&faults, began_ms, began_ms + at_h(response_h)),
        None,
    )?;
    let until_help = until_help
        .tanks
        .iter()
        .find(|tank| told.tank.as_ref() == Some(&tank.tank));
    Ok(match (failing, broken) {
        (Failing::StuckOn, true) => SizeFate {
            dose_used_up_h: told.hot_used_up_h,
            extreme_c: told.peak_c,
            until_help_c: until_help.map(|tank| tank.highest_c),
        },
        (Failing::StuckOn, false) => SizeFate {
            dose_used_up_h: told.hot_used_up_without_fault_h,
            extreme_c: told.peak_without_fault_c,
            until_help_c: until_help.map(|tank| tank.highest_c),
        },
        (Failing::Dead, true) => SizeFate {
            dose_used_up_h: told.cold_used_up_h,
            extreme_c: told.lowest_c,
            until_help_c: until_help.map(|tank| tank.lowest_c),
        },
        (Failing::Dead, false) => SizeFate {
            dose_used_up_h: told.cold_used_up_without_fault_h,
            extreme_c: told.lowest_without_fault_c,
            until_help_c: until_help.map(|tank| tank.lowest_c),
        },
    })
}

/// Where the danger lines do not reach as far as the water goes until help is there; `None`: they do, or the dose says it.
pub(super) fn beyond_lines(
    scenario: &Scenario,
    failing: Failing,
    fate: &SizeFate,
    response_h: f64,
) -> Option<BeyondLines> {
    let livestock = Livestock::from(&scenario.livestock);
    let (hot, lines) = match failing {
        Failing::StuckOn => (true, &livestock.danger_hot),
        Failing::Dead => (false, &livestock.danger_cold),
    };
    let used_up = fate.dose_used_up_h.is_some_and(|after_h| after_h <= response_h);
    BeyondLines::of(hot, lines, fate.until_help_c?, used_up)
}
