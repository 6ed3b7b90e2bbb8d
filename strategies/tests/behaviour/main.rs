//! What each strategy does, told on a bench and on the smallest tank.

mod chiller;
mod fan;
mod feed_forward;
mod first_order_tank;
mod heater_dial;
mod lead_lag;
mod on_off;
mod pi;
mod pid;
mod predictive;
#[cfg(unix)]
mod program;
mod proportional;
mod room_first;
mod script;
mod set_back;
mod staggered_pair;
#[path = "../support/mod.rs"]
mod support;
mod timer;
mod warm_back;
