//! What befell a run, for a drawing to show.

use serde::Serialize;
use tepid_sim::scenario::{Effect, Scenario};
use tepid_sim::time::Millis;

use crate::acts::ActKind;
use crate::course::Marked;

/// Something that began, and may have ended.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Happened {
    /// Its name.
    pub name: String,
    /// The kind of act that does the same; absent: none does.
    pub what: Option<ActKind>,
    /// Names of what it befell, as far as a drawing shows them; empty: everything.
    pub of: Vec<String>,
    /// When it began, ms.
    pub from_ms: Millis,
    /// When it ended, ms; absent: not within the run.
    pub to_ms: Option<Millis>,
}

/// An alert that was raised.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Alerted {
    /// What it says.
    pub name: String,
    /// When, ms.
    pub at_ms: Millis,
}

/// Every alert, in order.
pub(crate) fn alerted(marks: &[Marked]) -> Vec<Alerted> {
    let raised = marks.iter().filter(|mark| mark.what == "alert");
    raised
        .map(|mark| Alerted {
            name: mark.name.clone(),
            at_ms: mark.at_ms,
        })
        .collect()
}

/// What began and ended, of all that is not an alert.
pub(crate) fn happened(scenario: &Scenario, marks: &[Marked]) -> Vec<Happened> {
    let mut list: Vec<Happened> = Vec::new();
    for mark in marks {
        match mark.what {
            "begins" => {
                let mut known = scenario.happenings.iter().chain(scenario.acts());
                let effect = known.find(|one| one.name == mark.name).map(|one| one.effect);
                let (what, of) = effect.map_or((None, Vec::new()), |effect| shown(scenario, effect));
                list.push(Happened {
                    name: mark.name.clone(),
                    what,
                    of,
                    from_ms: mark.at_ms,
                    to_ms: None,
                });
            }
            "ends" => {
                let begun = list
                    .iter_mut()
                    .find(|one| one.name == mark.name && one.to_ms.is_none());
                if let Some(begun) = begun {
                    begun.to_ms = Some(mark.at_ms);
                }
            }
            _ => {}
        }
    }
    list
}

/// The kind of act that does the same, and to what.
pub(crate) fn shown(scenario: &Scenario, effect: Effect) -> (Option<ActKind>, Vec<String>) {
    let contact = |at: usize| scenario.contacts[at].name.clone();
    match effect {
        Effect::ContactWelded(one) => (Some(ActKind::Weld), vec![contact(one.0)]),
        Effect::BoxWelded(of) => {
            let all = scenario.in_box(of).map(|one| contact(one.0));
            (Some(ActKind::Weld), all.collect())
        }
        Effect::HeaterDead(one) => (
            Some(ActKind::KillHeater),
            vec![scenario.heaters[one.0].name.clone()],
        ),
        Effect::PumpStopped(one) => (Some(ActKind::StopPump), vec![scenario.pumps[one.0].name.clone()]),
        Effect::ProbeOutOfWater(one) => (
            Some(ActKind::PullProbe),
            vec![scenario.probes[one.0].name.clone()],
        ),
        Effect::PowerOut => (Some(ActKind::CutPower), Vec::new()),
        _ => (None, Vec::new()),
    }
}
