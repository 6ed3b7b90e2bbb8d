//! A whole tank against an independent implementation of the same equations, which was written from their description
//! and shares no code with this one; its figures are rounded to a watt.
//!
//! Display 120 × 50 cm, water 45 cm, 12 mm glass; sump 60 × 40 cm, water 25 cm, 6 mm glass; all sides and bottoms free,
//! open, undisturbed, 35 g/kg, water at 25.5 °C, room at 50 % relative humidity.

use tepid_sim::physics::moist_air::Air;
use tepid_sim::physics::surface::Surface;
use tepid_sim::physics::wall::{Wall, pane_heat_capacity_j_per_k};
use tepid_sim::physics::water::{density_kg_per_m3, specific_heat_j_per_kg_k};
use tepid_sim::scenario::{Cover, Evaporation, Pane, PaneMaterial, Tank, Water};

const SALINITY_G_PER_KG: f64 = 35.0;
const WATER_C: f64 = 25.5;

/// Relative: rounding to a watt is up to 4 % of the smallest figure, and a description leaves some choices open.
const READING_OF_A_DESCRIPTION: f64 = 0.05;

fn tank(name: &str, [length_m, width_m, water_height_m, thickness_m]: [f64; 4]) -> Tank {
    Tank {
        name: name.into(),
        length_m,
        width_m,
        height_m: water_height_m,
        water_height_m,
        pane: Pane {
            material: PaneMaterial::Glass,
            thickness_m,
            extra_sides_m2_k_per_w: 0.0,
            extra_bottom_m2_k_per_w: 0.0,
            free_sides_frac: 1.0,
            free_bottom_frac: 1.0,
        },
        cover: Cover::Open,
        rock_kg: 0.0,
        cabinet: None,
        livestock: true,
        agitation: 1.0,
        surroundings_offset_k: 0.0,
        proportions_assumed: false,
    }
}

fn display() -> Tank {
    tank("display", [1.2, 0.5, 0.45, 0.012])
}

fn sump() -> Tank {
    tank("sump", [0.6, 0.4, 0.25, 0.006])
}

/// Watts by path.
#[derive(Default)]
struct Loss {
    panes_w: f64,
    evaporation_w: f64,
    convection_w: f64,
    radiation_w: f64,
}

impl Loss {
    fn of(tanks: &[Tank], water_c: f64, room_c: f64) -> Self {
        let air = Air::from_relative_humidity(room_c, 0.5, 101_325.0);
        let water = Water {
            salinity_g_per_kg: SALINITY_G_PER_KG,
            target_c: WATER_C,
            band_c: (25.0, 26.0),
            pressure_pa: 101_325.0,
            evaporation: Evaporation::Shah,
        };
        let mut loss = Self::default();
        for tank in tanks {
            for wall in [Wall::sides(tank), Wall::bottom(tank)] {
                loss.panes_w += wall.heat_loss_w(water_c, air, room_c);
            }
            let surface = Surface::new(tank, &water, tank.cover, None).losses(water_c, air, room_c);
            loss.evaporation_w += surface.evaporation_w;
            loss.convection_w += surface.convection_w;
            loss.radiation_w += surface.radiation_w;
        }
        loss
    }

    fn total_w(&self) -> f64 {
        self.panes_w + self.evaporation_w + self.convection_w + self.radiation_w
    }
}

#[track_caller]
fn near(what: &str, found: f64, expected: f64) {
    assert!(
        (found / expected - 1.0).abs() <= READING_OF_A_DESCRIPTION,
        "{what}: {found}, expected {expected}"
    );
}

#[test]
fn the_loss_by_path_in_a_room_of_21_c() {
    let both = Loss::of(&[display(), sump()], WATER_C, 21.0);
    near("total", both.total_w(), 224.0);
    near("evaporation", both.evaporation_w, 99.0);
    near("walls and bottoms", both.panes_w, 90.0);
    near("radiation", both.radiation_w, 21.0);
    near("convection", both.convection_w, 14.0);
    near("sump", Loss::of(&[sump()], WATER_C, 21.0).total_w(), 63.0);
}

#[test]
fn the_loss_at_equal_temperatures_is_all_evaporation() {
    let both = Loss::of(&[display(), sump()], WATER_C, WATER_C);
    near("total", both.total_w(), 61.0);
    assert_eq!(both.panes_w + both.radiation_w + both.convection_w, 0.0);
}

#[test]
fn the_loss_in_a_room_of_25_c_and_its_slope_with_the_water() {
    near(
        "total",
        Loss::of(&[display(), sump()], WATER_C, 25.0).total_w(),
        78.0,
    );
    let at = |water_c| Loss::of(&[display(), sump()], water_c, 21.0).total_w();
    near("slope", (at(WATER_C + 0.1) - at(WATER_C - 0.1)) / 0.2, 44.0);
}

#[test]
fn the_heat_capacity_of_water_and_glass() {
    let volumetric =
        density_kg_per_m3(SALINITY_G_PER_KG, WATER_C) * specific_heat_j_per_kg_k(SALINITY_G_PER_KG, WATER_C);
    near("water", volumetric, 4.092e6);
    let both: f64 = [display(), sump()]
        .iter()
        .map(|tank| volumetric * tank.water_volume_m3() + pane_heat_capacity_j_per_k(tank))
        .sum();
    near("both tanks", both, 1.41e6);
}
