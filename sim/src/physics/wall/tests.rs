use super::*;
use crate::physics::STANDARD_PRESSURE_PA;
use crate::physics::surface::tests::tank;
use crate::scenario::Pane;
use approx::assert_relative_eq;

fn air(temp_c: f64) -> Air {
    Air::from_relative_humidity(temp_c, 0.5, STANDARD_PRESSURE_PA)
}

fn wall(facing: Facing, extra_m2_k_per_w: f64) -> Wall {
    Wall::new(
        1.0,
        facing,
        0.45,
        STIRRED_WATER_FILM_W_PER_M2_K,
        0.012,
        extra_m2_k_per_w,
    )
}

const FACINGS: [Facing; 4] = [Facing::Sideways, Facing::Up, Facing::Down, Facing::OnStand];

#[test]
fn warmer_inside_means_heat_flows_out_and_colder_inside_means_in() {
    for facing in FACINGS {
        let wall = wall(facing, 0.02);
        assert!(wall.heat_loss_w(26.0, air(20.0), 20.0) > 0.0, "{facing:?}");
        assert!(wall.heat_loss_w(18.0, air(20.0), 20.0) < 0.0, "{facing:?}");
        assert_eq!(wall.heat_loss_w(20.0, air(20.0), 20.0), 0.0, "{facing:?}");
    }
}

#[test]
fn cold_surroundings_draw_heat_from_water_as_warm_as_the_air() {
    assert!(wall(Facing::Sideways, 0.0).heat_loss_w(22.0, air(22.0), 19.0) > 0.0);
}

/// The flux found without the steps under test: bisection for the face where both fluxes agree.
fn bisected_w_per_m2(wall: &Wall, water_c: f64, air: Air, radiant_c: f64) -> f64 {
    let (mut low, mut high) = (-20.0, 80.0);
    for _ in 0..60 {
        let face_c = 0.5 * (low + high);
        let through_pane = (water_c - face_c) / wall.inside_m2_k_per_w();
        if wall.outer_film(face_c, air, radiant_c).loss_w_per_m2 < through_pane {
            low = face_c;
        } else {
            high = face_c;
        }
    }
    wall.outer_film(low, air, radiant_c).loss_w_per_m2
}

#[test]
fn what_goes_through_the_pane_leaves_by_the_film() {
    let mut worst: f64 = 0.0;
    // A bottom with insulation has no outer film, so none is asked for.
    for (facing, extras) in [
        (Facing::Sideways, [0.0, 0.1, 1.0]),
        (Facing::Up, [0.0, 0.1, 1.0]),
        (Facing::Down, [0.0; 3]),
    ] {
        for extra in extras {
            for warmer_k in [-12.0, -3.0, -0.3, 0.3, 1.0, 4.5, 12.0, 25.0] {
                for radiant_c in [19.0, 21.0] {
                    let wall = wall(facing, extra);
                    let expected = bisected_w_per_m2(&wall, 21.0 + warmer_k, air(21.0), radiant_c);
                    let found = wall.heat_loss_w(21.0 + warmer_k, air(21.0), radiant_c);
                    let error = (found - expected).abs() / expected.abs().max(1.0);
                    worst = worst.max(error);
                }
            }
        }
    }
    assert!(worst < 2e-5, "worst {worst:e}");
}

#[test]
fn thicker_panes_and_foam_keep_heat_in() {
    let thin = Wall::new(1.0, Facing::Sideways, 0.4, 500.0, 0.006, 0.0);
    let thick = Wall::new(1.0, Facing::Sideways, 0.4, 500.0, 0.019, 0.0);
    let wrapped = Wall::new(1.0, Facing::Sideways, 0.4, 500.0, 0.006, 0.5);
    let loss = |wall: Wall| wall.heat_loss_w(26.0, air(20.0), 20.0);
    assert!(loss(thick) < loss(thin));
    assert!(loss(wrapped) < 0.4 * loss(thin));
}

#[test]
fn a_foam_bed_replaces_the_outer_film() {
    // 1/500 + 12 mm of glass + 0.5 m² K/W: 0.514 m² K/W.
    assert_relative_eq!(
        wall(Facing::OnStand, 0.5).heat_loss_w(26.0, air(20.0), 15.0),
        6.0 / 0.514,
        max_relative = 1e-12
    );
}

#[test]
fn acrylic_insulates_as_its_conductivity_says() {
    let pane = Pane {
        material: PaneMaterial::Acrylic,
        extra_bottom_m2_k_per_w: 0.1,
        ..tank().pane
    };
    let acrylic = Tank { pane, ..tank() };
    // 0.6 m²; 1/500 + 0.012/0.19 + 0.1 = 0.16516 m² K/W.
    let loss_w = Wall::bottom(&acrylic).heat_loss_w(26.0, air(20.0), 20.0);
    assert_relative_eq!(loss_w, 0.6 * 6.0 / 0.165_16, max_relative = 1e-4);
}

#[test]
fn nearly_all_of_a_12_mm_glass_pane_follows_the_water() {
    // 1 − U (1/500 + 0.006) with U = 1/(0.014 + 1/7.7): 0.944.
    assert_relative_eq!(
        wall(Facing::Sideways, 0.0).share_that_follows_the_water(),
        0.9444,
        epsilon = 1e-4
    );
}
