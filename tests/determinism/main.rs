//! Determinism: one clause, one test. Same inputs give the same bits, whatever else changes.

mod support;

mod branches;
mod faults;
mod golden;
mod noise;
mod odds;
mod order;
mod rest;
mod resume;
mod same_run_twice;
mod shards;
mod thread_count;
mod uncertainty;
