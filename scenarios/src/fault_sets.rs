//! Named sets of faults: those every scenario has, and those its file defines.

use tepid_sim::ids::{ContactId, HeaterId, ProbeId};
use tepid_sim::scenario::{Contact, ContactKind, Effect, FaultSet, Happening, Lasts, Origin, Scenario, When};
use tepid_sim::time::{DAY, HOUR, MINUTE, Millis};

use crate::nearest::nearest;
use crate::read::described;

/// Name of the set without a fault: one healthy run.
pub const NONE: &str = "none";

/// When built-in faults strike, unless at the worst phase; in scenarios shorter than two days: half-way.
const STRIKES_MS: Millis = DAY;
/// How long the built-in outage lasts.
const OUTAGE_MS: Millis = 12 * HOUR;
/// How long the built-in feeding pause lasts.
const PAUSE_MS: Millis = 12 * MINUTE;
/// How wrong the built-in dial is: as far off as neglected dials are found. Common practice, no source.
const DIAL_OFF_K: f64 = 4.0;

/// Names and summaries of the sets every scenario has.
pub const BUILT_IN: &[(&str, &str)] = &[
    (NONE, "everything works"),
    (
        "one contact welded",
        "each contact that switches, welded at the worst moment, one at a time",
    ),
    ("one heater dead", "each heater dead from 24 h on, one at a time"),
    (
        "dial 4 K off",
        "each thermostat's dial opens 4 K too warm from 24 h on, one at a time",
    ),
    ("outage", "no electricity for 12 h from 24 h on"),
    (
        "feeding pause",
        "the pumps of all flows stand still for 12 min at 24 h",
    ),
    (
        "probe out of the water",
        "each control probe hangs in the room's air from 24 h on, one at a time",
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
    let strikes = When::At(STRIKES_MS.min(scenario.duration_ms / 2));
    let at = |case: Happening| match case.when {
        When::WorstPhase => case,
        _ => Happening {
            when: strikes,
            ..case
        },
    };
    FaultSet {
        name: name.to_owned(),
        cases: cases(name, scenario).into_iter().map(at).collect(),
    }
}

fn cases(set: &str, scenario: &Scenario) -> Vec<Happening> {
    match set {
        "one contact welded" => contacts(scenario, can_weld)
            .map(|(id, contact)| Happening {
                when: When::WorstPhase,
                ..fault(
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
        "probe out of the water" => scenario
            .probes
            .iter()
            .enumerate()
            .filter(|(_, probe)| probe.purpose == tepid_sim::scenario::ProbePurpose::Control)
            .map(|(at, probe)| {
                let effect = Effect::ProbeOutOfWater(ProbeId(at));
                fault("probe out of the water", &probe.name, effect, Lasts::ToTheEnd)
            })
            .collect(),
        _ => Vec::new(),
    }
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
        when: When::At(STRIKES_MS),
        lasts,
        effect,
        origin: Origin::Fault,
    }
}
