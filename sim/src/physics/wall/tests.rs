use super::*;
use crate::physics::STANDARD_PRESSURE_PA;
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

#[test]
fn the_face_temperature_is_found_within_a_millionth_of_the_flux() {
    let mut worst: f64 = 0.0;
    for facing in FACINGS {
        for extra in [0.0, 0.1, 1.0] {
            for warmer_k in [-12.0, -3.0, -0.3, 0.3, 1.0, 4.5, 12.0, 25.0] {
                for radiant_offset_k in [0.0, -2.0] {
                    let wall = wall(facing, extra);
                    let at = |steps| {
                        wall.heat_loss_by_steps_w(21.0 + warmer_k, air(21.0), 21.0 + radiant_offset_k, steps)
                    };
                    let converged = at(80);
                    let size = converged.abs().max(1.0);
                    worst = worst.max((at(STEPS) - converged).abs() / size);
                }
            }
        }
    }
    assert!(worst < 1e-6, "worst {worst:e}");
}

#[test]
fn what_goes_through_the_pane_leaves_by_the_film() {
    // The flux that leaves by the outer film at the face temperature which that flux implies.
    let wall = wall(Facing::Sideways, 0.0);
    let flux = wall.heat_loss_w(26.0, air(20.0), 19.0);
    let face_c = 26.0 - flux * wall.to_face_m2_k_per_w();
    let (convective, radiative) = wall.outer_film_w_per_m2_k(face_c, air(20.0), 19.0);
    assert_relative_eq!(
        convective * (face_c - 20.0) + radiative * (face_c - 19.0),
        flux,
        max_relative = 1e-6
    );
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
fn nearly_all_of_a_12_mm_glass_pane_follows_the_water() {
    // 1 − U (1/500 + 0.006) with U = 1/(0.014 + 1/7.7): 0.944.
    assert_relative_eq!(
        wall(Facing::Sideways, 0.0).share_that_follows_the_water(),
        0.9444,
        epsilon = 1e-4
    );
}
