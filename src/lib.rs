//! Try an aquarium heating strategy on a bad week before the tank does.
//!
//! The studies, one file each; each fills a record of `tepid-output`, which writes it. The command `tepid` is a thin shell over this library.
//!
//! - [`compare`]: strategies side by side on scenarios, with and without faults.
//! - [`exposure`]: what one fault does from the worst instant on.
//! - [`faults`]: the fault matrix: every fault, the single points of failure and what would remove them.
//! - [`summary`]: the runs of a strategy with nothing broken, in one record.
//! - [`closings`]: how much closings hang on what heater bodies hold.
//! - [`fault_kind`]: what would have to be there to bear a fault.
//! - [`single`]: one run.
//! - [`statistics`]: what runs show of those that were not run.
//! - [`study`]: batches with statistics and gates, that a CI job can trust.
//! - [`conformance`]: whether a strategy bears what happens to a controller: built-in, script, program, or one's own.
//! - [`alerts`]: what alerts are worth, against how long people take.
//! - [`budget`]: where the heat goes.
//! - [`size`]: which heaters to buy.
//! - [`fit`]: a tank identified from a log.
//! - [`recorded`]: a scenario in the room of a log.
//! - [`replay`]: a strategy in the room of a log, the recorded water beside the simulated.
//! - [`measure`]: what home tests say of a tank.
//! - [`tune`]: which settings of a strategy to choose.
//! - [`card`]: a page to pin to the tank, with a test record.
//! - [`odds`]: how likely a year uses up the dose.
//! - [`correlations`]: the same tank by other published correlations.
//! - [`uncertainty`]: how far a budget may be off.
//! - [`mixing`]: where one temperature for a body is good enough.
//! - [`statistics`]: what runs show of those that were not run: quantiles, intervals, differences, ranks.
//! - [`valid_range`]: where water leaves the temperatures that the model is good for.
//! - [`figures`]: what the pictures that compare show.
//! - [`report`]: all of it about some tanks, as a page to mail.
//! - [`explain`]: what a strategy or guard is, does and covers.
//! - [`lesson`]: guided experiments, run.
//! - [`listing`]: what there is to choose from.
//! - [`live`]: the live page, served to this machine alone.
//! - [`live_start`]: what the live page opens at.
//! - [`rooms`]: the rooms in which verdicts are given.

pub mod alerts;
pub mod budget;
pub mod card;
pub mod closings;
pub mod compare;
pub mod conformance;
pub mod correlations;
pub mod explain;
pub mod exposure;
pub mod fault_kind;
pub mod faults;
pub mod figures;
pub mod fit;
pub mod lesson;
pub mod listing;
pub mod live;
pub mod live_start;
pub mod measure;
pub mod mixing;
pub mod odds;
pub mod recorded;
pub mod replay;
pub mod report;
pub mod rooms;
pub mod single;
pub mod size;
pub mod statistics;
pub mod study;
pub mod summary;
pub mod tune;
pub mod uncertainty;
pub mod valid_range;
