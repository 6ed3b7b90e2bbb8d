//! Named sets of faults: those every scenario has, and those its file defines.

use tepid_sim::ids::{ContactId, HeaterId, ProbeId, PumpId, TankId};
use tepid_sim::physics::water::density_kg_per_m3;
use tepid_sim::scenario::{
    Contact, ContactKind, Effect, FaultCase, FaultSet, Happening, Lasts, Origin, ProbePurpose, Role,
    RoomDevice, Scenario, Tank, When,
};
use tepid_sim::time::{HOUR, MINUTE, Millis, seconds};

use crate::nearest::nearest;
use crate::read::described;

/// Name of the set without a fault: one healthy run.
pub const NONE: &str = "none";

/// Name of the set of latent failures.
const WELD_BEHIND_WELD: &str = "weld behind a weld";

/// How long the built-in outage lasts. An assumption, no source.
const OUTAGE_MS: Millis = 12 * HOUR;
/// How long the built-in feeding pause lasts. Common practice, no source.
const PAUSE_MS: Millis = 12 * MINUTE;
/// How wrong the built-in dial is: as far off as neglected dials are found. Common practice, no source.
const DIAL_OFF_K: f64 = 4.0;

/// What a stuck top-off pours in before its reservoir is empty, as a share of all water. An assumption, no source.
const STUCK_TOP_OFF_FRAC: f64 = 0.1;
/// How long that takes. An assumption, no source.
const STUCK_TOP_OFF_MS: Millis = HOUR;
/// What the built-in leak loses in an hour, as a share of the tank's water. An assumption, no source.
const LEAK_FRAC_PER_HOUR: f64 = 0.05;
/// Height of its hole as a share of the water's height: pumps starve and heaters are exposed, some water stays.
/// An assumption, no source.
const LEAK_HEIGHT_FRAC: f64 = 0.25;
/// Share of a tank's water that the built-in cold water change replaces. Common practice, no source.
const CHANGE_FRAC: f64 = 0.25;
/// How much colder than the target its new water is: out of the tap in winter. An assumption, no source.
const CHANGE_COLDER_K: f64 = 10.0;
/// How long it takes. Common practice, no source.
const CHANGE_MS: Millis = HOUR;

/// Names and summaries of the sets every scenario has.
pub const BUILT_IN: &[(&str, &str)] = &[
    (NONE, "everything works"),
    (
        "one contact welded",
        "each contact that switches, welded at the worst moment, one at a time",
    ),
    (
        WELD_BEHIND_WELD,
        "each commanded contact welded while another of its chain has been welded unnoticed",
    ),
    (
        "one heater dead",
        "each heater dead from the worst moment on, one at a time",
    ),
    (
        "one cooler dead",
        "each contact that commands a fan or chiller stuck open from the worst moment on, one at a time",
    ),
    (
        "dial 4 K off",
        "each thermostat's dial opens 4 K too warm from the worst moment on, one at a time",
    ),
    ("outage", "no electricity for 12 h from the worst moment on"),
    (
        "feeding pause",
        "the pumps of all flows stand still for 12 min at the worst moment",
    ),
    (
        "probe out of the water",
        "each control probe hangs in the room's air from the worst moment on, one at a time",
    ),
    (
        "probe silent",
        "each control probe gives no reading from the worst moment on, one at a time",
    ),
    (
        "pump stopped",
        "each pump stands still for good from the worst moment on, one at a time",
    ),
    (
        "top-off stopped",
        "nobody and nothing tops off from the worst moment on",
    ),
    (
        "top-off stuck on",
        "the top-off runs on at the worst moment: a tenth of all water within 1 h",
    ),
    (
        "leak",
        "each tank loses 5 % of its water an hour from the worst moment on, down to a quarter of its height, one at a time",
    ),
    (
        "room heating off",
        "the room's heating does not work from the worst moment on, where the scenario has one",
    ),
    (
        "cold water change",
        "25 % of each livestock tank's water replaced within 1 h at the worst moment by water 10 K below the target, one at a time",
    ),
];

/// All fault sets of a scenario, the built-in ones first. A set of the file takes the place of a built-in one of
/// the same name. A set without cases (`none`, or one that finds nothing to strike) is one healthy run or nothing.
#[must_use]
pub fn fault_sets(scenario: &Scenario) -> Vec<FaultSet> {
    let mut sets: Vec<FaultSet> = BUILT_IN
        .iter()
        .map(|(name, _)| {
            let own = scenario.fault_sets.iter().find(|set| set.name == *name);
            own.cloned().unwrap_or_else(|| built_in(name, scenario))
        })
        .collect();
    let own = scenario
        .fault_sets
        .iter()
        .filter(|set| BUILT_IN.iter().all(|(name, _)| *name != set.name));
    sets.extend(own.cloned());
    sets
}

