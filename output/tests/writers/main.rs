//! Writers on records built by hand: invented figures, no run behind them.

mod cautions;
mod cells;
mod examples;
mod judging;
mod many_tanks;
mod missing;
mod oxygen;
mod pinned;
mod plots;
mod ranges;
mod salinity;
mod scenario;
mod sentences;
mod studies;
mod study_examples;
mod study_report;
mod trace;
mod warned;
