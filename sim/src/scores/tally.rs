//! All scores of a run while it goes on.

use super::contact::ContactTally;
use super::temperature::TankTally;
use super::trials::trial_instants;
use super::{
    BackupScores, ChillerScores, CircuitScores, Heard, HeatBalance, HeaterScores, J_PER_KWH, LevelScores,
    OxygenScores, RoomScores, SalinityScores, Scores, TankScores,
};
use crate::network::{NodeId, Passage};
use crate::run::Glance;
use crate::scenario::{DangerLine, Scenario};
use crate::time::Millis;

/// Keeps every score of one run.
#[derive(Debug, Clone)]
pub(crate) struct ScoreTally {
    tanks: Vec<TankTally>,
    /// For each entry of `tanks`, its position in the scenario.
    tank_indices: Vec<usize>,
    contacts: Vec<ContactTally>,
    hottest_body_c: Vec<f64>,
    judged_from_ms: Millis,
    alerts: u32,
    first_alert_ms: Option<Millis>,
    nuisance_alerts: u32,
    /// Coldest and warmest a stocked tank may be before an alert is called for, °C.
    harmless_c: (f64, f64),
    heard: Option<Heard>,
    acted_ms: Option<Millis>,
}

/// What the run measured beside temperatures, for the end.
#[derive(Debug, Clone)]
pub(crate) struct Meters {
    /// Scored time on, ms, and energy, J, of each heater.
    pub(crate) heaters: Vec<(Millis, f64)>,
    /// Scored time of each heater out of the water, ms.
    pub(crate) heaters_in_air_ms: Vec<Millis>,
    /// Likewise of each fan.
    pub(crate) fans: Vec<(Millis, f64)>,
    /// Scored time in which heaters and cooling worked against each other, ms.
    pub(crate) heating_against_cooling_ms: Millis,
    /// Scored time on, ms, and energy, J, of each pump.
    pub(crate) pumps: Vec<(Millis, f64)>,
    /// Likewise of each light.
    pub(crate) lights: Vec<(Millis, f64)>,
    /// Likewise of each chiller, with its starts and shortest rest, ms.
    pub(crate) chillers: Vec<((Millis, f64), u64, Option<Millis>)>,
    /// Likewise of each air pump.
    pub(crate) air_pumps: Vec<(Millis, f64)>,
    /// By the tanks' positions in the scenario; empty where no stock is stated.
    pub(crate) oxygen: Vec<OxygenScores>,
    /// Evaporated water, kg.
    pub(crate) evaporated_kg: f64,
    pub(crate) salinity: SalinityScores,
    pub(crate) levels: Vec<LevelScores>,
    pub(crate) room: RoomScores,
    pub(crate) circuits: Vec<CircuitScores>,
    pub(crate) backups: Vec<BackupScores>,
    /// Cost where the price hangs on the hour, in the scenario's currency.
    pub(crate) cost_by_hours: Option<f64>,
}

impl ScoreTally {
    /// Tanks and alerts are judged from `judged_from_ms` on, everything else from time zero.
    pub(crate) fn new(scenario: &Scenario, judged_from_ms: Millis) -> Self {
        let trials_ms = trial_instants(scenario);
        let with_stock = scenario
            .tanks
            .iter()
            .enumerate()
            .filter(|(_, tank)| tank.livestock);
        let tank_indices: Vec<usize> = with_stock.map(|(index, _)| index).collect();
        Self {
            tanks: tank_indices
                .iter()
                .map(|index| {
                    let tank = &scenario.tanks[*index];
                    let water_m3 = tank.water_volume_m3();
                    TankTally::new(&tank.name, water_m3, &scenario.water, &scenario.livestock)
                })
                .collect(),
            tank_indices,
            contacts: scenario
                .contacts
                .iter()
                .map(|contact| {
                    ContactTally::new(
                        &contact.name,
                        contact.kind.parts(),
                        contact.life_closings,
                        &trials_ms,
                    )
                })
                .collect(),
            hottest_body_c: vec![f64::NEG_INFINITY; scenario.heaters.len()],
            judged_from_ms,
            alerts: 0,
            first_alert_ms: None,
            nuisance_alerts: 0,
            harmless_c: harmless_c(scenario),
            heard: None,
            acted_ms: None,
        }
    }