/// No fault set of that name.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("unknown fault set `{name}`{}; there are: {}", did_you_mean(.nearest.as_deref()), known.join(", "))]
pub struct UnknownFaultSet {
    /// The name asked for.
    pub name: String,
    /// The names there are.
    pub known: Vec<String>,
    /// The nearest of them.
    pub nearest: Option<String>,
}

fn did_you_mean(nearest: Option<&str>) -> String {
    nearest.map_or_else(String::new, |name| format!(", did you mean `{name}`?"))
}

/// The fault set of that name.
///
/// # Errors
/// [`UnknownFaultSet`] with the names of this scenario.
pub fn fault_set(scenario: &Scenario, name: &str) -> Result<FaultSet, UnknownFaultSet> {
    let sets = fault_sets(scenario);
    match sets.iter().find(|set| set.name == name) {
        Some(set) => Ok(set.clone()),
        None => {
            let known: Vec<String> = sets.into_iter().map(|set| set.name).collect();
            let near = nearest(name, known.iter().map(String::as_str)).map(str::to_owned);
            Err(UnknownFaultSet {
                name: name.to_owned(),
                known,
                nearest: near,
            })
        }
    }
}

fn built_in(name: &str, scenario: &Scenario) -> FaultSet {
    let cases = if name == WELD_BEHIND_WELD {
        welds_behind_welds(scenario)
    } else {
        let alone = cases(name, scenario);
        alone.into_iter().map(FaultCase::from).collect()
    };
    FaultSet {
        name: name.to_owned(),
        cases,
    }
}

/// Each commanded contact welded at the worst moment while another contact of the same chain that could still have opened it has been welded
/// for long and nobody noticed, pair by pair.
fn welds_behind_welds(scenario: &Scenario) -> Vec<FaultCase> {
    let heaters = scenario.heaters.iter().map(|heater| &heater.chain);
    let coolers = scenario
        .fans
        .iter()
        .map(|fan| &fan.chain)
        .chain(scenario.chillers.iter().map(|chiller| &chiller.chain));
    let mut found: Vec<FaultCase> = Vec::new();
    for chain in heaters.chain(coolers) {
        for (first, second) in chain
            .iter()
            .flat_map(|first| chain.iter().map(move |second| (*first, *second)))
        {
            let (welds, before) = (&scenario.contacts[first.0], &scenario.contacts[second.0]);
            if first == second || welds.role.is_none() || !can_weld(before) {
                continue;
            }
            let weld = |id, contact: &Contact| {
                fault(
                    "contact welded",
                    &contact.name,
                    Effect::ContactWelded(id),
                    Lasts::ToTheEnd,
                )
            };
            let case = FaultCase {
                fault: Happening {
                    name: format!("{} welded, {} welded long before", welds.name, before.name),
                    ..weld(first, welds)
                },
                already: vec![Happening {
                    when: When::At(0),
                    ..weld(second, before)
                }],
            };
            if !found.contains(&case) {
                found.push(case);
            }
        }
    }
    found
}

fn cases(set: &str, scenario: &Scenario) -> Vec<Happening> {
    match set {
        "one contact welded" => contacts(scenario, can_weld)
            .map(|(id, contact)| {
                fault(
                    "contact welded",
                    &contact.name,
                    Effect::ContactWelded(id),
                    Lasts::ToTheEnd,
                )
            })
            .collect(),
        "one heater dead" => scenario
            .heaters
            .iter()
            .enumerate()
            .map(|(at, heater)| {
                fault(
                    "heater dead",
                    &heater.name,
                    Effect::HeaterDead(HeaterId(at)),
                    Lasts::ToTheEnd,
                )
            })
            .collect(),
        "one cooler dead" => contacts(scenario, |contact| contact.role == Some(Role::Cool))
            .map(|(id, contact)| {
                fault(
                    "contact stuck open",
                    &contact.name,
                    Effect::ContactStuckOpen(id),
                    Lasts::ToTheEnd,
                )
            })
            .collect(),
        "dial 4 K off" => contacts(scenario, |contact| contact.kind == ContactKind::Thermostat)
            .map(|(contact, found)| {
                let effect = Effect::DialOff {
                    contact,
                    by_k: DIAL_OFF_K,
                };
                let name = format!("{} 4 K off", found.name);
                Happening {
                    name,
                    ..fault("dial off", &found.name, effect, Lasts::ToTheEnd)
                }
            })
            .collect(),
        "outage" => vec![fault("outage", "", Effect::PowerOut, Lasts::For(OUTAGE_MS))],
        "feeding pause" => feeding_pause(scenario),
        "probe out of the water" => {
            control_probes(scenario, "probe out of the water", Effect::ProbeOutOfWater)
        }
        "probe silent" => control_probes(scenario, "probe silent", Effect::ProbeSilent),
        "pump stopped" => scenario
            .pumps
            .iter()
            .enumerate()
            .map(|(at, pump)| {
                let effect = Effect::PumpStopped(PumpId(at));
                fault("pump stopped", &pump.name, effect, Lasts::ToTheEnd)
            })
            .collect(),
        "top-off stopped" if scenario.top_off.is_some() => {
            vec![fault(
                "top-off stopped",
                "",
                Effect::TopOffStopped,
                Lasts::ToTheEnd,
            )]
        }
        "top-off stuck on" if scenario.top_off.is_some() => vec![stuck_top_off(scenario)],
        "leak" => tanks(scenario, |_| true)
            .map(|(id, tank)| leak(scenario, id, tank))
            .collect(),
        "room heating off"
            if scenario
                .room
                .lumped
                .as_ref()
                .is_some_and(|room| room.heating.is_some()) =>
        {
            let effect = Effect::RoomDeviceOff(RoomDevice::Heating);
            vec![fault("room heating off", "", effect, Lasts::ToTheEnd)]
        }
        "cold water change" => tanks(scenario, |tank| tank.livestock)
            .map(|(id, tank)| cold_change(scenario, id, tank))
            .collect(),
        _ => Vec::new(),
    }
}

