//! A page to pin to the tank: what to set and why, what to do first, how long there is, and a record of tests to sign.
//!
//! Hours are runs ([`crate::exposure`], [`crate::size::outage`]); what to do and how to test is common practice without a source, kept in one place each
//! (`first.rs`, `trials.rs`).

pub mod dates;
mod first;
mod hours;
mod settings;
mod trials;

use tepid_output::cautions::{self, Caution};
use tepid_output::records::{Card, FORMAT_VERSION, RecordKind};
use tepid_scenarios::StrategyFile;
use tepid_sim::run::{RunError, RunRequest, binds, run};
use tepid_sim::scenario::{CalendarDate, Effect, Happening, Lasts, Origin, PartLife, Scenario, When};
use tepid_sim::strategy::BindError;
use tepid_sim::time::hours;

use crate::budget::systems_alone;
use crate::exposure::HORIZON_MS;
use crate::size::SizeError;
use trials::Wear;

/// What to write a card for.
#[derive(Debug)]
pub struct CardRequest<'a> {
    /// The tank.
    pub scenario: &'a Scenario,
    /// Who controls it.
    pub strategy: &'a StrategyFile,
    /// Lives of its parts, usual ones where none are stated.
    pub lives: &'a [PartLife],
    /// The day it is put up; `None`: dates are left to be written by hand.
    pub date: Option<CalendarDate>,
    /// Seed of weather and noise.
    pub seed: u64,
}

/// Why there is no card.
#[derive(Debug, thiserror::Error)]
pub enum CardError {
    /// The strategy does not apply.
    #[error("{0}")]
    Bind(#[from] BindError),
    /// A run that was needed failed.
    #[error(transparent)]
    Run(#[from] RunError),
    /// The outage could not be run.
    #[error(transparent)]
    Outage(#[from] SizeError),
    /// A run with a fault failed.
    #[error("{0}")]
    Failed(String),
}

/// The card.
///
/// # Errors
/// [`CardError`].
pub fn card(request: &CardRequest<'_>) -> Result<Card, CardError> {
    let CardRequest {
        scenario, strategy, ..
    } = *request;
    let recipe = strategy.recipe.as_ref();
    binds(scenario, recipe)?;
    let scores = run(&RunRequest::new(scenario, recipe, request.seed), None)?;
    let wear = Wear {
        lives: request.lives,
        scores: &scores,
    };
    Ok(Card {
        format: RecordKind::Card,
        version: FORMAT_VERSION,
        scenario: scenario.name.clone(),
        title: scenario.title.clone(),
        strategy: strategy.name.clone(),
        date: request.date.map(dates::text),
        target_c: scenario.water.target_c,
        band_c: [scenario.water.band_c.0, scenario.water.band_c.1],
        settings: settings::settings(scenario, strategy),
        too_hot: first::too_hot(scenario),
        too_cold: first::too_cold(scenario),
        hours: hours::hours(scenario, recipe, request.seed)?,
        followed_h: hours(HORIZON_MS),
        trials: trials::trials(scenario, &wear, request.date),
        assumptions: assumptions(scenario)?,
        cautions: card_cautions(scenario),
    })
}

fn assumptions(scenario: &Scenario) -> Result<Vec<String>, RunError> {
    let mut all = vec![
        "what to do first, how to test and how often, where no interval is stated, is common practice, no source".to_owned(),
        "hours: each failure at its worst instant in the room in which it does most, nothing else broken, nobody acting but who the scenario says; another room, lid or stock makes them others"
            .to_owned(),
        "a part is replaced by when a tenth of its like has failed: usual lives are assumptions (`tepid odds`)".to_owned(),
        "what would change it most: a colder or warmer room than the year's stated, and oxygen, which is told only where the stock is stated".to_owned(),
    ];
    if !systems_alone(scenario)?.is_empty() {
        all.push(
            "several water systems share the room: an outage is told by `tepid size --outage` for each"
                .to_owned(),
        );
    }
    Ok(all)
}

fn card_cautions(scenario: &Scenario) -> Vec<cautions::Cautioned> {
    let outage = Happening {
        name: "mains out".to_owned(),
        when: When::At(0),
        lasts: Lasts::ToTheEnd,
        effect: Effect::PowerOut,
        origin: Origin::Fault,
    };
    let welded = tepid_scenarios::fault_set(scenario, "one contact welded");
    let welded = welded.iter().flat_map(|set| &set.cases).map(|case| &case.fault);
    let mut all = cautions::for_happenings(scenario, std::iter::once(&outage).chain(welded));
    all.extend(cautions::for_equipment(scenario));
    all.extend(
        [Caution::TestOnLivestock, Caution::DryHands].map(|caution| caution.because("tests and plugs")),
    );
    cautions::gathered(all)
}
