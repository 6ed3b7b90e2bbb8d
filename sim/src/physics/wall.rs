//! Heat through panes: water, inner film, pane, insulation, outer film, room.
//!
//! # Equation
//! `Q = A (T_w − T_e)/(1/h_i + d/k + R_extra + 1/(h_c + h_r))`, `T_e = (h_c T_a + h_r T_rad)/(h_c + h_r)`
//! ([`Wall::heat_loss_w`]). h_c: vertical plate of Churchill and Chu, or a horizontal face, at |T_face − T_a|; h_r
//! radiation, ε 0.9. T_face, where both fluxes agree: one step of Newton and one of the secant from a first guess. A
//! bottom that stands on something has R_extra in place of the outer film. Capacity of the panes that follows the water:
//! `ρ c d A [1 − U (1/h_i + d/2k)]` ([`pane_heat_capacity_j_per_k`]).
//!
//! # Units
//! Q W, positive from water to room; A m², inner wetted area times its free share; h W/(m² K); d m; k W/(m K);
//! R m² K/W; temperatures °C; ρ kg/m³; c J/(kg K).
//!
//! # Source
//! Series resistances, textbook. Films: `natural_convection.rs`, `radiation.rs`. Constants: see each.
//!
//! # Valid for
//! Tanks 0.1–1.5 m high in room air; face and air up to 40 K apart. Prandtl number taken at 22 °C (0.1 % of h_c).
//!
//! # Left out
//! Edges and silicone, panes above the water, draughts, the stand's own film, heat along the panes. A share against a
//! wall is adiabatic.
//!
//! # Checked by
//! Tests in this file: the flux within 2e-5 of that found by bisection, signs;
//! `tests/verification/natural_convection_table.rs` and `radiation_table.rs` for the films;
//! `tests/verification/reference_tank.rs` for a whole tank.

use super::dry_air::DryAir;
use super::moist_air::Air;
use super::natural_convection::{ChurchillChu, warm_face_down, warm_face_up};
use super::radiation::{PANE_EMISSIVITY, coefficient_w_per_m2_k};
use crate::scenario::{PaneMaterial, Tank};

/// Film coefficient of stirred water inside a pane, W/(m² K). From memory; 1.4 % of the whole resistance of 12 mm of glass.
/// Valid where a pump moves the water.
pub const STIRRED_WATER_FILM_W_PER_M2_K: f64 = 500.0;
/// Convection and radiation together outside an indoor pane, W/(m² K): the first guess, and the nominal value for the
/// share of a pane's capacity. Source: ISO 6946 table 1, horizontal heat flow, R_si 0.13 m² K/W, as public programs that
/// cite it have it. Valid for vertical indoor faces.
pub const NOMINAL_OUTER_FILM_W_PER_M2_K: f64 = 7.7;
/// Temperature at which the Prandtl number of room air is taken, °C. A choice: 0.1 % of h_c over 0–45 °C.
const PRANDTL_AT_C: f64 = 22.0;
/// Share of radiation in the outer film for the first guess, unitless. A choice: it moves the result by less than 2e-5.
const GUESSED_RADIATIVE_FRAC: f64 = 0.65;
/// Growth of h_c ΔT with ΔT over h_c, unitless: 1 plus the exponent of natural convection, about ¼. A choice likewise.
const CONVECTION_SLOPE: f64 = 1.25;
/// Thermal conductivity of soda-lime glass, W/(m K). ASHRAE's table of building materials (float glass) as `ht`
/// 1.2.0 has it (source); textbooks 0.8 to 1.1. Valid for float glass at room temperature.
const GLASS_CONDUCTIVITY_W_PER_M_K: f64 = 1.0;
/// Density of soda-lime glass, kg/m³. The same source. Valid for float glass.
const GLASS_DENSITY_KG_PER_M3: f64 = 2500.0;
/// Specific heat of soda-lime glass, J/(kg K). The same source; 720 to 870 are printed elsewhere. Valid at room
/// temperature.
const GLASS_SPECIFIC_HEAT_J_PER_KG_K: f64 = 840.0;
/// Thermal conductivity of acrylic, W/(m K). The table of makeitfrom.com (source); DIN EN 12524 in `ht` 1.2.0 has
/// 0.18 and 0.20. Valid at room temperature.
const ACRYLIC_CONDUCTIVITY_W_PER_M_K: f64 = 0.19;
/// Density of cast acrylic, kg/m³. The table of designerdata.nl (source); DIN EN 12524 in `ht` 1.2.0 has 1180.
/// Valid for cast and extruded sheets.
const ACRYLIC_DENSITY_KG_PER_M3: f64 = 1190.0;
/// Specific heat of acrylic, J/(kg K). From memory, between 1450 of matmake.com's table and 1500 of DIN EN 12524 in
/// `ht` 1.2.0. Valid at room temperature.
const ACRYLIC_SPECIFIC_HEAT_J_PER_KG_K: f64 = 1470.0;

