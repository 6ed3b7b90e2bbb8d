//! What each strategy does, told on a bench and on the smallest tank.

mod fan;
mod first_order_tank;
mod on_off;
mod pi;
mod proportional;
mod staggered_pair;
#[path = "../support/mod.rs"]
mod support;
