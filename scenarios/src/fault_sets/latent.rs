//! Faults that meet another one that nobody noticed.

use tepid_sim::scenario::{Contact, Effect, FaultCase, Happening, Scenario, When};

use super::switching::{closed_for_good, contacts};
use super::{can_weld, fault};

/// Each commanded contact welded at the worst moment while another contact of the same chain that could still have opened it has been welded
/// for long and nobody noticed, pair by pair.
pub(super) fn weld_behind_weld(scenario: &Scenario) -> Vec<FaultCase> {
    let mut found: Vec<FaultCase> = Vec::new();
    for (_, chain) in scenario.chains() {
        for (first, second) in chain
            .iter()
            .flat_map(|first| chain.iter().map(move |second| (*first, *second)))
        {
            let (welds, before) = (&scenario.contacts[first.0], &scenario.contacts[second.0]);
            if first == second || welds.role.is_none() || !can_weld(before) {
                continue;
            }
            let weld = |id, contact: &Contact| {
                fault(closed_for_good(contact), &contact.name, Effect::ContactWelded(id))
            };
            let (weld_now, weld_before) = (weld(first, welds), weld(second, before));
            let case = FaultCase {
                fault: Happening {
                    name: format!("{}, {} long before", weld_now.name, weld_before.name),
                    ..weld_now
                },
                already: vec![Happening {
                    when: When::At(0),
                    ..weld_before
                }],
            };
            if !found.contains(&case) {
                found.push(case);
            }
        }
    }
    found
}

/// Each commanded contact welded at the worst moment while nobody hears of it: the alerts have been muted for long.
pub(super) fn weld_behind_mute(scenario: &Scenario) -> Vec<FaultCase> {
    if scenario.watches.is_empty() {
        return Vec::new();
    }
    let commanded = contacts(scenario, |_, contact| contact.role.is_some());
    commanded
        .map(|(id, contact)| {
            let weld = fault(closed_for_good(contact), &contact.name, Effect::ContactWelded(id));
            FaultCase {
                fault: Happening {
                    name: format!("{}, the alerts muted long before", weld.name),
                    ..weld
                },
                already: vec![Happening {
                    when: When::At(0),
                    ..fault("alerts muted", "", Effect::AlertsMuted)
                }],
            }
        })
        .collect()
}
