//! What would change a replay most: the same log on a tank that is a little otherwise, one thing at a time.

use tepid_output::records::{Replay, ReplayChange};
use tepid_sim::network::NetworkError;
use tepid_sim::run::{RunError, RunRequest, run};
use tepid_sim::scenario::Scenario;
use tepid_sim::still::StillPlant;

use super::{ReplayError, Replayed};

/// How much more is lost, held or lacking, as a share. A choice.
const MORE_FRAC: f64 = 0.1;

/// How much warmer the room is taken, K. A choice: about what a thermometer elsewhere in the room is off.
const WARMER_K: f64 = 1.0;

/// Why what would change it cannot be told.
#[derive(Debug, thiserror::Error)]
pub enum ReplayChangesError {
    /// The changed scenario cannot be replayed.
    #[error(transparent)]
    Replay(#[from] ReplayError),
    /// It makes no network.
    #[error(transparent)]
    Network(#[from] NetworkError),
    /// It cannot be run.
    #[error(transparent)]
    Run(#[from] RunError),
}

impl Replayed {
    /// The run of `request`, told as `as_it_is`, under other circumstances, the largest change first: in the watts of the heaters and, for each kelvin of
    /// the water, those that would hold it. `request` is that of [`Replayed::scenario`].
    ///
    /// # Errors
    /// [`ReplayChangesError`].
    pub fn changes(
        &self,
        request: &RunRequest<'_>,
        as_it_is: &Replay,
    ) -> Result<Vec<ReplayChange>, ReplayChangesError> {
        let percent = 100.0 * MORE_FRAC;
        let mut bases = vec![
            self.changed(format!("losses {percent:.0} % larger"), |base| {
                base.fitted.losses_frac *= 1.0 + MORE_FRAC;
            }),
            self.changed(format!("water and panes hold {percent:.0} % more heat"), |base| {
                base.fitted.capacity_frac *= 1.0 + MORE_FRAC;
            }),
        ];
        if !self.base.heaters.is_empty() {
            bases.push(self.changed(format!("heaters {percent:.0} % weaker"), |base| {
                for heater in &mut base.heaters {
                    heater.power_w *= 1.0 - MORE_FRAC;
                }
            }));
        }
        if self.log.rows.iter().any(|row| row.room_c.is_some()) {
            bases.push(self.changed(format!("the room {WARMER_K:.0} K warmer"), |base| {
                base.fitted.room_offset_k += WARMER_K;
            }));
        }
        let mut changes = Vec::new();
        for (what, base) in bases {
            let changed = Self::new(&base, &self.log)?;
            let request = RunRequest {
                scenario: &changed.scenario,
                ..*request
            };
            let mut beside = changed.beside();
            run(&request, Some(&mut beside))?;
            changes.extend(beside.finish().map(|replay| ReplayChange {
                what,
                simulated: replay.simulated,
                mean_difference_k: replay.mean_difference_k,
                simulated_heaters_w: replay.simulated_heaters_w,
            }));
        }
        let still = StillPlant::new(&self.scenario)?;
        let slope_w_per_k = {
            let room = still.room();
            let air = still.air(room.temp_c, room.relative_humidity_frac);
            still.slope_w_per_k(self.scenario.water.target_c, air)
        };
        let moved_w = |change: &ReplayChange| {
            let water_k = (change.mean_difference_k - as_it_is.mean_difference_k).abs();
            let heaters_w = (change.simulated_heaters_w - as_it_is.simulated_heaters_w).abs();
            heaters_w + slope_w_per_k * water_k
        };
        changes.sort_by(|a, b| moved_w(b).total_cmp(&moved_w(a)));
        Ok(changes)
    }

    fn changed(&self, what: String, change: impl Fn(&mut Scenario)) -> (String, Scenario) {
        let mut base = self.base.clone();
        change(&mut base);
        (what, base)
    }
}
