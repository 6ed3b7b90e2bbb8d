//! Scenario, strategy and study files: reading, checking, and errors that help.
//!
//! - [`load_file`], [`load_str`]: any file, in; [`Loaded`] or a [`Report`] with every mistake at once, out.
//! - [`scenario`], [`strategy`]: by name or path, with changes by path ([`Setting`]).
//! - [`carried`], [`written_out`], [`text_written_out`]: a scenario as one file that needs no other.
//! - [`library`]: the scenarios that come with the program.
//! - [`fault_sets`], [`fault_set`]: named faults of a scenario.
//! - [`lives`]: how long the parts of a scenario last.
//! - [`Report`]: [`Report::coloured`], [`Report::plain`], [`Report::json`].
//! - [`log_file`]: what a logger wrote of a real tank.
//! - [`interview`]: a scenario from eight questions.
//! - [`schema`], [`template`], [`explain`]: what a file may hold, for editors and people.
//! - [`uncertainty`]: distributions of what is not known of a tank.
//! - [`fields`]: every field of every file, once; the loader and all that describes files derive from it.

mod behind;
mod copies;
mod explain;
mod fault_sets;
pub mod fields;
mod guards;
pub mod interview;
mod law;
pub mod library;
mod lives;
mod load;
#[cfg(feature = "logs")]
pub mod log_file;
mod misnamed;
mod mistakes;
mod names;
mod nearest;
mod node;
mod outline;
mod parameters;
mod path;
mod problem;
mod read;
mod reader;
mod removal;
mod render;
#[cfg(feature = "outside")]
mod schema;
mod source;
mod strategy_file;
mod study;
mod template;
mod text_file;
pub mod uncertainty;
mod variant;
mod watch_words;
mod weather_file;
mod written_out;

pub use behind::files_behind;
pub use explain::{Explanation, explain};
pub use fault_sets::{
    BUILT_IN as BUILT_IN_FAULT_SETS, NONE as NO_FAULT, UnknownFaultSet, fault_set, fault_sets,
};
pub use fields::score::{SCORES, ScoreName, Worse};
pub use lives::{LIBRARY as USUAL_LIVES, lives};
pub use load::{
    FileKind, Loaded, Setting, kind_of_text, load_bytes, load_file, load_str, named_fault_set, scenario,
    scenario_text, strategy, strategy_or_guard, strategy_text,
};
pub use nearest::nearest;
pub use outline::outline;
pub use problem::{Problem, Report};
pub use read::{USUAL_LID, USUAL_WRAP_M2_K_PER_W, described, usual_body};
#[cfg(feature = "outside")]
pub use schema::schema;
pub use source::{Place, Source};
pub use strategy_file::StrategyFile;
pub use study::{
    Drawn, Enough, Gate, GateFigure, Put, Study, StudyScenario, StudyStrategy, Takes, Tolerance, Vary,
    VaryOf, VaryValue,
};
pub use template::{strategy_template, template};
pub use variant::looks_like_path;
pub use watch_words::watch_in_words;
pub use written_out::{carried, text_written_out, written_out};
