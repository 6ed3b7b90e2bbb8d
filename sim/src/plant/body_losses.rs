//! What a heater's body loses to the air while no water meets it.

use crate::network::{Losses, Setting};
use crate::physics::heater_body::loss_in_air_w;
use crate::physics::moist_air::Air;
use crate::scenario::HeaterBody;

/// In water: the body's heat goes through its film, a coupling, and nothing is lost here. A convention of the mode.
pub(crate) const IN_WATER: u32 = 0;
/// In air. A convention of the mode.
pub(crate) const IN_AIR: u32 = 1;

/// One body.
#[derive(Debug)]
pub(super) struct BodyLosses(pub(super) HeaterBody);

impl Losses for BodyLosses {
    fn paths(&self) -> Vec<String> {
        vec!["into air".to_owned()]
    }

    fn evaluate(&self, node_c: f64, air: Air, setting: Setting, heat_w: &mut [f64]) -> f64 {
        heat_w[0] = if setting.choice == IN_WATER {
            0.0
        } else {
            -loss_in_air_w(&self.0, node_c, air)
        };
        0.0
    }
}