    /// Judges from this instant on, ms, not yet reached.
    pub(crate) fn judge_from(&mut self, judged_from_ms: Millis) {
        self.judged_from_ms = judged_from_ms;
    }

    /// This passed, with each tank's water and each heater's body at these nodes.
    #[inline]
    pub(crate) fn observe(
        &mut self,
        passage: &Passage<'_>,
        reference_c: f64,
        water: &[NodeId],
        bodies: &[NodeId],
    ) {
        if passage.from_ms < self.judged_from_ms {
            return;
        }
        for (tally, tank) in self.tanks.iter_mut().zip(&self.tank_indices) {
            let node = water[*tank].0;
            let from_c = reference_c + passage.from[node];
            let to_c = reference_c + passage.to[node];
            if tally.is_calm(from_c, to_c, passage.off_line_k[node]) {
                tally.observe(passage.from_ms, from_c, passage.to_ms, to_c);
            } else {
                passage.walk(|from_ms, from, to_ms, to| {
                    tally.observe(from_ms, reference_c + from[node], to_ms, reference_c + to[node]);
                });
            }
        }
        for (hottest_c, body) in self.hottest_body_c.iter_mut().zip(bodies) {
            let body_c = reference_c + passage.to[body.0];
            if body_c > *hottest_c {
                *hottest_c = body_c;
            }
        }
    }

    pub(crate) fn contact(&mut self, contact: usize, at_ms: Millis, closed: bool) {
        self.contacts[contact].set(at_ms, closed);
    }

    /// A happening, by its position, begins now; `temp_c` gives a tank's temperature.
    pub(crate) fn began(&mut self, happening: usize, temp_c: impl Fn(usize) -> f64) {
        for (tally, tank) in self.tanks.iter_mut().zip(&self.tank_indices) {
            tally.began(happening, temp_c(*tank));
        }
    }

    /// A happening ended now; `temp_c` gives a tank's temperature.
    pub(crate) fn ended(
        &mut self,
        at_ms: Millis,
        happening: usize,
        name: &str,
        temp_c: impl Fn(usize) -> f64,
    ) {
        if at_ms >= self.judged_from_ms {
            for (tally, tank) in self.tanks.iter_mut().zip(&self.tank_indices) {
                tally.ended(at_ms, happening, name, temp_c(*tank));
            }
        }
    }

    /// An alert got out; `broken`: a fault is under way; `temp_c` gives a tank's temperature.
    pub(crate) fn alert(&mut self, at_ms: Millis, broken: bool, temp_c: impl Fn(usize) -> f64) {
        if at_ms >= self.judged_from_ms {
            self.alerts += 1;
            self.first_alert_ms.get_or_insert(at_ms);
            let (low_c, high_c) = self.harmless_c;
            let mut tanks = self.tank_indices.iter();
            if !broken && tanks.all(|tank| (low_c..=high_c).contains(&temp_c(*tank))) {
                self.nuisance_alerts += 1;
            }
        }
    }

    /// Somebody heard of an alert.
    pub(crate) fn heard(&mut self, at_ms: Millis, by: &str) {
        if at_ms >= self.judged_from_ms && self.heard.is_none() {
            self.heard = Some(Heard {
                at_ms,
                by: by.to_owned(),
            });
        }
    }

    /// A look at the stocked tanks; `water_c` gives a tank's temperature.
    pub(crate) fn glance(&self, at_ms: Millis, water_c: impl Fn(usize) -> f64) -> Glance {
        let tanks = self.tanks.iter().zip(&self.tank_indices);
        Glance {
            at_ms,
            tanks: tanks.map(|(tally, tank)| tally.glance(water_c(*tank))).collect(),
            acted: self.acted_ms.is_some(),
        }
    }

    pub(crate) fn act(&mut self, at_ms: Millis) {
        self.acted_ms.get_or_insert(at_ms);
    }

