//! The changes that are tried on single points of failure, smallest first. What a part added is like is stated with it; the figures are common
//! practice, no source.
//!
//! Ids are kept: whatever is added stands at the end of its list, so a fault of the scenario means the same in the changed one.

mod another_circuit;

use tepid_output::records::{Edit, EditKind};
use tepid_output::wording::{Units, enumerated};
use tepid_sim::ids::{BoxId, ContactId, HeaterId, PersonId, ProbeId, TankId};
use tepid_sim::scenario::{
    ActKind, ActsBy, Contact, ContactKind, Effect, Happening, Heater, Lasts, Load, Need, Origin, OwnSensing,
    Person, Probe, ProbePurpose, Reset, Response, ResponseTime, Role, Scenario, SensedAt, Watch, WatchAct,
    WatchRule, When,
};
use tepid_sim::time::{HOUR, MINUTE, Millis, SECOND};

/// Where a limit is set without danger lines: this far above the band, K.
const ABOVE_BAND_K: f64 = 2.0;
/// Limits are set to tenths of a kelvin.
const PER_KELVIN: f64 = 10.0;
/// Lag of an added bulb and of an added probe.
const BULB_LAG_MS: Millis = MINUTE;
const PROBE_LAG_MS: Millis = 30 * SECOND;
/// Noise and steps of an added probe, K.
const PROBE_NOISE_K: f64 = 0.02;
const PROBE_STEP_K: f64 = 0.1;
/// How long an added watch waits before it alerts, and how long it then takes until somebody has unplugged the heaters.
const WATCH_LASTING_MS: Millis = 5 * MINUTE;
const SOMEBODY_COMES_MS: Millis = 2 * HOUR;
/// Shares of their power that smaller heaters have.
const THREE_QUARTERS_FRAC: f64 = 0.75;
const HALF_FRAC: f64 = 0.5;

/// All kinds, smallest change first: a part added, then heaters replaced, then heaters and contacts doubled, then the wiring of the house.
const KINDS: [EditKind; 7] = [
    EditKind::CutOut,
    EditKind::SecondProbe,
    EditKind::OwnContact,
    EditKind::ThreeQuartersPower,
    EditKind::HalfPower,
    EditKind::SplitHeaters,
    EditKind::AnotherCircuit,
];

/// Those that change anything in this scenario.
pub(super) fn offered(scenario: &Scenario) -> Vec<Edit> {
    let kinds = KINDS.into_iter();
    kinds
        .filter(|kind| applied(*kind, scenario).is_some())
        .map(|kind| Edit {
            kind,
            name: name(kind).to_owned(),
            detail: detail(kind, scenario),
        })
        .collect()
}

/// Pairs worth trying: not two sizes of the same heater at once.
pub(super) fn pairs(kinds: &[EditKind]) -> Vec<[EditKind; 2]> {
    let both_sizes = [EditKind::ThreeQuartersPower, EditKind::HalfPower];
    let all = kinds.iter().enumerate().flat_map(|(index, first)| {
        let later = kinds.iter().skip(index + 1);
        later.map(move |second| [*first, *second])
    });
    all.filter(|pair| *pair != both_sizes).collect()
}

/// The scenario with all these changes; `None` where one changes nothing.
pub(super) fn with(kinds: &[EditKind], scenario: &Scenario) -> Option<Scenario> {
    kinds
        .iter()
        .try_fold(scenario.clone(), |scenario, kind| applied(*kind, &scenario))
}

fn applied(kind: EditKind, scenario: &Scenario) -> Option<Scenario> {
    let mut changed = scenario.clone();
    match kind {
        EditKind::CutOut => cut_outs(&mut changed),
        EditKind::SecondProbe => second_probe(&mut changed),
        EditKind::OwnContact => own_contacts(&mut changed),
        EditKind::ThreeQuartersPower => smaller(&mut changed, THREE_QUARTERS_FRAC),
        EditKind::HalfPower => smaller(&mut changed, HALF_FRAC),
        EditKind::SplitHeaters => split(&mut changed),
        EditKind::AnotherCircuit => another_circuit::another_circuit(&mut changed),
        _ => {}
    }
    (changed != *scenario).then_some(changed)
}

fn name(kind: EditKind) -> &'static str {
    match kind {
        EditKind::CutOut => "a cut-out in its own box",
        EditKind::SecondProbe => "a second probe with an alert",
        EditKind::OwnContact => "a contact of its own for every heater",
        EditKind::ThreeQuartersPower => "heaters of 3/4 of the power",
        EditKind::HalfPower => "heaters of half the power",
        EditKind::SplitHeaters => "every heater split in two",
        EditKind::AnotherCircuit => "half of the heaters on another circuit",
        _ => "another change",
    }
}

