//! How much a strategy's closings hang on the heat that heater bodies hold, the least certain figure of a relay's limit cycle.

use tepid_output::records::{ClosingsByBody, ClosingsWithBody};
use tepid_sim::run::{RunRequest, run};
use tepid_sim::scores::Scores;

/// Asked where a contact closes at least so often a day.
const ASKED_FROM_PER_DAY: f64 = 49.5;

/// Heat capacities tried, as shares of the one assumed: how far bodies of one rating may differ, an assumption.
const CAPACITY_TIMES_FRAC: [f64; 2] = [0.7, 1.5];

/// The closings of the busiest commanded contact with other bodies; `None` where it closes too seldom to ask, or a run failed.
#[must_use]
pub fn by_body(request: &RunRequest<'_>, scores: &Scores) -> Option<ClosingsByBody> {
    let commanded = |index: &usize| request.scenario.contacts[*index].role.is_some();
    let busiest = (0..scores.contacts.len()).filter(commanded).max_by(|a, b| {
        let closings = |index: &usize| scores.contacts[*index].closings_per_day;
        closings(a).total_cmp(&closings(b))
    })?;
    let closings_per_day = scores.contacts[busiest].closings_per_day;
    if closings_per_day < ASKED_FROM_PER_DAY {
        return None;
    }
    let with = CAPACITY_TIMES_FRAC.map(|capacity_times_frac| {
        let mut scenario = request.scenario.clone();
        for heater in &mut scenario.heaters {
            heater.body.heat_capacity_j_per_k *= capacity_times_frac;
        }
        let scores = run(
            &RunRequest {
                scenario: &scenario,
                ..*request
            },
            None,
        );
        scores.ok().map(|scores| ClosingsWithBody {
            capacity_times_frac,
            closings_per_day: scores.contacts[busiest].closings_per_day,
        })
    });
    Some(ClosingsByBody {
        contact: scores.contacts[busiest].contact.clone(),
        closings_per_day,
        with: with.into_iter().collect::<Option<Vec<_>>>()?,
    })
}