    pub(crate) fn finish(
        &self,
        scenario: &Scenario,
        end_ms: Millis,
        meters: &Meters,
        heat_balance: HeatBalance,
    ) -> Scores {
        let tanks: Vec<_> = self
            .tanks
            .iter()
            .zip(&self.tank_indices)
            .map(|(tank, index)| tank.finish(end_ms, meters.oxygen.get(*index).cloned()))
            .collect();
        let share = |on_ms: Millis| on_ms as f64 / end_ms.max(1) as f64;
        let heaters: Vec<HeaterScores> = scenario
            .heaters
            .iter()
            .enumerate()
            .map(|(index, heater)| HeaterScores {
                heater: heater.name.clone(),
                energy_kwh: meters.heaters[index].1 / J_PER_KWH,
                on_frac: share(meters.heaters[index].0),
                hottest_body_c: self.hottest_body_c[index],
                in_air_ms: meters.heaters_in_air_ms[index],
            })
            .collect();
        let chillers: Vec<ChillerScores> = scenario
            .chillers
            .iter()
            .zip(&meters.chillers)
            .map(
                |(chiller, ((on_ms, energy_j), starts, shortest_off_ms))| ChillerScores {
                    chiller: chiller.name.clone(),
                    energy_kwh: energy_j / J_PER_KWH,
                    on_frac: share(*on_ms),
                    starts: *starts,
                    shortest_off_ms: *shortest_off_ms,
                },
            )
            .collect();
        let lists = [
            &meters.heaters,
            &meters.fans,
            &meters.pumps,
            &meters.lights,
            &meters.air_pumps,
        ];
        let total_j = lists
            .iter()
            .flat_map(|list| list.iter())
            .map(|(_, energy_j)| energy_j)
            .sum::<f64>()
            + meters
                .chillers
                .iter()
                .map(|((_, energy_j), _, _)| energy_j)
                .sum::<f64>();
        let total_kwh = total_j / J_PER_KWH;
        let used_up_ms = self.tanks.iter().filter_map(TankTally::used_up_ms).min();
        Scores {
            scored_ms: end_ms,
            worst_tank: worst_tank(&tanks),
            contacts: self
                .contacts
                .iter()
                .map(|contact| contact.finish(end_ms))
                .collect(),
            heaters,
            fan_energy_kwh: meters
                .fans
                .iter()
                .map(|(_, energy_j)| energy_j / J_PER_KWH)
                .collect(),
            chillers,
            heating_against_cooling_ms: meters.heating_against_cooling_ms,
            salinity: meters.salinity.clone(),
            levels: meters.levels.clone(),
            room: meters.room.clone(),
            circuits: meters.circuits.clone(),
            backups: meters.backups.clone(),
            energy_kwh: total_kwh,
            cost: meters.cost_by_hours.or_else(|| {
                let tariff = scenario.tariff.as_ref()?;
                Some(tariff.one_price_per_kwh()? * total_kwh)
            }),
            evaporated_kg: meters.evaporated_kg,
            alerts: self.alerts,
            first_alert_ms: self.first_alert_ms,
            nuisance_alerts: self.nuisance_alerts,
            heard: self.heard.clone(),
            acted_ms: self.acted_ms,
            warning_lead_ms: used_up_ms
                .zip(self.heard.as_ref())
                .map(|(used_up_ms, heard)| used_up_ms - heard.at_ms),
            heat_balance,
            tanks,
        }
    }
}

/// The temperatures between the mildest lines of danger, °C; where there is none on a side, the band's end.
fn harmless_c(scenario: &Scenario) -> (f64, f64) {
    let (livestock, band_c) = (&scenario.livestock, scenario.water.band_c);
    let mildest = |lines: &[DangerLine], end_c: f64| lines.first().map_or(end_c, |line| line.temp_c);
    (
        mildest(&livestock.danger_cold, band_c.0),
        mildest(&livestock.danger_hot, band_c.1),
    )
}

/// Position of the worst of tanks: the largest dose, then the largest overshoot or undershoot.
pub(crate) fn worst_tank(tanks: &[TankScores]) -> usize {
    let key = |tank: &TankScores| {
        (
            tank.hot.used.max(tank.cold.used),
            tank.overshoot_k.max(tank.undershoot_k),
        )
    };
    let mut worst = 0;
    for (index, tank) in tanks.iter().enumerate() {
        if key(tank) > key(&tanks[worst]) {
            worst = index;
        }
    }
    worst
}