fn detail(kind: EditKind, scenario: &Scenario) -> String {
    let limit_c = limit_c(scenario);
    let line = |temp_c: f64| Units::Metric.line(temp_c);
    match kind {
        EditKind::CutOut => {
            let tanks: Vec<&String> = heated(scenario).into_iter().map(|tank| &scenario.tanks[tank.0].name).collect();
            format!(
                "in the chain of every heater, with a bulb of its own in {}; opens above {}, closes by itself below {}",
                enumerated(&tanks),
                line(limit_c),
                line(closes_below_c(scenario))
            )
        }
        EditKind::SecondProbe => {
            let tank = &scenario.tanks[stocked(scenario).0].name;
            format!(
                "in {tank}; alerts after 5 min above {}, and somebody unplugs all heaters for good 2 h later",
                line(limit_c)
            )
        }
        EditKind::OwnContact => "where heaters share what switches them".to_owned(),
        EditKind::ThreeQuartersPower | EditKind::HalfPower => "all of them, with bodies smaller by as much".to_owned(),
        EditKind::SplitHeaters => {
            "halves of half the power, each with a commanded contact and a dial of its own; the rest of the chain is shared, and so is the circuit".to_owned()
        }
        EditKind::AnotherCircuit => format!(
            "each circuit that feeds several heaters ({}) gets a second one of the same rating; where it feeds several of one tank, the tank keeps \
             some on each",
            enumerated(&another_circuit::shared(scenario))
        ),
        _ => String::new(),
    }
}

/// Half way from the band to the mildest line, °C.
fn limit_c(scenario: &Scenario) -> f64 {
    let (_, band_c) = scenario.water.band_c;
    let mildest = scenario.livestock.danger_hot.first();
    let limit_c = mildest.map_or(band_c + ABOVE_BAND_K, |line| 0.5 * (band_c + line.temp_c));
    (limit_c * PER_KELVIN).round() / PER_KELVIN
}

/// Half way back to the band, °C.
fn closes_below_c(scenario: &Scenario) -> f64 {
    let half_way_c = 0.5 * (limit_c(scenario) + scenario.water.band_c.1);
    (half_way_c * PER_KELVIN).round() / PER_KELVIN
}

/// Tanks with heaters, each once.
fn heated(scenario: &Scenario) -> Vec<TankId> {
    let mut tanks: Vec<TankId> = scenario.heaters.iter().map(|heater| heater.tank).collect();
    tanks.sort_unstable();
    tanks.dedup();
    tanks
}

/// The first tank with livestock.
fn stocked(scenario: &Scenario) -> TankId {
    TankId(scenario.tanks.iter().position(|tank| tank.livestock).unwrap_or(0))
}

/// One cut-out for all heaters of a tank, with its bulb there.
fn cut_outs(scenario: &mut Scenario) {
    for tank in heated(scenario) {
        let name = unused("added cut-out", contact_names(scenario));
        let contact = ContactId(scenario.contacts.len());
        scenario.contacts.push(Contact {
            in_box: Some(BoxId(scenario.boxes.len())),
            name,
            kind: ContactKind::CutOut,
            role: None,
            life_closings: None,
            own_sensing: Some(OwnSensing {
                opens_above_c: limit_c(scenario),
                closes_below_c: closes_below_c(scenario),
                sensed_at: SensedAt::Bulb {
                    tank,
                    lag_ms: BULB_LAG_MS,
                },
                reset: Reset::Automatic,
                dial_error_k: 0.0,
            }),
        });
        scenario.boxes.push(scenario.contacts[contact.0].name.clone());
        for heater in scenario.heaters.iter_mut().filter(|heater| heater.tank == tank) {
            heater.chain.insert(0, contact);
        }
    }
}