/// Which way the outer face looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Facing {
    /// A side.
    Sideways,
    /// A lid.
    Up,
    /// A bottom in free air.
    Down,
    /// A bottom on a stand: no outer film.
    OnStand,
}

/// One group of like panes, or a lid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wall {
    /// Area that loses heat, m².
    pub area_m2: f64,
    /// Which way the outer face looks.
    pub facing: Facing,
    /// Length of the outer film, m: height of a side, area over perimeter of a horizontal face.
    pub length_m: f64,
    /// Film on the water's side, W/(m² K).
    pub inner_film_w_per_m2_k: f64,
    /// Pane alone, thickness over conductivity, m² K/W.
    pub pane_m2_k_per_w: f64,
    /// Insulation outside, m² K/W.
    pub extra_m2_k_per_w: f64,
    side_film: ChurchillChu,
}

/// The film outside a pane.
struct OuterFilm {
    convective_w_per_m2_k: f64,
    radiative_w_per_m2_k: f64,
    loss_w_per_m2: f64,
}

impl Wall {
    /// A wall of its parts.
    #[must_use]
    pub fn new(
        area_m2: f64,
        facing: Facing,
        length_m: f64,
        inner_film_w_per_m2_k: f64,
        pane_m2_k_per_w: f64,
        extra_m2_k_per_w: f64,
    ) -> Self {
        let prandtl = DryAir::at(PRANDTL_AT_C, super::STANDARD_PRESSURE_PA).prandtl();
        Self {
            area_m2,
            facing,
            length_m,
            inner_film_w_per_m2_k,
            pane_m2_k_per_w,
            extra_m2_k_per_w,
            side_film: ChurchillChu::vertical_plate(prandtl),
        }
    }

    /// The four sides of a tank as one group, as high as the water stands.
    #[must_use]
    pub fn sides(tank: &Tank) -> Self {
        Self::new(
            sides_m2(tank) * tank.pane.free_sides_frac,
            Facing::Sideways,
            tank.water_height_m,
            STIRRED_WATER_FILM_W_PER_M2_K,
            tank.pane.thickness_m / conductivity_w_per_m_k(tank.pane.material),
            tank.pane.extra_sides_m2_k_per_w,
        )
    }

    /// The same wall with more insulation outside, m² K/W.
    #[must_use]
    pub fn wrapped(mut self, more_m2_k_per_w: f64) -> Self {
        self.extra_m2_k_per_w += more_m2_k_per_w;
        self
    }

    /// The same sides with the water at another height, m.
    #[must_use]
    pub fn as_high_as(&self, water_height_m: f64) -> Self {
        Self {
            area_m2: self.area_m2 * (water_height_m / self.length_m),
            length_m: water_height_m,
            ..*self
        }
    }

    /// The bottom of a tank.
    #[must_use]
    pub fn bottom(tank: &Tank) -> Self {
        let extra_m2_k_per_w = tank.pane.extra_bottom_m2_k_per_w;
        Self::new(
            tank.surface_m2() * tank.pane.free_bottom_frac,
            if extra_m2_k_per_w > 0.0 {
                Facing::OnStand
            } else {
                Facing::Down
            },
            horizontal_length_m(tank),
            STIRRED_WATER_FILM_W_PER_M2_K,
            tank.pane.thickness_m / conductivity_w_per_m_k(tank.pane.material),
            extra_m2_k_per_w,
        )
    }

    /// Heat from the water to the room, W, at a water temperature and a temperature of the surrounding surfaces in °C.
    #[must_use]
    pub fn heat_loss_w(&self, water_c: f64, air: Air, radiant_c: f64) -> f64 {
        let inside = self.inside_m2_k_per_w();
        if self.facing == Facing::OnStand {
            return self.area_m2 * (water_c - air.temp_c) / inside;
        }
        let guessed_c = air.temp_c + GUESSED_RADIATIVE_FRAC * (radiant_c - air.temp_c);
        let first_c = guessed_c + (water_c - guessed_c) / (1.0 + NOMINAL_OUTER_FILM_W_PER_M2_K * inside);
        let first = self.outer_film(first_c, air, radiant_c);
        let surplus = first.loss_w_per_m2 - (water_c - first_c) / inside;
        let step_k = -surplus
            / (1.0 / inside + CONVECTION_SLOPE * first.convective_w_per_m2_k + first.radiative_w_per_m2_k);
        let second_c = first_c + step_k;
        let second = self.outer_film(second_c, air, radiant_c);
        // A step of zero gives no slope (0/0), and none is needed then.
        let slope = ((second.loss_w_per_m2 - first.loss_w_per_m2) / step_k).max(0.0);
        let surplus = second.loss_w_per_m2 - (water_c - second_c) / inside;
        self.area_m2 * (second.loss_w_per_m2 - surplus * slope / (slope + 1.0 / inside))
    }

