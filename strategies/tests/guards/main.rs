//! Guards: what each does, and what no stack of them ever does.

#[path = "../support/mod.rs"]
mod support;

mod hold_off;
mod limits;
mod pages;
mod passing_on;
mod probe_voting;
mod rate_of_rise;
mod scripted;
mod stacks;
mod times;
mod twins;
