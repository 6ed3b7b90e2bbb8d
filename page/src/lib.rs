//! The model for a browser: a scenario, strategies and what somebody did in, the course of the water out.
//!
//! A run is a pure function of what is asked: [`Setup`] is all of it. Every act is a happening at its instant, so pausing, stepping, rewinding and
//! sharing are looking at other instants of the same course, and undoing an act is another setup. The scenario that runs is the one that is
//! saved: [`Setup::scenario_toml`].
//!
//! - [`answer`]: the door for the page, text in and text out.
//! - [`play()`]: a setup, run.
//! - [`scene`]: what there is to draw.
//! - [`lesson`]: guided experiments.
//! - [`OwnFile`]: scenarios and strategies that are not of the program.
//! - [`sliders`], [`acts`]: what can be changed, and done.
//! - `door` (private): the same for a host without Rust, numbers and memory alone.

pub mod acts;
mod course;
mod digest;
mod door;
mod happened;
mod keep;
pub mod lesson;
mod mistake;
mod own;
pub mod play;
mod question;
pub mod scene;
mod setup;
pub mod sliders;

pub use course::{Course, Tallies};
pub use happened::{Alerted, Happened};
pub use keep::Kept;
pub use mistake::Mistake;
pub use own::{OwnFile, OwnKind, shown};
pub use play::{Played, Reached, Run, Worker, play};
pub use question::{Answered, answer};
pub use setup::Setup;
