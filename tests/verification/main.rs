//! Verification: the model's numbers against numbers from outside, one module per source.
//!
//! Tolerances stand beside each check with their reason; they come from the precision of the source or from the
//! difference between good models, never from what the program happens to reach.
//!
//! `cargo test --test verification` ends with a table of all of them: quantity, source, range, tolerance wanted, worst error reached.

mod ledger;
mod steps;
mod table;

mod air_table;
mod budget_by_hand;
mod devices_by_hand;
mod dry_air_table;
mod evaporation_pools;
mod evaporation_shah_table;
mod failure_quantiles;
mod forced_convection_table;
mod fresh_water_table;
mod interval_coverage;
mod interval_tables;
mod lumped_room;
mod lumped_step;
mod natural_convection_table;
mod odds_closed_forms;
mod oxygen_balance;
mod oxygen_saturation;
mod periodic_room;
mod pi_closed_loop;
mod radiation_table;
mod reference_tank;
mod relay_limit_cycle;
mod seawater_table;
mod seawater_vapour_pressure;
mod solver_reference;
mod step_size;
mod two_node;
mod unesco_check;
mod wilson_table;

use libtest_mimic::{Arguments, Trial};

/// One trial per check, named `module::check`.
macro_rules! trials {
    ($($module:ident: $($check:ident),+;)+) => {
        vec![$($(Trial::test(concat!(stringify!($module), "::", stringify!($check)), || {
            $module::$check();
            Ok(())
        }),)+)+]
    };
}

fn main() {
    let arguments = Arguments::from_args();
    let conclusion = libtest_mimic::run(&arguments, checks());
    if !arguments.list {
        ledger::print();
    }
    conclusion.exit();
}

fn checks() -> Vec<Trial> {
    trials![
        air_table: moist_air_is_that_of_the_ashrae_formulas, wet_bulb_and_dew_point_are_those_of_the_ashrae_formulas;
        budget_by_hand: the_budget_of_a_reef_with_a_sump_is_what_it_is_by_hand, the_budget_of_a_lidded_tank_is_what_it_is_by_hand;
        devices_by_hand:
            a_heaters_film_in_water_is_that_of_iapws_95_put_into_the_named_relations,
            a_dry_heater_gives_off_what_the_named_relations_say_of_it,
            rock_stores_its_own_heat_in_place_of_the_waters,
            salt_stays_while_water_evaporates,
            sun_brings_the_heat_under_its_half_sine,
            a_mat_needs_what_the_water_needs_over_its_share,
            changed_water_costs_the_heat_that_warms_it;
        dry_air_table: room_air_is_that_of_the_library, air_around_a_dry_heater_is_that_of_the_library;
        evaporation_pools: a_pool_loses_what_a_building_simulation_says_of_it, the_pool_form_is_the_equation_in_british_units_behind_it, an_unused_pool_of_28_c_under_air_of_30_c_loses_83_grams_an_hour_per_square_metre, over_water_warmer_than_its_room_buoyancy_lifts_shahs_rate_above_a_quiet_pools, over_a_pool_under_warm_damp_air_the_published_forms_differ_by_less_than_half;
        evaporation_shah_table: undisturbed_water_evaporates_as_the_written_correlation_says, water_colder_than_the_dew_point_takes_up_vapour_at_the_rate_of_room_currents, nine_rates_tabulated_elsewhere_come_out;
        failure_quantiles: lives_end_where_scipy_says, a_part_that_reached_an_age_lasts_as_long_as_those_new_ones_that_did;
        forced_convection_table: a_laminar_plate_is_that_of_the_named_function, a_turbulent_plate_has_the_powers_of_the_named_function, a_cylinder_in_cross_flow_is_that_of_the_named_function;
        fresh_water_table: fresh_water_is_that_of_iapws_95;
        interval_coverage:
            t_intervals_hold_the_mean_as_often_as_in_a_simulation_elsewhere,
            bootstrap_intervals_hold_the_mean_as_often_as_in_a_simulation_elsewhere,
            stopped_studies_hold_the_mean_as_often_as_in_a_simulation_elsewhere;
        interval_tables:
            t_intervals_are_those_of_scipy,
            bootstrap_intervals_are_those_of_all_resamples_there_are,
            ranks_are_those_of_statsmodels;
        lumped_room: a_heated_room_left_alone_relaxes_exponentially, heating_dries_winter_air_to_28_per_cent;
        lumped_step: one_lump_follows_the_exponential_at_the_default_tick, the_tick_makes_no_difference_to_one_lump;
        natural_convection_table: natural_convection_is_that_of_the_named_functions, a_textbook_example_of_a_vertical_plate_comes_out, the_warm_face_down_lies_no_farther_from_a_newer_form_than_an_older_one_does;
        odds_closed_forms:
            one_exponential_life_ends_within_a_year_as_often_as_it_should,
            of_two_parts_in_series_either_is_enough,
            of_two_parts_in_parallel_both_must_fail,
            wear_out_comes_late_as_the_weibull_says,
            a_protection_is_dead_for_the_share_of_its_test_interval_that_theory_says,
            intervals_hold_the_truth_as_often_as_the_binomial_says;
        oxygen_balance:
            a_still_closed_tank_loses_oxygen_in_a_straight_line,
            an_open_tank_tends_exponentially_to_where_uptake_meets_demand,
            two_tanks_that_exchange_water_follow_the_matrix_exponential,
            two_tanks_rest_where_uptake_and_demand_of_both_meet;
        oxygen_saturation:
            water_holds_the_oxygen_of_garcia_and_gordon,
            the_published_check_value_is_met_to_its_last_digit,
            the_examples_of_teos_10_s_manual_are_met;
        periodic_room: a_tank_swings_less_and_later_than_a_sinusoidal_room_by_the_closed_form;
        pi_closed_loop: pi_control_answers_a_step_as_the_closed_form_says;
        radiation_table: radiation_is_the_closed_form;
        reference_tank: the_reference_tank_loses_what_an_independent_implementation_says, the_reference_tank_ends_where_an_independent_implementation_says, a_stuck_heater_passes_30_degrees_when_an_independent_implementation_says, without_power_the_reference_tank_cools_as_an_independent_implementation_says, on_off_closes_as_often_as_an_independent_implementation_says;
        relay_limit_cycle: an_on_off_thermostat_settles_on_the_exact_limit_cycle, a_lagging_sensor_widens_the_cycle_exactly_as_it_should;
        seawater_table: sea_water_is_that_of_teos_10;
        seawater_vapour_pressure: salt_lowers_the_vapour_pressure_as_teos_10_says;
        solver_reference: a_nonlinear_tank_stays_within_a_millikelvin_of_the_converged_solution, a_refresh_every_minute_follows_the_converged_solution_to_a_hundredth_of_that, halving_the_refresh_interval_divides_the_error_by_about_four;
        step_size:
            in_closed_loop_the_step_moves_starts_mean_and_peak_no_more_than_one_decision_may,
            where_the_surface_turns_from_losing_water_to_gaining_it_a_run_stays_within_a_millikelvin,
            in_a_room_that_answers_a_run_stays_within_a_millikelvin;
        two_node: tank_and_sump_follow_the_matrix_exponential_also_where_stiff;
        unesco_check: density_meets_the_published_check_values_at_the_surface_to_their_last_digit;
        wilson_table: intervals_of_a_proportion_are_those_of_scipy;
    ]
}
