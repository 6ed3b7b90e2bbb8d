//! Heat through a lid of glass or acrylic over the water.
//!
//! # Equation
//! `Q_lid = (1 − φ) A U (T_w − T_e)`: a wall that faces up ([`lid`]), with a film of moist air that condenses on its
//! underside in place of the stirred water.
//!
//! # Units
//! Q W, positive from water to room; A surface of the water, m²; φ open share, unitless; U W/(m² K) as in `wall.rs`.
//!
//! # Source
//! `wall.rs`. Inner film 10–20 W/(m² K) with condensation, 15 here: from memory.
//!
//! # Valid for
//! A flat lid a few centimetres above the water, drops running back into the tank.
//!
//! # Left out
//! Heat through the rim and the panes above the water; lamps on the lid; the open gap is in `surface.rs`.
//!
//! # Checked by
//! Tests in this file and in `wall.rs`.

use super::wall::{Facing, Wall, conductivity_w_per_m_k, horizontal_length_m};
use crate::scenario::Tank;

/// Film between the water and a lid, condensation included, W/(m² K). From memory, 10–20. Valid for water warmer than its lid.
const CONDENSING_FILM_W_PER_M2_K: f64 = 15.0;

/// The closed part of a lid as a wall.
///
/// `closed_frac` is 1 − φ; `thickness_m` that of the lid, made of what the panes are; `extra_m2_k_per_w` a blanket on it.
#[must_use]
pub fn lid(tank: &Tank, closed_frac: f64, thickness_m: f64, extra_m2_k_per_w: f64) -> Wall {
    Wall::new(
        tank.surface_m2() * closed_frac,
        Facing::Up,
        horizontal_length_m(tank),
        CONDENSING_FILM_W_PER_M2_K,
        thickness_m / conductivity_w_per_m_k(tank.pane.material),
        extra_m2_k_per_w,
    )
}

#[cfg(test)]
mod tests {
    use crate::physics::moist_air::Air;
    use crate::physics::surface::tests::tank;

    /// Loss over the closed area and the temperature difference, W/(m² K), water 26 °C, room 20 °C.
    fn conductance_w_per_m2_k(extra_m2_k_per_w: f64) -> f64 {
        let air = Air::from_relative_humidity(20.0, 0.5, 101_325.0);
        super::lid(&tank(), 0.9, 0.004, extra_m2_k_per_w).heat_loss_w(26.0, air, 20.0) / (0.9 * 0.6 * 6.0)
    }

    #[test]
    fn a_lid_conducts_as_its_layers_worked_by_hand() {
        // 1/15 inside, 4 mm of glass, and outside a film between 6 and 10 W/(m² K); under a blanket, where little
        // convection is left, between 5 and 10.
        let bare = conductance_w_per_m2_k(0.0);
        assert!(
            (1.0 / (0.0707 + 0.1667)..1.0 / (0.0707 + 0.1)).contains(&bare),
            "{bare}"
        );
        let blanket = conductance_w_per_m2_k(10.0);
        assert!(
            (1.0 / (10.0707 + 0.2)..1.0 / (10.0707 + 0.1)).contains(&blanket),
            "{blanket}"
        );
    }

    #[test]
    fn a_blanket_on_the_lid_keeps_heat_in_and_heat_flows_from_warm_to_cold() {
        let air = Air::from_relative_humidity(20.0, 0.5, 101_325.0);
        let loss = |extra, water_c| super::lid(&tank(), 0.9, 0.004, extra).heat_loss_w(water_c, air, 20.0);
        assert!(loss(0.0, 26.0) > loss(0.3, 26.0));
        assert!(loss(0.3, 26.0) > 0.0);
        assert!(loss(0.0, 15.0) < 0.0);
    }
}
