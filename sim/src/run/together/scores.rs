//! The scores of several water systems as one, in the order of the whole scenario.

use crate::run::Glance;
use crate::run::supply::Supply;
use crate::scenario::{Scenario, WaterSystem};
use crate::scores::{Heard, HeatBalance, SalinityScores, Scores, TankScores, worst_tank};
use crate::time::Millis;

/// The looks at systems as one.
pub(super) fn glance(scenario: &Scenario, systems: &[WaterSystem], parts: Vec<Glance>) -> Glance {
    let (mut at_ms, mut acted, mut tanks) = (0, false, Vec::new());
    for (system, part) in systems.iter().zip(parts) {
        at_ms = part.at_ms;
        acted |= part.acted;
        tanks.extend(stocked(scenario, system).zip(part.tanks));
    }
    Glance {
        at_ms,
        tanks: ordered(tanks),
        acted,
    }
}

/// The stocked tanks of a system, by their positions in the scenario.
fn stocked<'a>(scenario: &'a Scenario, system: &'a WaterSystem) -> impl Iterator<Item = usize> + 'a {
    let tanks = system.members.tanks.iter().map(|id| id.0);
    tanks.filter(|tank| scenario.tanks[*tank].livestock)
}

/// Puts each system's scores where they belong, and adds up what is of all.
pub(super) fn combined(
    scenario: &Scenario,
    systems: &[WaterSystem],
    parts: Vec<Scores>,
    supply: &Supply,
) -> Scores {
    let mut tanks = Vec::new();
    let mut contacts = Vec::new();
    let mut heaters = Vec::new();
    let mut fans = Vec::new();
    let mut chillers = Vec::new();
    let mut rooms = Vec::new();
    let mut salinity = SalinityScores {
        lowest_g_per_kg: f64::INFINITY,
        lowest_tank: String::new(),
        highest_g_per_kg: f64::NEG_INFINITY,
        highest_tank: String::new(),
        outside_from_ms: None,
        outside_range_h: 0.0,
        wanted_g_per_kg: scenario.water.salinity_range_g_per_kg,
    };
    let mut levels = Vec::new();
    let mut balances = Vec::new();
    let (mut energy_kwh, mut evaporated_kg, mut alerts) = (0.0, 0.0, 0);
    let mut cost_by_hours = 0.0;
    let mut first_alert_ms: Option<Millis> = None;
    let mut nuisance_alerts = 0;
    let mut heard: Option<Heard> = None;
    let mut acted_ms: Option<Millis> = None;
    let mut scored_ms = 0;
    let mut heating_against_cooling_ms = 0;
    for (system, part) in systems.iter().zip(parts) {
        let of = &system.members;
        tanks.extend(stocked(scenario, system).zip(part.tanks));
        contacts.extend(of.contacts.iter().map(|id| id.0).zip(part.contacts));
        heaters.extend(of.heaters.iter().map(|id| id.0).zip(part.heaters));
        fans.extend(of.fans.iter().map(|id| id.0).zip(part.fan_energy_kwh));
        chillers.extend(of.chillers.iter().map(|id| id.0).zip(part.chillers));
        levels.extend(of.tanks.iter().map(|id| id.0).zip(part.levels));
        rooms.push(part.room);
        if part.salinity.lowest_g_per_kg < salinity.lowest_g_per_kg {
            salinity.lowest_g_per_kg = part.salinity.lowest_g_per_kg;
            salinity.lowest_tank = part.salinity.lowest_tank;
        }
        if part.salinity.highest_g_per_kg > salinity.highest_g_per_kg {
            salinity.highest_g_per_kg = part.salinity.highest_g_per_kg;
            salinity.highest_tank = part.salinity.highest_tank;
        }
        salinity.outside_from_ms = earlier(salinity.outside_from_ms, part.salinity.outside_from_ms);
        salinity.outside_range_h = salinity.outside_range_h.max(part.salinity.outside_range_h);
        heating_against_cooling_ms = heating_against_cooling_ms.max(part.heating_against_cooling_ms);
        energy_kwh += part.energy_kwh;
        cost_by_hours += part.cost.unwrap_or(0.0);
        evaporated_kg += part.evaporated_kg;
        alerts += part.alerts;
        first_alert_ms = earlier(first_alert_ms, part.first_alert_ms);
        nuisance_alerts += part.nuisance_alerts;
        heard = heard
            .into_iter()
            .chain(part.heard)
            .min_by_key(|heard| heard.at_ms);
        acted_ms = earlier(acted_ms, part.acted_ms);
        scored_ms = part.scored_ms;
        balances.push(part.heat_balance);
    }
    let tanks: Vec<TankScores> = ordered(tanks);
    let used_up_ms = tanks.iter().filter_map(TankScores::used_up_ms).min();
    Scores {
        scored_ms,
        worst_tank: worst_tank(&tanks),
        contacts: ordered(contacts),
        heaters: ordered(heaters),
        fan_energy_kwh: ordered(fans),
        chillers: ordered(chillers),
        heating_against_cooling_ms,
        salinity,
        circuits: supply.circuit_scores(scenario),
        backups: supply.backup_scores(scenario),
        levels: ordered(levels),
        // The air is the same for all.
        room: rooms.swap_remove(0),
        energy_kwh,
        cost: scenario.tariff.as_ref().map(|tariff| {
            tariff
                .one_price_per_kwh()
                .map_or(cost_by_hours, |price| price * energy_kwh)
        }),
        evaporated_kg,
        alerts,
        first_alert_ms,
        nuisance_alerts,
        warning_lead_ms: used_up_ms
            .zip(heard.as_ref())
            .map(|(used_up_ms, heard)| used_up_ms - heard.at_ms),
        heard,
        acted_ms,
        heat_balance: in_all(balances),
        tanks,
    }
}

fn earlier(a: Option<Millis>, b: Option<Millis>) -> Option<Millis> {
    a.into_iter().chain(b).min()
}

/// In the order of the whole; what several systems share counts once.
fn ordered<T>(mut list: Vec<(usize, T)>) -> Vec<T> {
    list.sort_by_key(|(at, _)| *at);
    list.dedup_by_key(|(at, _)| *at);
    list.into_iter().map(|(_, scores)| scores).collect()
}

fn in_all(balances: Vec<HeatBalance>) -> HeatBalance {
    let stored_j: f64 = balances.iter().map(|balance| balance.stored_j).sum();
    let turned_over_j: f64 = balances.iter().map(|balance| balance.turned_over_j).sum();
    let paths: Vec<_> = balances.into_iter().flat_map(|balance| balance.paths).collect();
    let sum_j: f64 = paths.iter().map(|path| path.heat_j).sum();
    HeatBalance {
        stored_j,
        turned_over_j,
        error_frac: (sum_j - stored_j).abs() / turned_over_j.max(1.0),
        paths,
    }
}
