//! One water system of a scenario as a scenario of its own.

use super::members::{BetweenSystems, Members};
use crate::ids::{ContactId, TankId};
use crate::scenario::{
    AirPump, Backup, Chiller, Circuit, Contact, Fan, Flow, Heater, HeaterBody, HeaterKind, Light, Load,
    OwnSensing, Oxygen, Probe, Pump, Scenario, SensedAt, Sun, TopOff,
};

/// Water of all tanks with livestock, m³.
pub(super) fn stocked_m3(scenario: &Scenario) -> f64 {
    let stocked = scenario.tanks.iter().filter(|tank| tank.livestock);
    stocked.map(crate::scenario::Tank::water_volume_m3).sum()
}

/// The system of these members. What refers to something outside it is left out: it belongs to another.
pub(super) fn part(whole: &Scenario, members: &Members, stocked_m3: f64) -> Result<Scenario, BetweenSystems> {
    let happenings = whole.happenings.iter();
    let happenings = happenings.filter_map(|happening| members.happening(happening).transpose());
    let watches = whole.watches.iter();
    let watches = watches.filter_map(|watch| members.watch(watch).transpose());
    let mut scenario = Scenario {
        tanks: members.tanks.iter().map(|id| whole.tanks[id.0].clone()).collect(),
        flows: whole
            .flows
            .iter()
            .filter_map(|flow| own_flow(members, flow))
            .collect(),
        pumps: picked(
            &whole.pumps,
            members.pumps.iter().map(|id| id.0),
            |pump: &Pump| {
                Some(Pump {
                    tank: members.tank(pump.tank)?,
                    ..pump.clone()
                })
            },
        ),
        heaters: picked(&whole.heaters, members.heaters.iter().map(|id| id.0), |heater| {
            own_heater(members, heater)
        }),
        fans: picked(&whole.fans, members.fans.iter().map(|id| id.0), |fan: &Fan| {
            Some(Fan {
                tank: members.tank(fan.tank)?,
                chain: own_chain(members, &fan.chain),
                ..fan.clone()
            })
        }),
        lights: picked(
            &whole.lights,
            members.lights.iter().map(|id| id.0),
            |light: &Light| {
                Some(Light {
                    tank: members.tank(light.tank)?,
                    ..light.clone()
                })
            },
        ),
        chillers: picked(
            &whole.chillers,
            members.chillers.iter().map(|id| id.0),
            |chiller: &Chiller| {
                Some(Chiller {
                    tank: members.tank(chiller.tank)?,
                    pump: chiller.pump.and_then(|pump| members.pump(pump)),
                    chain: own_chain(members, &chiller.chain),
                    ..chiller.clone()
                })
            },
        ),
        air_pumps: picked(
            &whole.air_pumps,
            members.air_pumps.iter().map(|id| id.0),
            |pump: &AirPump| {
                Some(AirPump {
                    tank: members.tank(pump.tank)?,
                    ..pump.clone()
                })
            },
        ),
        suns: picked(&whole.suns, 0..whole.suns.len(), |sun: &Sun| {
            Some(Sun {
                tank: members.tank(sun.tank)?,
                ..sun.clone()
            })
        }),
        automatic_change: whole.automatic_change.and_then(|mut change| {
            change.tank = members.tank(change.tank)?;
            Some(change)
        }),
        contacts: members
            .contacts
            .iter()
            .map(|id| own_contact(members, &whole.contacts[id.0]))
            .collect(),
        probes: picked(
            &whole.probes,
            members.probes.iter().map(|id| id.0),
            |probe: &Probe| {
                let tank = match probe.tank {
                    Some(tank) => Some(members.tank(tank)?),
                    None => None,
                };
                Some(Probe {
                    tank,
                    ..probe.clone()
                })
            },
        ),
        happenings: happenings.collect::<Result<_, _>>()?,
        fault_sets: Vec::new(),
        circuits: whole
            .circuits
            .iter()
            .map(|circuit| Circuit {
                feeds: own_loads(members, &circuit.feeds),
                ..circuit.clone()
            })
            .collect(),
        backups: whole
            .backups
            .iter()
            .map(|backup| Backup {
                feeds: own_loads(members, &backup.feeds),
                ..backup.clone()
            })
            .collect(),
        watches: watches.collect::<Result<_, _>>()?,
        ..whole.clone()
    };
    scenario.top_off = whole.top_off.map(|top_off| TopOff {
        tank: members.tank(top_off.tank).unwrap_or_else(|| last_tank(&scenario)),
        ..top_off
    });
    let share_frac = self::stocked_m3(&scenario) / stocked_m3.max(f64::MIN_POSITIVE);
    scenario.livestock.oxygen = whole.livestock.oxygen.map(|oxygen| Oxygen {
        demand_mg_per_s: oxygen.demand_mg_per_s * share_frac,
        ..oxygen
    });
    Ok(scenario)
}

fn picked<T>(list: &[T], which: impl Iterator<Item = usize>, own: impl Fn(&T) -> Option<T>) -> Vec<T> {
    which.filter_map(|at| own(&list[at])).collect()
}

fn own_chain(members: &Members, chain: &[ContactId]) -> Vec<ContactId> {
    chain
        .iter()
        .filter_map(|contact| members.contact(*contact))
        .collect()
}

fn own_loads(members: &Members, loads: &[Load]) -> Vec<Load> {
    loads.iter().filter_map(|load| members.load(*load)).collect()
}

fn own_flow(members: &Members, flow: &Flow) -> Option<Flow> {
    Some(Flow {
        from: members.tank(flow.from)?,
        to: members.tank(flow.to)?,
        pump: flow.pump.and_then(|pump| members.pump(pump)),
        ..flow.clone()
    })
}

fn own_heater(members: &Members, heater: &Heater) -> Option<Heater> {
    Some(Heater {
        tank: members.tank(heater.tank)?,
        chain: own_chain(members, &heater.chain),
        kind: match heater.kind {
            HeaterKind::FlowThrough { pump } => HeaterKind::FlowThrough {
                pump: members.pump(pump)?,
            },
            kind => kind,
        },
        body: HeaterBody {
            speed_pump: heater.body.speed_pump.and_then(|pump| members.pump(pump)),
            ..heater.body
        },
        ..heater.clone()
    })
}

fn own_contact(members: &Members, contact: &Contact) -> Contact {
    let own_sensing = contact.own_sensing.and_then(|own| {
        let sensed_at = match own.sensed_at {
            SensedAt::Bulb { tank, lag_ms } => SensedAt::Bulb {
                tank: members.tank(tank)?,
                lag_ms,
            },
            at => at,
        };
        Some(OwnSensing { sensed_at, ..own })
    });
    Contact {
        own_sensing,
        ..contact.clone()
    }
}

/// Where the level of a system falls: the first tank without livestock that a flow feeds, else its first.
fn last_tank(scenario: &Scenario) -> TankId {
    let to = scenario.flows.iter().map(|flow| flow.to);
    let mut sumps = to.filter(|to| !scenario.tanks[to.0].livestock);
    sumps.next().unwrap_or(TankId(0))
}
