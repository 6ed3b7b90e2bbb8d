use super::*;
use crate::ids::TankId;
use crate::physics::moist_air::wet_bulb_c;
use crate::scenario::{Pane, PaneMaterial};
use approx::assert_relative_eq;

/// A glass tank of 120 × 50 cm with 45 cm of water.
pub(crate) fn tank() -> Tank {
    Tank {
        name: "display".into(),
        length_m: 1.2,
        width_m: 0.5,
        height_m: 0.5,
        water_height_m: 0.45,
        pane: Pane {
            material: PaneMaterial::Glass,
            thickness_m: 0.012,
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

fn water(salinity_g_per_kg: f64) -> Water {
    Water {
        salinity_g_per_kg,
        target_c: 25.5,
        band_c: (25.0, 26.0),
        salinity_range_g_per_kg: None,
        pressure_pa: 101_325.0,
        evaporation: Evaporation::Shah,
    }
}

fn fan(length_m: f64, share_frac: f64) -> Fan {
    Fan {
        name: "fan".into(),
        tank: TankId(0),
        power_w: 5.0,
        speed_m_per_s: 2.0,
        length_m,
        share_frac,
        chain: Vec::new(),
    }
}

fn air(temp_c: f64, humidity_frac: f64) -> Air {
    Air::from_relative_humidity(temp_c, humidity_frac, 101_325.0)
}

const LID: Cover = Cover::Lid {
    thickness_m: 0.004,
    extra_m2_k_per_w: 0.0,
};

/// Root of a rising function by bisection.
fn root(mut low: f64, mut high: f64, rising: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if rising(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

#[test]
fn warm_water_loses_heat_on_every_path() {
    let loss = Surface::new(&tank(), &water(35.0), LID, &[]).losses(26.0, air(21.0, 0.5), 21.0);
    for part in [
        loss.evaporation_kg_per_s,
        loss.evaporation_w,
        loss.convection_w,
        loss.radiation_w,
        loss.lid_w,
    ] {
        assert!(part > 0.0);
    }
}

#[test]
fn cold_water_in_warm_damp_air_gains_heat_on_every_path() {
    let loss = Surface::new(&tank(), &water(35.0), LID, &[]).losses(18.0, air(28.0, 0.8), 28.0);
    for part in [
        loss.evaporation_kg_per_s,
        loss.evaporation_w,
        loss.convection_w,
        loss.radiation_w,
        loss.lid_w,
    ] {
        assert!(part < 0.0);
    }
}

#[test]
fn water_as_warm_as_the_room_loses_heat_by_evaporation_alone() {
    let loss = Surface::new(&tank(), &water(35.0), Cover::Open, &[]).losses(25.5, air(25.5, 0.5), 25.5);
    assert!(loss.evaporation_w > 0.0);
    assert_eq!((loss.convection_w, loss.radiation_w, loss.lid_w), (0.0, 0.0, 0.0));
}

#[test]
fn salt_and_covers_lower_evaporation_and_agitation_raises_it() {
    let rate = |tank: &Tank, salinity, cover| {
        Surface::new(tank, &water(salinity), cover, &[])
            .losses(26.0, air(21.0, 0.5), 21.0)
            .evaporation_kg_per_s
    };
    let still = rate(&tank(), 0.0, Cover::Open);
    assert!(rate(&tank(), 35.0, Cover::Open) < still);
    assert_relative_eq!(rate(&tank(), 0.0, Cover::Mesh), 0.9 * still, max_relative = 1e-14);
    assert_relative_eq!(rate(&tank(), 0.0, LID), 0.1 * still, max_relative = 1e-14);
    let stirred = Tank {
        agitation: 1.5,
        ..tank()
    };
    assert_relative_eq!(
        rate(&stirred, 0.0, Cover::Open),
        1.5 * still,
        max_relative = 1e-14
    );
}

#[test]
fn one_kelvin_is_worth_about_sixty_pascal() {
    assert_relative_eq!(psychrometric_pa_per_k(25.0, air(25.0, 0.5)), 60.2, epsilon = 0.1);
}

#[test]
fn under_a_fan_evaporation_and_convection_balance_at_the_root_of_the_psychrometric_equation() {
    for salinity in [0.0, 35.0] {
        let outside = air(30.0, 0.4);
        let surface = Surface::new(&tank(), &water(salinity), Cover::Open, &[&fan(0.5, 1.0)]);
        let rest_c = root(5.0, 30.0, |water_c| {
            let loss = surface.losses(water_c, outside, water_c);
            loss.evaporation_w + loss.convection_w
        });
        let expected_c = root(5.0, 30.0, |water_c| {
            // γ written out: c_p p Le^⅔ / (0.621945 h_fg), c_p of dry air 1006.5 J/(kg K) at 30 °C.
            let gamma =
                1006.5 * 101_325.0 * libm::pow(0.85, 2.0 / 3.0) / (0.621_945 * (2.501e6 - 2361.0 * water_c));
            (1.0 - 0.000_537 * salinity) * saturation_pressure_pa(water_c) - outside.vapour_pressure_pa
                + gamma * (water_c - 30.0)
        });
        assert!((rest_c - expected_c).abs() < 1e-3, "{rest_c} {expected_c}");
    }
}

#[test]
fn a_fan_cools_fresh_water_a_quarter_kelvin_below_the_wet_bulb_because_vapour_spreads_faster_than_heat() {
    let outside = air(30.0, 0.4);
    let surface = Surface::new(&tank(), &water(0.0), Cover::Open, &[&fan(0.5, 1.0)]);
    let rest_c = root(5.0, 30.0, |water_c| {
        let loss = surface.losses(water_c, outside, water_c);
        loss.evaporation_w + loss.convection_w
    });
    assert!(
        (wet_bulb_c(outside) - rest_c - 0.26).abs() < 0.05,
        "{} {rest_c}",
        wet_bulb_c(outside)
    );
}

#[test]
fn a_fan_over_part_of_the_surface_takes_less_and_a_longer_stream_less_per_area() {
    let rate = |fan: Fan| {
        Surface::new(&tank(), &water(35.0), Cover::Open, &[&fan])
            .losses(26.0, air(26.0, 0.5), 26.0)
            .evaporation_w
    };
    assert!(rate(fan(0.5, 0.5)) < rate(fan(0.5, 1.0)));
    assert!(rate(fan(1.2, 1.0)) < rate(fan(0.5, 1.0)));
}