fn second_probe(scenario: &mut Scenario) {
    if scenario.heaters.is_empty() {
        return;
    }
    let name = unused(
        "added probe",
        scenario.probes.iter().map(|probe| probe.name.as_str()),
    );
    let probe = ProbeId(scenario.probes.len());
    scenario.probes.push(Probe {
        name: name.clone(),
        tank: Some(stocked(scenario)),
        purpose: ProbePurpose::Monitor,
        lag_ms: PROBE_LAG_MS,
        noise_k: PROBE_NOISE_K,
        resolution_k: PROBE_STEP_K,
        offset_k: 0.0,
        drift_k_per_day: 0.0,
    });
    let somebody = PersonId(scenario.persons.len());
    scenario.persons.push(Person {
        responses: vec![Response {
            hours: None,
            time: ResponseTime::Lognormal {
                median_ms: SOMEBODY_COMES_MS,
                spread: 1.0,
            },
        }],
        ..Person::at_hand(unused(
            "somebody",
            scenario.persons.iter().map(|person| person.name.as_str()),
        ))
    });
    scenario.watches.push(Watch {
        name,
        rule: WatchRule::Above {
            probe,
            line_c: limit_c(scenario),
        },
        lasting_ms: WATCH_LASTING_MS,
        needs: vec![Need::Power],
        battery_ms: 0,
        reaches: vec![somebody],
        passed_on_ms: None,
        acts: vec![WatchAct {
            by: ActsBy::People,
            after_ms: 0,
            kind: ActKind::UnplugHeaters,
            happening: Happening {
                name: "heaters unplugged".to_owned(),
                when: When::Acted,
                lasts: Lasts::ToTheEnd,
                effect: Effect::HeatersUnplugged,
                origin: Origin::Act,
            },
        }],
    });
}

/// Every further heater behind a commanded contact gets a copy of it.
fn own_contacts(scenario: &mut Scenario) {
    let mut taken: Vec<ContactId> = Vec::new();
    for heater in 0..scenario.heaters.len() {
        for contact in scenario.heaters[heater].chain.clone() {
            if scenario.contacts[contact.0].role != Some(Role::Heat) {
                continue;
            }
            if taken.contains(&contact) {
                let copy = copied(scenario, contact);
                replace(&mut scenario.heaters[heater], contact, copy);
            } else {
                taken.push(contact);
            }
        }
    }
}

fn smaller(scenario: &mut Scenario, share_frac: f64) {
    for heater in &mut scenario.heaters {
        scale(heater, share_frac);
    }
}

/// Two halves of every heater: the second has copies of the commanded contacts and of what senses the heater's own body, and is fed by what feeds
/// the first.
fn split(scenario: &mut Scenario) {
    for index in 0..scenario.heaters.len() {
        scale(&mut scenario.heaters[index], HALF_FRAC);
        let mut half = scenario.heaters[index].clone();
        half.name = unused(
            &half.name,
            scenario.heaters.iter().map(|heater| heater.name.as_str()),
        );
        for contact in half.chain.clone() {
            let is_its_own = {
                let contact = &scenario.contacts[contact.0];
                let on_body = |own: OwnSensing| matches!(own.sensed_at, SensedAt::HeaterBody { .. });
                contact.role.is_some() || contact.own_sensing.is_some_and(on_body)
            };
            if is_its_own {
                let copy = copied(scenario, contact);
                replace(&mut half, contact, copy);
            }
        }
        scenario.heaters.push(half);
        let (first, second) = (HeaterId(index), HeaterId(scenario.heaters.len() - 1));
        let circuits = scenario.circuits.iter_mut().map(|circuit| &mut circuit.feeds);
        let backups = scenario.backups.iter_mut().map(|backup| &mut backup.feeds);
        for feeds in circuits.chain(backups) {
            if let Some(place) = feeds.iter().position(|load| *load == Load::Heater(first)) {
                feeds.insert(place + 1, Load::Heater(second));
            }
        }
    }
}

/// A smaller heater has a smaller body, of the same diameter.
fn scale(heater: &mut Heater, share_frac: f64) {
    heater.power_w *= share_frac;
    heater.body.heat_capacity_j_per_k *= share_frac;
    heater.body.length_m *= share_frac;
}

fn copied(scenario: &mut Scenario, contact: ContactId) -> ContactId {
    let mut copy = scenario.contacts[contact.0].clone();
    copy.name = unused(&copy.name, contact_names(scenario));
    scenario.contacts.push(copy);
    ContactId(scenario.contacts.len() - 1)
}

fn replace(heater: &mut Heater, contact: ContactId, by: ContactId) {
    for link in &mut heater.chain {
        if *link == contact {
            *link = by;
        }
    }
}

fn contact_names(scenario: &Scenario) -> impl Iterator<Item = &str> + Clone {
    scenario.contacts.iter().map(|contact| contact.name.as_str())
}

