//! Whole-program behaviour: what the tank does, and what the command says.

mod alerts;
mod bad_input;
mod budget;
mod command;
mod command_line;
mod conformance;
mod devices;
mod directions;
mod dry_heater;
mod fault_matrix;
mod faults;
mod guards;
mod heat_balance;
mod lessons;
mod levels;
mod library;
mod live;
mod many_tanks;
mod measure;
#[cfg(target_os = "linux")]
mod memory;
mod moving_water;
mod odds;
mod outside_strategies;
mod oxygen;
mod readme;
mod report;
mod room_first;
mod size;
mod strategies;
mod studies;
mod support;
mod top_off;
mod tune;
mod uncertainty;
mod valid_range;
