//! Verification: the model's numbers against numbers from outside, one module per source.
//!
//! Tolerances stand beside each check with their reason; they come from the precision of the source or from the
//! difference between good models, never from what the program happens to reach.

mod steps;
mod table;

mod air_table;
mod budget_by_hand;
mod dry_air_table;
mod evaporation_pools;
mod evaporation_shah_table;
mod forced_convection_table;
mod fresh_water_table;
mod lumped_room;
mod lumped_step;
mod natural_convection_table;
mod periodic_room;
mod pi_closed_loop;
mod radiation_table;
mod reference_tank;
mod relay_limit_cycle;
mod seawater_table;
mod seawater_vapour_pressure;
mod solver_reference;
mod two_node;
mod unesco_check;
