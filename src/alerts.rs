//! What alerts are worth: the same failure with people who take ever longer, up to nobody.

use tepid_sim::run::{RunError, RunRequest, run};
use tepid_sim::scenario::{Happening, Response, ResponseTime, Scenario};
use tepid_sim::scores::Scores;
use tepid_sim::strategy::StrategyRecipe;
use tepid_sim::time::{Millis, hours};

/// One point of the curve.
#[derive(Debug, Clone, PartialEq)]
pub struct ResponseWorth {
    /// How long everybody takes from hearing an alert to setting to work, h; `None`: nobody answers.
    pub response_h: Option<f64>,
    /// First time somebody heard of an alert, h.
    pub heard_h: Option<f64>,
    /// First time somebody acted, h.
    pub acted_h: Option<f64>,
    /// Highest temperature of the worst tank, °C.
    pub highest_c: f64,
    /// Lowest temperature of the worst tank, °C.
    pub lowest_c: f64,
    /// The larger of its doses; 1 = used up.
    pub dose_used: f64,
    /// Time from somebody hearing to the dose being used up, h; negative = too late; `None`: either did not happen.
    pub lead_h: Option<f64>,
}

/// Runs these faults once for each response time, and once with nobody who answers. Quiet hours, days away and the way of the alert stay as
/// the scenario has them.
///
/// # Errors
/// A run that fails.
pub fn by_response(
    scenario: &Scenario,
    recipe: &dyn StrategyRecipe,
    faults: &[Happening],
    responses_ms: &[Millis],
    seed: u64,
) -> Result<Vec<ResponseWorth>, RunError> {
    let mut varied = scenario.clone();
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
                faults,
                ..RunRequest::new(&varied, recipe, seed)
            };
            run(&request, None).map(|scores| worth(answer_ms, &scores))
        })
        .collect()
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
        lead_h: scores.warning_lead_ms.map(hours),
    }
}

/// Whether an alert of the scenario makes anybody act.
pub(crate) fn somebody_acts(scenario: &Scenario) -> bool {
    scenario.watches.iter().any(|watch| !watch.acts.is_empty())
}