fn control_probes(scenario: &Scenario, what: &str, effect: impl Fn(ProbeId) -> Effect) -> Vec<Happening> {
    scenario
        .probes
        .iter()
        .enumerate()
        .filter(|(_, probe)| probe.purpose == ProbePurpose::Control)
        .map(|(at, probe)| fault(what, &probe.name, effect(ProbeId(at)), Lasts::ToTheEnd))
        .collect()
}

fn stuck_top_off(scenario: &Scenario) -> Happening {
    let volume_m3: f64 = scenario.tanks.iter().map(Tank::water_volume_m3).sum();
    // Evaporated water is replaced by fresh water.
    let density_kg_per_m3 = density_kg_per_m3(0.0, scenario.water.target_c);
    let rate_kg_per_s = STUCK_TOP_OFF_FRAC * volume_m3 * density_kg_per_m3 / seconds(STUCK_TOP_OFF_MS);
    let effect = Effect::TopOffStuckOn { rate_kg_per_s };
    fault("top-off stuck on", "", effect, Lasts::For(STUCK_TOP_OFF_MS))
}

fn leak(scenario: &Scenario, id: TankId, tank: &Tank) -> Happening {
    let density_kg_per_m3 = density_kg_per_m3(scenario.water.salinity_g_per_kg, scenario.water.target_c);
    let effect = Effect::Leak {
        tank: id,
        rate_kg_per_s: LEAK_FRAC_PER_HOUR * tank.water_volume_m3() * density_kg_per_m3 / seconds(HOUR),
        height_m: LEAK_HEIGHT_FRAC * tank.water_height_m,
    };
    fault("leak", &tank.name, effect, Lasts::ToTheEnd)
}

fn cold_change(scenario: &Scenario, id: TankId, tank: &Tank) -> Happening {
    let effect = Effect::WaterChange {
        tank: id,
        share_frac: CHANGE_FRAC,
        temp_c: scenario.water.target_c - CHANGE_COLDER_K,
        salinity_g_per_kg: scenario.water.salinity_g_per_kg,
    };
    let change = fault("water change", &tank.name, effect, Lasts::For(CHANGE_MS));
    Happening {
        name: format!("cold {}", change.name),
        ..change
    }
}

fn tanks(scenario: &Scenario, wanted: impl Fn(&Tank) -> bool) -> impl Iterator<Item = (TankId, &Tank)> {
    let numbered = scenario.tanks.iter().enumerate();
    numbered
        .filter(move |(_, tank)| wanted(tank))
        .map(|(at, tank)| (TankId(at), tank))
}

/// One case per pump that drives a flow: happenings of a set are cases of their own.
fn feeding_pause(scenario: &Scenario) -> Vec<Happening> {
    let mut pumps: Vec<_> = scenario.flows.iter().filter_map(|flow| flow.pump).collect();
    pumps.sort_unstable();
    pumps.dedup();
    pumps
        .into_iter()
        .map(|pump| {
            fault(
                "feeding pause",
                "",
                Effect::PumpStopped(pump),
                Lasts::For(PAUSE_MS),
            )
        })
        .collect()
}

fn contacts(
    scenario: &Scenario,
    wanted: impl Fn(&Contact) -> bool,
) -> impl Iterator<Item = (ContactId, &Contact)> {
    let numbered = scenario.contacts.iter().enumerate();
    numbered
        .filter(move |(_, contact)| wanted(contact))
        .map(|(at, contact)| (ContactId(at), contact))
}

/// Protective devices that only trip do not wear out by switching.
fn can_weld(contact: &Contact) -> bool {
    !matches!(contact.kind, ContactKind::ResidualCurrent | ContactKind::Breaker)
}

fn fault(what: &str, subject: &str, effect: Effect, lasts: Lasts) -> Happening {
    Happening {
        name: described(what, subject),
        when: When::WorstPhase,
        lasts,
        effect,
        origin: Origin::Fault,
    }
}
