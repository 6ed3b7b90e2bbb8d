//! The losses of one tank: sides, bottom and surface, under each cover and fan it may have.

use crate::ids::FanId;
use crate::network::{Losses, Setting};
use crate::physics::cabinet::cabinet_air;
use crate::physics::moist_air::Air;
use crate::physics::surface::Surface;
use crate::physics::wall::Wall;
use crate::scenario::{CabinetAir, Cover, Fan, Scenario, Tank};

/// Names of the paths, in the order they are filled.
const PATHS: [&str; 6] = ["sides", "bottom", "evaporation", "convection", "radiation", "lid"];

/// Position of the path whose heat leaves as vapour. By definition of the list of paths.
pub(crate) const EVAPORATION_PATH: usize = 2;

/// One tank's losses.
#[derive(Debug)]
pub(super) struct TankLosses {
    sides: Wall,
    bottom: Wall,
    /// By setting: cover × which fans run, as bits.
    surfaces: Vec<Surface>,
    cabinet: Option<CabinetAir>,
    surroundings_offset_k: f64,
    /// Real losses over computed ones.
    fitted_frac: f64,
}

impl TankLosses {
    pub(super) fn new(scenario: &Scenario, tank: &Tank, covers: &[Cover], fans: &[FanId]) -> Self {
        let mut surfaces = Vec::new();
        for cover in covers {
            for running in 0..1_u32 << fans.len() {
                let of_bit =
                    |(bit, fan): (usize, &FanId)| (running >> bit & 1 == 1).then(|| &scenario.fans[fan.0]);
                let blowing: Vec<&Fan> = fans.iter().enumerate().filter_map(of_bit).collect();
                surfaces.push(Surface::new(tank, &scenario.water, *cover, &blowing));
            }
        }
        Self {
            sides: Wall::sides(tank),
            bottom: Wall::bottom(tank),
            surfaces,
            cabinet: tank.cabinet,
            surroundings_offset_k: tank.surroundings_offset_k,
            fitted_frac: scenario.fitted.losses_frac,
        }
    }
}

impl Losses for TankLosses {
    fn paths(&self) -> Vec<String> {
        PATHS.map(str::to_owned).to_vec()
    }

    fn evaluate(&self, node_c: f64, air: Air, setting: Setting, heat_w: &mut [f64]) -> f64 {
        let air = self.cabinet.map_or(air, |cabinet| cabinet_air(air, cabinet));
        let radiant_c = air.temp_c + self.surroundings_offset_k;
        let surface = &self.surfaces[(setting.choice as usize).min(self.surfaces.len() - 1)];
        let sides = setting
            .water_height_m
            .map_or(self.sides, |height_m| self.sides.as_high_as(height_m))
            .wrapped(setting.wrap_m2_k_per_w);
        let lost = surface.losses(node_c, air, radiant_c);
        let fitted = |loss_w: f64| -loss_w * self.fitted_frac;
        heat_w.copy_from_slice(&[
            fitted(sides.heat_loss_w(node_c, air, radiant_c)),
            fitted(self.bottom.heat_loss_w(node_c, air, radiant_c)),
            fitted(lost.evaporation_w),
            fitted(lost.convection_w),
            fitted(lost.radiation_w),
            fitted(lost.lid_w),
        ]);
        lost.evaporation_kg_per_s * self.fitted_frac
    }
}
