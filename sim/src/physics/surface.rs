//! Heat and water lost by the open surface of a tank, and through its lid.
//!
//! # Equation
//! `Q_evap = φ A g (p_w − p_a) h_fg(T_w)`; `Q_conv = φ A g h_fg γ (T_w − T_a)`, `γ = c_p p Le^⅔/(ε h_fg)`;
//! `Q_rad = φ A ε_w σ (T_w⁴ − T_rad⁴)`; `Q_lid = (1 − φ) A U (T_w − T_e)` ([`Surface::losses`]).
//! `p_w = a_w p_sat(T_w)`; g: `evaporation.rs`, with a running fan `fan.rs`.
//!
//! # Units
//! Q W and E kg/s, all positive out of the water: condensation is negative. A m²; φ open share: open 1, net 0.9, lid
//! 0.1; g kg/(s m² Pa); p Pa; γ Pa/K, about 60; h_fg J/kg; ε = 0.621945, ε_w = 0.95; T °C, kelvin in T⁴.
//!
//! # Source
//! Bowen 1926 for the ratio of convection to evaporation, with Le^⅔ of Chilton and Colburn. Open shares: from memory.
//!
//! # Valid for
//! Water and air 0–45 °C at any inhabited altitude.
//!
//! # Left out
//! The cool film on the water (up to 0.2 K under a fan); spray; air trapped below the rim; the closed part of a net.
//!
//! # Checked by
//! `tests/verification/evaporation_shah_table.rs`; `reference_tank.rs` for a whole tank; tests in this
//! file: the rest temperature under a fan is the root of `a_w p_sat(T) − p_a + γ (T − T_a) = 0`.

use super::evaporation::still_air_conductance_kg_per_s_m2_pa;
use super::fan::{
    LEWIS_TO_TWO_THIRDS, UnderFan, forced_conductance_kg_per_s_m2_pa, under_fans_kg_per_s_m2_pa,
};
use super::moist_air::Air;
use super::radiation::{WATER_EMISSIVITY, net_flux_w_per_m2};
use super::vapour::{latent_heat_j_per_kg, saturation_pressure_pa, water_activity};
use super::wall::Wall;
use super::{VAPOUR_TO_AIR_MASS_RATIO, dry_air, lid};
use crate::scenario::{Cover, Evaporation, Fan, Tank, Water};

/// What a surface loses, everything positive out of the water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SurfaceLoss {
    /// Water evaporated, kg/s; negative: condensing.
    pub evaporation_kg_per_s: f64,
    /// Heat taken by it, W.
    pub evaporation_w: f64,
    /// Heat by convection from the open part, W.
    pub convection_w: f64,
    /// Heat by radiation from the open part, W.
    pub radiation_w: f64,
    /// Heat through the lid, W; 0 without one.
    pub lid_w: f64,
}

impl SurfaceLoss {
    /// All heat lost, W.
    #[must_use]
    pub fn total_w(&self) -> f64 {
        self.evaporation_w + self.convection_w + self.radiation_w + self.lid_w
    }
}

/// The surface of one tank under one cover, with the fans that run over it.
#[derive(Debug, Clone, PartialEq)]
pub struct Surface {
    open_m2: f64,
    lid: Option<Wall>,
    correlation: Evaporation,
    agitation: f64,
    water_activity: f64,
    streams: Vec<Stream>,
}

/// A running fan as the surface feels it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Stream {
    speed_m_per_s: f64,
    length_m: f64,
    share_frac: f64,
}

/// Open share of a surface under a net, unitless. From memory; threads and meshes vary. Valid for a net that
/// carries no dust or food.
const MESH_OPEN_FRAC: f64 = 0.9;
/// Open share of a surface under a lid with its cut-outs, unitless. From memory; gaps vary. Valid for lids with
/// gaps for hoses and cables.
const LID_OPEN_FRAC: f64 = 0.1;

/// Open share of the surface, unitless.
#[must_use]
pub fn open_frac(cover: Cover) -> f64 {
    match cover {
        Cover::Open => 1.0,
        Cover::Mesh => MESH_OPEN_FRAC,
        Cover::Lid { .. } => LID_OPEN_FRAC,
    }
}

impl Surface {
    /// The surface of a tank under the given cover (which need not be the tank's own); `fans` are those that run.
    #[must_use]
    pub fn new(tank: &Tank, water: &Water, cover: Cover, fans: &[&Fan]) -> Self {
        let open_frac = open_frac(cover);
        Self {
            open_m2: tank.surface_m2() * open_frac,
            lid: match cover {
                Cover::Open | Cover::Mesh => None,
                Cover::Lid {
                    thickness_m,
                    extra_m2_k_per_w,
                } => Some(lid::lid(tank, 1.0 - open_frac, thickness_m, extra_m2_k_per_w)),
            },
            correlation: water.evaporation,
            agitation: tank.agitation,
            water_activity: water_activity(water.salinity_g_per_kg),
            streams: fans
                .iter()
                .map(|fan| Stream {
                    speed_m_per_s: fan.speed_m_per_s,
                    length_m: fan.length_m,
                    share_frac: fan.share_frac,
                })
                .collect(),
        }
    }

    /// What it loses to the given air and to surfaces of a temperature in °C, at a water temperature in °C.
    #[must_use]
    pub fn losses(&self, water_c: f64, air: Air, radiant_c: f64) -> SurfaceLoss {
        let water_vapour_pa = self.water_activity * saturation_pressure_pa(water_c);
        let latent = latent_heat_j_per_kg(water_c);
        let per_pa = self.open_m2 * self.conductance_kg_per_s_m2_pa(water_c, water_vapour_pa, air);
        let evaporation_kg_per_s = per_pa * (water_vapour_pa - air.vapour_pressure_pa);
        SurfaceLoss {
            evaporation_kg_per_s,
            evaporation_w: evaporation_kg_per_s * latent,
            convection_w: per_pa * latent * psychrometric_pa_per_k(water_c, air) * (water_c - air.temp_c),
            radiation_w: self.open_m2 * net_flux_w_per_m2(WATER_EMISSIVITY, water_c, radiant_c),
            lid_w: self
                .lid
                .map_or(0.0, |lid| lid.heat_loss_w(water_c, air, radiant_c)),
        }
    }

    fn conductance_kg_per_s_m2_pa(&self, water_c: f64, water_vapour_pa: f64, air: Air) -> f64 {
        let still = still_air_conductance_kg_per_s_m2_pa(
            self.correlation,
            self.agitation,
            water_c,
            water_vapour_pa,
            air,
        );
        if self.streams.is_empty() {
            return still;
        }
        let under_fan = |stream: &Stream| UnderFan {
            forced_kg_per_s_m2_pa: forced_conductance_kg_per_s_m2_pa(
                stream.speed_m_per_s,
                stream.length_m,
                water_c,
                air.temp_c,
                air.pressure_pa,
            ),
            share_frac: stream.share_frac,
        };
        under_fans_kg_per_s_m2_pa(still, self.streams.iter().map(under_fan).collect())
    }
}

/// γ, Pa/K: vapour pressure difference that carries as much heat by evaporation as one kelvin by convection.
#[must_use]
pub fn psychrometric_pa_per_k(water_c: f64, air: Air) -> f64 {
    dry_air::specific_heat_j_per_kg_k(air.temp_c) * air.pressure_pa * LEWIS_TO_TWO_THIRDS
        / (VAPOUR_TO_AIR_MASS_RATIO * latent_heat_j_per_kg(water_c))
}

#[cfg(test)]
pub(crate) mod tests;
