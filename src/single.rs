//! One run as a record.

use tepid_output::cautions;
use tepid_output::records::{FORMAT_VERSION, FaultCase, Livestock, RecordKind, RunResult, RunScores, Tariff};
use tepid_sim::ids::ContactId;
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scenario::{Effect, Happening, Scenario};
use tepid_sim::scores::Scores;
use tepid_sim::time::hours;
use tepid_sim::trace::TraceSink;

use crate::{mixing, rooms, valid_range};

/// Runs it and fills the record. `fault` names the set and case that the request's faults come from.
pub fn single(
    request: &RunRequest<'_>,
    fault: Option<FaultCase>,
    trace: Option<&mut dyn TraceSink>,
) -> RunResult {
    let outcome = run(request, trace);
    let scenario = request.scenario;
    let mut all = cautions::for_happenings(scenario, scenario.happenings.iter().chain(request.faults));
    all.extend(cautions::for_equipment(scenario));
    let fan_names: Vec<String> = scenario.fans.iter().map(|fan| fan.name.clone()).collect();
    let mut warnings = mixing::warnings_of_run(scenario, request.faults);
    if let Ok(scores) = &outcome {
        warnings.extend(mixing::still_in_run(scenario, request.faults, scores));
    }
    warnings.extend(outcome.iter().flat_map(valid_range::of_run));
    let (scores, failure) = match &outcome {
        Ok(scores) => {
            all.extend(bodies(scores));
            let mut scores = RunScores::new(scores, &fan_names);
            for (index, contact) in scores.contacts.iter_mut().enumerate() {
                let happenings = scenario.happenings.iter().chain(request.faults);
                if sticks(scenario, happenings, ContactId(index)) {
                    contact.life_years = None;
                }
            }
            if scenario.room.lumped.is_some() {
                let end_ms = request.end_ms;
                let (lowest_c, highest_c) =
                    rooms::range_c(scenario, request.seed, request.replicate, 0, end_ms);
                scores.room.outdoors_c = Some([lowest_c, highest_c]);
            }
            (Some(scores), None)
        }
        Err(error) => (None, Some(error.to_string())),
    };
    RunResult {
        replay: None,
        format: RecordKind::Run,
        version: FORMAT_VERSION,
        scenario: scenario.name.clone(),
        title: scenario.title.clone(),
        strategy: request.recipe.name().to_owned(),
        settings: request.recipe.settings(),
        fault,
        seed: request.seed,
        replicate: request.replicate,
        target_c: scenario.water.target_c,
        band_c: [scenario.water.band_c.0, scenario.water.band_c.1],
        scores,
        tariff: scenario.tariff.as_ref().map(Tariff::from),
        failure,
        livestock: Livestock::from(&scenario.livestock),
        warnings,
        assumptions: scenario.assumptions.clone(),
        cautions: cautions::gathered(all),
    }
}

/// Whether a contact welds or stays open: what it did before says nothing of its life.
pub(crate) fn sticks<'h>(
    scenario: &Scenario,
    happenings: impl IntoIterator<Item = &'h Happening>,
    contact: ContactId,
) -> bool {
    let in_box = scenario.contacts[contact.0].in_box;
    happenings.into_iter().any(|happening| match happening.effect {
        Effect::ContactWelded(stuck) | Effect::ContactStuckOpen(stuck) => stuck == contact,
        Effect::BoxWelded(of) | Effect::BoxStuckOpen(of) => in_box == Some(of),
        _ => false,
    })
}

/// Cautions of heaters that ran dry.
fn bodies(scores: &Scores) -> impl Iterator<Item = cautions::Cautioned> {
    scores.heaters.iter().filter_map(|heater| {
        cautions::for_body(&heater.heater, heater.hottest_body_c)
            .or_else(|| cautions::for_exposure(&heater.heater, hours(heater.in_air_ms)))
    })
}
