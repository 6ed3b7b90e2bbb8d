//! The same tank by other published correlations for evaporation: an honest error bar, for none of them is right within a fifth.

use tepid_output::records::{ByCorrelation, RoomKind};
use tepid_sim::network::NetworkError;
use tepid_sim::scenario::{Evaporation, Scenario};
use tepid_sim::still::StillPlant;
use tepid_sim::time::DAY;

use crate::budget::warmest;
use crate::rooms;

/// Correlations shown beside the scenario's own: of the pool form a quiet pool and a public one in use.
const SHOWN: [Evaporation; 4] = [
    Evaporation::Shah,
    Evaporation::AshraePool { activity: 0.5 },
    Evaporation::AshraePool { activity: 1.0 },
    Evaporation::Vdi2089,
];

/// Budgets of the scenario by its own correlation, first, and by the others.
///
/// # Errors
/// [`NetworkError`] if the scenario makes no network.
pub fn by_correlation(scenario: &Scenario) -> Result<Vec<ByCorrelation>, NetworkError> {
    let own = scenario.water.evaporation;
    let others = SHOWN.into_iter().filter(|shown| *shown != own);
    std::iter::once(own)
        .chain(others)
        .map(|correlation| row(scenario, correlation))
        .collect()
}

/// The scenario with another correlation. The activity factor of the pool form holds what stirs the surface, so there agitation is 1.
#[must_use]
pub fn with_correlation(scenario: &Scenario, correlation: Evaporation) -> Scenario {
    let mut changed = scenario.clone();
    if changed.water.evaporation != correlation && matches!(correlation, Evaporation::AshraePool { .. }) {
        for tank in &mut changed.tanks {
            tank.agitation = 1.0;
        }
    }
    changed.water.evaporation = correlation;
    changed
}

/// A correlation in words.
#[must_use]
pub fn words(correlation: Evaporation) -> String {
    match correlation {
        Evaporation::Shah => "Shah 2014".to_owned(),
        Evaporation::AshraePool { activity } => format!("ASHRAE pool form, activity {activity}"),
        Evaporation::Vdi2089 => "VDI 2089, pool not in use".to_owned(),
        _ => "a further correlation".to_owned(),
    }
}

fn row(scenario: &Scenario, correlation: Evaporation) -> Result<ByCorrelation, NetworkError> {
    let own = scenario.water.evaporation == correlation;
    let changed = with_correlation(scenario, correlation);
    let still = StillPlant::new(&changed)?;
    let target_c = changed.water.target_c;
    let (room_c, humidity_frac) = rooms::still_room(&changed, &still, RoomKind::Scenario);
    let air = still.air(room_c, humidity_frac);
    let losses = still.losses(target_c, air);
    let hottest = changed.room.warmest;
    let all_on = vec![true; changed.heaters.len()];
    let end = still.plateau_c(still.air(hottest.temp_c, hottest.relative_humidity_frac), &all_on);
    Ok(ByCorrelation {
        correlation: words(correlation),
        own,
        total_loss_w: losses.total_w(),
        slope_w_per_k: still.slope_w_per_k(target_c, air),
        evaporation_l_per_day: losses.evaporation_kg_per_s * (DAY / 1000) as f64,
        warmest_end_c: end.map(|waters_c| warmest(&changed, &waters_c)),
    })
}
