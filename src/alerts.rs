//! What alerts are worth: the same failure with people who take ever longer, up to nobody.

use tepid_output::cautions;
use tepid_output::records::{FORMAT_VERSION, FaultCase, RecordKind, ResponseCurve, ResponseWorth};
use tepid_sim::run::{RunError, RunRequest, run};
use tepid_sim::scenario::{Response, ResponseTime, Scenario};
use tepid_sim::scores::Scores;
use tepid_sim::time::{HOUR, MINUTE, Millis, hours};

/// The response times of the curve that the command shows: at once, then doubling from a quarter of an hour to a day and more.
pub const RESPONSES_MS: [Millis; 9] = [
    0,
    15 * MINUTE,
    30 * MINUTE,
    HOUR,
    2 * HOUR,
    4 * HOUR,
    8 * HOUR,
    16 * HOUR,
    32 * HOUR,
];

/// Runs it once for each response time, and once with nobody who answers. Quiet hours, days away and the way of the alert stay as the scenario
/// has them.
///
/// # Errors
/// A run that fails.
pub fn by_response(
    request: &RunRequest<'_>,
    responses_ms: &[Millis],
) -> Result<Vec<ResponseWorth>, RunError> {
    let mut varied = request.scenario.clone();
    let answers = responses_ms.iter().copied().map(Some).chain([None]);
    answers
        .map(|answer_ms| {
            let time = answer_ms.map_or(ResponseTime::Never, |median_ms| ResponseTime::Lognormal {
                median_ms,
                spread: 1.0,
            });
            for person in &mut varied.persons {
                person.responses = vec![Response { hours: None, time }];
            }
            let request = RunRequest {
                scenario: &varied,
                ..*request
            };
            run(&request, None).map(|scores| worth(answer_ms, &scores))
        })
        .collect()
}

/// The curve as a record. `fault` names the set and case that the request's faults come from.
///
/// # Errors
/// A run that fails.
pub fn response_curve(request: &RunRequest<'_>, fault: Option<FaultCase>) -> Result<ResponseCurve, RunError> {
    let scenario = request.scenario;
    let mut all = cautions::for_happenings(scenario, scenario.happenings.iter().chain(request.faults));
    all.extend(cautions::for_equipment(scenario));
    Ok(ResponseCurve {
        format: RecordKind::ResponseCurve,
        version: FORMAT_VERSION,
        scenario: scenario.name.clone(),
        title: scenario.title.clone(),
        strategy: request.recipe.name().to_owned(),
        settings: request.recipe.settings(),
        fault,
        seed: request.seed,
        replicate: request.replicate,
        rows: by_response(request, &RESPONSES_MS)?,
        cautions: cautions::gathered(all),
    })
}

fn worth(answer_ms: Option<Millis>, scores: &Scores) -> ResponseWorth {
    let tank = &scores.tanks[scores.worst_tank];
    ResponseWorth {
        response_h: answer_ms.map(hours),
        heard_h: scores.heard.as_ref().map(|heard| hours(heard.at_ms)),
        acted_h: scores.acted_ms.map(hours),
        highest_c: tank.highest_c,
        lowest_c: tank.lowest_c,
        dose_used: tank.hot.used.max(tank.cold.used),
        by_cold: tank.cold.used > tank.hot.used,
        lead_h: scores.warning_lead_ms.map(hours),
    }
}

/// Whether an alert of the scenario makes anybody act.
#[must_use]
pub fn somebody_acts(scenario: &Scenario) -> bool {
    scenario.watches.iter().any(|watch| !watch.acts.is_empty())
}
