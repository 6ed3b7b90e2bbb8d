//! The thermal model of an aquarium, its equipment, circuit and room, and the loop that runs it.
//!
//! Pure computation: no files, no terminal, no threads, no clock, no global state. Same inputs, same bits.
//!
//! - [`scenario`]: what there is and what happens.
//! - [`strategy`]: the trait of whoever controls, what it sees and what it may do.
//! - [`physics`]: the equations, one file each, with their sources.
//! - [`network`]: lumps joined by couplings, and the stepper that moves them.
//! - [`plant`]: a scenario's water system as a network.
//! - [`still`]: a plant in a constant room: budgets and plateaus.
//! - [`weather`]: the room's air over time.
//! - [`noise`]: random numbers as functions of what they are for.
//! - [`run`]: one run of a scenario under a strategy.
//! - [`scores`]: what a run is judged by.
//! - [`trace`]: the course of a run, on request.
//! - [`quantity`]: kinds of quantity and their units, parsing and printing.

mod bisection;
pub mod ids;
pub mod network;
pub mod noise;
pub mod physics;
pub mod plant;
pub mod quantity;
pub mod room;
pub mod run;
pub mod scenario;
pub mod scores;
pub mod still;
pub mod strategy;
pub mod time;
pub mod trace;
pub mod weather;