    /// The outer film at a face temperature in °C.
    fn outer_film(&self, face_c: f64, air: Air, radiant_c: f64) -> OuterFilm {
        let warmer_k = face_c - air.temp_c;
        let film = DryAir::at(0.5 * (face_c + air.temp_c), air.pressure_pa);
        let rayleigh =
            film.rayleigh_per_k_m3() * warmer_k.abs() * self.length_m * self.length_m * self.length_m;
        let nusselt = match (self.facing, warmer_k > 0.0) {
            (Facing::Sideways | Facing::OnStand, _) => self.side_film.nusselt(rayleigh),
            (Facing::Up, true) | (Facing::Down, false) => warm_face_up(rayleigh),
            (Facing::Up, false) | (Facing::Down, true) => warm_face_down(rayleigh),
        };
        let convective = nusselt * film.conductivity_w_per_m_k / self.length_m;
        let radiative = coefficient_w_per_m2_k(PANE_EMISSIVITY, face_c, radiant_c);
        OuterFilm {
            convective_w_per_m2_k: convective,
            radiative_w_per_m2_k: radiative,
            loss_w_per_m2: convective * warmer_k + radiative * (face_c - radiant_c),
        }
    }

    fn inside_m2_k_per_w(&self) -> f64 {
        1.0 / self.inner_film_w_per_m2_k + self.pane_m2_k_per_w + self.extra_m2_k_per_w
    }

    /// Share of the pane's capacity that follows the water, at the nominal outer film, 0..=1.
    fn share_that_follows_the_water(&self) -> f64 {
        let outer = if self.facing == Facing::OnStand {
            0.0
        } else {
            1.0 / NOMINAL_OUTER_FILM_W_PER_M2_K
        };
        let to_middle = 1.0 / self.inner_film_w_per_m2_k + 0.5 * self.pane_m2_k_per_w;
        1.0 - to_middle / (self.inside_m2_k_per_w() + outer)
    }
}

/// Thermal conductivity of a pane, W/(m K).
#[must_use]
pub fn conductivity_w_per_m_k(material: PaneMaterial) -> f64 {
    match material {
        PaneMaterial::Glass => GLASS_CONDUCTIVITY_W_PER_M_K,
        PaneMaterial::Acrylic => ACRYLIC_CONDUCTIVITY_W_PER_M_K,
    }
}

/// Heat capacity of a pane's volume, J/(m³ K): density times specific heat.
#[must_use]
pub fn volumetric_capacity_j_per_m3_k(material: PaneMaterial) -> f64 {
    match material {
        PaneMaterial::Glass => GLASS_DENSITY_KG_PER_M3 * GLASS_SPECIFIC_HEAT_J_PER_KG_K,
        PaneMaterial::Acrylic => ACRYLIC_DENSITY_KG_PER_M3 * ACRYLIC_SPECIFIC_HEAT_J_PER_KG_K,
    }
}

/// Heat capacity of the wetted panes that follows the water, J/K. A part that is not free follows wholly.
#[must_use]
pub fn pane_heat_capacity_j_per_k(tank: &Tank) -> f64 {
    let per_m2 = volumetric_capacity_j_per_m3_k(tank.pane.material) * tank.pane.thickness_m;
    let group = |wall: Wall, whole_m2: f64| {
        per_m2 * (whole_m2 - wall.area_m2 + wall.area_m2 * wall.share_that_follows_the_water())
    };
    group(Wall::sides(tank), sides_m2(tank)) + group(Wall::bottom(tank), tank.surface_m2())
}

/// Length of a horizontal face for natural convection, m: area over perimeter, as `natural_convection.rs` says.
#[must_use]
pub fn horizontal_length_m(tank: &Tank) -> f64 {
    tank.surface_m2() / (2.0 * (tank.length_m + tank.width_m))
}

fn sides_m2(tank: &Tank) -> f64 {
    2.0 * (tank.length_m + tank.width_m) * tank.water_height_m
}

#[cfg(test)]
mod tests;
