//! Named sets of faults: those every scenario has, and those its file defines.

mod control;
mod cooling;
mod dials;
mod latent;
mod probes;
mod pumps;
mod supply;
mod surroundings;
mod switching;
mod water;

use tepid_sim::scenario::{
    Contact, ContactKind, Effect, FaultCase, FaultSet, Happening, Lasts, Origin, Scenario, When,
};

use crate::nearest::nearest;
use crate::read::described;

/// Name of the set without a fault: one healthy run.
pub const NONE: &str = "none";

/// A fault set every scenario has.
#[derive(Debug, Clone, Copy)]
pub struct BuiltIn {
    /// Its name.
    pub name: &'static str,
    /// One line on it.
    pub summary: &'static str,
    /// Its cases in a scenario; none where the scenario has nothing that it could strike.
    cases: fn(&Scenario) -> Vec<FaultCase>,
}

impl BuiltIn {
    /// Its cases in a scenario; none where the scenario has nothing that it could strike.
    pub(crate) fn cases(&self, scenario: &Scenario) -> Vec<FaultCase> {
        (self.cases)(scenario)
    }
}

macro_rules! built_in {
    ($($name:literal: $summary:literal => $cases:path,)*) => {
        &[$(BuiltIn { name: $name, summary: $summary, cases: $cases },)*]
    };
}

/// The sets every scenario has. All strike at the worst of the instants tried.
pub const BUILT_IN: &[BuiltIn] = built_in![
    "none": "everything works" => nothing,
    "one contact welded": "each contact that switches, welded (a solid-state switch: shorted), one at a time" => switching::welded,
    "weld behind a weld": "each commanded contact welded while another of its chain has been welded unnoticed" => latent::weld_behind_weld,
    "weld behind a mute": "each commanded contact welded while somebody has muted the alerts and forgotten it, where the scenario has alerts" => latent::weld_behind_mute,
    "network down": "the line out of the house dead for good, where an alert needs it" => supply::network_down,
    "one contact stuck open": "each contact of a heater's chain that never closes again, one at a time" => switching::stuck_open,
    "one contact chattering": "each commanded contact that parts and closes every 2 s while it should be closed, one at a time" => switching::chattering,
    "one box failed": "each box of several contacts fails as a whole, one at a time: all of them welded at once, or all stuck open" => switching::box_failed,
    "one heater dead": "each heater's element open, one at a time" => switching::heater_dead,
    "one cooler dead": "each contact that commands a fan or chiller stuck open, each fan stopped, each chiller dead, one at a time" => cooling::dead,
    "one light failed": "each light out, or left on day and night, one at a time" => surroundings::light_failed,
    "chiller blocked": "each chiller with 30 % of its capacity left, one at a time" => cooling::blocked,
    "dial 4 K off": "each thermostat's dial opens 4 K too warm, one at a time" => dials::off,
    "dial drifting": "each thermostat's dial rises by 1 K a day, one at a time" => dials::drifting,
    "dial at 78": "each thermostat's dial set to 78 °C by somebody who meant 78 °F, one at a time" => dials::at_78,
    "controller hung": "the controller hangs for good, its contacts hold or open" => control::hung,
    "controller restarted": "the controller hangs for 10 min and comes back with its state lost, or as it was 6 h before" => control::restarted,
    "probe out of the water": "each control probe hangs in the room's air, one at a time" => probes::out_of_the_water,
    "probe in the wrong tank": "each control probe hangs in another tank, one at a time" => probes::in_the_wrong_tank,
    "probe silent": "each control probe gives no reading, one at a time" => probes::silent,
    "probe stuck": "each control probe repeats its last reading, one at a time" => probes::stuck,
    "probe off": "each control probe reads 2 K low or high, one at a time" => probes::off,
    "probe drifting": "each control probe reads 0.5 K a day lower or higher, one at a time" => probes::drifting,
    "probe noisy": "each control probe with 0.5 K more of noise for 1 h, one at a time" => probes::noisy,
    "probe wild": "each control probe gives one sample of 85 °C, or of 0 °C, one at a time" => probes::wild,
    "probe reads 85 or 0": "each control probe reads 85 °C, or 0 °C, for good, one at a time" => probes::absurd,
    "outage": "no electricity for 12 h" => supply::outage,
    "outage, backup dead": "no electricity for 12 h while each backup has been dead unnoticed" => supply::outage_without_backup,
    "circuit tripped": "each circuit's breaker or residual-current device trips and nobody resets it, one at a time" => supply::tripped,
    "mains off": "the mains 10 % low, or 10 % high" => supply::mains_off,
    "feeding pause": "the pumps of all flows stand still for 12 min" => pumps::feeding_pause,
    "pump stopped": "each pump stands still for good, one at a time" => pumps::stopped,
    "heaters left unplugged": "all heaters unplugged and forgotten" => switching::left_unplugged,
    "top-off stopped": "nobody and nothing tops off" => water::top_off_stopped,
    "top-off stuck on": "the top-off runs on for 1 h, as fast as its pump goes (a tenth of all water unless stated)" => water::top_off_stuck_on,
    "leak": "each tank loses 5 % of its water an hour, down to a quarter of its height, one at a time" => water::leak,
    "cold water change": "25 % of each livestock tank's water replaced within 1 h by water 10 K below the target, one at a time" => water::cold_change,
    "lid left off": "each lidded tank without its lid, one at a time" => surroundings::lid_left_off,
    "room heating off": "the room's heating does not work, where the scenario has one" => surroundings::heating_off,
    "room cooling off": "the room's cooling does not work, where the scenario has one" => surroundings::cooling_off,
    "room device stuck on": "the room's heating or cooling works without end, where the scenario has one" => surroundings::stuck_on,
    "heat wave": "the room (or the air outdoors, where the room answers to it) 6 K warmer for 3 d" => surroundings::heat_wave,
    "cold snap": "the room (or the air outdoors, where the room answers to it) 6 K colder for 3 d" => surroundings::cold_snap,
];

/// The set without a fault has no cases.
fn nothing(_: &Scenario) -> Vec<FaultCase> {
    Vec::new()
}

/// All fault sets of a scenario, the built-in ones first. A set of the file takes the place of a built-in one of
/// the same name. A set without cases (`none`, or one that finds nothing to strike) is one healthy run or nothing.
#[must_use]
pub fn fault_sets(scenario: &Scenario) -> Vec<FaultSet> {
    let mut sets: Vec<FaultSet> = BUILT_IN
        .iter()
        .map(|built_in| {
            let own = scenario.fault_sets.iter().find(|set| set.name == built_in.name);
            own.cloned().unwrap_or_else(|| FaultSet {
                name: built_in.name.to_owned(),
                cases: (built_in.cases)(scenario),
            })
        })
        .collect();
    let own = scenario
        .fault_sets
        .iter()
        .filter(|set| BUILT_IN.iter().all(|built_in| built_in.name != set.name));
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

/// Protective devices that only trip do not wear out by switching.
fn can_weld(contact: &Contact) -> bool {
    !matches!(contact.kind, ContactKind::ResidualCurrent | ContactKind::Breaker)
}

/// A fault of a set, for good.
fn fault(what: &str, subject: &str, effect: Effect) -> Happening {
    Happening {
        name: described(what, subject),
        when: When::WorstPhase,
        lasts: Lasts::ToTheEnd,
        effect,
        origin: Origin::Fault,
    }
}

/// Faults by themselves, each a case.
fn alone(faults: impl IntoIterator<Item = Happening>) -> Vec<FaultCase> {
    faults.into_iter().map(FaultCase::from).collect()
}