/// The name, or with the first number behind it that nothing else has.
fn unused<'a>(name: &str, taken: impl Iterator<Item = &'a str>) -> String {
    let taken: Vec<&str> = taken.collect();
    let numbered = (2..).map(|number| format!("{name} {number}"));
    let mut all = std::iter::once(name.to_owned()).chain(numbered);
    all.find(|name| !taken.contains(&name.as_str()))
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn library(name: &str) -> Scenario {
        tepid_scenarios::scenario(name, &[]).expect("library scenario")
    }

    #[test]
    fn splitting_keeps_the_power_and_gives_each_half_its_own_relay_and_dial() {
        let before = library("spare-room-one-big-heater");
        let after = with(&[EditKind::SplitHeaters], &before).expect("applies");
        let power_w =
            |scenario: &Scenario| -> f64 { scenario.heaters.iter().map(|heater| heater.power_w).sum() };
        assert_eq!(power_w(&after), power_w(&before));
        assert_eq!(after.heaters.len(), 2);
        let shared: Vec<&str> = after.heaters[0]
            .chain
            .iter()
            .filter(|contact| after.heaters[1].chain.contains(contact))
            .map(|contact| after.contacts[contact.0].name.as_str())
            .collect();
        assert_eq!(shared, ["residual-current"]);
    }

    #[test]
    fn heaters_with_relays_of_their_own_need_no_others() {
        let kinds: Vec<EditKind> = offered(&library("spare-room-winter"))
            .iter()
            .map(|edit| edit.kind)
            .collect();
        assert!(!kinds.contains(&EditKind::OwnContact));
        assert!(kinds.contains(&EditKind::CutOut));
    }

    #[test]
    fn two_heaters_on_one_relay_are_offered_relays_of_their_own() {
        let mut shared = library("spare-room-winter");
        shared.heaters[1].chain = shared.heaters[0].chain.clone();
        let after = with(&[EditKind::OwnContact], &shared).expect("applies");
        let relay = |heater: usize| after.heaters[heater].chain[1];
        assert_ne!(relay(0), relay(1));
        assert_eq!(after.contacts[relay(1).0].role, Some(Role::Heat));
    }

    #[test]
    fn a_half_is_fed_by_the_circuit_and_the_backup_of_the_whole() {
        let shop = with(&[EditKind::SplitHeaters], &library("shop-room")).expect("applies");
        assert_eq!(shop.heaters.len(), 16);
        for (at, circuit) in shop.circuits.iter().enumerate() {
            let fed = circuit
                .feeds
                .iter()
                .filter(|load| matches!(load, Load::Heater(_)));
            assert_eq!(fed.count(), 8, "circuit {at}");
        }
    }

    #[test]
    fn another_circuit_leaves_each_tank_of_two_heaters_one_on_each() {
        let split = with(&[EditKind::SplitHeaters], &library("shop-room")).expect("applies");
        let after = with(&[EditKind::AnotherCircuit], &split).expect("applies");
        assert_eq!(after.circuits.len(), 4);
        for circuit in &after.circuits {
            let tanks = circuit.feeds.iter().filter_map(|load| match load {
                Load::Heater(heater) => Some(after.heaters[heater.0].tank),
                _ => None,
            });
            let mut tanks: Vec<TankId> = tanks.collect();
            tanks.dedup();
            assert_eq!(tanks.len(), 4, "{circuit:?}");
        }
        let (first, second) = (&after.circuits[0], &after.circuits[2]);
        assert_eq!(
            (first.breaker_a, first.residual_current),
            (second.breaker_a, second.residual_current)
        );
    }

    #[test]
    fn another_circuit_is_offered_only_where_one_feeds_several_heaters() {
        let is_offered = |scenario: &Scenario| {
            let mut edits = offered(scenario).into_iter();
            edits.any(|edit| edit.kind == EditKind::AnotherCircuit)
        };
        let mut shop = library("shop-room");
        assert!(is_offered(&shop));
        for circuit in &mut shop.circuits {
            circuit.feeds.truncate(1);
        }
        assert!(!is_offered(&shop));
        assert!(
            !is_offered(&library("spare-room-winter")),
            "no circuit is stated there"
        );
    }

    #[test]
    fn what_is_added_stands_at_the_end_so_faults_keep_their_meaning() {
        let before = library("spare-room-winter");
        for kinds in pairs(&KINDS) {
            let Some(after) = with(&kinds, &before) else {
                continue;
            };
            assert_eq!(after.contacts[..before.contacts.len()], before.contacts[..]);
            assert_eq!(after.probes[..before.probes.len()], before.probes[..]);
            for (old, new) in before.heaters.iter().zip(&after.heaters) {
                assert_eq!(old.name, new.name);
            }
        }
    }
}
